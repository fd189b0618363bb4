"""How charts of every pair tell apart which chain goes round: your own, another one, none."""

import numpy as np
from numpy.typing import NDArray

from explorer.calc.chain.chain_choice import Reach
from explorer.charts import palette

_NAMES = {Reach.YOURS: "● your chain", Reach.ANOTHER: "○ another chain", Reach.NONE: "✕ none"}


def chain_marks(reach: NDArray[np.int_]) -> dict[str, list[str]]:
    """Marker, edge and fill of each pair.

    >>> chain_marks(np.array([Reach.YOURS, Reach.NONE]))["marker"]
    ['circle', 'x']
    """
    rings = reach == Reach.ANOTHER
    return {
        "marker": ["x" if each == Reach.NONE else "circle" for each in reach],
        "edge": [
            palette.LIMIT if each == Reach.NONE else palette.PAIR if ring else palette.PAPER
            for each, ring in zip(reach, rings, strict=True)
        ],
        "fill": [palette.PAPER if ring else palette.PAIR for ring in rings],
    }


def chain_key(reach: NDArray[np.int_]) -> str:
    """How many pairs each chain goes round, beside their marks; what there is none of is left out.

    >>> chain_key(np.array([Reach.YOURS, Reach.NONE, Reach.NONE]))
    '1 ● your chain, 2 ✕ none'
    """
    counts = ((int(np.sum(reach == each)), name) for each, name in _NAMES.items())
    return ", ".join(f"{count} {name}" for count, name in counts if count)


def chain_counts(reach: NDArray[np.int_]) -> str:
    """The same as a sentence without its full stop.

    >>> chain_counts(np.array([Reach.YOURS, Reach.NONE, Reach.NONE]))
    'Your chain goes round 1 of 3 pairs, only another chain round 0, none round 2'
    """
    yours, another, none = (int(np.sum(reach == each)) for each in Reach)
    return (
        f"Your chain goes round {yours} of {len(reach)} pairs, only another chain round {another}, "
        f"none round {none}"
    )
