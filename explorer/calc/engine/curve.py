"""The engine at full throttle: torque and power over engine speed, their peaks and the power band.

Between its points the torque curve is a monotone cubic: it passes through every point and never
rises above or falls below the two points on either side, so it can't invent a bump.

Args:
    torques (array (k,), non-negative): Engine torque at those speeds [N·m].
    speeds (array (k,), increasing, 2 points or more): Engine speeds of the torque curve's
        points [rad/s].
"""

from functools import lru_cache
from typing import NamedTuple

import numpy as np
from scipy.interpolate import PchipInterpolator, PPoly

from explorer.calc.vehicle import FloatArray, Scalar


def torque_interpolant(speeds: FloatArray, torques: FloatArray) -> PchipInterpolator:
    """Smooth curve through the points of a torque curve, without a bump of its own.

    Returns: Function of engine speed [rad/s] that gives torque [N·m], NaN outside the points.

    References:
        F. N. Fritsch and J. Butland, SIAM J. Sci. Stat. Comput. 5 (1984), pp. 300-304, as
        documented by scipy.interpolate.PchipInterpolator.

    >>> curve = torque_interpolant(np.array([300.0, 600.0, 900.0]), np.array([20.0, 30.0, 25.0]))
    >>> float(curve(600.0))
    30.0
    """
    return _interpolant(np.asarray(speeds, float).tobytes(), np.asarray(torques, float).tobytes())


@lru_cache(maxsize=256)
def _interpolant(speeds: bytes, torques: bytes) -> PchipInterpolator:
    """Of one engine there are many drives, and its curve is dear."""
    return PchipInterpolator(np.frombuffer(speeds), np.frombuffer(torques), extrapolate=False)


def torque(speeds: FloatArray, torques: FloatArray, engine_speed: Scalar) -> FloatArray:
    """Engine torque at full throttle.

    Below the first point it keeps the first point's value, since the clutch bridges those speeds;
    above the last point the ignition is cut, and it is 0.

    Returns: array, shape of engine_speed: Torque [N·m].

    >>> speeds, torques = np.array([300.0, 600.0, 900.0]), np.array([20.0, 30.0, 25.0])
    >>> torque(speeds, torques, np.array([100.0, 600.0, 901.0])).tolist()
    [20.0, 30.0, 0.0]
    """
    within = np.clip(engine_speed, speeds[0], speeds[-1])
    curve = torque_interpolant(speeds, torques)
    return np.where(np.asarray(engine_speed) > speeds[-1], 0.0, curve(within))


def power(torque: Scalar, engine_speed: Scalar) -> Scalar:
    r"""Power from torque and engine speed.

    .. math:: P = T \omega

    Args:
        torque: Torque at the crankshaft [N·m].

    Returns: Power [W].

    >>> power(30.0, 600.0)
    18000.0
    """
    return torque * engine_speed


class Peak(NamedTuple):
    """Peak of a curve: its engine speed, the lowest of several [rad/s], its value [N·m or W]."""

    engine_speed: float
    value: float


def peak_torque(speeds: FloatArray, torques: FloatArray) -> Peak:
    """Greatest torque. It is always at a point of the curve, as the curve adds no bump.

    Returns: Engine speed [rad/s] and torque [N·m].

    >>> peak_torque(np.array([300.0, 600.0, 900.0]), np.array([20.0, 30.0, 25.0]))
    Peak(engine_speed=600.0, value=30.0)
    """
    highest = np.argmax(torques)
    return Peak(float(speeds[highest]), float(torques[highest]))


def peak_power(speeds: FloatArray, torques: FloatArray) -> Peak:
    """Greatest power, between two points of the curve if that is where it lies.

    Returns: Engine speed [rad/s] and power [W].

    Torque falling in a straight line to zero: the most power is at half of that speed.

    >>> peak = peak_power(np.linspace(0.0, 1000.0, 11), np.linspace(40.0, 0.0, 11))
    >>> round(peak.engine_speed, 6), round(peak.value, 6)
    (500.0, 10000.0)
    """
    curve = _power_curve(speeds, torques)
    candidates = np.sort(np.append(curve.x, _finite(curve.derivative().roots(extrapolate=False))))
    powers = curve(candidates)
    highest = np.argmax(powers)
    return Peak(float(candidates[highest]), float(powers[highest]))


class PowerBand(NamedTuple):
    """Range of engine speed in which the engine gives most of its power: its ends [rad/s]."""

    low: float
    high: float


def power_band(speeds: FloatArray, torques: FloatArray, share: float = 0.9) -> PowerBand:
    """Lowest and highest engine speed with at least a share of the greatest power.

    There is no standard share; 90 % is this project's choice and is said wherever it shows.

    Args:
        share (float, above 0 and at most 1): Share of the greatest power that counts as in the band
            [-].

    Returns: Lowest and highest engine speed [rad/s]. A curve with two humps may dip below the share
        in between.

    Torque falling in a straight line to zero at 1000 rad/s: the power is that share of its peak
    at 500 (1 ± √(1 - share)) rad/s.

    >>> band = power_band(np.linspace(0.0, 1000.0, 11), np.linspace(40.0, 0.0, 11), 0.75)
    >>> round(band.low, 6), round(band.high, 6)
    (250.0, 750.0)
    """
    curve = _power_curve(speeds, torques)
    peak = peak_power(speeds, torques)
    level = share * peak.value
    crossings = _finite(curve.solve(level, extrapolate=False))
    points_inside = curve.x[curve(curve.x) >= level]
    # The peak itself belongs to the band, even where share 1 leaves it alone in it.
    inside = np.concatenate([crossings, points_inside, [peak.engine_speed]])
    return PowerBand(float(inside.min()), float(inside.max()))


def _power_curve(speeds: FloatArray, torques: FloatArray) -> PPoly:
    """Power as a piecewise polynomial: the torque's, times engine speed."""
    curve = torque_interpolant(speeds, torques)
    none = np.zeros((1, curve.c.shape[1]))
    # Within an interval engine speed is (ω - left) + left, the first of which shifts the powers.
    coefficients = np.vstack([curve.c, none]) + np.vstack([none, curve.c * curve.x[:-1]])
    return PPoly(coefficients, curve.x)


def _finite(values: FloatArray) -> FloatArray:
    """Without the NaN with which scipy marks an interval where every value is a solution."""
    return values[np.isfinite(values)]
