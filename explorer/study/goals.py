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
from explorer.records.prose import read_prose
from explorer.records.setups.setup import Setup
from explorer.units import KMH

WALKING_PACE = 5 * KMH
"""Speed of the measure "pull at walking pace" [m/s]."""


Value = Callable[[Setup, Drive, ShiftPoints], FloatArray]
"""Takes the set-up, a drive and its shift points; gives one number for each case [SI]."""


class Measure(NamedTuple):
    """One thing to set against top speed; its words are in data/measures.toml."""

    label: str
    kind: str
    larger_is_better: bool
    of: Value


_VALUES: dict[str, Value] = {
    "clutch_out": lambda setup, drive, _: slowest_clutch_out_speed(drive)[:, 0],
    "roll_on": lambda setup, drive, shifts: measures.roll_on(
        drive, shifts, setup.roll_from, setup.roll_to, setup.roll_gear - 1
    ),
    "slope_in_gear": lambda setup, drive, _: _slopes(drive)[:, setup.roll_gear - 1],
    "walking_revs": lambda setup, drive, _: measures.revs_above_idle(drive, WALKING_PACE),
    "throttle_to_hold": lambda setup, drive, _: measures.throttle_to_hold(
        drive, setup.roll_from, setup.roll_gear - 1
    ),
    "time_to_speed": lambda setup, drive, shifts: measures.best_time_to_speed(
        drive, shifts, setup.target_speed
    ),
    "time_over_distance": lambda setup, drive, shifts: measures.best_time_over_distance(
        drive, shifts, setup.distance
    ),
    "steepest_slope": lambda setup, drive, _: _slopes(drive).max(axis=1),
    "walking_pull": lambda setup, drive, _: measures.walking_pull(drive, WALKING_PACE),
}


def _slopes(drive: Drive) -> FloatArray:
    return np.tan(measures.steepest_slope_by_gear(drive))


MEASURES = {name: Measure(**row, of=_VALUES[name]) for name, row in read_prose("measures").items()}
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
