r"""How well set-ups meet a rider's wants: margins, satisfaction and the weighted score.

A margin is signed and in the want's own unit; zero or more means met. Meeting a want by more earns
nothing, since the rider asked for no more. Missing it by its tolerance leaves half:

.. math:: s = 1 \text{ for } m \ge 0, \qquad s = \frac{1}{1 + (m/\tau)^2} \text{ for } m < 0

The shape is our choice: it never rises with a worse margin, has no step and no kink, never quite
reaches zero, so that of two misses the nearer one is the better, and depends on margin over
tolerance only, so that units do not matter.
"""

import numpy as np

from explorer.calc.vehicle import FloatArray, Scalar

MET = 1e-9
"""A margin short of zero by this share of its tolerance is rounding, and counts as met [-]."""


def satisfaction(margin: FloatArray, tolerance: Scalar) -> FloatArray:
    """How far a want is satisfied, from 0 to 1.

    Args:
        margin: Signed margin, zero or more where the want is met; NaN where the measure is not
            reached, which satisfies nothing [any unit].
        tolerance (float or array, positive): Shortfall that halves the satisfaction [unit of the
            margin].

    Returns: array, shape of margin: 1 where met, ½ where missed by the tolerance, 0 where not
        reached at all [-].

    >>> satisfaction(np.array([2.0, 0.0, -1.0, -3.0, np.nan]), 1.0)
    array([1. , 1. , 0.5, 0.1, 0. ])
    """
    short = np.maximum(-np.asarray(margin, float) / tolerance, 0.0)
    short = np.where(short <= MET, 0.0, short)
    return np.where(np.isnan(short), 0.0, 1.0 / (1.0 + short**2))


def weighted_score(satisfactions: FloatArray, weights: FloatArray) -> FloatArray:
    r"""Weighted mean of the satisfactions of all wants.

    .. math:: S = \sum_i w_i s_i \Big/ \sum_i w_i

    Args:
        satisfactions (array (..., wants, set_ups)): Satisfaction of each want in each set-up [-].
        weights (array (..., wants), non-negative): Weight of each want; only their ratios matter
            [-].

    Returns: array (..., set_ups): 0 to 1; 1 everywhere where no want has a weight, as nothing is
        missed [-].

    >>> satisfied = np.array([[1.0, 0.5], [0.0, 1.0]])
    >>> weighted_score(satisfied, np.array([3.0, 1.0]))
    array([0.75 , 0.625])
    >>> weighted_score(satisfied, np.array([0.0, 0.0]))
    array([1., 1.])
    """
    weights = np.asarray(weights, float)
    # Divided by the largest first, so that tiny or huge weights do not lose digits.
    largest = weights.max(axis=-1, keepdims=True, initial=0.0)
    scaled = weights / np.where(largest > 0, largest, 1.0)
    total = scaled.sum(axis=-1)[..., np.newaxis]
    summed = np.einsum("...w,...wp->...p", scaled, satisfactions)
    return np.where(total > 0, summed / np.where(total > 0, total, 1.0), 1.0)
