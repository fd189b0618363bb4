r"""95 % intervals by sampling: every uncertain input is drawn at once, every draw computed in full.

The inputs are evenly spread between their bounds and independent of each other. All set-ups of one
motorcycle share each draw, so what they have in common cancels from their difference.

Args:
    final_ratio (array (set_ups,)): Final drive ratio of each set-up [-].
    spreads: What is uncertain [SI].

References:
    JCGM 101:2008 (GUM Supplement 1), 6.4.2 rectangular distribution, 7 propagation
    of distributions, 7.7 probabilistically symmetric interval (numbers from memory).
"""

from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from scipy.stats import qmc

from explorer.calc.statistics.spreads import ROLLOUT, Spread, Varied, inputs_of, replaced
from explorer.calc.vehicle import Conditions, FloatArray, Scalar, Vehicle

SHARE_INSIDE = 0.95
"""Share of what the inputs allow that lies in a band [-]."""

DRAWS = 64
"""Points of the sequence: enough that 92 to 98 % of any other draws lie inside."""

_MOST_INPUTS = 16

_PLACES = np.linspace(0.5 * (1 - SHARE_INSIDE), 0.5 * (1 + SHARE_INSIDE), 13)
"""Of an input moved alone, in shares of the way between its bounds."""


class Band(NamedTuple):
    """A 95 % interval about a value.

    Attributes:
        below, above (float or array (set_ups,), non-negative): How far it reaches down and up
            [unit of the value].
    """

    below: Scalar
    above: Scalar

    def at(self, index: int, factor: float = 1.0) -> "Band":
        """That of one set-up, in another unit."""
        return Band(*(float(np.asarray(side)[index]) * factor for side in self))

    def times(self, factor: float) -> "Band":
        """The same in another unit."""
        return Band(self.below * factor, self.above * factor)

    @property
    def widest(self) -> Scalar:
        """The longer of the two sides [unit of the value]."""
        return np.maximum(self.below, self.above)


class Change(NamedTuple):
    """One set-up less another: the difference and its own 95 % interval [any unit]."""

    value: float
    band: Band


class Sampled(NamedTuple):
    """A result of several set-ups.

    Attributes:
        value (array (set_ups,)): With the inputs as given; NaN where not reached [any unit].
        draws (array (draws, set_ups)): With the inputs drawn [unit of the value].
    """

    value: FloatArray
    draws: FloatArray

    @classmethod
    def of(cls, results: FloatArray, set_ups: int) -> "Sampled":
        """Read the results of all cases of `drawn` [any unit]."""
        rows = np.reshape(results, (-1, set_ups))
        return cls(rows[0], rows[1:])

    @property
    def may_fail(self) -> FloatArray:
        """Whether a set-up reaches the result as given, but not with every draw."""
        return ~np.isnan(self.value) & np.isnan(self.draws).any(axis=0)

    @property
    def band(self) -> Band:
        """95 % interval of each set-up [unit of the value]."""
        return interval(self.value, self.draws)

    def change_bands(self, baseline: int) -> Band:
        """95 % interval of each set-up's difference to one of them [unit of the value]."""
        return interval(
            self.value - self.value[baseline], self.draws - self.draws[:, baseline, np.newaxis]
        )

    def change(self, baseline: int, candidate: int) -> Change:
        """Candidate less baseline [unit of the value]."""
        both = Sampled(self.value[[baseline, candidate]], self.draws[:, [baseline, candidate]])
        return Change(float(both.value[1] - both.value[0]), both.change_bands(0).at(1))


def interval(value: FloatArray, draws: FloatArray) -> Band:
    """95 % interval of results, stretched to hold the value in use.

    Args:
        value (array (set_ups,)): As of :class:`Sampled` [any unit].
        draws (array (draws, set_ups)): Likewise; NaN where not reached [unit of the value].

    Returns: From the 2.5 % to the 97.5 % quantile; NaN where there is no value [unit of the value].

    >>> band = interval(np.array([0.25]), np.linspace(0, 1, 101)[:, np.newaxis])
    >>> round(float(band.below[0]), 3), round(float(band.above[0]), 3)
    (0.23, 0.73)
    """
    tail = (1 - SHARE_INSIDE) / 2
    quantile = np.nanquantile if np.isnan(draws).any() else np.quantile
    reached = np.where(np.isnan(draws).all(axis=0), np.nan_to_num(value), draws)
    low, high = quantile(reached, (tail, 1 - tail), axis=0, method="hazen")
    return Band(np.maximum(value - low, 0.0), np.maximum(high - value, 0.0))


