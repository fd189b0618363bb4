"""Slack through the wheel travel, for the fitted and for the chosen pair.

Index `FITTED` of every array is the pair on the bike now, index `CHOSEN` the one to be fitted.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from explorer.calc.chain import swingarm
from explorer.calc.chain.chain_path import hanging_sag, outline, run_clearance, straight_runs
from explorer.calc.chain.chain_slack import Travel, slack_through_travel
from explorer.calc.chain.swingarm import Point
from explorer.calc.vehicle import FloatArray
from explorer.records.bikes.bike import Bike
from explorer.records.fitting.fit import Measurements
from explorer.records.setups.setup import Setup
from explorer.study.fit_chain import pitch_of

GEOMETRY = ("swingarm_length", "shaft_ahead", "shaft_above", "axle_below", "wheel_travel")
"""Answers without which nothing can be said about the travel."""

_POINTS = 61


@dataclass(frozen=True, eq=False)
class SlackThroughTravel:
    """Swingarm, chain and slack over the wheel travel.

    Attributes:
        shaft: Output shaft, from the pivot [m].
        arm (array (2,)): Swingarm length with the axle where each pair needs it [m].
        lowest, highest, rest, tightest: Swingarm angles: wheel hanging, fully compressed, where
            slack is measured, where the chain is tightest [rad].
        place: Where along the run slack is measured [-].
        basis ({"manual", "tightest", "taut"}): Whether the curves start from the manual's value,
            from the slack to be left at the tightest position, or from a chain just taut there,
            which only shows the shape.
        start: Swingarm angle from which the curves start, and the slack there [rad], [m].
        wanted: Slack wanted at the tightest position; None where none was given [m].
    """

    shaft: Point
    arm: FloatArray
    front: FloatArray
    rear: FloatArray
    pitch: float
    lowest: float
    highest: float
    rest: float
    tightest: float
    place: float
    basis: str
    start: tuple[float, float]
    wanted: float | None

    @cached_property
    def angles(self) -> FloatArray:
        """Swingarm angles, (points,) [rad]."""
        # With the two places that are read off, so that no interpolation blurs them.
        even = np.linspace(self.lowest, self.highest, _POINTS)
        return np.union1d(even, [self.rest, self.tightest])

    @cached_property
    def heights(self) -> FloatArray:
        """Wheel travel used at each [m]."""
        return self.arm[0] * (np.sin(self.angles) - np.sin(self.lowest))

    @cached_property
    def curves(self) -> Travel:
        """Fields of shape (2, points) [m]."""
        return self._through(self.angles, *self.start)

    @property
    def tight_height(self) -> float:
        """Wheel travel at the tightest position [m]."""
        return self.height_of(self.tightest)

    @cached_property
    def at_rest(self) -> FloatArray:
        """Slack of both pairs where it is measured; NaN where taut before [m]."""
        return self._through(self.rest, *self.start).slack[:, 0]

    @cached_property
    def at_tightest(self) -> FloatArray:
        """Slack of both pairs at the tightest position, likewise [m]."""
        return self._through(self.tightest, *self.start).slack[:, 0]

    @cached_property
    def rest_for_tight(self) -> FloatArray | None:
        """Slack at rest that leaves the slack wanted; None where none was given [m]."""
        if self.wanted is None:
            return None
        return self._through(self.rest, self.tightest, self.wanted).slack[:, 0]

    def _through(self, at: FloatArray | float, set_angle: float, set_slack: float) -> Travel:
        arm, front, rear = (each[:, np.newaxis] for each in (self.arm, self.front, self.rear))
        setting = np.atleast_1d(at), set_angle, set_slack
        pairs = self.pitch, front, rear, self.place
        return slack_through_travel(self.shaft.x, self.shaft.y, arm, *setting, *pairs)

    def height_of(self, angle: float) -> float:
        """Wheel travel used at a swingarm angle, for the fitted pair [m]."""
        return float(self.arm[0] * (np.sin(angle) - np.sin(self.lowest)))

    def angle_at(self, height: float) -> float:
        """Swingarm angle at a wheel travel, held within the travel [rad]."""
        return float(np.interp(height, self.heights, self.angles))

    def axle(self, angle: float, index: int) -> Point:
        """Rear axle of one pair at a swingarm angle [m]."""
        return swingarm.axle_position(self.arm[index], angle)

    def line(self, height: float, index: int) -> Point:
        """The chain of one pair as a closed line at a wheel travel [m]."""
        axle = self.axle(self.angle_at(height), index)
        extra = np.interp(height, self.heights, self.curves.extra[index])
        run = np.interp(height, self.heights, self.curves.run[index])
        teeth = int(self.front[index]), int(self.rear[index])
        return outline(self.shaft, axle, self.pitch, *teeth, float(hanging_sag(run, extra)))

    def slider_gap(self, radius: float, plate_height: float) -> FloatArray:
        """Least gap between upper run and slider over the travel, for both pairs [m]."""
        arm, front, rear = (each[:, np.newaxis] for each in (self.arm, self.front, self.rear))
        axle = swingarm.axle_position(arm, self.angles)
        runs = straight_runs(self.shaft, axle, self.pitch, front, rear)
        gap = run_clearance(runs.upper, runs.upper_normal, Point(0.0, 0.0), radius, plate_height)
        return gap.min(axis=1)


def slack_result(
    bike: Bike, setup: Setup, measured: Measurements, movement: float
) -> SlackThroughTravel | None:
    """Slack through the travel; None where the swingarm has not been measured, or cannot move as
    far as the travel says.

    Args:
        movement: Axle movement that the chosen pair needs; NaN counts as none [m].
    """
    if not measured.known(*GEOMETRY):
        return None
    length = measured.si("swingarm_length")
    shaft = Point(-measured.si("shaft_ahead"), measured.si("shaft_above"))
    lowest = float(swingarm.arm_angle_at_height(length, -measured.si("axle_below")))
    highest = float(swingarm.arm_angle_after_travel(length, lowest, measured.si("wheel_travel")))
    if not (np.isfinite(lowest) and np.isfinite(highest)):
        return None
    used = min(measured.si("slack_travel"), measured.si("wheel_travel"))
    rest = float(swingarm.arm_angle_after_travel(length, lowest, used))
    tightest = float(swingarm.tightest_angle(shaft.x, shaft.y, lowest, highest))
    wanted = measured.si("tight_slack") if measured.known("tight_slack") else None
    if measured.known("manual_slack"):
        basis, start = "manual", (rest, measured.si("manual_slack"))
    else:
        basis, start = "taut" if wanted is None else "tightest", (tightest, wanted or 0.0)
    return SlackThroughTravel(
        shaft,
        arm=np.array([length, length + (movement if np.isfinite(movement) else 0.0)]),
        front=np.array([bike.sprockets.front, setup.front]),
        rear=np.array([bike.sprockets.rear, setup.rear]),
        pitch=pitch_of(bike),
        lowest=lowest,
        highest=highest,
        rest=rest,
        tightest=tightest,
        place=measured.si("slack_share"),
        basis=basis,
        start=start,
        wanted=wanted,
    )
