"""What a stretch of a ride says of its speed: held speeds, time at each speed, roll-ons.

A stretch is an unbroken piece of the log, without its glitches; between two moments the speed is
taken to change evenly. The largest single reading is never a result: it is the reading with the
largest error.
"""

from typing import NamedTuple

import numpy as np

from explorer.calc.vehicle import FloatArray

FEWEST_IN_WINDOW = 3
"""A held speed rests on at least so many moments [count]."""


class HeldSpeeds(NamedTuple):
    """Mean speeds over windows of one length; one window begins at each moment.

    Attributes:
        start (array (windows,), increasing): When the window begins [s].
        speed, spread (array (windows,)): Mean and standard deviation of the speeds in it [m/s].
        course (array (windows,)): Mean direction, clockwise from north; NaN where it is not known
            [rad].
    """

    start: FloatArray
    speed: FloatArray
    spread: FloatArray
    course: FloatArray


def covered(time: FloatArray, speed: FloatArray) -> FloatArray:
    """Way since the first moment, by the trapezoidal rule.

    Returns: array (n,): Way [m].

    >>> covered(np.array([0.0, 2.0, 3.0]), np.array([0.0, 10.0, 10.0]))
    array([ 0., 10., 20.])
    """
    steps = 0.5 * (speed[1:] + speed[:-1]) * np.diff(time)
    return np.concatenate(([0.0], np.cumsum(steps)))


def held_speeds(
    time: FloatArray, speed: FloatArray, course: FloatArray | None, window: float
) -> HeldSpeeds:
    """Mean speed over a window from each moment on, inside the stretch.

    Args:
        course (array (n,) or None): Direction of travel, clockwise from north; NaN where not known
            [rad].
        window (float, positive): How long the speed is held [s].

    Returns: None where a window holds fewer than three moments; may be empty [s, m/s, rad].

    >>> held = held_speeds(np.arange(5.0), np.array([9.0, 10.0, 12.0, 14.0, 15.0]), None, 2.0)
    >>> held.speed
    array([10.25, 12.  , 13.75])
    """
    way = covered(time, speed)
    ends = time + window
    inside = np.flatnonzero(ends <= time[-1] + 1e-9)
    last = np.searchsorted(time, ends[inside] + 1e-9, side="right")
    inside, last = (values[last - inside >= FEWEST_IN_WINDOW] for values in (inside, last))
    mean = (_way_at(time, speed, way, ends[inside]) - way[inside]) / window
    count = last - inside

    def sums(values: FloatArray) -> FloatArray:
        total = np.concatenate(([0.0], np.cumsum(values)))
        return total[last] - total[inside]

    centre = float(np.mean(speed)) if len(speed) else 0.0
    away = speed - centre
    variance = sums(away**2) / count - (sums(away) / count) ** 2
    directions = np.full(mean.shape, np.nan)
    if course is not None:
        known = np.isfinite(course)
        east = sums(np.where(known, np.sin(np.where(known, course, 0.0)), 0.0))
        north = sums(np.where(known, np.cos(np.where(known, course, 0.0)), 0.0))
        # A window that turns round has no direction.
        straight = np.hypot(east, north) > 0.7 * count
        directions = np.where(straight, np.remainder(np.arctan2(east, north), 2 * np.pi), np.nan)
    return HeldSpeeds(time[inside], mean, np.sqrt(np.maximum(variance, 0.0)), directions)


def _way_at(time: FloatArray, speed: FloatArray, way: FloatArray, moment: FloatArray) -> FloatArray:
    """Way at moments inside the stretch; the speed changes evenly between two of its moments."""
    row = np.clip(np.searchsorted(time, moment, side="right") - 1, 0, len(time) - 2)
    passed = moment - time[row]
    acceleration = (speed[row + 1] - speed[row]) / (time[row + 1] - time[row])
    return way[row] + speed[row] * passed + 0.5 * acceleration * passed**2


def time_at_speed(time: FloatArray, speed: FloatArray, edges: FloatArray) -> FloatArray:
    """Time spent between each two speeds.

    Args:
        edges (array (bins + 1,), increasing): Limits of the bins; what lies outside is left out
            [m/s].

    Returns: array (bins,): Time in each bin; a change through several is divided among them [s].

    From 0 to 10 m/s in 10 s:

    >>> time_at_speed(np.array([0.0, 10.0]), np.array([0.0, 10.0]), np.array([0.0, 4.0, 10.0]))
    array([4., 6.])
    """
    low, high = np.minimum(speed[1:], speed[:-1]), np.maximum(speed[1:], speed[:-1])
    duration = np.diff(time)
    steady = high - low < 1e-9
    below = np.empty((len(edges), len(duration)))
    for row, edge in enumerate(edges):
        share = (edge - low) / np.where(steady, 1.0, high - low)
        below[row] = np.where(steady, low < edge, np.clip(share, 0.0, 1.0))
    return np.diff(below @ duration)


class RollOns(NamedTuple):
    """Passages from one speed up to another.

    Attributes:
        start (array (passages,)): When the lower speed was last passed before the higher one [s].
        duration, distance (array (passages,)): From there to the higher speed [s, m].
    """

    start: FloatArray
    duration: FloatArray
    distance: FloatArray


def roll_ons(time: FloatArray, speed: FloatArray, start_speed: float, end_speed: float) -> RollOns:
    """All passages of a stretch from one speed to a higher one, without falling back below it.

    The first and the last reading of a stretch have a neighbour on one side only, so no passage
    rests on either: a glitch there would look like a fast one.

    Args:
        start_speed, end_speed (float, non-negative): From which to which the time counts [m/s].

    Returns: In the order of time; both crossings between two moments are interpolated [s, m].

    >>> found = roll_ons(np.arange(7.0), np.array([8, 8, 12, 14, 16, 16, 9.0]), 10.0, 15.0)
    >>> found.start, found.duration, found.distance
    (array([1.5]), array([2.]), array([25.75]))
    """
    way = covered(time, speed)

    def crossings(level: float) -> tuple[FloatArray, FloatArray, FloatArray]:
        row = np.flatnonzero((speed[:-1] < level) & (speed[1:] >= level))
        row = row[(row > 0) & (row < len(time) - 2)]
        share = (level - speed[row]) / (speed[row + 1] - speed[row])
        moment = time[row] + share * (time[row + 1] - time[row])
        return moment, _way_at(time, speed, way, moment), row

    begin, begin_way, begin_row = crossings(start_speed)
    end, end_way, _ = crossings(end_speed)
    last = np.searchsorted(begin, end, side="right") - 1
    found = np.flatnonzero(last >= 0)
    # Only the first arrival after each start counts, and only without falling below it between.
    _, first = np.unique(last[found], return_index=True)
    found = found[first]
    dips = np.flatnonzero((speed[:-1] >= start_speed) & (speed[1:] < start_speed))
    next_dip = np.append(dips, len(time))[np.searchsorted(dips, begin_row[last[found]], "right")]
    fell = time[np.minimum(next_dip, len(time) - 1)] < end[found]
    found = found[~(fell & (next_dip < len(time)))]
    began = last[found]
    return RollOns(begin[began], end[found] - begin[began], end_way[found] - begin_way[began])