def each_alone(
    vehicle: Vehicle,
    conditions: Conditions,
    final_ratio: FloatArray,
    rollout: Scalar,
    spreads: Sequence[Spread],
) -> Varied:
    """Every set-up as it is, then with each input in turn at places evenly between the ends of its
    own 95 % interval: (1 + inputs × places) × set-ups cases.

    Returns: The cases [SI].

    Example: see :func:`explorer.calc.statistics.sampling.alone`.
    """
    places, count = _PLACES.size, len(spreads)
    moves = [(slice(1 + n * places, 1 + (n + 1) * places), _PLACES) for n in range(count)]
    given = Varied(vehicle, conditions, final_ratio, rollout)
    return _moved(given, spreads, 1 + count * places, moves)


def alone(results: FloatArray) -> Band:
    """95 % interval that each input by itself gives to a result, stretched to the value in use.

    Args:
        results (array (cases / set_ups, set_ups)): Of all cases of `each_alone`, or the set-ups'
            differences to one of them [any unit].

    Returns: array (inputs, set_ups): From the least to the greatest between the ends [unit of the
        results].

    >>> cases = each_alone(example_vehicle(), example_conditions(), np.array([3.4]), 2.0,
    ...                    [Spread("mass", 2.0 / 3**0.5, False, "")])
    >>> band = alone(cases.vehicle.mass[:, np.newaxis])
    >>> band.below.round(2), band.above.round(2)
    (array([[1.9]]), array([[1.9]]))
    """
    value, between = results[0], results[1:].reshape(-1, _PLACES.size, results.shape[1])
    between = np.where(np.isnan(between), value, between)
    return Band(np.maximum(value - between.min(1), 0.0), np.maximum(between.max(1) - value, 0.0))


def drawn(
    vehicle: Vehicle,
    conditions: Conditions,
    final_ratio: FloatArray,
    rollout: Scalar,
    spreads: Sequence[Spread],
    draws: int = DRAWS,
) -> Varied:
    """Every set-up as it is, then with all inputs drawn: (1 + draws) × set-ups cases.

    Args:
        draws (int, a power of two): Points of a scrambled Sobol sequence [count].

    Returns: The cases [SI].

    Raises: ValueError: See :meth:`explorer.calc.statistics.spreads.Spread.bounds`.

    >>> cases = drawn(example_vehicle(), example_conditions(), np.array([3.4]), 2.0,
    ...               [Spread("mass", 2.0 / 3**0.5, False, "")])
    >>> mass = cases.vehicle.mass
    >>> float(mass[0]), mass.size, bool(183 <= mass.min() and mass.max() <= 187)
    (185.0, 65, True)
    """
    moves = [(slice(1, None), _points(draws)[:, column]) for column in _columns(spreads)]
    return _moved(Varied(vehicle, conditions, final_ratio, rollout), spreads, 1 + draws, moves)


def _moved(
    bike: Varied, spreads: Sequence[Spread], rows: int, moves: Sequence[tuple[slice, FloatArray]]
) -> Varied:
    """The set-ups over and over, each input moved in some rows to shares of the way between its
    bounds."""
    count = np.size(bike.final_ratio)
    given = inputs_of(bike.vehicle, bike.conditions, bike.rollout)
    cases = {name: np.tile(value, rows) for name, value in given.items() if np.size(value) > 1}
    for spread, (here, shares) in zip(spreads, moves, strict=True):
        below, above, lowest = spread.bounds(given, count)
        if spread.input not in cases:
            cases[spread.input] = np.tile(np.broadcast_to(given[spread.input], count), rows)
        values = np.reshape(cases[spread.input].astype(float), (rows, count))
        moved = values[here] + shares[:, np.newaxis] * (below + above) - below
        values[here] = np.maximum(moved, lowest)
        cases[spread.input] = values.ravel()
    final_ratio = np.tile(bike.final_ratio, rows)
    return replaced(bike.vehicle, bike.conditions, final_ratio, bike.rollout, cases)


def _columns(spreads: Sequence[Spread]) -> list[int]:
    """Place of each input in a point. Tyres but the first take turns at one place: no set-up is on
    two, and so two set-ups come out alike however many others are asked for beside them."""
    names = [each.input for each in spreads]
    second = names.index(ROLLOUT) + 1 if ROLLOUT in names else len(names)
    return [min(place, second) if name == ROLLOUT else place for place, name in enumerate(names)]


@lru_cache(maxsize=4)
def _points(draws: int) -> FloatArray:
    """Points of the unit cube, (draws, places); the same on every call, so that a page repeats."""
    return qmc.Sobol(_MOST_INPUTS, seed=20).random(draws)
