"""What a page is about: a bike, a set-up and what was measured on the bike."""

from dataclasses import dataclass

from explorer.records.bikes.bike import Bike
from explorer.records.fitting.fit import Measurements
from explorer.records.setups.setup import Setup


@dataclass(frozen=True)
class PageChoice:
    """A bike, one of those offered or the rider's own, a set-up chosen for it, and what was
    measured on it for the fit page; other pages carry that along."""

    bike: Bike
    setup: Setup
    measured: Measurements
