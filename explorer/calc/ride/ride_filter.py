r"""Glitches of a satellite speed log: which speeds to believe, and where the log is broken.

A moment is left out, never replaced, if its speed is

1. beyond what a motorcycle on the ground does, or
2. far from the straight trend of its neighbours (the Hampel identifier about a median slope):
   further than three robust standard deviations, :math:`3 \cdot 1.4826` times the median absolute
   deviation, and further than `SMALLEST_GLITCH`; or
3. reached and left with an acceleration that no tyre gives; at an end of the stretch one of both.

The window is a few seconds long and follows a steady roll-on or braking; where one turns into the
other the deviations of all neighbours are large together, so little is left out there. What passes
is looked at a second time without what did not: one glitch can hide another. A stretch of fewer
than `SHORTEST` moments can't be checked this way and is left out as a whole.

References:
    F. R. Hampel, "The influence curve and its role in robust estimation", Journal of the American
    Statistical Association 69 (1974) 383-393, for the median and its deviation; R. K. Pearson,
    "Outliers in process modeling and identification", IEEE Transactions on Control Systems
    Technology 10 (2002) 55-63, for the moving window (both from memory); the median of pairwise
    slopes is that of H. Theil, 1950 (from memory). The limits in m/s and m/s² are ours.
"""

import numpy as np
from numpy.typing import NDArray

from explorer.calc.vehicle import FloatArray

FASTEST = 90.0
"""No ride of this kind is faster; a speed beyond it is a jump of the position [m/s]."""
SMALLEST_GLITCH = 1.5
"""A speed nearer than this to the trend of its neighbours is never a glitch [m/s]."""
LARGEST_ACCELERATION = 12.0
"""More than any tyre gives on the ground, driving or braking [m/s²]."""
HALF_WINDOW = 3.0
"""Neighbours are the moments so much before and behind [s]."""
LONGEST_GAP = 5.0
"""A log that is silent for longer is broken there; nothing is computed across [s]."""

SHORTEST = 7
"""A stretch of fewer moments can't be checked and is left out [count]."""

_DEVIATIONS = 3.0
_PASSES = 2
_FAST = 0.5
"""Readings closer together than this differ by their noise [s]."""
_MAD_TO_SIGMA = 1.4826
_FEWEST_NEIGHBOURS = 3
_MOST_NEIGHBOURS = 12
_ROWS_AT_ONCE = 5_000


def breaks(time: FloatArray) -> NDArray[np.intp]:
    """Where a log is silent for too long.

    Returns: Indices of the first moments after a break [-].

    >>> breaks(np.array([0.0, 1.0, 9.0, 10.0]))
    array([2])
    """
    return np.flatnonzero(np.diff(time) > LONGEST_GAP) + 1


def _deviation_from_trend(
    time: FloatArray, values: FloatArray, half_window: int
) -> tuple[FloatArray, FloatArray]:
    """Distance of each value from the straight trend of its neighbours, and their spread about it.

    The slope of the trend is the median of the slopes between neighbours at least half a window
    apart, its height the median of what is left, the spread 1.4826 times the median absolute
    deviation. At both ends the window, so many on each side, is the first or last full one.
    """
    count = len(values)
    width = min(2 * half_window + 1, count)
    half = width // 2
    windows = np.lib.stride_tricks.sliding_window_view(values, width)
    moments = np.lib.stride_tricks.sliding_window_view(time, width)
    early, late = np.triu_indices(width, max(half, 1))
    first = np.clip(np.arange(count) - half, 0, count - width)
    away, spread = np.empty(count), np.empty(count)
    for start in range(0, count, _ROWS_AT_ONCE):
        rows = slice(start, start + _ROWS_AT_ONCE)
        near, when = windows[first[rows]], moments[first[rows]] - time[rows, np.newaxis]
        slopes = (near[:, late] - near[:, early]) / (when[:, late] - when[:, early])
        slope = np.median(slopes, axis=1)
        left = near - slope[:, np.newaxis] * when
        height = np.median(left, axis=1)
        spread[rows] = _MAD_TO_SIGMA * np.median(np.abs(left - height[:, np.newaxis]), axis=1)
        away[rows] = np.abs(values[rows] - height)
    return away, spread


def kept_speeds(time: FloatArray, speed: FloatArray) -> NDArray[np.bool_]:
    """Which speeds of one stretch are no glitches.

    Returns: array of bool (n,): False for a glitch.

    A steady 20 m/s with one jump:

    >>> time = np.arange(9.0)
    >>> speed = np.array([20.0, 20.1, 19.9, 20.0, 33.0, 20.1, 20.0, 19.9, 20.0])
    >>> np.flatnonzero(~kept_speeds(time, speed))
    array([4])
    """
    keep = np.isfinite(speed) & (speed >= 0) & (speed <= FASTEST)
    rows = np.flatnonzero(keep)
    parts = np.split(rows, breaks(time[rows]))
    for part in parts:
        for _ in range(_PASSES):
            good = np.zeros(len(part), bool)
            if len(part) >= SHORTEST:
                good = _kept_in_stretch(time[part], speed[part])
            keep[part] = good
            part = part[good]
    return keep


def _kept_in_stretch(time: FloatArray, speed: FloatArray) -> NDArray[np.bool_]:
    interval = float(np.median(np.diff(time)))
    neighbours = int(np.clip(round(HALF_WINDOW / interval), _FEWEST_NEIGHBOURS, _MOST_NEIGHBOURS))
    away, spread = _deviation_from_trend(time, speed, neighbours)
    keep = away <= np.maximum(_DEVIATIONS * spread, SMALLEST_GLITCH)
    change = np.abs(np.diff(speed))
    # Two readings a moment apart differ by their noise alone; that is no acceleration.
    noise = _DEVIATIONS * _MAD_TO_SIGMA * np.median(change) if interval < _FAST else 0.0
    too_hard = change > LARGEST_ACCELERATION * np.diff(time)
    too_hard &= change > max(SMALLEST_GLITCH, noise)
    keep[1:-1] &= ~(too_hard[:-1] & too_hard[1:])
    # At an end only one side can speak against a reading.
    keep[0] &= not too_hard[0] or too_hard[1]
    keep[-1] &= not too_hard[-1] or too_hard[-2]
    return keep
