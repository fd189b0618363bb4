"""Chain, parts and cost of every pair: does it go on, what must be bought, for how much."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

import numpy as np

from explorer.calc.chain.chain_choice import Choice, Reach, fit_choice
from explorer.calc.chain.chain_fit import Verdict
from explorer.calc.vehicle import FloatArray
from explorer.records.bikes.bike import Bike
from explorer.records.fitting.fit import Measurements
from explorer.records.fitting.parts import PartsList, parts_list
from explorer.records.fitting.prices import Cost, cost
from explorer.records.fitting.sprocket_change import SprocketChange
from explorer.study.fit_chain import UNKNOWN, chain_now, known_verdict, rider_choice, stays_on

CAN_BE_BUILT = (Verdict.FITS, Verdict.CLOSE, UNKNOWN)
"""Verdicts that leave a pair in the running; the two last are to be measured first."""

_AT_LEAST_KEPT = 0.002
"""Margin of the chain that is on the bike: it is on, whatever the tape says [m]."""

_FASTENED = ("joining_link", "retainer", "rear_nuts", "axle_lock", "seal")
"""Answers of the rider that decide what else is bought."""

_STAND_IN_LINKS = 110
"""Fills the record of a change whose chain is kept and was never counted; shown nowhere."""


@dataclass(frozen=True, eq=False)
class PairChains:
    """How a chain goes on each pair; arrays of shape (pairs,).

    Attributes:
        verdict: Code of `chain_fit.Verdict`, or UNKNOWN where a measurement lacks.
        choice: Which chain that is, code of `chain_choice.Choice`: the present one uncut where it
            reaches, else with links taken out or added.
        links: Its links; NaN where the chain is not known [count].
        movement: Axle movement from where it is now, positive to the rear [m].
        kept: Verdict code of the present chain uncut, or UNKNOWN.
        keep_margin: Adjuster room left with the present chain uncut; NaN where not known [m].
        unknown: What to measure to know more, in a sentence; empty where all is known.
    """

    verdict: FloatArray
    choice: FloatArray
    links: FloatArray
    movement: FloatArray
    kept: FloatArray
    keep_margin: FloatArray
    unknown: str

    @property
    def can_be_built(self) -> FloatArray:
        """Whether each pair stays in the running, shape (pairs,)."""
        return np.isin(self.verdict, CAN_BE_BUILT)

    @property
    def reach(self) -> FloatArray:
        """Which chain goes round each pair, codes of `chain_choice.Reach`, shape (pairs,)."""
        built = np.where(self.choice == Choice.KEEP_CHAIN, Reach.YOURS, Reach.ANOTHER)
        built = np.where(self.verdict == UNKNOWN, Reach.UNKNOWN, built)
        return np.where(self.can_be_built, built, Reach.NONE)


@dataclass(frozen=True, eq=False)
class PairCosts:
    """What each pair needs bought.

    Attributes:
        parts (array (pairs,)): Different parts needed; NaN where the pair cannot be built [count].
        total (array (pairs,)): Sum of the prices given for them; NaN likewise.
        unpriced: Ids of parts without a price, each once.
        needed: Every part that some pair needs: its id, and its name without the teeth.
    """

    parts: FloatArray
    total: FloatArray
    unpriced: tuple[str, ...]
    needed: dict[str, str]


def pair_chains(
    bike: Bike, measured: Measurements, front: FloatArray, rear: FloatArray
) -> PairChains:
    """The chain of the rider's choice on every pair; where that is the present one uncut and it
    does not reach, the same with the fewest links changed."""
    now = chain_now(bike, measured)
    fitted_pair = (front == bike.sprockets.front) & (rear == bike.sprockets.rear)
    on_it, nothing = stays_on(bike, measured, front, rear), np.full(front.shape, np.nan)
    if now.fitted is None:
        kept = np.where(fitted_pair, Verdict.FITS, UNKNOWN)
        return PairChains(
            np.where(on_it, Verdict.FITS, UNKNOWN),
            np.full(front.shape, Choice.KEEP_CHAIN),
            *(nothing, nothing, kept, np.where(fitted_pair, _AT_LEAST_KEPT, np.nan)),
            "Count the links of the chain, or measure the centre distance: without them nobody "
            "knows which pair the chain reaches round.",
        )
    wanted, new_links = rider_choice(bike, measured), measured.new_links
    if not now.rooms_known and wanted in (Choice.SHORTEST, Choice.FEWEST_CHANGED):
        # Without the adjuster's room no number of links can be worked out.
        wanted, new_links = (
            (Choice.NEW_CHAIN, now.fitted.links) if now.worn_out else (Choice.KEEP_CHAIN, None)
        )
    keep = fit_choice(now.fitted, front, rear, Choice.KEEP_CHAIN)
    first = fit_choice(now.fitted, front, rear, wanted, new_links)
    choice = np.full(front.shape, wanted)
    fields = [first.verdict, first.links, first.movement]
    if wanted is Choice.KEEP_CHAIN:
        other = fit_choice(now.fitted, front, rear, Choice.FEWEST_CHANGED)
        new = fit_choice(now.fitted, front, rear, Choice.SHORTEST)
        # New links in a used chain run unevenly: a new chain comes before a longer one.
        adds = (other.links > now.fitted.links) & (new.verdict == Verdict.FITS)
        for option, theirs, this in (
            (Choice.FEWEST_CHANGED, other, ~adds & (other.verdict == Verdict.FITS)),
            (Choice.SHORTEST, new, adds),
        ):
            instead = (keep.verdict != Verdict.FITS) & this & ~fitted_pair
            choice = np.where(instead, option, choice)
            their = theirs.verdict, theirs.links, theirs.movement
            fields = [np.where(instead, *each) for each in zip(their, fields, strict=True)]
        same = (fields[1] == now.fitted.links) & (choice != Choice.SHORTEST)
        choice = np.where(same, Choice.KEEP_CHAIN, choice)
    verdict, links, movement = fields
    keep_margin, unknown = keep.margin, ""
    if not now.rooms_known:
        verdict, keep_margin = known_verdict(verdict, now), nothing
        unknown = (
            "Measure the room of the adjuster both ways: without it nobody knows which pair fits."
        )
    verdict = np.where(on_it, Verdict.FITS, verdict)
    kept = np.where(fitted_pair, Verdict.FITS, known_verdict(keep.verdict, now))
    keep_margin = np.where(fitted_pair, np.fmax(keep_margin, _AT_LEAST_KEPT), keep_margin)
    return PairChains(verdict, choice, links, movement, kept, keep_margin, unknown)


def parts_of_pair(
    bike: Bike, measured: Measurements, front: int, rear: int, choice: int, links: float
) -> PartsList:
    """What to buy for one pair with a chain of `Choice`; its links are NaN where not known."""
    fitted = chain_now(bike, measured).fitted
    old = _STAND_IN_LINKS if fitted is None else fitted.links
    return parts_list(
        SprocketChange(
            old_front=bike.sprockets.front,
            old_rear=bike.sprockets.rear,
            front=front,
            rear=rear,
            chain_size=bike.chain.size,
            old_links=old,
            links=old if np.isnan(links) else int(links),
            new_chain=choice in (Choice.SHORTEST, Choice.NEW_CHAIN),
            **{name: measured.get(name) for name in _FASTENED},
        )
    )


def pair_costs(
    bike: Bike,
    measured: Measurements,
    front: FloatArray,
    rear: FloatArray,
    chains: PairChains,
    prices: Mapping[str, Decimal | None],
) -> PairCosts:
    """Number of parts and cost of every pair, optional ones left out; pairs that need the same
    parts are priced once."""
    changed = [front != bike.sprockets.front, rear != bike.sprockets.rear]
    kinds = np.stack(
        [*changed, chains.can_be_built, chains.choice, np.nan_to_num(chains.links)], axis=1
    )
    _, first, kind = np.unique(kinds, axis=0, return_index=True, return_inverse=True)
    rows: list[tuple[float, float]] = []
    unpriced: dict[str, None] = {}
    needed: dict[str, str] = {}
    for index in first:
        if not chains.can_be_built[index]:
            rows.append((np.nan, np.nan))
            continue
        pair = int(front[index]), int(rear[index]), int(chains.choice[index])
        bought = cost(parts_of_pair(bike, measured, *pair, float(chains.links[index])), prices)
        rows.append((len(_needed(bought)), float(needed_total(bought))))
        unpriced |= dict.fromkeys(part.id for part in bought.unpriced)
        needed |= {line.part.id: line.part.id.replace("-", " ") for line in _needed(bought)}
    count, total = (np.array(column)[kind.ravel()] for column in zip(*rows, strict=True))
    return PairCosts(count, total, tuple(unpriced), needed)


def needed_total(bought: Cost) -> Decimal:
    """Sum of the prices given for parts that are not optional."""
    return sum((line.cost for line in _needed(bought) if line.cost is not None), Decimal(0))


def _needed(bought: Cost) -> list:
    return [line for line in bought.lines if not line.part.optional]
