"""Calibrating the speedometer: a straight line through indicated speeds over true speeds.

Args:
    fit: The calibration line of readings over true speeds [any unit].
"""

from typing import NamedTuple

import numpy as np

from explorer.calc.statistics.repeated_runs import coverage_factor
from explorer.calc.vehicle import FloatArray, Scalar


class LineFit(NamedTuple):
    """A straight line fitted by least squares.

    Attributes:
        slope: Change of y for one unit of x [-].
        offset: y at x = 0 [any unit].
        covariance (array (2, 2)): Of offset and slope, in this order [unit of their product].
        residual_sd: Standard deviation of a single reading about the line [unit of offset].
        degrees_of_freedom (int): Readings less two [-].
    """

    slope: float
    offset: float
    covariance: FloatArray
    residual_sd: float
    degrees_of_freedom: int

    @property
    def correlation(self) -> float:
        """Correlation of offset and slope [-]."""
        spread = np.sqrt(np.diag(self.covariance))
        return float(self.covariance[0, 1] / (spread[0] * spread[1]))


class AtPoint(NamedTuple):
    """A value read off the line, its standard uncertainty, and half the width of the 95 % interval
    for one more reading there [any unit]."""

    value: Scalar
    standard_uncertainty: Scalar
    prediction: Scalar


def fit_line(x: FloatArray, y: FloatArray) -> LineFit:
    r"""Straight line y = a + b x by least squares, its scatter taken from the readings.

    .. math::

        b = \frac{S_{xy}}{S_{xx}}, \quad a = \bar y - b\bar x, \quad
        s^2 = \frac{\sum r_i^2}{n-2}, \quad u_b^2 = \frac{s^2}{S_{xx}}, \quad
        u_a^2 = s^2\Bigl(\frac1n + \frac{\bar x^2}{S_{xx}}\Bigr), \quad
        u_{ab} = -\frac{\bar x s^2}{S_{xx}}

    Args:
        x (array (n,), 3 or more, not all the same): True speeds, taken as exact beside the readings
            [any unit].
        y (array (n,)): Readings [any unit].

    Returns: Slope, offset and how sure they are [unit of y].

    Raises: ValueError: With fewer than three points, or all at one x.

    References: JCGM 100:2008 (GUM), H.3, calibration of a thermometer.

    >>> fit = fit_line(np.array([30.0, 50.0, 70.0]), np.array([33.1, 54.0, 74.9]))
    >>> round(fit.slope, 3), round(fit.offset, 2)
    (1.045, 1.75)
    """
    x, y = np.asarray(x, float), np.asarray(y, float)
    if x.size < 3:
        raise ValueError(
            f"{x.size} readings do not make a line with a known scatter; give three or more, at "
            "different speeds."
        )
    mean_x = x.mean()
    spread = ((x - mean_x) ** 2).sum()
    if spread <= 1e-12 * max(mean_x**2, 1e-12):
        raise ValueError("All readings are at one speed; take them at different speeds.")
    slope = ((x - mean_x) * (y - y.mean())).sum() / spread
    offset = y.mean() - slope * mean_x
    freedom = x.size - 2
    variance = ((y - offset - slope * x) ** 2).sum() / freedom
    shared = -mean_x * variance / spread
    covariance = np.array(
        [[variance * (1 / x.size + mean_x**2 / spread), shared], [shared, variance / spread]]
    )
    return LineFit(float(slope), float(offset), covariance, float(np.sqrt(variance)), freedom)


def reading_at(fit: LineFit, x: Scalar) -> AtPoint:
    """Reading that belongs to a true speed.

    Args:
        x: True speed [any unit].

    Returns: Reading, its uncertainty, and the interval for one more reading [unit of the offset].

    References: JCGM 100:2008 (GUM), H.3.3, uncertainty of a predicted value.

    >>> fit = fit_line(np.array([30.0, 50.0, 70.0, 90.0]), np.array([33.0, 54.2, 74.8, 96.0]))
    >>> at = reading_at(fit, 60.0)
    >>> print(f"{at.value:.1f} ± {at.prediction:.1f} km/h for one more reading")
    64.5 ± 0.9 km/h for one more reading
    """
    x = np.asarray(x, float)
    value = fit.offset + fit.slope * x
    return _read_off(fit, value, _variance_at(fit, x), fit.residual_sd)


def true_speed_at(fit: LineFit, reading: Scalar) -> AtPoint:
    """True speed behind a reading: the line turned round.

    Args:
        reading: What the speedometer shows [any unit].

    Returns: True speed; the interval also holds the scatter of this reading [unit of the offset].

    Raises: ValueError: If the readings do not rise with the speed.

    References: First-order propagation, JCGM 100:2008 (GUM), 5.2 (number from memory).

    >>> fit = fit_line(np.array([30.0, 50.0, 70.0, 90.0]), np.array([33.0, 54.2, 74.8, 96.0]))
    >>> print(round(float(true_speed_at(fit, 64.5).value), 1))
    60.0
    """
    if fit.slope <= 0:
        raise ValueError(
            "The readings do not rise with the true speed, so no speed belongs to a reading; check "
            "whether the two columns are swapped or a row is wrong."
        )
    value = (np.asarray(reading, float) - fit.offset) / fit.slope
    variance = _variance_at(fit, value) / fit.slope**2
    return _read_off(fit, value, variance, fit.residual_sd / fit.slope)


def _read_off(fit: LineFit, value: Scalar, variance: FloatArray, single: float) -> AtPoint:
    """With the scatter of a single reading in the same unit."""
    factor = float(coverage_factor(fit.degrees_of_freedom))
    return AtPoint(value, np.sqrt(variance), factor * np.sqrt(single**2 + variance))


def _variance_at(fit: LineFit, x: FloatArray) -> FloatArray:
    variance = fit.covariance[0, 0] + 2 * x * fit.covariance[0, 1] + x**2 * fit.covariance[1, 1]
    return np.maximum(variance, 0.0)
