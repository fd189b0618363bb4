"""The order of the set-ups, what is a reason to buy, and the careful step of one tooth."""

import numpy as np

from explorer.calc.drivetrain.top_speed import Limit
from explorer.calc.vehicle import FloatArray
from explorer.study.compared import noticeably_faster
from explorer.study.wants.judged import Judged
from explorer.study.wants.want import GroundWant
from explorer.study.wants.wants_result import WantsResult

_NOTICED = 0.01
"""Satisfactions closer than this are alike (our choice) [-]."""


def worth(result: WantsResult) -> FloatArray:
    """Score gained over the fitted pair, as far as it is a reason to buy, (pairs,) [-].

    Of a bike that runs out of power, not of revs, a taller pair is sold as a faster one only if
    its top speed is noticeably higher, which it is where the engine is past its power peak; a
    smaller gain in top speed is left out.
    """
    now, taller = result.now, result.ratio < result.ratio[result.now]
    gains = np.zeros((len(result.judged), result.ratio.size))
    for number, each in enumerate(result.judged):
        gains[number] = each.satisfaction - each.satisfaction[now]
        if each.limit[now] == Limit.POWER:
            in_vain = taller & ~noticeably_faster(each.value, each.value[now])
            gains[number] = np.where(in_vain, np.minimum(gains[number], 0.0), gains[number])
    weights = np.array([each.weight for each in result.judged])
    total = weights.sum()
    return weights @ gains / total if total > 0 else np.zeros(result.ratio.size)


def asked(each: Judged) -> bool:
    """Whether it is the rider's own want of the ride, not one of the mix nor of what is bought."""
    return bool(each.weight and each.placed.terrain is None and isinstance(each.want, GroundWant))


def against(result: WantsResult) -> FloatArray:
    """Whether each pair serves something that the rider asked for worse, and nothing of it better:
    nobody who calls first gear too tall is offered a taller one for the road."""
    worse, better = np.zeros((2, result.ratio.size), bool)
    for each in filter(asked, result.judged):
        gained = each.satisfaction - each.satisfaction[result.now]
        worse |= gained < -_NOTICED
        better |= gained > _NOTICED
    return worse & ~better


def ranked(result: WantsResult) -> list[int]:
    """The pairs tried under the draws that can be built, best first.

    Score counts first; then the mean score under the draws, fewer parts, the smaller change. Of
    pairs that score alike within what is unsure, the one with fewer parts to buy goes first.
    """
    drawn, robust_ = result.robust.pairs, result.robust
    keys = (
        np.abs(np.log(result.ratio[drawn] / result.ratio[result.now])),
        result.costs.parts[drawn],
        -robust_.mean.round(2),
        -result.score[drawn].round(3),
    )
    left = [int(drawn[each]) for each in np.lexsort(keys) if result.eligible[drawn[each]]]
    order: list[int] = []
    while left:
        alike = [each for each in left if each == left[0] or _alike(result, left[0], each)]
        order.append(min(alike, key=lambda each: result.costs.parts[each]))
        left.remove(order[-1])
    return order


def _alike(result: WantsResult, first: int, second: int) -> bool:
    """Whether two pairs, of which none is the fitted one, score alike within what is unsure."""
    draws, apart = result.robust, float(result.score[first] - result.score[second])
    places = draws.place(first), draws.place(second)
    return result.now not in (first, second) and draws.equal(*places, apart)


def one_tooth(result: WantsResult, order: list[int], picks: list[int]) -> int:
    """The best pair one tooth away, on the way to the best of the list; -1 if none is sold."""
    front, rear, now = result.front, result.rear, result.now
    steps = np.abs(front - front[now]) + np.abs(rear - rear[now])
    away = [int(index) for index in np.flatnonzero(steps == 1)]
    away = [each for each in away if not against(result)[each]] or away
    if picks:
        way = np.sign(result.ratio[picks[0]] - result.ratio[now])
        toward = [each for each in away if np.sign(result.ratio[each] - result.ratio[now]) == way]
        away = toward or away
    place = {index: rank for rank, index in enumerate(order)}
    buildable = [index for index in away if index in place]
    if buildable:
        return min(buildable, key=place.__getitem__)
    return max(away, key=lambda index: result.score[index], default=-1)
