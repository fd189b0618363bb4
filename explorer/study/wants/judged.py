"""One want judged for many set-ups at once: value, margin, satisfaction, in numbers and words."""

import math
from dataclasses import dataclass

import numpy as np

from explorer.calc.vehicle import FloatArray
from explorer.calc.wants.wants_score import satisfaction
from explorer.study.wants.every_pair import EveryPair
from explorer.study.wants.mixes import terrains
from explorer.study.wants.scene import scene_of
from explorer.study.wants.want import GroundWant, Want
from explorer.study.wants.wants_placed import Placed, ground_of, usual_ground


@dataclass(frozen=True, eq=False)
class Judged:
    """One want, judged for every set-up; arrays of shape (pairs,), see :class:`Measured` too.

    Attributes:
        placed: The want on its ground.
        tolerance: Shortfall that halves the satisfaction [SI unit of the want].
        satisfaction: 0 to 1 [-].
        unknown: What is missing to judge it, in a sentence; empty where it was judged. Then it
            counts for nothing, though of some pair it may be known to be met.
    """

    placed: Placed
    value: FloatArray
    gear: FloatArray
    limit: FloatArray
    margin: FloatArray
    tolerance: float
    satisfaction: FloatArray
    unknown: str = ""

    @property
    def want(self) -> Want:
        """What is wanted."""
        return self.placed.want

    @property
    def weight(self) -> float:
        """Weight in the score; 0 where it could not be judged [-]."""
        return 0.0 if self.unknown else self.placed.weight

    @property
    def met(self) -> FloatArray:
        """Where the want is met, shape (pairs,)."""
        return self.satisfaction == 1.0

    def known(self, index: int) -> bool:
        """Whether it could be judged of one pair."""
        return not self.unknown or bool(self.met[index])

    @property
    def name(self) -> str:
        """With the terrain it comes from, such as "One sprocket only (hills)"."""
        terrain = self.placed.terrain
        return self.want.words + (f" ({terrains()[terrain].label.lower()})" if terrain else "")

    def value_words(self, index: int, system: str) -> str:
        """What one pair measures, such as "holds 24 % in 1st"."""
        return self.want.value_words(
            float(self.value[index]), int(self.gear[index]), int(self.limit[index]), system
        )

    def margin_words(self, index: int, system: str) -> str:
        """Whether one pair meets the want, and by how much, such as "missed by 0.6 km/h"."""
        if self.unknown:
            return "met" if self.known(index) else "not known"
        margin = float(self.margin[index])
        if math.isnan(margin):
            return "missed: not reached"
        said = self.want.amount_words(margin, system)
        nothing = said == self.want.amount_words(0.0, system)
        if self.met[index]:
            return "met" if nothing or self.want.none_in_hand else f"met with {said} in hand"
        return "just missed" if nothing else f"missed by {said}"


def judge(placed: Placed, every: EveryPair) -> Judged:
    """Judge a want for every pair, on its ground where it depends on one."""
    want, bike = placed.want, every.bike
    if isinstance(want, GroundWant):
        found = want.measure(scene_of(bike, usual_ground(ground_of(placed, every.setup))))
    else:
        found = want.measure(every)

    def of_pairs(values: FloatArray | int) -> FloatArray:
        return np.broadcast_to(values, found.margin.shape)

    margin, tolerance = of_pairs(found.margin), want.tolerance(bike.engine.rev_limit.si)
    return Judged(
        placed,
        of_pairs(found.value),
        of_pairs(found.gear),
        of_pairs(found.limit),
        margin,
        tolerance,
        satisfaction(margin, tolerance),
        found.unknown or want.missing_gear(len(bike.gearbox.ratios)),
    )
