"""How sure the points of the trade-off are: bands for every pair of sprockets, at little cost.

A result is drawn at a few ratios only, and its interval interpolated between them.

Args:
    final_ratio: Final drive ratios of all pairs [-].
"""

import numpy as np

from explorer.calc.statistics.sampling import Band, Sampled
from explorer.calc.vehicle import FloatArray

RATIO_NODES = 17
"""Ratios at which a result is drawn; what is lost in between, the tests say."""


def ratio_nodes(final_ratio: FloatArray) -> FloatArray:
    """Ratios, evenly spaced by factor, between the tallest and the shortest of all pairs.

    Returns: array (RATIO_NODES,): Ratios, increasing [-].

    >>> ratio_nodes(np.array([[3.0, 3.5], [2.8, 4.0]]))[[0, -1]]
    array([2.8, 4. ])
    """
    return np.geomspace(np.min(final_ratio), np.max(final_ratio), RATIO_NODES)


def interpolated_band(nodes: FloatArray, at_nodes: Sampled, final_ratio: FloatArray) -> Band:
    """95 % interval of a result at every pair, straight lines between the nodes.

    Args:
        nodes (array (nodes,), increasing): Ratios at which it was drawn [-].
        at_nodes: The result there; nodes that do not reach it are left out [any unit].

    Returns: In the shape of final_ratio; NaN everywhere if no node reaches it [unit of the nodes].

    Notes:
        Between nodes the number of shifts before the goal or the limit that binds may change, and
        the band there may be off by a third of itself; elsewhere it is within some hundredths.

    >>> drawn = Sampled(np.array([1.0, 1.0]), np.array([[0.9, 0.8], [1.1, 1.4]]))
    >>> band = interpolated_band(np.array([3.0, 4.0]), drawn, np.array([3.5]))
    >>> band.below.round(2), band.above.round(2)
    (array([0.15]), array([0.25]))
    """
    known = np.isfinite(at_nodes.value)
    if not known.any():
        return Band(*[np.full(np.shape(final_ratio), np.nan)] * 2)
    sides = (np.asarray(side)[known] for side in at_nodes.band)
    return Band(*(np.interp(final_ratio, nodes[known], side) for side in sides))
