"""Why a pair is not on the short list: "why not the one next to it?"."""

from dataclasses import dataclass

import numpy as np

from explorer.study.wants.wants_result import WantsResult
from explorer.study.wants.wants_robust import SAME_SCORE, robust
from explorer.study.wants.wants_short_list import NOTICED, ShortList, equal


@dataclass(frozen=True)
class WhyNot:
    """Why a pair is not on the short list.

    Attributes:
        reason: "listed", "unknown pair", "does not fit", "dominated", "not faster", "equal",
            "misses" or "beaten".
        index: The pair; -1 if it is not among those looked at.
        other: The pair that dominates it, equals it, or beats it; -1 where there is none.
        wants: Indexes of wants that the other satisfies better.
        better: Indexes of wants that the pair itself satisfies better than the other.
    """

    reason: str
    index: int
    other: int = -1
    wants: tuple[int, ...] = ()
    better: tuple[int, ...] = ()


def why_not(listing: ShortList, front: int, rear: int) -> WhyNot:
    """The first reason that holds for any pair: listed, does not fit, dominated, taller on a bike
    that is out of power and by too little faster to notice, equal within what is unsure, misses
    wants that the best meets, or beaten."""
    result = listing.result
    index = result.index(front, rear)
    if index < 0:
        return WhyNot("unknown pair", -1)
    if listing.entry(index) is not None:
        return WhyNot("listed", index)
    best = listing.best.index
    if not result.eligible[index]:
        return WhyNot("does not fit", index, best, *_apart(result, index, best))
    if result.dominated[index]:
        other = int(result.dominator[index])
        return WhyNot("dominated", index, other, *_apart(result, index, other))
    if best == result.now and result.score[index] > result.score[best] + SAME_SCORE:
        return WhyNot("not faster", index, best, *_apart(result, index, best))
    both = robust(result, result.judged, np.array([index, best]))
    worse, better = _apart(result, index, best)
    if equal(result, both, index, best):
        return WhyNot("equal", index, best, worse, better)
    missed = tuple(
        n for n in worse if result.judged[n].met[best] and not result.judged[n].met[index]
    )
    if missed:
        return WhyNot("misses", index, best, missed, better)
    return WhyNot("beaten", index, best, worse, better)


def _apart(result: WantsResult, index: int, other: int) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Wants that the other satisfies better, and those that the pair itself does."""
    apart = [
        0.0 if each.unknown else each.satisfaction[other] - each.satisfaction[index]
        for each in result.judged
    ]
    return (
        tuple(n for n, each in enumerate(apart) if each > NOTICED),
        tuple(n for n, each in enumerate(apart) if each < -NOTICED),
    )
