"""What a whole ride says: the top speed that was held, both ways, and hills."""

from typing import NamedTuple

import numpy as np

from explorer.calc.ride.ride_speed import HeldSpeeds
from explorer.calc.vehicle import FloatArray

OPPOSITE_WITHIN = np.deg2rad(45.0)
"""How far two directions may be from opposite and still cancel wind and slope [rad]."""
ROAD_WIDTH, ROAD_LENGTH = 30.0, 2000.0
"""How far apart two held speeds of one road may be, across and along it (own choice) [m]."""
SLOPE_LENGTH = 100.0
"""Way over which the slope is taken; shorter and the noise of the altitude is larger [m]."""
_GRID = 10.0


class TopSpeed(NamedTuple):
    """The highest speed that was held.

    Attributes:
        speed, start, spread: Mean of the best window, its begin, deviation in it [m/s, s, m/s].
        course: Its direction; NaN if not known [rad].
        opposite_speed, opposite_start: The best in the opposite direction, or NaN [m/s, s].
        both_ways: Mean of both; NaN if there is only one, or they are of different roads [m/s].
    """

    speed: float
    start: float
    spread: float
    course: float
    opposite_speed: float
    opposite_start: float
    both_ways: float


def top_speed_held(
    held: HeldSpeeds, places: tuple[FloatArray, FloatArray] | None = None
) -> TopSpeed | None:
    """Highest held speed of a ride, and the one of the opposite direction.

    Both are averaged only if they are of the same road: the way back passes within `ROAD_WIDTH`
    of the way there and not further along it than `ROAD_LENGTH`.

    Args:
        held: The windows of all stretches [s, m/s, rad].
        places (tuple of two array (windows,), optional): Middle of each window, eastward and
            northward; without them all are of one road [m].

    Returns: None without any window [m/s].

    20 m/s eastward, 18 m/s westward, 15 m/s northward:

    >>> held = HeldSpeeds(np.arange(3.0), np.array([20.0, 18.0, 15.0]), np.zeros(3),
    ...                   np.deg2rad([90.0, 260.0, 0.0]))
    >>> top_speed_held(held).both_ways
    19.0
    """
    if not len(held.speed):
        return None
    best = int(np.argmax(held.speed))
    course = float(held.course[best])
    turned = np.abs(np.remainder(held.course - course, 2 * np.pi) - np.pi)
    # Where a direction is not known the comparison is false.
    opposed = turned <= OPPOSITE_WITHIN
    same_road = opposed
    if places is not None:
        east, north = (each - each[best] for each in places)
        along = east * np.sin(course) + north * np.cos(course)
        across = east * np.cos(course) - north * np.sin(course)
        same_road = opposed & (np.abs(along) <= ROAD_LENGTH) & (np.abs(across) <= ROAD_WIDTH)
    back = np.flatnonzero(same_road if same_road.any() else opposed)
    opposite, when = np.nan, np.nan
    if len(back):
        row = back[np.argmax(held.speed[back])]
        opposite, when = float(held.speed[row]), float(held.start[row])
    speed = float(held.speed[best])
    start, spread = float(held.start[best]), float(held.spread[best])
    both_ways = 0.5 * (speed + opposite) if same_road.any() else np.nan
    return TopSpeed(speed, start, spread, course, opposite, when, both_ways)


class Slopes(NamedTuple):
    """Every ten metres of a stretch: the slope, uphill positive [-], the mean speed over the same
    way [m/s], and when the place was passed [s]."""

    slope: FloatArray
    speed: FloatArray
    start: FloatArray


def slopes_along(time: FloatArray, distance: FloatArray, altitude: FloatArray) -> Slopes:
    """Slope of the ground along a stretch, from altitudes smoothed over the same way.

    The altitude is averaged over `SLOPE_LENGTH`, and the slope is that of the averages half of it
    ahead and half of it behind. A stretch shorter than twice that length has none.

    Args:
        distance (array (n,), non-decreasing): Way since its start [m].
        altitude (array (n,)): Above sea level; NaN where not known [m].

    Returns: Every 10 m; empty where the stretch is too short [-, m/s, s].

    5 % up at 10 m/s:

    >>> time = np.arange(60.0)
    >>> found = slopes_along(time, 10 * time, 0.5 * time)
    >>> found.slope[:2].round(3), found.speed[:2]
    (array([0.05, 0.05]), array([10., 10.]))
    """
    known = np.isfinite(altitude)
    nothing = np.empty(0)
    if known.sum() < 2:
        return Slopes(nothing, nothing, nothing)
    time, distance, altitude = time[known], distance[known], altitude[known]
    # Standing still adds moments but no way: the first moment at each place is enough.
    moving = np.concatenate(([True], np.diff(distance) > 1e-6))
    time, distance, altitude = time[moving], distance[moving], altitude[moving]
    half = round(SLOPE_LENGTH / _GRID / 2)
    places = np.arange(distance[0], distance[-1], _GRID)
    if len(places) < 4 * half + 2:
        return Slopes(nothing, nothing, nothing)
    height = np.interp(places, distance, altitude)
    smooth = np.convolve(height, np.full(2 * half + 1, 1 / (2 * half + 1)), mode="valid")
    slope = (smooth[2 * half :] - smooth[: -2 * half]) / (2 * half * _GRID)
    moment = np.interp(places, distance, time)
    middle = moment[half:-half]
    lasting = middle[2 * half :] - middle[: -2 * half]
    return Slopes(slope, 2 * half * _GRID / lasting, middle[half:-half])


class SlopeBins(NamedTuple):
    """Way [m] and speeds [m/s] on slopes of each steepness, (bins,); NaN where there is none."""

    distance: FloatArray
    mean_speed: FloatArray
    best_speed: FloatArray


def speed_on_slopes(found: Slopes, edges: FloatArray) -> SlopeBins:
    """Sort the places of a ride by their slope.

    Args:
        found: Places of all stretches [-, m/s].
        edges (array (bins + 1,), increasing): Limits of the bins [-].

    Returns: Way [m] and speeds [m/s] in each bin.

    >>> found = Slopes(np.array([0.0, 0.06, 0.07]), np.array([20.0, 10.0, 12.0]), np.arange(3.0))
    >>> speed_on_slopes(found, np.array([-0.02, 0.02, 0.1])).best_speed
    array([20., 12.])
    """
    place = np.digitize(found.slope, edges) - 1
    count = len(edges) - 1
    distance, mean, best = np.zeros(count), np.full(count, np.nan), np.full(count, np.nan)
    for row in range(count):
        here = found.speed[place == row]
        if len(here):
            distance[row] = len(here) * _GRID
            mean[row] = len(here) / np.sum(1 / here)
            best[row] = here.max()
    return SlopeBins(distance, mean, best)
