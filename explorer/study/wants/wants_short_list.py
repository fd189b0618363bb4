"""The few set-ups worth buying, each with what it gains and costs."""

from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property

import numpy as np

from explorer.calc.statistics.sampling import Band, interval
from explorer.records.fitting.parts import PartsList
from explorer.records.fitting.prices import Cost, cost
from explorer.records.setups.comparison import Fitment
from explorer.study.certainty import is_real
from explorer.study.study import Study
from explorer.study.verdict import Verdict, verdicts_of
from explorer.study.wants.wants_chain import needed_total, parts_of_pair
from explorer.study.wants.wants_rank import against, asked, one_tooth, ranked, worth
from explorer.study.wants.wants_result import WantsResult
from explorer.study.wants.wants_robust import SAME_SCORE, Robust

NOW, ONE_TOOTH, BEST = "as it is now", "one tooth first, then ride", "worth buying"
COMPROMISE = "a compromise"
"""In place of `BEST` where a pair serves something that the rider asked for worse than now."""

_MOST_PICKS = 3
_NEIGHBOUR = 0.03
"""Of ratios within three per cent, about one rear tooth, one is enough in a short list."""

NOTICED = 0.01
"""Satisfactions closer than this are not worth a line (our choice) [-]."""

_LUCK = 0.5
"""A winner that is best in a smaller share of the draws wins by luck (our choice) [-]."""


@dataclass(frozen=True)
class Change:
    """What a set-up does to one want, against the gearing fitted now.

    Attributes:
        want: Index of the want as judged.
        before, after: Margin now and with the set-up; NaN where not reached [SI unit of the want].
        band: 95 % interval of after less before; of no width where not known [SI unit of the
            want].
    """

    want: int
    before: float
    after: float
    band: Band

    @property
    def sure(self) -> bool:
        """Whether the change is larger than what is unsure about it explains."""
        if not np.isfinite(self.after - self.before):
            return True
        return is_real(self.after - self.before, self.band)


@dataclass(frozen=True, eq=False)
class Listed:
    """One set-up of the short list.

    Attributes:
        roles: Why it is listed: `NOW`, `ONE_TOOTH`, `BEST` or `COMPROMISE`, one or several.
        score: 0 to 1 [-].
        verdict, choice, links, movement: See `wants_chain.PairChains`.
        met, missed: Indexes of the wants as judged.
        parts, cost: What to buy, and for how much; None where the pair cannot be built.
        gains, losses: Wants better and worse satisfied than now.
        equal_to: Indexes of other listed pairs whose score differs by less than what is unsure.
        share_best, share_listed: Share of the draws in which it is best, and among the best three
            [-].
        by_luck (bool): It has the best score, yet is best in fewer than half of the draws.
    """

    index: int
    front: int
    rear: int
    roles: tuple[str, ...]
    score: float
    verdict: int
    choice: int
    links: float
    movement: float
    met: tuple[int, ...]
    missed: tuple[int, ...]
    parts: PartsList | None
    cost: Cost | None
    gains: tuple[Change, ...]
    losses: tuple[Change, ...]
    equal_to: tuple[int, ...]
    share_best: float
    share_listed: float
    by_luck: bool

    @property
    def total(self) -> Decimal:
        """Sum of the prices given for the parts needed."""
        return Decimal(0) if self.cost is None else needed_total(self.cost)


@dataclass(frozen=True, eq=False)
class ShortList:
    """The short list of one computation, the best first; "as it is now" always among them."""

    result: WantsResult
    entries: tuple[Listed, ...]

    @property
    def wanted(self) -> bool:
        """Whether anything is wanted that counts."""
        return any(each.weight for each in self.result.judged)

    @cached_property
    def verdicts(self) -> dict[int, Verdict]:
        """What there is to say of each pair listed: the same as the bench and the fit page say."""
        result, setup = self.result, self.result.setup
        listed = (Fitment(e.front, e.rear, setup.tyre, setup.rollout) for e in self.entries)
        chosen = Fitment.chosen_in(setup)
        study = Study(result.bike, setup, (Fitment.fitted_to(result.bike, chosen), *listed))
        said = verdicts_of(study, result.measured)[1:]
        return {entry.index: each for entry, each in zip(self.entries, said, strict=True)}

    @cached_property
    def best(self) -> Listed:
        """The entry with the best rank."""
        return self.entries[0]

    @cached_property
    def outscored_by(self) -> Listed | None:
        """The pair that scores higher than the first, about equal to it, and needs more parts."""
        best = self.best
        alike = [each for each in self.entries if each.index in best.equal_to]
        top = max(alike, key=lambda each: each.score, default=best)
        higher = best.index != self.result.now and top.score > best.score + NOTICED
        return top if higher else None

    def entry(self, index: int) -> Listed | None:
        """The entry of a pair, if it is listed."""
        return next((each for each in self.entries if each.index == index), None)


