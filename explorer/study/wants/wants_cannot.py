"""Wants that no gearing meets and what would; wants that only exclude each other."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from explorer.calc.vehicle import FloatArray
from explorer.study.wants.every_pair import EveryPair
from explorer.study.wants.judged import Judged
from explorer.study.wants.reasons import Reason, Why
from explorer.study.wants.scene import scene_on
from explorer.study.wants.unmet import Unmet
from explorer.study.wants.wants_placed import ground_of

_MOST_CONFLICTS = 3


@dataclass(frozen=True)
class Cannot:
    """A want that no pair meets.

    Attributes:
        want: Index of the want as judged.
        nearest: Index of the pair that comes nearest to it, of those that can be built where there
            are; of pairs that all do not hold a wanted speed, the fastest.
        why: What stands in the way.
    """

    want: int
    nearest: int
    why: Why


@dataclass(frozen=True)
class Conflict:
    """Two wants that can be met one by one, but by no pair together: their indexes as judged."""

    first: int
    second: int


def cannot_be_met(
    every: EveryPair, judged: Sequence[Judged], eligible: FloatArray
) -> tuple[Cannot, ...]:
    """Every want that no pair meets, with what stands in the way, in the order of the wants."""
    found = []
    for number, each in enumerate(judged):
        if each.unknown or (each.met & eligible).any():
            continue
        if each.met.any():
            meets = int(np.flatnonzero(each.met)[0])
            found.append(Cannot(number, meets, Why(Reason.DOES_NOT_FIT)))
            continue
        ground, anyone = ground_of(each.placed, every.setup), np.ones(every.ratio.size, bool)

        def nearest(among: FloatArray, judged=each, ground=ground) -> int:
            known = among & ~np.isnan(judged.margin)
            if known.any():
                return int(np.argmax(np.where(known, judged.margin, -np.inf)))
            nearness = judged.want.nearness(scene_on(every.bike, ground, *every.teeth))
            return int(np.argmax(np.where(among, nearness, -np.inf)))

        unmet = Unmet(every, ground, each.margin, nearest(anyone))
        among = eligible if eligible.any() else anyone
        found.append(Cannot(number, nearest(among), each.want.why_not(unmet)))
    return tuple(found)


def conflicts(judged: Sequence[Judged], eligible: FloatArray) -> tuple[Conflict, ...]:
    """Up to three pairs of wants that exclude each other on this bike, the weightiest first."""
    met = [each.met & eligible for each in judged]
    usable = [n for n, each in enumerate(judged) if each.weight > 0 and met[n].any()]
    found = [
        Conflict(a, b) for a in usable for b in usable if a < b and not (met[a] & met[b]).any()
    ]
    found.sort(key=lambda each: -min(judged[each.first].weight, judged[each.second].weight))
    return tuple(found[:_MOST_CONFLICTS])
