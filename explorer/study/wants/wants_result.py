"""Wants turned into a short list: every pair scored at once, and the few worth buying.

All numbers are SI. The present tyre of the set-up is on every pair; "now" is the fitted pair.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from functools import cached_property

import numpy as np

from explorer.calc.vehicle import FloatArray
from explorer.calc.wants.dominated import dominator
from explorer.calc.wants.wants_score import weighted_score
from explorer.records.bikes.bike import Bike
from explorer.records.fitting.fit import Measurements
from explorer.records.setups.setup import Setup
from explorer.study.wants.every_pair import EveryPair
from explorer.study.wants.judged import Judged, judge
from explorer.study.wants.wants_cannot import Cannot, Conflict, cannot_be_met, conflicts
from explorer.study.wants.wants_link import Wishes
from explorer.study.wants.wants_placed import placed_wants
from explorer.study.wants.wants_robust import Robust, robust

Report = Callable[[float, str], None]
"""Takes the share done, 0 to 1, and what is being computed next."""

_MOST_CANDIDATES = 14
"""Pairs of the best scores whose ranking is tried under the draws."""


@dataclass(frozen=True, eq=False)
class WantsResult(EveryPair):
    """Every pair scored; arrays of shape (pairs,), each worked out when first asked for, and kept.

    Attributes:
        currency: Label of the prices.
        judged: The rider's wants, then those of the mix.
    """

    wishes: Wishes
    currency: str = ""
    judged: list[Judged] = field(default_factory=list)

    @cached_property
    def score(self) -> FloatArray:
        """Weighted mean of the satisfactions, 0 to 1 [-]."""
        return weighted_score(self._satisfied, self._weights)

    @cached_property
    def dominator(self) -> FloatArray:
        """A pair that is as good in everything and better in something; -1 where there is none."""
        bad = np.nan_to_num(np.stack([self.costs.parts, self.costs.total]), nan=np.inf)
        counted = self._satisfied[self._weights > 0]
        return np.where(self.eligible, dominator(counted, bad, self.eligible), -1)

    @property
    def dominated(self) -> FloatArray:
        """Whether another pair is as good in everything and better in something."""
        return self.dominator >= 0

    @cached_property
    def robust(self) -> Robust:
        """The best pairs that nobody dominates, the fitted one and those one tooth away, under all
        draws."""
        running = np.flatnonzero(self.eligible & ~self.dominated)
        nearness = np.abs(np.log(self.ratio[running] / self.ratio[self.now]))
        keys = nearness, self.costs.parts[running], -self.score[running].round(3)
        best = running[np.lexsort(keys)][:_MOST_CANDIDATES]
        front, rear = self.pair(self.now)
        one_tooth = np.abs(self.front - front) + np.abs(self.rear - rear) <= 1
        return robust(self, self.judged, np.unique(np.append(best, np.flatnonzero(one_tooth))))

    @cached_property
    def cannot(self) -> tuple[Cannot, ...]:
        """Wants that no pair meets, and what would."""
        return cannot_be_met(self, self.judged, self.eligible)

    @cached_property
    def conflicts(self) -> tuple[Conflict, ...]:
        """Wants that can be met, but not together."""
        return conflicts(self.judged, self.eligible)

    @property
    def _satisfied(self) -> FloatArray:
        """Satisfactions of shape (wants, pairs)."""
        return np.array([each.satisfaction for each in self.judged]).reshape(-1, self.ratio.size)

    @property
    def _weights(self) -> FloatArray:
        return np.array([each.weight for each in self.judged])


def compute(
    bike: Bike,
    setup: Setup,
    measured: Measurements,
    wishes: Wishes,
    prices: Mapping[str, Decimal | None] | None = None,
    currency: str = "",
    report: Report | None = None,
) -> WantsResult:
    """Score every pair of the sprockets sold for the bike.

    Args:
        setup: Ground of the rider's own wants, air, tyre and rider.
        report: Called before each stage with the share done and the stage's name.
    """
    tell = report or (lambda share, stage: None)
    result = WantsResult(bike, setup, measured, dict(prices or {}), wishes, currency)
    tell(0.0, "chain and parts of every pair")
    placed = placed_wants(wishes, setup)
    for number, each in enumerate(placed):
        tell(0.05 + 0.5 * number / len(placed), each.want.label)
        result.judged.append(judge(each, result))
    for share, stage, answers in (
        (0.55, "comparing all pairs", ("score", "dominator")),
        (0.6, "trying the ranking under what is unsure", ("robust",)),
        (0.95, "what no gearing meets", ("cannot", "conflicts")),
    ):
        tell(share, stage)
        for name in answers:
            getattr(result, name)
    tell(1.0, "done")
    return result
