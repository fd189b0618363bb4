"""Wants turned into a short list: every pair scored at once, and the few worth buying.

All numbers are SI. The present tyre of the set-up is on every pair; "now" is the fitted pair.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal

import numpy as np

from explorer.calc.vehicle import FloatArray
from explorer.calc.wants.dominated import dominator
from explorer.calc.wants.wants_score import weighted_score
from explorer.records.bikes.bike import Bike
from explorer.records.fitting.fit import Measurements
from explorer.records.setups.setup import Setup
from explorer.study.wants.every_pair import EveryPair
from explorer.study.wants.judged import Judged, judge
from explorer.study.wants.scene import all_pairs_sold
from explorer.study.wants.wants_cannot import Cannot, Conflict, cannot_be_met, conflicts
from explorer.study.wants.wants_chain import PairChains, PairCosts, pair_chains, pair_costs
from explorer.study.wants.wants_link import Wishes
from explorer.study.wants.wants_placed import placed_wants
from explorer.study.wants.wants_robust import Robust, robust

Report = Callable[[float, str], None]
"""Takes the share done, 0 to 1, and what is being computed next."""

_MOST_CANDIDATES = 14
"""Pairs of the best scores whose ranking is tried under the draws."""


@dataclass(frozen=True, eq=False)
class WantsResult:
    """Every pair scored.

    Attributes:
        bike, setup, measured, wishes (Bike, Setup, Measurements, Wishes): What it was computed
            from.
        prices: Prices by the id of the part.
        currency: Their label.
        now: Index of the fitted pair.
        judged: The rider's wants, then those of the mix.
        score (array (pairs,)): Weighted mean of the satisfactions, 0 to 1 [-].
        dominator (array of int (pairs,)): A pair that is as good in everything and better in
            something; -1 where there is none.
        robust: The best pairs under all draws.
        cannot: Wants that no pair meets, and what would.
        conflicts: Wants that can be met, but not together.
    """

    bike: Bike
    setup: Setup
    measured: Measurements
    wishes: Wishes
    prices: Mapping[str, Decimal | None]
    currency: str
    front: FloatArray
    rear: FloatArray
    ratio: FloatArray
    now: int
    judged: tuple[Judged, ...]
    score: FloatArray
    chains: PairChains
    costs: PairCosts
    dominator: FloatArray
    robust: Robust
    cannot: tuple[Cannot, ...]
    conflicts: tuple[Conflict, ...]

    @property
    def eligible(self) -> FloatArray:
        """Whether each pair can be built, shape (pairs,)."""
        return self.chains.can_be_built

    @property
    def dominated(self) -> FloatArray:
        """Whether another pair is as good in everything and better in something."""
        return self.dominator >= 0

    @property
    def system(self) -> str:
        """Units that the reader wants."""
        return self.setup.units

    def index(self, front: int, rear: int) -> int:
        """Index of a pair; -1 if it is not among those looked at."""
        found = np.flatnonzero((self.front == front) & (self.rear == rear))
        return int(found[0]) if found.size else -1

    def pair(self, index: int) -> tuple[int, int]:
        """Front and rear teeth of a pair [count]."""
        return int(self.front[index]), int(self.rear[index])


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
        setup: Ground of the rider's own wants, air, tyre and rider; its sprockets do not count.
        report: Called before each stage with the share done and the stage's name.

    Returns:
        All pairs, with the short list drawn up by :mod:`explorer.study.wants.wants_short_list`.
    """
    tell = report or (lambda share, stage: None)
    prices = dict(prices or {})
    front, rear = all_pairs_sold(bike)
    ratio = rear / front
    now = int(np.flatnonzero(_is_fitted(bike, front, rear))[0])
    tell(0.0, "chain and parts of every pair")
    chains = pair_chains(bike, measured, front, rear)
    costs = pair_costs(bike, measured, front, rear, chains, prices)
    every = EveryPair(bike, setup, front, rear, ratio, chains, costs)
    placed = placed_wants(wishes, setup)
    judged = []
    for number, each in enumerate(placed):
        tell(0.05 + 0.5 * number / len(placed), each.want.label)
        judged.append(judge(each, every))
    tell(0.55, "comparing all pairs")
    satisfied = np.array([each.satisfaction for each in judged]).reshape(-1, ratio.size)
    weights = np.array([each.weight for each in judged])
    score = weighted_score(satisfied, weights)
    eligible = chains.can_be_built
    counted = satisfied[weights > 0]
    bad = np.nan_to_num(np.stack([costs.parts, costs.total]), nan=np.inf)
    dominators = np.where(eligible, dominator(counted, bad, eligible), -1)
    tell(0.6, "trying the ranking under what is unsure")
    candidates = _candidates(score, costs.parts, ratio, eligible, dominators, now, front, rear)
    under_draws = robust(bike, setup, judged, front, rear, candidates)
    tell(0.95, "what no gearing meets")
    tables = bike, setup, judged, front, rear, eligible
    result = WantsResult(
        bike,
        setup,
        measured,
        wishes,
        prices,
        currency,
        front,
        rear,
        ratio,
        now,
        tuple(judged),
        score,
        chains,
        costs,
        dominators,
        under_draws,
        cannot_be_met(*tables),
        conflicts(judged, eligible),
    )
    tell(1.0, "done")
    return result


def _is_fitted(bike: Bike, front: FloatArray, rear: FloatArray) -> FloatArray:
    return (front == bike.sprockets.front) & (rear == bike.sprockets.rear)


def _candidates(
    score: FloatArray,
    parts: FloatArray,
    ratio: FloatArray,
    eligible: FloatArray,
    dominators: FloatArray,
    now: int,
    front: FloatArray,
    rear: FloatArray,
) -> FloatArray:
    """The best pairs that nobody dominates, the fitted one and those one tooth away."""
    running = np.flatnonzero(eligible & (dominators < 0))
    nearness = np.abs(np.log(ratio[running] / ratio[now]))
    order = np.lexsort((nearness, parts[running], -score[running].round(3)))
    one_tooth = np.abs(front - front[now]) + np.abs(rear - rear[now]) <= 1
    return np.unique(np.append(running[order][:_MOST_CANDIDATES], np.flatnonzero(one_tooth)))
