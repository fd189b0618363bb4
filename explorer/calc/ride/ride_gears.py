r"""The gears of a ride, found in its engine and road speeds.

With the clutch locked and the tyre gripping, engine speed over road speed is one number in each
gear,

.. math:: \frac{\omega}{v} = \frac{2\pi\,i}{U},

so the moments of a ride gather around as many values as gears were used. They are found as the
peaks of a density of :math:`\ln(\omega/v)`, weighted with the speed since a satellite speed has
about the same error at every speed; each gear is then all engine speeds over all road speeds of the
moments round its peak. Moments of changing gear, with the clutch slipping or at rest, are left out
beforehand: there the quotient is on the move.
"""

from typing import NamedTuple

import numpy as np
from scipy.ndimage import maximum_filter1d

from explorer.calc.vehicle import FloatArray

SLOWEST = 3.0
"""Below this the error of the road speed is too large a share of it [m/s]."""
SPEED_NOISE = 0.3
"""Usual error of a single satellite speed (common practice, no source) [m/s]."""
FEWEST_MOMENTS = 8
"""A gear seen for fewer moments is not reported [count]."""

_RESOLUTION = 0.002
_BANDWIDTH = 0.010
_SMALLEST_STEP = 0.04
_SMALLEST_PEAK = 0.01
_STEADY = 0.02
_NEAR = 0.03
_FURTHEST = 0.06
_LOG_RANGE = (np.log(3.0), np.log(600.0))
"""Quotients from 3 rad/m, a tall top gear, to 600 rad/m, beyond any first gear."""


class RatiosFound(NamedTuple):
    """Gears that a ride was ridden in.

    Attributes:
        quotient (array (found,), decreasing): Engine speed over road speed in each gear, shortest
            first [rad/m].
        uncertainty (array (found,)): Standard uncertainty as a share of the quotient [-].
        moments (array of int (found,)): Moments that each rests on [count].
    """

    quotient: FloatArray
    uncertainty: FloatArray
    moments: FloatArray


def steady_moments(
    time: FloatArray, speed: FloatArray, engine_speed: FloatArray, slowest_engine: float
) -> FloatArray:
    """Moments of a stretch at which engine and wheel turn at a fixed ratio, as far as that shows.

    Args:
        engine_speed (array (n,)): Engine speeds; NaN where not known [rad/s].
        slowest_engine: Engine speed below which the clutch may be slipping [rad/s].

    Returns: array of bool (n,): True where the quotient is that of the moment before or behind.

    >>> speed = np.array([10.0, 10.0, 10.0, 10.0, 10.0])
    >>> steady_moments(np.arange(5.0), speed, np.array([500.0, 500.0, 400.0, 300.0, 300.0]), 200.0)
    array([ True,  True, False,  True,  True])
    """
    turning = (speed > SLOWEST) & (engine_speed > slowest_engine)
    quotient = np.log(np.where(turning, engine_speed, 1.0) / np.where(turning, speed, 1.0))
    slack = _STEADY + 2 * SPEED_NOISE / np.maximum(speed, SLOWEST)
    same = (np.abs(np.diff(quotient)) < np.minimum(slack[1:], slack[:-1])) & (np.diff(time) < 2.5)
    same &= turning[1:] & turning[:-1]
    behind, ahead = np.append(same, False), np.concatenate(([False], same))
    return behind | ahead


