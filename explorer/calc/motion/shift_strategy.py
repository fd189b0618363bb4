"""Ways of choosing when to change up, what each costs, and when a shift is not worth it."""

from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.top_speed import TopSpeed
from explorer.calc.motion.shift_points import ShiftPoints, shift_points
from explorer.calc.vehicle import FloatArray

Timing = Callable[[Drive, ShiftPoints], FloatArray]
"""A time to compare, (cases,) [s], of a drive and its shift points: one of the functions of
measures, its arguments filled in."""

_SMALLEST_GAIN = 1e-3
"""A shift that wins less than a millisecond has in truth not been reached before the goal [s]."""


class Strategies(NamedTuple):
    """Time with each way of changing up, and what it costs against the best shift points.

    Attributes:
        best, rev_limit, chosen (array (cases,)): Time with the best shift points, the last left out
            where staying wins; at the rev limit; at the chosen engine speed. NaN if never [s].
        rev_limit_cost, chosen_cost (array (cases,)): Time lost against the best; NaN where one of
            the two never gets there. At a chosen speed over a distance it can be negative by
            hundredths, since the best points look at speed [s].
    """

    best: FloatArray
    rev_limit: FloatArray
    chosen: FloatArray
    rev_limit_cost: FloatArray
    chosen_cost: FloatArray


def compare_strategies(
    drive: Drive,
    top: TopSpeed,
    timing: Timing,
    chosen_engine_speed: float,
    best_timing: Timing | None = None,
) -> Strategies:
    """Time with the best shift points, at the rev limit, and at a chosen engine speed.

    Args:
        timing: What to compare, see `Timing` [-].
        chosen_engine_speed (float, positive): To change up at; at most the rev limit [rad/s].
        best_timing: Like `timing`, with shift points of its own for the best of them [-].

    Returns: Times and costs [s].

    Example: see :func:`worth_of_each_shift`, which takes the same `timing`.
    """
    ways = worth_of_each_shift(drive, shift_points(drive, top), timing).time
    at_limit = timing(drive, shift_points(drive, top, np.inf))
    best = np.fmin(np.fmin.reduce(ways, axis=1), at_limit)
    if best_timing is not None:
        best = np.fmin(best, best_timing(drive, shift_points(drive, top)))
    chosen = timing(drive, shift_points(drive, top, chosen_engine_speed))
    return Strategies(best, at_limit, chosen, at_limit - best, chosen - best)


class ShiftWorth(NamedTuple):
    """What each shift is worth for one goal.

    Attributes:
        time (array (cases, gears)): Time when this gear is the last one used, and kept to its end
            and beyond; NaN where the goal is out of its reach [s].
        gain (array (cases, gears - 1)): Time that the shift out of this gear wins; negative where
            staying wins. NaN where the goal is not reached with it or without it [s].
        worth_it (array of bool (cases, gears - 1)): Whether the shift is made before the goal and
            wins time, or is the only way to the goal.
    """

    time: FloatArray
    gain: FloatArray
    worth_it: FloatArray


def worth_of_each_shift(drive: Drive, shifts: ShiftPoints, timing: Timing) -> ShiftWorth:
    r"""Compare, for each gear, changing up with staying in it to the goal.

    .. math:: \text{gain}_n = t(\text{last gear } n) - t(\text{last gear } n + 1)

    A rider who stays runs the gear out to its end speed and holds that speed, on the rev limiter
    if need be. Where the goal is near, the time without drive costs more than the next gear wins.

    Args:
        shifts: Where each gear is left when it is left [m/s].
        timing: Takes the drive and shift points, returns a time for each case [-].

    Returns: Times and gains [s].

    >>> from explorer.calc.motion.measures import time_over_distance
    >>> drive, shifts = example_drive()
    >>> worth = worth_of_each_shift(
    ...     drive, shifts, lambda d, s: time_over_distance(d, s, 30.0))
    >>> worth.worth_it.tolist()
    [[True, False, False, False]]
    """
    times = []
    for last in range(drive.gears):
        exit_speed, shifts_up = shifts.exit_speed.copy(), shifts.shifts_up.copy()
        exit_speed[:, last], shifts_up[:, last] = shifts.end_speed[:, last], False
        times.append(timing(drive, ShiftPoints(exit_speed, shifts_up, shifts.end_speed)))
    time = np.stack(times, axis=1)
    stay, go = time[:, :-1], time[:, 1:]
    wins = (stay - go > _SMALLEST_GAIN) | (np.isnan(stay) & np.isfinite(go))
    return ShiftWorth(time, stay - go, wins & shifts.shifts_up[:, :-1])
