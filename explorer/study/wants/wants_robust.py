"""Does the ranking stand when what is unsure turns out otherwise? Fixed draws of all of it at once.

Each draw is one day, one bike and one rider that the numbers given may stand for: whatever makes
the other pages' numbers unsure within its bounds, the wind and the altitude besides, and the shares
of the mix. All set-ups get the same draws, so that differences between them are seen
apart from what moves them together. Surfaces of a course are taken as they are.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, lru_cache

import numpy as np
from scipy.stats import qmc

from explorer.calc.atmosphere import air_density, standard_atmosphere
from explorer.calc.drivetrain.chain_losses import with_sprockets
from explorer.calc.drivetrain.drive import Drive
from explorer.calc.engine.power_correction import power_factor
from explorer.calc.statistics.sampling import interval
from explorer.calc.statistics.spreads import Spread, inputs_of, replaced, standard_uncertainty
from explorer.calc.vehicle import FloatArray
from explorer.calc.wants.wants_score import satisfaction, weighted_score
from explorer.records.bikes.bike import Bike
from explorer.records.setups.comparison import Fitment
from explorer.records.setups.setup import Setup
from explorer.records.tyre import rollout
from explorer.study.certainty import INPUT_NAMES, is_real, spreads_of
from explorer.study.engine_figures import engine_figures
from explorer.study.question import conditions_of, surface_of, vehicle_of
from explorer.study.wants.every_pair import EveryPair
from explorer.study.wants.judged import Judged
from explorer.study.wants.scene import Scene
from explorer.study.wants.want import GroundWant
from explorer.study.wants.wants_placed import Placed, ground_of, usual_ground
from explorer.units import KMH

DRAWS = 32
"""Number of draws; a power of two keeps the sequence even."""

WIND = 10 * KMH
"""Bounds of the wind about the one set (our choice) [m/s]."""

ALTITUDE = 300.0
"""Bounds of the altitude about the one set (our choice) [m]."""

SHARE_FACTOR = 1.5
"""Each share of the mix may be as much as this factor more or less (our choice) [-]."""

SAME_SCORE = 0.01
"""Scores closer than this read as equal (our choice) [-]."""

_INPUTS = (*INPUT_NAMES, "head_wind", "altitude")
_DECIDES = 0.5
"""Correlation from which an input is said to decide between two set-ups (our choice) [-]."""

_LISTED = 3
"""A pair "stays in the list" while it is among so many best."""


@dataclass(frozen=True, eq=False)
class Robust:
    """Some set-ups under all draws.

    Attributes:
        pairs (array of int (some,)): Indexes of the pairs that were drawn [-].
        scores (array (draws, some)): Score of each in each draw [-].
        margins (array (draws, wants, some)): Margin of each want; NaN where not reached [SI unit of
            the want].
    """

    pairs: FloatArray
    scores: FloatArray
    margins: FloatArray

    @property
    def share_best(self) -> FloatArray:
        """Share of the draws in which each is best, or equal to the best, shape (some,) [-]."""
        return (self.scores >= self.scores.max(axis=1, keepdims=True) - SAME_SCORE).mean(axis=0)

    @property
    def share_listed(self) -> FloatArray:
        """Share of the draws in which each is among the three best scores, shape (some,) [-]."""
        bar = np.sort(self.scores, axis=1)[:, -min(_LISTED, self.pairs.size)]
        return (self.scores >= bar[:, np.newaxis] - SAME_SCORE).mean(axis=0)

    @property
    def mean(self) -> FloatArray:
        """Mean score over all draws, shape (some,) [-]."""
        return self.scores.mean(axis=0)

    def place(self, pair: int) -> int:
        """Place of a pair among those drawn, -1 if it is not among them."""
        found = np.flatnonzero(self.pairs == pair)
        return int(found[0]) if found.size else -1

    def equal(self, first: int, second: int, difference: float) -> bool:
        """Whether the scores at two places, with their difference without any draw, differ by less
        than what is unsure explains."""
        if abs(difference) < SAME_SCORE:
            return True
        apart = self.scores[:, [first]] - self.scores[:, [second]]
        return not is_real(difference, interval(np.array([difference]), apart).at(0))


@cache
def quantiles(terrains: int) -> tuple[dict[str, FloatArray], FloatArray]:
    """Fixed low-discrepancy numbers between 0 and 1: by input (draws,), and for each terrain's
    share (draws, terrains) [-]."""
    points = qmc.Sobol(len(_INPUTS) + terrains, rng=5).random(DRAWS)
    return dict(zip(_INPUTS, points.T, strict=False)), points[:, len(_INPUTS) :]


def drawn_weights(placed: Sequence[Placed]) -> FloatArray:
    """Weight of each want in each draw, (draws, wants), the shares of the mix varied and scaled
    back to one [-]."""
    names = list(dict.fromkeys(each.terrain for each in placed if each.terrain is not None))
    _, numbers = quantiles(len(names))
    factor = SHARE_FACTOR ** (2 * numbers - 1)
    weights = np.array([each.weight for each in placed])
    # The sum of a terrain's weights stands for its share.
    share = np.array([sum(e.weight for e in placed if e.terrain == name) for name in names])
    if names and share.sum() > 0:
        factor = factor * share.sum() / (factor @ share)[:, np.newaxis]
    columns = [
        factor[:, names.index(e.terrain)] if e.terrain in names else np.ones(DRAWS) for e in placed
    ]
    return weights * np.stack(columns, axis=1) if columns else np.zeros((DRAWS, 0))


@lru_cache(maxsize=8)
def drawn_scene(
    bike: Bike, setup: Setup, pairs: tuple[tuple[float, float], ...], terrains: int
) -> Scene:
    """Every pair in every draw on one ground, draw after draw; what has been computed on it is kept
    for the next call. The number of terrains of the mix fixes the sequence."""
    front, rear = np.tile(np.array(pairs).T, DRAWS)
    # Repeated for every pair.
    share = {name: np.repeat(each, len(pairs)) for name, each in quantiles(terrains)[0].items()}
    vehicle = with_sprockets(vehicle_of(bike, setup), front, rear)
    conditions, _ = conditions_of(setup)
    turn = rollout(setup.tyre, setup.rollout).value
    given = inputs_of(vehicle, conditions, turn)
    wind = Spread("head_wind", standard_uncertainty(-WIND, WIND), False, "our choice")
    cases = {}
    for spread in (*spreads_of((Fitment.chosen_in(setup),), surface_of(setup)), wind):
        below, above, lowest = spread.bounds(given, 1)
        values = given[spread.input] + share[spread.input] * (below + above) - below
        cases[spread.input] = np.maximum(values, lowest)
    air = standard_atmosphere(setup.altitude + ALTITUDE * (2 * share["altitude"] - 1))
    temperature = air.temperature if setup.temperature is None else setup.temperature
    cases["air_density"] = air_density(air.pressure, temperature)
    cases["power_factor"] *= power_factor(air.pressure, temperature) / conditions.power_factor
    drive = Drive(*replaced(vehicle, conditions, rear / front, turn, cases))
    return Scene(drive, engine_figures(bike))


def robust(every: EveryPair, judged: Sequence[Judged], pairs: FloatArray) -> Robust:
    """Judge some of all pairs, by their indexes, under all draws."""
    placed = [each.placed for each in judged]
    terrains = len({each.terrain for each in placed} - {None})
    drawn = tuple(zip(*(teeth[pairs].tolist() for teeth in every.teeth), strict=True))
    margins = np.empty((DRAWS, len(judged), pairs.size))
    for row, each in enumerate(judged):
        if each.unknown or not isinstance(each.want, GroundWant):
            margins[:, row] = each.margin[pairs]
            continue
        ground = usual_ground(ground_of(each.placed, every.setup))
        margin = each.want.measure(drawn_scene(every.bike, ground, drawn, terrains)).margin
        margins[:, row] = np.broadcast_to(margin, DRAWS * pairs.size).reshape(DRAWS, -1)
    satisfied = np.empty(margins.shape)
    for row, each in enumerate(judged):
        satisfied[:, row] = satisfaction(margins[:, row], each.tolerance)
    known = np.array([not each.unknown for each in judged], float)
    return Robust(pairs, weighted_score(satisfied, drawn_weights(placed) * known), margins)


def decided_by(
    draws: Robust, placed: Sequence[Placed], first: int, second: int
) -> list[tuple[str, float]]:
    """Which of the unsure inputs the difference of two set-ups hangs on: each whose correlation
    with the difference of the scores, over the draws, is at least one half, with it, the strongest
    first. Empty where the difference never changes."""
    one, two = draws.place(first), draws.place(second)
    apart = draws.scores[:, one] - draws.scores[:, two]
    if min(one, two) < 0 or np.ptp(apart) < SAME_SCORE:
        return []
    terrains = list(dict.fromkeys(each.terrain for each in placed if each.terrain is not None))
    given, shares = quantiles(len(terrains))
    inputs = given | dict(zip(terrains, shares.T, strict=True))
    related = {name: float(np.corrcoef(way, apart)[0, 1]) for name, way in inputs.items()}
    strong = [(name, value) for name, value in related.items() if abs(value) >= _DECIDES]
    return sorted(strong, key=lambda each: -abs(each[1]))
