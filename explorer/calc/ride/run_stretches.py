"""Stretches of a logged ride that may be a coast-down or a pull at full throttle.

The log does not know the throttle or the clutch: these are candidates, and the rider says which of
them were what.
"""

import numpy as np
from numpy.typing import NDArray

from explorer.calc.vehicle import FloatArray

IntArray = NDArray[np.intp]

_SMOOTHING = 3.0
"""Time over which the acceleration is averaged [s]."""
_INSIDE = 4.0
"""Time behind an edge with which its acceleration is compared [s]."""
_FULL = 0.6
"""An edge belongs to a run from this share of the acceleration behind it on [-]."""


def coasting_stretches(
    time: FloatArray,
    speed: FloatArray,
    least_drop: float = 5.0,
    least_duration: float = 6.0,
    hardest: float = 1.2,
) -> list[slice]:
    """Stretches in which the speed falls steadily and more gently than by braking.

    Args:
        time (array (n,), increasing): Times of a stretch without a break [s].
        speed (array (n,)): Speeds at them [m/s].
        least_drop (float, positive): Least fall of the speed [m/s].
        least_duration (float, positive): Least length [s].
        hardest (float, positive): Greatest deceleration that is not taken for braking [m/s²].

    Returns: Of the arrays, in the order of time.

    References:
        Our own rule, no source: on firm ground a coasting motorcycle slows by 0.2 to 1 m/s².

    >>> time = np.arange(60.0)
    >>> speed = np.interp(time, [0, 10, 40, 60], [20.0, 20.0, 8.0, 8.0])
    >>> coasting_stretches(time, speed)
    [slice(13, 38, None)]
    """
    change = smoothed_change(time, speed)
    coasting = (change < -0.08) & (change > -hardest)
    return _stretches(time, speed, -change, coasting, least_drop, least_duration)


def pulling_stretches(
    time: FloatArray,
    speed: FloatArray,
    least_rise: float = 4.0,
    least_duration: float = 2.5,
    gentlest: float = 0.4,
) -> list[slice]:
    """Stretches in which the speed rises steadily.

    Args:
        time (array (n,), increasing): Times of a stretch without a break [s].
        speed (array (n,)): Speeds at them [m/s].
        least_rise (float, positive): Least rise of the speed [m/s].
        least_duration (float, positive): Least length [s].
        gentlest (float, positive): Least acceleration that may be a full throttle [m/s²].

    Returns: Of the arrays, in the order of time.

    References: Our own rule, no source.

    >>> time = np.arange(40.0)
    >>> pulling_stretches(time, np.interp(time, [0, 10, 20, 40], [8.0, 8.0, 20.0, 20.0]))
    [slice(13, 18, None)]
    """
    change = smoothed_change(time, speed)
    return _stretches(time, speed, change, change > gentlest, least_rise, least_duration)


def smoothed_change(time: FloatArray, speed: FloatArray) -> FloatArray:
    """Acceleration at each moment, as the slope over a few seconds round it.

    Args:
        time (array (n,), increasing): Times [s].
        speed (array (n,)): Speeds at them [m/s].

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
    time: FloatArray,
    speed: FloatArray,
    strength: FloatArray,
    steady: FloatArray,
    least: float,
    duration: float,
) -> list[slice]:
    edges = np.flatnonzero(np.diff(np.concatenate([[0], steady.astype(int), [0]])))
    found = []
    for start, stop in zip(edges[::2], edges[1::2], strict=True):
        full = _full_strength(time[start:stop], strength[start:stop])
        if full.size < 3:
            continue
        # The averages at both ends hold a part of what came before and after.
        inner = time[start + full]
        inside = (
            start
            + full[(inner >= inner[0] + _SMOOTHING / 2) & (inner <= inner[-1] - _SMOOTHING / 2)]
        )
        if inside.size < 3:
            continue
        first, last = int(inside[0]), int(inside[-1])
        long_enough = time[last] - time[first] >= duration
        if long_enough and abs(speed[last] - speed[first]) >= least:
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
