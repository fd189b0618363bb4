"""What the reader asks to be measured, as functions of a drive and its shift points."""

from collections.abc import Callable
from functools import partial
from typing import NamedTuple

import numpy as np

from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.launch import slowest_clutch_out_speed
from explorer.calc.engine.curve import peak_power
from explorer.calc.motion import measures
from explorer.calc.motion.shift_points import ShiftPoints
from explorer.calc.motion.shift_strategy import Timing
from explorer.calc.vehicle import FloatArray
from explorer.records.bikes.bike import Bike
from explorer.records.setups.setup import Setup
from explorer.units import KMH

WALKING_PACE = 5 * KMH
"""Speed of the measure "pull at walking pace" [m/s]."""


class Measure(NamedTuple):
    """One thing to set against top speed.

    Attributes:
        label: For the list to pick from.
        kind: A kind of `explorer.units`.
        larger_is_better: Whether more of it is better.
        of: Takes the set-up, a drive and its shift points; gives one number for each case [SI].
    """

    label: str
    kind: str
    larger_is_better: bool
    of: Callable[[Setup, Drive, ShiftPoints], FloatArray]


MEASURES: dict[str, Measure] = {
    "clutch_out": Measure(
        "Slowest speed with the clutch out",
        "speed",
        False,
        lambda setup, drive, shifts: slowest_clutch_out_speed(drive)[:, 0],
    ),
    "roll_on": Measure(
        "Roll-on in one gear",
        "time",
        False,
        lambda setup, drive, shifts: measures.roll_on(
            drive, shifts, setup.roll_from, setup.roll_to, setup.roll_gear - 1
        ),
    ),
    "slope_in_gear": Measure(
        "Steepest slope held in one gear",
        "slope",
        True,
        lambda setup, drive, shifts: np.tan(
            measures.steepest_slope_by_gear(drive)[:, setup.roll_gear - 1]
        ),
    ),
    "walking_revs": Measure(
        "Revs above idle at walking pace",
        "engine speed",
        True,
        lambda setup, drive, shifts: measures.revs_above_idle(drive, WALKING_PACE),
    ),
    "throttle_to_hold": Measure(
        "Throttle to hold a speed in one gear",
        "share",
        False,
        lambda setup, drive, shifts: measures.throttle_to_hold(
            drive, setup.roll_from, setup.roll_gear - 1
        ),
    ),
    "time_to_speed": Measure(
        "Time from rest to a speed",
        "time",
        False,
        lambda setup, drive, shifts: measures.best_time_to_speed(drive, shifts, setup.target_speed),
    ),
    "time_over_distance": Measure(
        "Time from rest over a distance",
        "time",
        False,
        lambda setup, drive, shifts: measures.best_time_over_distance(
            drive, shifts, setup.distance
        ),
    ),
    "steepest_slope": Measure(
        "Steepest slope held in any gear",
        "slope",
        True,
        lambda setup, drive, shifts: np.tan(measures.steepest_slope_by_gear(drive)).max(axis=1),
    ),
    "walking_pull": Measure(
        "Pull at walking pace",
        "force",
        True,
        lambda setup, drive, shifts: measures.walking_pull(drive, WALKING_PACE),
    ),
}
"""What can be set against top speed, those first that tell every pair from the next."""

BY_SHIFTING = ("roll_on", "time_to_speed", "time_over_distance")
"""Measures that depend on where the rider changes up; the others never look at it."""

NEEDS = {
    "roll_from": ("roll_on", "throttle_to_hold"),
    "roll_to": ("roll_on",),
    "roll_gear": ("roll_on", "slope_in_gear", "throttle_to_hold"),
    "target_speed": ("time_to_speed",),
    "distance": ("time_over_distance",),
}
"""Numbers of the set-up that a measure asks for, by their field."""


def measure_of(setup: Setup) -> Callable[[Drive, ShiftPoints], FloatArray]:
    """The measure that the reader picked: one number for each case [SI]."""
    return partial(MEASURES[setup.measure].of, setup)


def by_distance(setup: Setup) -> bool:
    """Whether the goal is a distance; otherwise it is a speed."""
    return setup.measure == "time_over_distance"


def goal_of(setup: Setup) -> Timing:
    """Time to the goal [s]; any measure but a distance stands for the speed to reach."""
    if by_distance(setup):
        return partial(measures.time_over_distance, distance=setup.distance)
    return partial(measures.time_to_speed, speed=setup.target_speed)


def best_goal_of(setup: Setup) -> Timing:
    """The same, a gear kept where the shift before the goal would cost time."""
    return partial(
        MEASURES["time_over_distance" if by_distance(setup) else "time_to_speed"].of, setup
    )


def shift_speed(bike: Bike, setup: Setup) -> float:
    """Engine speed at which the rider changes up, at most the rev limit [rad/s]."""
    curve = bike.engine.torque_curve
    if setup.shift_at is None:
        return float(peak_power(curve.speeds, curve.torques).engine_speed)
    return min(setup.shift_at, bike.engine.rev_limit.si)
