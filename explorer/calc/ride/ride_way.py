"""Way and time in motion of a logged stretch, and speeds from positions that come fast.

A satellite's position wanders while the motorcycle stands, and each wander adds way. So a moment
counts as motion only if the mean speed about it is that of riding and, where there are positions,
if they get somewhere. The limits in m/s and seconds are our own.
"""

import numpy as np
from numpy.typing import NDArray

from explorer.calc.ride.ride_filter import FASTEST, LONGEST_GAP
from explorer.calc.ride.ride_speed import covered
from explorer.calc.vehicle import FloatArray

STANDING = 0.7
"""Slower than this nobody rides [m/s]."""
FAST_LOG = 0.5
"""Positions that come faster than this give speeds by a line through several of them [s]."""

_SURELY_RIDING = 2.5
"""A mean speed from here on is no wander: riding in a small circle gets nowhere [m/s]."""
_MEAN_OVER = 5.0
_LINE_OVER = 1.5


def _mean_about(
    time: FloatArray, values: FloatArray, middle: FloatArray, over: float
) -> FloatArray:
    """Mean over a while about each moment; the stretch's ends cut it short."""
    begin, end = (np.clip(middle + half, time[0], time[-1]) for half in (-over / 2, over / 2))
    way = covered(time, values)
    length = end - begin
    rise = np.interp(end, time, way) - np.interp(begin, time, way)
    mean = rise / np.where(length > 0, length, 1)
    return np.where(length > 0, mean, np.interp(middle, time, values))


def in_motion(
    time: FloatArray,
    speed: FloatArray,
    east: FloatArray | None = None,
    north: FloatArray | None = None,
) -> NDArray[np.bool_]:
    """At which moments of a stretch the motorcycle moves.

    Args:
        speed (array (n,)): Speeds without glitches [m/s].
        east, north (array (n,), optional): Positions in a plane [m].

    Returns: False where it stands.

    >>> time = np.arange(40.0)
    >>> int(in_motion(time, np.where(time < 20, 0.2, 10.0)).sum())
    22
    """
    if len(time) < 2:
        return np.asarray(speed) >= STANDING
    mean = _mean_about(time, speed, time, _MEAN_OVER)
    moving = mean >= STANDING
    if east is not None and north is not None:
        ahead, behind = (np.clip(time + shift, time[0], time[-1]) for shift in (5.0, -5.0))
        there = [
            _mean_about(time, each, ahead, 4.0) - _mean_about(time, each, behind, 4.0)
            for each in (east, north)
        ]
        far = np.hypot(*there) >= STANDING * (ahead - behind)
        moving &= far | (_mean_about(time, speed, time, 2 * _MEAN_OVER) >= _SURELY_RIDING)
    return moving


def shares_of_time(time: FloatArray, lasting: FloatArray, kept: NDArray) -> FloatArray:
    """How long each moment stands for once others between were left out.

    Args:
        lasting (array (n,), non-negative): How long each stands for in the log [s].
        kept (array of int (m,), increasing): Rows that are left [-].

    Returns: What was left out goes half to each neighbour, unless they are too far apart [s].

    >>> shares_of_time(np.arange(4.0), np.ones(4), np.array([0, 1, 3]))
    array([1. , 1.5, 1.5])
    """
    total = np.cumsum(lasting)
    hole = (total[kept[1:]] - lasting[kept[1:]] - total[kept[:-1]]) / 2
    hole[np.diff(time[kept]) > LONGEST_GAP] = 0.0
    return lasting[kept] + np.append(hole, 0.0) + np.insert(hole, 0, 0.0)


def strays(time: FloatArray, step: FloatArray) -> NDArray[np.bool_]:
    """Positions that are reached and left faster than anything on the ground.

    Args:
        step (array (n - 1,)): Way from each to the next [m].

    Returns: True for a stray one; the first and the last need only one such step.

    >>> strays(np.arange(5.0), np.array([10.0, 5000.0, 5000.0, 10.0]))
    array([False, False,  True, False, False])
    """
    beyond = step > FASTEST * np.diff(time)
    if not len(beyond):
        return np.zeros(len(time), bool)
    found = np.append(beyond, True) & np.insert(beyond, 0, True)
    # Of two positions far apart at an end only the outer one is taken for stray.
    if len(beyond) > 1:
        found[0] &= not beyond[1]
        found[-1] &= not beyond[-2]
    return found


def speeds_along(
    time: FloatArray, east: FloatArray, north: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Speed and direction from positions that come several times a second.

    The slope of a least-squares line through the positions of a second and a half: from one
    position to the next, a metre of noise at ten positions a second is 14 m/s of noise.

    Args:
        east, north (array (n,)): Positions in a plane [m].

    Returns: Speed [m/s] and direction, clockwise from north [rad].

    >>> time = np.arange(0, 2, 0.1)
    >>> speed, course = speeds_along(time, 20 * time, 0 * time)
    >>> float(speed.round(6).min()), float(course.round(6).max())
    (20.0, 1.570796)
    """
    first = np.searchsorted(time, time - _LINE_OVER / 2 - 1e-9)
    after = np.searchsorted(time, time + _LINE_OVER / 2 + 1e-9, side="right")
    # A line needs two positions, at the ends of a stretch too.
    first, after = np.minimum(first, len(time) - 2), np.maximum(after, 2)
    first = np.minimum(first, after - 2)
    count = after - first

    def sums(values: FloatArray) -> FloatArray:
        total = np.concatenate(([0.0], np.cumsum(values)))
        return total[after] - total[first]

    when = time - time.mean()
    spread = sums(when**2) - sums(when) ** 2 / count
    slopes = [
        (sums(when * (each - each.mean())) - sums(when) * sums(each - each.mean()) / count) / spread
        for each in (east, north)
    ]
    return np.hypot(*slopes), np.remainder(np.arctan2(*slopes), 2 * np.pi)
