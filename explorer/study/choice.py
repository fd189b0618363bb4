"""What a page is about: a bike, a set-up and what was measured on the bike."""

from dataclasses import dataclass

from explorer.records.bikes.bike import Bike
from explorer.records.fitting.fit import Measurements
from explorer.records.setups.setup import Setup


@dataclass(frozen=True)
class PageChoice:
    """A bike, a set-up and the measurements that belong together.

    Attributes:
        bike: The bike in use: one of those offered, or one that the rider edited or uploaded.
        setup: What the rider chose for it.
        measured: What the rider measured on it for the fit page; other pages carry it along.
    """

    bike: Bike
    setup: Setup
    measured: Measurements