def short_list(result: WantsResult) -> ShortList:
    """Two to five set-ups: the best that nobody dominates, one tooth away, and as it is now, which
    comes first where nothing else is worth buying and stands alone where nothing is wanted."""
    if not any(each.weight for each in result.judged):
        now = _listed(result, result.now, [result.now], [], -1, True)
        return ShortList(result, (now,))
    order = ranked(result)
    gain = worth(result)
    wrong = result.dominated | against(result)
    better = [each for each in order if not wrong[each] and gain[each] > SAME_SCORE]
    picks: list[int] = []
    for index in better:
        near = [abs(result.ratio[index] / result.ratio[each] - 1) for each in picks]
        if len(picks) < _MOST_PICKS and all(each > _NEIGHBOUR for each in near):
            picks.append(index)
    careful = one_tooth(result, order, picks)
    place = {index: rank for rank, index in enumerate(order)}
    rest = {each for each in (careful, result.now) if each >= 0} - set(picks)
    listed = [*picks, *sorted(rest, key=lambda each: place.get(each, len(order)))]
    if not picks:
        listed.sort(key=lambda each: each != result.now)
    winner = order[0] if order else result.now
    if order and result.score[winner] < max(result.score[order]) - NOTICED:
        winner = -1  # it comes first for its fewer parts
    return ShortList(
        result,
        tuple(_listed(result, index, listed, picks, careful, index == winner) for index in listed),
    )


def _listed(
    result: WantsResult, index: int, others: list[int], picks: list[int], careful: int, winner: bool
) -> Listed:
    front, rear = result.pair(index)
    chains, draws = result.chains, result.robust
    choice, links = int(chains.choice[index]), float(chains.links[index])
    parts = priced = None
    if chains.can_be_built[index]:
        parts = parts_of_pair(result.bike, result.measured, front, rear, choice, links)
        priced = cost(parts, result.prices, result.currency)
    place = draws.place(index)
    share_best, share_listed = (
        float(share[place]) if place >= 0 else 0.0
        for share in (draws.share_best, draws.share_listed)
    )
    gained, lost = _changes(result, index)
    compromise = any(asked(result.judged[each.want]) for each in lost)
    known = [n for n, each in enumerate(result.judged) if each.known(index)]
    roles = {NOW: index == result.now, ONE_TOOTH: index == careful}
    roles[COMPROMISE if compromise else BEST] = index in picks
    return Listed(
        index=index,
        front=front,
        rear=rear,
        roles=tuple(role for role, true in roles.items() if true),
        score=float(result.score[index]),
        verdict=int(chains.verdict[index]),
        choice=choice,
        links=links,
        movement=float(chains.movement[index]),
        met=tuple(n for n in known if result.judged[n].met[index]),
        missed=tuple(n for n in known if not result.judged[n].met[index]),
        parts=parts,
        cost=priced,
        gains=tuple(gained),
        losses=tuple(lost),
        equal_to=tuple(n for n in others if n != index and equal(result, draws, index, n)),
        share_best=share_best,
        share_listed=share_listed,
        by_luck=winner
        and index != result.now
        and share_best < min(_LUCK, float(np.max(draws.share_best))),
    )


def _changes(result: WantsResult, index: int) -> tuple[list[Change], list[Change]]:
    """Wants better satisfied than now, and worse."""
    draws, now = result.robust, result.now
    here, there = draws.place(now), draws.place(index)
    better: list[Change] = []
    worse: list[Change] = []
    for number, each in enumerate(result.judged):
        satisfied = each.satisfaction
        if each.unknown or abs(satisfied[index] - satisfied[now]) <= NOTICED:
            continue
        before, after = float(each.margin[now]), float(each.margin[index])
        band = Band(0.0, 0.0)
        if here >= 0 and there >= 0:
            apart = draws.margins[:, number, there] - draws.margins[:, number, here]
            band = interval(np.array([after - before]), apart[:, np.newaxis]).at(0)
        way = better if satisfied[index] > satisfied[now] else worse
        way.append(Change(number, before, after, band))
    return better, worse


def equal(result: WantsResult, draws: Robust, first: int, second: int) -> bool:
    """Whether two pairs' scores differ by less than what is unsure explains: draw by draw, as both
    sit on the same bike."""
    places = draws.place(first), draws.place(second)
    if -1 in places:
        return False
    return draws.equal(*places, float(result.score[first] - result.score[second]))
