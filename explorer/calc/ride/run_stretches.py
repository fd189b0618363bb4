"""Stretches of a logged ride that may be a coast-down or a pull at full throttle.

The log does not know the throttle or the clutch: these are candidates, and the rider says which of
them were what.
"""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from explorer.calc.vehicle import FloatArray

IntArray = NDArray[np.intp]

_SMOOTHING = 3.0
"""Time over which the acceleration is averaged [s]."""
_INSIDE = 4.0
"""Time behind an edge with which its acceleration is compared [s]."""
_WEAK, _OPENING, _CLOSING = 0.4, 0.95, 0.85
"""Shares of the change of speed below which a pull is interrupted, or only begins or ends [-]."""
_SETTLED = 4.0
_RISE, _RISE_BESIDES = 1.3, 0.25
"""A deceleration above this share of that of the seconds before, and so much besides, is a brake
[-], [m/s²]."""
_LEAST_DROP, _LEAST_COAST = 5.0, 6.0
"""Least fall of the speed, and least length, of a coast-down [m/s], [s]."""
_HARDEST, _HARDEST_GROWTH = 1.0, 0.0022
"""Greatest deceleration at a crawl that is no braking [m/s²], and what it grows by, over the speed
squared [1/m]."""
_LEAST_RISE, _LEAST_PULL, _GENTLEST = 4.0, 1.8, 0.4
"""Least rise of the speed, least length, and least acceleration of a pull [m/s], [s], [m/s²]."""
_FULL = 0.6
"""An edge belongs to a run from this share of the acceleration behind it on [-]."""


def coasting_stretches(time: FloatArray, speed: FloatArray) -> list[slice]:
    """Stretches in which the speed falls steadily and more gently than by braking.

    What is still no braking grows with the square of the speed, as drag does: at 97 km/h drag alone
    slows a motorcycle by 1.4 m/s². A stretch ends before the deceleration rises, which coasting on
    the level never does.

    Returns: Of the arrays, in the order of time.

    References:
        Our own rule, no source: on firm ground a coasting motorcycle slows by 0.2 to 1 m/s².

    >>> time = np.arange(60.0)
    >>> speed = np.interp(time, [0, 10, 40, 60], [20.0, 20.0, 8.0, 8.0])
    >>> coasting_stretches(time, speed)
    [slice(13, 38, None)]
    """
    change = smoothed_change(time, speed)
    coasting = (change < -0.08) & (change > -_HARDEST - _HARDEST_GROWTH * speed**2)
    found = []
    for run in _stretches(time, speed, -change, coasting):
        first, last = run.start, run.start + _before_braking(time[run], -change[run])
        long_enough = last - first >= 2 and time[last] - time[first] >= _LEAST_COAST
        if long_enough and speed[first] - speed[last] >= _LEAST_DROP:
            found.append(slice(first, last + 1))
    return found


def pulling_stretches(time: FloatArray, speed: FloatArray) -> list[slice]:
    """Stretches in which the speed rises steadily, down to the two seconds of a strong bike.

    Reading by reading (of a fast log, half second by half second): averages over some seconds would
    hide a pull of three. A reading between which and the next the throttle was only opening or
    closing shows by a change that is smaller than its neighbour's, and is left out.

    Returns: Of the arrays, in the order of time.

    References: Our own rule, no source.

    >>> time = np.arange(40.0)
    >>> pulling_stretches(time, np.interp(time, [0, 10, 20, 40], [8.0, 8.0, 20.0, 20.0]))
    [slice(10, 21, None)]
    """
    if len(time) < 3:
        return []
    moment, mean = _half_seconds(time, speed)
    change = np.diff(mean) / np.diff(moment)
    found = []
    for start, stop in _spells(change > _GENTLEST):
        weak = change[start:stop] < _WEAK * np.median(change[start:stop])
        # A gear change or a lifted hand divides a run.
        for part in np.split(np.arange(start, stop), np.flatnonzero(weak)):
            part = part[change[part] >= _WEAK * np.median(change[start:stop])]
            while part.size > 1 and change[part[0]] < _OPENING * change[part[1]]:
                part = part[1:]
            while part.size > 1 and change[part[-1]] < _CLOSING * change[part[-2]]:
                part = part[:-1]
            if part.size < 2:
                continue
            rows = np.flatnonzero((time >= moment[part[0]]) & (time <= moment[part[-1] + 1]))
            if rows.size < 3 or time[rows[-1]] - time[rows[0]] < _LEAST_PULL:
                continue
            if speed[rows[-1]] - speed[rows[0]] >= _LEAST_RISE:
                found.append(slice(int(rows[0]), int(rows[-1]) + 1))
    return found


