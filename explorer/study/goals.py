"""What the reader asks to be measured, as functions of a drive and its shift points."""

from collections.abc import Callable
from functools import partial

import numpy as np

from explorer.calc.drivetrain.drive import Drive
from explorer.calc.engine.curve import peak_power
from explorer.calc.motion import measures
from explorer.calc.motion.shift_points import ShiftPoints
from explorer.calc.motion.shift_strategy import Timing
from explorer.calc.vehicle import FloatArray
from explorer.records.bikes.bike import Bike
from explorer.records.setups.setup import Setup

WALKING_PACE = 5 / 3.6
"""Speed of the measure "pull at walking pace" [m/s]."""

LARGER_IS_BETTER = {"steepest_slope", "walking_pull"}
"""Measures of which more is better; the others are times."""


def measure_of(setup: Setup) -> Callable[[Drive, ShiftPoints], FloatArray]:
    """The measure that the reader picked.

    Parameters
    ----------
    setup : Setup
        What the rider chose.

    Returns
    -------
    callable
        Returns one number for each case: seconds, rise over run, or newtons.
    """
    match setup.measure:
        case "time_to_speed":
            return partial(measures.time_to_speed, speed=setup.target_speed)
        case "time_over_distance":
            return partial(measures.time_over_distance, distance=setup.distance)
        case "roll_on":
            return partial(
                measures.roll_on,
                from_speed=setup.roll_from,
                to_speed=setup.roll_to,
                gear=setup.roll_gear - 1,
            )
        case "steepest_slope":
            return lambda drive, shifts: np.tan(measures.steepest_slope_by_gear(drive)).max(axis=1)
        case "walking_pull":
            return lambda drive, shifts: measures.walking_pull(drive, WALKING_PACE)


def by_distance(setup: Setup) -> bool:
    """Whether the goal is a distance; otherwise it is a speed."""
    return setup.measure == "time_over_distance"


def goal_of(setup: Setup) -> Timing:
    """Time to the goal [s]; any measure but a distance stands for the speed to reach."""
    if by_distance(setup):
        return partial(measures.time_over_distance, distance=setup.distance)
    return partial(measures.time_to_speed, speed=setup.target_speed)


def shift_speed(bike: Bike, setup: Setup) -> float:
    """Engine speed at which the rider changes up, at most the rev limit [rad/s]."""
    curve = bike.engine.torque_curve
    if setup.shift_at is None:
        return float(peak_power(curve.speeds, curve.torques).engine_speed)
    return min(setup.shift_at, bike.engine.rev_limit.si)
