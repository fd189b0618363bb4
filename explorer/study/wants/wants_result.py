"""Wants turned into a short list: every pair scored at once, and the few worth buying.

All numbers are SI. The present tyre of the set-up is on every pair; "now" is the fitted pair.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache

import numpy as np

from explorer.calc.drivetrain.drive import Drive
from explorer.calc.vehicle import FloatArray
from explorer.calc.wants.dominated import dominator
from explorer.calc.wants.wants_score import weighted_score
from explorer.records.bikes.bike import Bike
from explorer.records.fitting.fit import Measurements
from explorer.records.setups.setup import Setup, both_rollouts
from explorer.records.tyre import rollout
from explorer.study.conditions import conditions_of, vehicle_of
from explorer.study.fit_chain import sold
from explorer.study.wants.wants_cannot import Cannot, Conflict, cannot_be_met, conflicts
from explorer.study.wants.wants_chain import PairChains, PairCosts, pair_chains, pair_costs
from explorer.study.wants.wants_judged import (
    OF_GROUND,
    Judged,
    Scene,
    engine_bands,
    judged_by_ratio,
    judged_jump,
    of_parts,
)
from explorer.study.wants.wants_link import Wishes
from explorer.study.wants.wants_placed import Placed, ground_of, placed_wants, usual_ground
from explorer.study.wants.wants_robust import Robust, robust

Report = Callable[[float, str], None]
"""Takes the share done, 0 to 1, and what is being computed next."""

_MOST_CANDIDATES = 14
"""Pairs of the best scores whose ranking is tried under the draws."""


@dataclass(frozen=True, eq=False)
class WantsResult:
    """Every pair scored.

    Attributes
    ----------
    bike, setup, measured, wishes : Bike, Setup, Measurements, Wishes
        What it was computed from.
    prices : mapping of str to Decimal or None
        Prices by the id of the part.
    currency : str
        Their label.
    front, rear : array of int (pairs,)
        Teeth [count].
    ratio : array (pairs,)
        Final drive ratios [-].
    now : int
        Index of the fitted pair.
    judged : tuple of Judged
        The rider's wants, then those of the mix.
    score : array (pairs,)
        Weighted mean of the satisfactions, 0 to 1 [-].
    chains : PairChains
        Which chain goes on, and whether it does.
    costs : PairCosts
        What must be bought.
    dominator : array of int (pairs,)
        A pair that is as good in everything and better in something; -1 where there is none.
    robust : Robust
        The best pairs under all draws.
    cannot : tuple of Cannot
        Wants that no pair meets, and what would.
    conflicts : tuple of Conflict
        Wants that can be met, but not together.
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

    Parameters
    ----------
    bike : Bike
        The motorcycle with the sprockets fitted now.
    setup : Setup
        Ground of the rider's own wants, air, tyre and rider; its sprockets do not count.
    measured : Measurements
        The rider's answers about chain and adjuster.
    wishes : Wishes
        Wants and mix.
    prices : mapping of str to Decimal or None, optional
        Prices by the id of the part.
    currency : str
        Their label.
    report : callable, optional
        Called before each stage with the share done and the stage's name.

    Returns
    -------
    WantsResult
        All pairs, with the short list drawn up by :mod:`explorer.study.wants.wants_short_list`.
    """
    tell = report or (lambda share, stage: None)
    prices = dict(prices or {})
    front, rear = _pairs(bike)
    ratio = rear / front
    now = int(np.flatnonzero(_is_fitted(bike, front, rear))[0])
    tell(0.0, "chain and parts of every pair")
    chains = pair_chains(bike, measured, front, rear)
    costs = pair_costs(bike, measured, front, rear, chains, prices)
    placed = placed_wants(wishes)
    judged = []
    for number, each in enumerate(placed):
        tell(0.05 + 0.5 * number / len(placed), each.want.label)
        judged.append(_judge(each, bike, setup, (front, rear, ratio), chains, costs))
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
    under_draws = robust(bike, setup, judged, ratio, candidates)
    tell(0.95, "what no gearing meets")
    tables = bike, setup, judged, ratio, eligible
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


def _pairs(bike: Bike) -> tuple[FloatArray, FloatArray]:
    """All pairs sold for the bike; a bike file is refused if the fitted one is not among them."""
    front, rear = (grid.ravel() for grid in np.meshgrid(*sold(bike), indexing="ij"))
    return front[front < rear], rear[front < rear]


def _is_fitted(bike: Bike, front: FloatArray, rear: FloatArray) -> FloatArray:
    return (front == bike.sprockets.front) & (rear == bike.sprockets.rear)


def _judge(
    placed: Placed,
    bike: Bike,
    setup: Setup,
    pairs: tuple[FloatArray, FloatArray, FloatArray],
    chains: PairChains,
    costs: PairCosts,
) -> Judged:
    front, rear, ratio = pairs
    want, gears = placed.want, len(bike.gearbox.ratios)
    fitted = bike.sprockets
    match want.kind:
        case "keep-chain":
            return of_parts(placed, chains.keep_margin, chains.keep_margin, unknown=chains.unknown)
        case "spend":
            missing = ", ".join(costs.needed[part] for part in costs.unpriced)
            unknown = f"Type a price for: {missing}." if missing else ""
            return of_parts(placed, costs.total, want.si("amount") - costs.total, unknown=unknown)
        case "one-sprocket":
            changed = (front != fitted.front).astype(float) + (rear != fitted.rear)
            return of_parts(placed, changed, 1.0 - changed)
        case "jump":
            before, after = both_rollouts(bike, setup)
            turns = before.value, after.value
            return judged_jump(placed, ratio, turns, fitted.rear / fitted.front, gears)
        case _:
            assert isinstance(want, OF_GROUND)
            scene, inverse = scene_of(bike, usual_ground(ground_of(placed, setup)))
            return judged_by_ratio(placed, scene, inverse, gears, bike.engine.rev_limit.si)


@lru_cache(maxsize=12)
def scene_of(bike: Bike, setup: Setup) -> tuple[Scene, FloatArray]:
    """One set-up for each different ratio of all pairs, and which of them each pair is.

    Parameters
    ----------
    bike : Bike
        The motorcycle.
    setup : Setup
        Ground, air, tyre and rider.

    Returns
    -------
    tuple of Scene and array of int (pairs,)
        What has been computed on it is kept for the next call.
    """
    front, rear = _pairs(bike)
    ratios, inverse = np.unique(rear / front, return_inverse=True)
    conditions, _ = conditions_of(setup)
    turn = rollout(setup.tyre, setup.rollout).value
    drive = Drive(vehicle_of(bike, setup), conditions, ratios, turn)
    return Scene(drive, *engine_bands(bike)), inverse


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