def _spells(holds: FloatArray) -> Iterator[tuple[int, int]]:
    """Where a condition holds: each time the first row, and the one behind the last."""
    edges = np.flatnonzero(np.diff(np.concatenate([[0], holds.astype(int), [0]])))
    return zip(edges[::2], edges[1::2], strict=True)


def _half_seconds(time: FloatArray, speed: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Means over half seconds of a log that has several readings in one; else the log itself."""
    together = int(max(round(0.5 / max(float(np.median(np.diff(time))), 1e-3)), 1))
    starts = np.arange(0, len(time) - together + 1, together)
    counts = np.diff(np.append(starts, len(time)))
    return np.add.reduceat(time, starts) / counts, np.add.reduceat(speed, starts) / counts


def _before_braking(time: FloatArray, deceleration: FloatArray) -> int:
    """Last row of a coast-down before the deceleration rises for good."""
    for row in np.flatnonzero(time >= time[0] + _SETTLED):
        before = (time < time[row] - _SMOOTHING / 2) & (time >= time[row] - 8.0)
        usual = float(np.median(deceleration[before]))
        if deceleration[row] > _RISE * usual + _RISE_BESIDES:
            end = time[row] - _SMOOTHING / 2 - 0.5
            return int(np.searchsorted(time, end, side="right")) - 1
    return len(time) - 1


def smoothed_change(time: FloatArray, speed: FloatArray) -> FloatArray:
    """Acceleration at each moment, as the slope over a few seconds round it.

    Returns: array (n,): Acceleration [m/s²].

    >>> smoothed_change(np.arange(5.0), np.array([0.0, 1.0, 2.0, 3.0, 4.0]))
    array([1., 1., 1., 1., 1.])
    """
    if len(time) < 2:
        return np.zeros(len(time))
    before = np.maximum(time - _SMOOTHING / 2, time[0])
    after = np.minimum(time + _SMOOTHING / 2, time[-1])
    rise = np.interp(after, time, speed) - np.interp(before, time, speed)
    return rise / (after - before)


def _stretches(
    time: FloatArray, speed: FloatArray, strength: FloatArray, steady: FloatArray
) -> list[slice]:
    """Where a steady change lasts long enough for a coast-down, its edges left out."""
    found = []
    for start, stop in _spells(steady):
        full = _full_strength(time[start:stop], strength[start:stop])
        if full.size < 3:
            continue
        # The averages at both ends hold a part of what came before and after.
        inner, edge = time[start + full], _SMOOTHING / 2
        inside = start + full[(inner >= inner[0] + edge) & (inner <= inner[-1] - edge)]
        if inside.size < 3:
            continue
        first, last = int(inside[0]), int(inside[-1])
        long_enough = time[last] - time[first] >= _LEAST_COAST
        if long_enough and abs(speed[last] - speed[first]) >= _LEAST_DROP:
            found.append(slice(first, last + 1))
    return found


def _full_strength(time: FloatArray, strength: FloatArray) -> IntArray:
    """Indices without the edges at which the acceleration is only beginning or ending.

    Steady riding whose noise looks like a beginning would pass for part of the run, and bias what
    is fitted to it.
    """
    sums = np.concatenate([[0.0], np.cumsum(strength)])
    rows = np.arange(len(time))

    def mean_between(start: FloatArray, end: FloatArray) -> FloatArray:
        first, after = np.searchsorted(time, start, "left"), np.searchsorted(time, end, "right")
        return (sums[after] - sums[first]) / (after - first)

    begun = np.flatnonzero(strength >= _FULL * mean_between(time, time + _INSIDE))
    going = np.flatnonzero(strength >= _FULL * mean_between(time - _INSIDE, time))
    return rows[begun[0] : going[-1] + 1]
