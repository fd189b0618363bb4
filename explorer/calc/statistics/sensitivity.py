"""Which uncertain input matters most for a result, or for a difference between two set-ups."""

from typing import NamedTuple

import numpy as np

from explorer.calc.statistics.uncertainty import variance_terms
from explorer.calc.vehicle import FloatArray


class Shares(NamedTuple):
    """Inputs by their share of the variance, largest first.

    Attributes:
        order (array (inputs,)): Index of each input in the order of the spreads [-].
        share (array (inputs,)): Share of the variance; the shares add up to 1. All 0 where the
            result has no spread. With correlated inputs a share can be negative: that input cancels
            others [-].
        contribution (array (inputs,)): Change of the result when that input grows by its standard
            uncertainty [any unit].
    """

    order: FloatArray
    share: FloatArray
    contribution: FloatArray


def shares_of_variance(
    contributions: FloatArray, curvatures: FloatArray, correlation: FloatArray
) -> Shares:
    r"""Share of each input in the variance of one result.

    .. math:: s_i = \Bigl(Z_i \sum_j r_{ij} Z_j + Q_i^2\Bigr) / u^2

    Args:
        contributions (array (inputs,)): Contribution of each input: one column of an Estimate, or
            those of a Difference [any unit].
        curvatures (array (inputs,)): Curvatures, likewise [unit of the contributions].
        correlation (array (inputs, inputs)): Correlation of the inputs [-].

    Returns: Sorted by share, largest first [-].

    References: The terms of the sum in :func:`explorer.calc.statistics.uncertainty.propagate`.

    >>> shares = shares_of_variance(np.array([3.0, -4.0]), np.zeros(2), np.eye(2))
    >>> shares.order.tolist(), shares.share.tolist()
    ([1, 0], [0.64, 0.36])
    """
    terms = variance_terms(contributions, curvatures, correlation)
    variance = terms.sum()
    share = terms / variance if variance > 0 else np.zeros_like(terms)
    order = np.argsort(-share, kind="stable")
    return Shares(order, share[order], contributions[order])
