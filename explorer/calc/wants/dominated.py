"""Which set-ups are dominated: another is as good in everything and better in something."""

import numpy as np

from explorer.calc.vehicle import FloatArray

NOBODY = -1
"""Index that stands for "no set-up dominates it"."""


def dominator(satisfactions: FloatArray, costs: FloatArray, eligible: FloatArray) -> FloatArray:
    """For each set-up one that dominates it, or nobody.

    A dominates B if A is eligible, no want is satisfied less by A than by B, no cost of A is
    higher, and at least one want is satisfied more or one cost lower. Equal set-ups do not
    dominate each other.

    Args:
        satisfactions (array (wants, set_ups)): Satisfaction of each want, more is better; see
            :func:`explorer.calc.wants.wants_score.satisfaction` [-].
        costs (array (costs, set_ups)): What each set-up costs, less is better [any unit].
        eligible (array of bool (set_ups,)): Whether it can be built, so may dominate others [-].

    Returns:
        array of int (set_ups,): Index of the dominating set-up that is itself not dominated and has
        the greatest sum of satisfactions, the first of equal ones; NOBODY where there is none [-].

    >>> satisfied = np.array([[1.0, 1.0, 0.2], [0.5, 0.9, 1.0]])
    >>> dominator(satisfied, np.zeros((1, 3)), np.ones(3, bool))
    array([ 1, -1, -1])
    """
    better = np.concatenate([np.atleast_2d(satisfactions), -np.atleast_2d(costs)])
    count = better.shape[1]
    as_good = np.ones((count, count), bool)
    some_better = np.zeros((count, count), bool)
    # One quality after the other keeps the tables at set-ups × set-ups.
    for quality in better:
        as_good &= quality[:, np.newaxis] >= quality
        some_better |= quality[:, np.newaxis] > quality
    dominates = as_good & some_better & np.asarray(eligible, bool)[:, np.newaxis]
    dominated = dominates.any(axis=0)
    # Whoever dominates a dominator dominates too, so one that nobody dominates is always there.
    by_the_best = dominates & ~dominated[:, np.newaxis]
    merit = np.sum(np.atleast_2d(satisfactions), axis=0)
    chosen = np.argmax(np.where(by_the_best, merit[:, np.newaxis], -np.inf), axis=0)
    return np.where(by_the_best.any(axis=0), chosen, NOBODY)
