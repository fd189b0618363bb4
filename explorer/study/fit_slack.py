"""Slack through the wheel travel, for the fitted and for the chosen pair.

Index `FITTED` of every array is the pair on the bike now, index `CHOSEN` the one to be fitted.
"""

from dataclasses import dataclass

import numpy as np

from explorer.calc.chain import swingarm
from explorer.calc.chain.chain_path import Runs, hanging_sag, outline, run_clearance, straight_runs
from explorer.calc.chain.chain_slack import Travel, slack_through_travel
from explorer.calc.chain.swingarm import Point
from explorer.calc.vehicle import FloatArray
from explorer.records.bikes.bike import Bike
from explorer.records.fitting.fit import Measurements
from explorer.records.setups.setup import Setup

GEOMETRY = ("swingarm_length", "shaft_ahead", "shaft_above", "axle_below", "wheel_travel")
"""Answers without which nothing can be said about the travel."""

_POINTS = 61


@dataclass(frozen=True, eq=False)
class SlackThroughTravel:
    """Swingarm, chain and slack over the wheel travel.

    Attributes:
        shaft: Output shaft, from the pivot [m].
        arm (array (2,)): Swingarm length with the axle where each pair needs it [m].
        lowest, highest, rest, tightest (float or array (2,)): Swingarm angles: wheel hanging, fully
            compressed, where slack is measured, where the chain is tightest [rad].
        angles, heights (array (points,)): Swingarm angles [rad], and wheel travel used at each [m].
        basis ({"manual", "tightest", "taut"}): Whether the curves start from the manual's value,
            from the slack to be left at the tightest position, or from a chain just taut there,
            which only shows the shape.
        curves: Fields of shape (2, points) [m].
        tight_height: Wheel travel at the tightest position [m].
        at_rest, at_tightest (array (2,)): Slack where it is measured and at the tightest position;
            NaN where taut before [m].
        rest_for_tight (array (2,) or None): Slack at rest that leaves the slack wanted at the
            tightest position; None where none was given [m].
        place: Where along the run slack is measured [-].
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
    angles: FloatArray
    heights: FloatArray
    basis: str
    curves: Travel
    tight_height: float
    at_rest: FloatArray
    at_tightest: FloatArray
    rest_for_tight: FloatArray | None
    place: float

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
        angle = self.angle_at(height)
        extra = np.interp(height, self.heights, self.curves.extra[index])
        run = np.interp(height, self.heights, self.curves.run[index])
        return outline(
            self.shaft,
            self.axle(angle, index),
            self.pitch,
            int(self.front[index]),
            int(self.rear[index]),
            float(hanging_sag(run, extra)),
        )

    def runs(self) -> Runs:
        """Straight runs of both pairs at every swingarm angle; arrays (2, points, …) [m]."""
        axle = swingarm.axle_position(self.arm[:, np.newaxis], self.angles)
        return straight_runs(
            self.shaft, axle, self.pitch, self.front[:, np.newaxis], self.rear[:, np.newaxis]
        )

    def slider_gap(self, radius: float, plate_height: float) -> FloatArray:
        """Least gap between upper run and slider over the travel, for both pairs [m]."""
        runs = self.runs()
        gap = run_clearance(runs.upper, runs.upper_normal, Point(0.0, 0.0), radius, plate_height)
        return gap.min(axis=1)


def slack_result(
    bike: Bike, setup: Setup, measured: Measurements, pitch: float, movement: float
) -> SlackThroughTravel | None:
    """Compute slack through the travel.

    Args:
        movement: Axle movement that the chosen pair needs; NaN counts as none [m].

    Returns:
        None where the swingarm has not been measured, or cannot move as far as the travel says.
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
    # With the two places that are read off, so that no interpolation blurs them.
    angles = np.union1d(np.linspace(lowest, highest, _POINTS), [rest, tightest])
    moved = movement if np.isfinite(movement) else 0.0
    arm = np.array([length, length + moved])
    front = np.array([bike.sprockets.front, setup.front])
    rear = np.array([bike.sprockets.rear, setup.rear])
    place = measured.si("slack_share")

    def through(at: FloatArray, set_angle: float, set_slack: float) -> Travel:
        return slack_through_travel(
            shaft.x,
            shaft.y,
            arm[:, np.newaxis],
            np.atleast_1d(at),
            set_angle,
            set_slack,
            pitch,
            front[:, np.newaxis],
            rear[:, np.newaxis],
            place,
        )

    if measured.known("manual_slack"):
        basis, start, slack = "manual", rest, measured.si("manual_slack")
    elif measured.known("tight_slack"):
        basis, start, slack = "tightest", tightest, measured.si("tight_slack")
    else:
        basis, start, slack = "taut", tightest, 0.0
    wanted = None
    if measured.known("tight_slack"):
        wanted = through(rest, tightest, measured.si("tight_slack")).slack[:, 0]
    heights = length * (np.sin(angles) - np.sin(lowest))
    return SlackThroughTravel(
        shaft=shaft,
        arm=arm,
        front=front,
        rear=rear,
        pitch=pitch,
        lowest=lowest,
        highest=highest,
        rest=rest,
        tightest=tightest,
        angles=angles,
        heights=heights,
        basis=basis,
        curves=through(angles, start, slack),
        tight_height=float(length * (np.sin(tightest) - np.sin(lowest))),
        at_rest=through(rest, start, slack).slack[:, 0],
        at_tightest=through(tightest, start, slack).slack[:, 0],
        rest_for_tight=wanted,
        place=place,
    )