def find_ratios(speed: FloatArray, engine_speed: FloatArray) -> RatiosFound:
    """Find the gears in the steady moments of a ride.

    Args:
        speed, engine_speed (array (n,), positive): At steady moments [m/s, rad/s].

    Returns: May be empty [rad/m].

    References:
        See the module. Kernel density and its peaks: B. W. Silverman, Density Estimation for
        Statistics and Data Analysis, Chapman and Hall 1986 (from memory).

    Two gears, 30 and 20 rad/m:

    >>> speed = np.tile(np.linspace(5.0, 20.0, 40), 2)
    >>> quotient = np.repeat([30.0, 20.0], 40)
    >>> find_ratios(speed, quotient * speed).quotient.round(6)
    array([30., 20.])
    """
    logs = np.log(engine_speed / speed)
    within = (logs > _LOG_RANGE[0]) & (logs < _LOG_RANGE[1])
    logs, weight = logs[within], speed[within]
    nothing = RatiosFound(np.empty(0), np.empty(0), np.empty(0, int))
    if len(logs) < FEWEST_MOMENTS:
        return nothing
    cells = np.arange(*_LOG_RANGE, _RESOLUTION)
    counts, _ = np.histogram(logs, np.append(cells, cells[-1] + _RESOLUTION), weights=weight)
    reach = round(4 * _BANDWIDTH / _RESOLUTION)
    kernel = np.exp(-0.5 * (np.arange(-reach, reach + 1) * _RESOLUTION / _BANDWIDTH) ** 2)
    density = np.convolve(counts, kernel, mode="same")
    highest_near = maximum_filter1d(density, 2 * round(_SMALLEST_STEP / _RESOLUTION) + 1)
    peaks = np.flatnonzero((density == highest_near) & (density > _SMALLEST_PEAK * density.max()))
    engine, centres = engine_speed[within], cells[peaks] + 0.5 * _RESOLUTION
    found = [_refined(logs, weight, engine, centre) for centre in centres]
    found = sorted((each for each in found if each[2] >= FEWEST_MOMENTS), reverse=True)
    if not found:
        return nothing
    return RatiosFound(*(np.array(column) for column in zip(*found, strict=True)))


def _refined(
    logs: FloatArray, speed: FloatArray, engine_speed: FloatArray, centre: float
) -> tuple[float, float, int]:
    """Quotient of a gear round a peak, its standard uncertainty and its number of moments.

    The peak is moved to the weighted median, and all engine speeds round it are then divided by
    all road speeds: that quotient has no bias from the noise of the road speed, and less error.
    """
    reach = np.clip(2.5 * SPEED_NOISE / speed, _NEAR, _FURTHEST)
    for _ in range(4):
        near = np.flatnonzero(np.abs(logs - centre) < _NEAR)
        if len(near) < FEWEST_MOMENTS:
            return 0.0, np.inf, len(near)
        centre = _weighted_median(logs[near], speed[near])
    near = np.flatnonzero(np.abs(logs - centre) < reach)
    quotient = engine_speed[near].sum() / speed[near].sum()
    left = engine_speed[near] / quotient - speed[near]
    uncertainty = np.sqrt(np.sum(left**2)) / speed[near].sum()
    return float(quotient), float(uncertainty), len(near)


def _weighted_median(values: FloatArray, weight: FloatArray) -> float:
    """Value, of one or more, with half the weight on either side."""
    order = np.argsort(values)
    below = np.cumsum(weight[order])
    row = int(np.searchsorted(below, 0.5 * below[-1]))
    return values[order[min(row, len(order) - 1)]]


class Matched(NamedTuple):
    """Which gear each found quotient belongs to.

    Attributes:
        gear (array of int (found,)): Index of the gear; -1 where none fits [-].
        factor: Found over expected, common to all gears [-].
        uncertainty: Standard uncertainty of the factor [-].
        residual (array (found,)): Found over expected less one, without the common factor [-].
    """

    gear: FloatArray
    factor: float
    uncertainty: float
    residual: FloatArray


_FACTORS = np.linspace(-0.35, 0.35, 701)
_FITS_WITHIN = 0.04
_TIE = 0.02
_ROLLOUT_FLOOR = 0.001


