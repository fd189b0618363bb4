"""Clearances beside the chain, and whether anything touches. All numbers are SI."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from explorer.calc.chain import clearance
from explorer.records.bikes.bike import Bike
from explorer.records.fitting.fit import Measurements
from explorer.records.setups.setup import Setup
from explorer.records.tyre import parse_size
from explorer.study import fit_chain
from explorer.study.fit_chain import UNKNOWN, FitMap
from explorer.study.fit_slack import SlackThroughTravel

TOUCHES = 0.0005
"""What is printed as 0 mm is no gap [m]."""


@dataclass(frozen=True)
class Gap:
    """One clearance.

    Attributes:
        name: Between what.
        before, after: With the fitted and with the chosen pair; negative on contact [m].
        rubs_anyway (bool): Whether contact is what the part is there for, as on a slider.
    """

    name: str
    before: float
    after: float
    rubs_anyway: bool = False

    @property
    def contradicts(self) -> bool:
        """Whether by these measures even what is fitted touches, where nothing may."""
        return self.before < TOUCHES and not self.rubs_anyway

    @property
    def blocks(self) -> bool:
        """Whether the chosen pair touches where nothing may touch."""
        return self.after < TOUCHES and not self.rubs_anyway and not self.contradicts


def gaps_of(
    bike: Bike,
    setup: Setup,
    measured: Measurements,
    movement: float,
    slack: SlackThroughTravel | None = None,
) -> Iterator[Gap]:
    """The clearances whose present gap was measured, with the axle moved so far [m]."""
    sprockets, pitch = bike.sprockets, fit_chain.pitch_of(bike)
    plate = measured.si("plate_height")
    moved = movement if np.isfinite(movement) else 0.0
    if measured.known("shaft_to_case", "plate_height"):
        fronts = np.array([sprockets.front, setup.front])
        gap = clearance.case_gap(measured.si("shaft_to_case"), pitch, fronts, plate)
        yield Gap("Front sprocket to case, chain on", *map(float, gap))
    rears = (sprockets.rear, setup.rear)
    for name, label, direction in (
        ("guide_gap", "Rear sprocket to chain guide", np.pi / 2),
        ("arm_gap", "Rear sprocket to swingarm", 0.0),
    ):
        if measured.known(name):
            now = measured.si(name)
            after = clearance.gap_after_teeth(now, pitch, *rears, moved, direction)
            yield Gap(label, now, float(after))
    if measured.known("slider_radius", "plate_height") and slack is not None:
        gap = slack.slider_gap(measured.si("slider_radius"), plate)
        yield Gap(
            "Upper chain run to slider, least over the travel", *map(float, gap), rubs_anyway=True
        )
    if measured.known("tyre_gap"):
        now = measured.si("tyre_gap")
        new, old = (parse_size(size).overall_diameter for size in (setup.tyre, bike.tyre.rear))
        after = clearance.tyre_gap(now, moved, (new - old) / 2)
        yield Gap("Rear tyre to swingarm", now, float(after))


def gaps_that_touch(
    bike: Bike, setup: Setup, measured: Measurements, movement: float
) -> tuple[Gap, ...]:
    """What touches with the axle moved so far; a slider may, so the travel has no part in it."""
    return tuple(gap for gap in gaps_of(bike, setup, measured, movement) if gap.blocks)


def nearest_without_touching(
    fits: FitMap, bike: Bike, setup: Setup, measured: Measurements
) -> tuple[int, int] | None:
    """The pair nearest in ratio on which the chain fits and nothing touches; None without one."""
    left = fits
    while (pair := fit_chain.nearest_pair(left, setup.front, setup.rear)) is not None:
        front, rear = pair
        place = front - int(fits.fronts[0]), rear - int(fits.rears[0])
        there = setup.model_copy(update={"front": front, "rear": rear})
        if not gaps_that_touch(bike, there, measured, float(fits.fit.movement[place])):
            return pair
        verdict = np.array(left.verdict)
        verdict[place] = UNKNOWN
        left = replace(left, verdict=verdict)
    return None
