"""A quantity measured a few times over: its mean, and how sure that mean is.

Few runs say little about their own scatter. Student's t makes the interval as much wider as that
ignorance deserves: with two runs thirteen standard uncertainties, with three four, not two.

Args:
    resolution (float, non-negative): Smallest step that the instrument shows; runs that agree by
        rounding are not perfectly sure [unit of the runs].
"""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from scipy.special import stdtrit

from explorer.calc.vehicle import FloatArray, Scalar

LEVEL_OF_CONFIDENCE = 0.95
"""Share of such intervals that hold the true value [-]."""


class Mean(NamedTuple):
    """Mean of repeated runs.

    Attributes:
        value: The mean [any unit].
        standard_uncertainty: Of the mean [unit of value].
        degrees_of_freedom: How much is known of that uncertainty; infinite if simply known [-].
    """

    value: float
    standard_uncertainty: float
    degrees_of_freedom: float

    @property
    def expanded(self) -> float:
        """Half the width of the 95 % interval about the mean [unit of value]."""
        return float(coverage_factor(self.degrees_of_freedom) * self.standard_uncertainty)


def coverage_factor(degrees_of_freedom: Scalar, level: float = LEVEL_OF_CONFIDENCE) -> FloatArray:
    """Standard uncertainties on each side of an interval that holds the value at a given rate.

    Args:
        degrees_of_freedom (float or array, positive): Of that uncertainty; may be infinite [-].
        level (float, 0 to 1): Share of the intervals that hold the true value [-].

    Returns: Student's t [-].

    References: B. N. Taylor and C. E. Kuyatt, NIST Technical Note 1297, Table B.1.

    >>> coverage_factor(np.array([1.0, 2.0, 4.0, np.inf])).round(2)
    array([12.71,  4.3 ,  2.78,  1.96])
    """
    # 1e9 degrees of freedom are the normal distribution to nine digits; stdtrit has no infinity.
    return stdtrit(np.minimum(degrees_of_freedom, 1e9), 0.5 + level / 2)


def effective_degrees_of_freedom(
    standard_uncertainties: Sequence[float] | FloatArray,
    degrees_of_freedom: Sequence[float] | FloatArray,
) -> float:
    r"""Degrees of freedom of a sum of independent parts, by Welch and Satterthwaite.

    .. math:: \nu = \frac{(\sum u_i^2)^2}{\sum u_i^4/\nu_i}

    Args:
        standard_uncertainties (array (parts,), non-negative): Of each part of the sum [any unit].
        degrees_of_freedom (array (parts,), positive): Of each part; infinite where it is simply
            known [-].

    Returns: Of the combined uncertainty; infinite where every part is known [-].

    References:
        JCGM 100:2008 (GUM), G.4.1, eq. G.2b (numbers from memory); NIST Technical Note 1297, B.3.

    >>> effective_degrees_of_freedom(np.array([1.0, 1.0]), np.array([2.0, 2.0]))
    4.0
    """
    variances = np.square(standard_uncertainties)
    spent = float((variances**2 / np.asarray(degrees_of_freedom, float)).sum())
    return float(variances.sum() ** 2 / spent) if spent > 0 else np.inf


def mean_of_runs(values: FloatArray, resolution: float = 0.0) -> Mean:
    """Mean of runs in one direction, with the uncertainty that their scatter shows.

    Args:
        values (array (runs,), 2 runs or more): What each run gave [any unit].

    Returns: Mean, its standard uncertainty s/√n with the rounding, n - 1 degrees of freedom [unit
        of values].

    Raises: ValueError: With fewer than two runs: a single run shows no scatter.

    References: JCGM 100:2008 (GUM), 4.2.3 (mean), 4.3.7 (rounding); numbers from memory.

    >>> mean = mean_of_runs(np.array([5.1, 5.3, 5.2]))
    >>> print(f"{mean.value:.2f} s, standard uncertainty {mean.standard_uncertainty:.3f} s")
    5.20 s, standard uncertainty 0.058 s
    """
    values = np.asarray(values, float)
    if values.size < 2:
        raise ValueError(
            "A single run does not show how much runs differ; give two or more, better three."
        )
    parts = values.std(ddof=1) / np.sqrt(values.size), resolution / np.sqrt(12.0)
    freedom = effective_degrees_of_freedom(parts, [values.size - 1, np.inf])
    return Mean(float(values.mean()), float(np.hypot(*parts)), freedom)


def mean_both_ways(there: FloatArray, back: FloatArray, resolution: float = 0.0) -> Mean:
    """Mean of the two directions, each weighing the same whatever its number of runs.

    A steady wind or slope lengthens the runs one way about as much as it shortens them the other,
    so their mean is free of it to first order.

    Args:
        there, back (arrays, 2 runs or more): Runs one way and the other [any unit].

    Returns: Half the sum of the two means [unit of there].

    Raises: ValueError: With fewer than two runs in either direction.

    >>> mean = mean_both_ways(np.array([5.8, 5.9, 5.7]), np.array([4.9, 5.0, 5.1]))
    >>> print(f"{mean.value:.2f} ± {mean.expanded:.2f} s")
    5.40 ± 0.11 s
    """
    ways = [mean_of_runs(values, resolution) for values in (there, back)]
    halves = np.array([way.standard_uncertainty for way in ways]) / 2
    freedom = effective_degrees_of_freedom(halves, [way.degrees_of_freedom for way in ways])
    return Mean(sum(way.value for way in ways) / 2, float(np.hypot(*halves)), freedom)