def match_gears(found: RatiosFound, expected: FloatArray) -> Matched:
    """Give every found quotient its gear, allowing all of them to be off by one common factor.

    A wrong sprocket, primary reduction or roll-out moves every gear by the same factor, so the
    steps between the gears tell which is which; among equally good answers the factor nearest to
    one is taken.

    Args:
        found: What the ride shows [rad/m].
        expected (array (gears,), decreasing): Engine over road speed after the bike file, first
            gear first [rad/m].

    Returns: Gears, the common factor [-] and what each is off beyond it [-].

    Two gears of three, both 4 % shorter than expected:

    >>> found = RatiosFound(np.array([31.2, 20.8]), np.full(2, 0.001), np.array([50, 50]))
    >>> matched = match_gears(found, np.array([45.0, 30.0, 20.0]))
    >>> matched.gear, round(matched.factor, 3)
    (array([1, 2]), 1.04)
    """
    logs, targets = np.log(found.quotient), np.log(expected)
    if not len(logs):
        return Matched(np.empty(0, int), np.nan, np.inf, np.empty(0))
    weight = np.sqrt(found.moments.astype(float))
    off = logs[np.newaxis, :, np.newaxis] - _FACTORS[:, np.newaxis, np.newaxis] - targets
    nearest = np.min(np.abs(off), axis=2)
    cost = np.minimum(nearest, _FITS_WITHIN) @ weight / weight.sum() + _TIE * np.abs(_FACTORS)
    shift = _FACTORS[int(np.argmin(cost))]
    for _ in range(3):
        gear = np.argmin(np.abs(logs[:, np.newaxis] - shift - targets), axis=1)
        away = logs - targets[gear]
        fits = np.abs(away - shift) < _FITS_WITHIN
        if fits.any():
            shift = _weighted_median(away[fits], weight[fits])
    gear = np.where(fits, gear, -1)
    residual = np.where(fits, np.expm1(away - shift), np.nan)
    scatter = float(np.sqrt(np.sum(residual[fits] ** 2)) / max(fits.sum(), 1)) if fits.any() else 0
    own = float(1 / np.sqrt(np.sum(1 / np.maximum(found.uncertainty[fits], 1e-4) ** 2)))
    uncertainty = float(np.hypot(np.hypot(own, scatter), _ROLLOUT_FLOOR))
    return Matched(gear, float(np.exp(shift)), uncertainty, residual)


class Slip(NamedTuple):
    """Share of the hard pulling moments at which the engine runs ahead of its gear, and of the
    others [-], and how many pulled [count]."""

    pulling: float
    otherwise: float
    moments: int


PULLING = 0.8
"""Acceleration from which on a moment counts as hard pulling [m/s²]."""
_AHEAD = 0.035
_NEVER_FURTHER = 0.25


def slip_when_pulling(
    quotient: FloatArray, acceleration: FloatArray, speed: FloatArray, gears: FloatArray
) -> Slip:
    """How often the engine runs ahead of the tallest gear it can be in, pulling and otherwise.

    Args:
        quotient (array (n,)): Engine over road speed at each moment with the engine above idle
            [rad/m].
        acceleration (array (n,)): Of the road speed [m/s²].
        gears (array (gears,), decreasing): Quotients of the gears as found [rad/m].

    Returns: Shares [-] and the number of pulling moments.

    >>> away = slip_when_pulling(np.array([20.0, 22.0, 20.0]), np.array([1.0, 1.5, 0.0]),
    ...                          np.full(3, 20.0), np.array([30.0, 20.0]))
    >>> away.pulling, away.otherwise
    (0.5, 0.0)
    """
    margin = _AHEAD + 3 * SPEED_NOISE / np.maximum(speed, SLOWEST)
    above = np.log(quotient)[:, np.newaxis] - np.log(gears)
    # Ahead of the gear below it, and not yet in reach of the next shorter one.
    lead = np.min(np.where(above > -margin[:, np.newaxis], above, np.inf), axis=1)
    nearest = np.min(np.abs(above), axis=1)
    ahead = (nearest > margin) & (lead > margin) & (lead < _NEVER_FURTHER)
    pulling = acceleration > PULLING
    easy = np.abs(acceleration) < 0.3

    def share(rows: FloatArray) -> float:
        return float(ahead[rows].mean()) if rows.any() else 0.0

    return Slip(share(pulling), share(easy), int(pulling.sum()))
