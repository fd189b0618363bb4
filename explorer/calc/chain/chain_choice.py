"""Which chain to put on each pair, and which pair to take instead where none goes on."""

from enum import IntEnum
from typing import NamedTuple

import numpy as np

from explorer.calc.chain.chain_fit import Fit, FittedChain, Verdict, fit, link_counts
from explorer.calc.vehicle import FloatArray, Scalar


class Choice(IntEnum):
    """Which chain the rider wants to put on."""

    KEEP_CHAIN = 0
    """The present chain, uncut."""
    FEWEST_CHANGED = 1
    """The present chain, with as few links as possible taken out or added."""
    SHORTEST = 2
    """A new chain of the fewest links that fit: axle well forward. The room must be known."""
    NEW_CHAIN = 3
    """A new chain of a given number of links."""


class Reach(IntEnum):
    """Which chain goes round a pair, as every list and chart tells it apart."""

    YOURS = 0
    """The present chain, uncut."""
    ANOTHER = 1
    """Only a chain of another length, or a new one."""
    NONE = 2
    """None within the adjuster."""
    UNKNOWN = 3
    """Nobody knows before more is measured."""


def fit_choice(
    fitted: FittedChain,
    front: Scalar,
    rear: Scalar,
    choice: Choice,
    new_links: Scalar | None = None,
) -> Fit:
    """How the chain of the rider's choice fits on each pair.

    Args:
        front, rear (int or array): Teeth of the new sprockets [count].
        choice: Which chain to put on [-].
        new_links (int or array, optional): For ``Choice.NEW_CHAIN`` [count].

    Returns: One value for each element. An even number of links that fits for sure comes before one
        that may fit within the measuring uncertainty. Where neither is found, it shows the even
        number that misses by least, and `verdict` and `margin` say how it misses.

    Raises: ValueError: If a new chain is chosen without its number of links.

    >>> now = FittedChain(13, 50, 112, 0.015875, room_forward=0.010, room_back=0.025)
    >>> fit_choice(now, 13, np.array([44, 50, 56]), Choice.FEWEST_CHANGED).links
    array([110., 112., 116.])
    """
    if choice is Choice.KEEP_CHAIN:
        return fit(fitted, front, rear, fitted.links, fitted.elongation)
    if choice is Choice.NEW_CHAIN:
        if new_links is None:
            raise ValueError("The new chain's number of links is missing. Give an even number.")
        return fit(fitted, front, rear, new_links, 0.0)
    elongation = fitted.elongation if choice is Choice.FEWEST_CHANGED else 0.0
    counts = link_counts(fitted, front, rear, elongation)
    wanted = counts.nearest if choice is Choice.FEWEST_CHANGED else counts.fewest
    # Where no even count fits, the one below the range pulls the axle past the front end and the
    # one above pushes it past the rear end: take the one that misses by less.
    below = fit(fitted, front, rear, 2 * np.floor(counts.shortest / 2), elongation)
    above = fit(fitted, front, rear, 2 * np.ceil(counts.longest / 2), elongation)
    missing = np.where(below.margin >= above.margin, below.links, above.links)
    return fit(fitted, front, rear, np.where(np.isnan(wanted), missing, wanted), elongation)


class Pair(NamedTuple):
    """A pair of sprockets by its place in a map: row and column [-]."""

    front_index: int
    rear_index: int


def nearest_fitting_pair(
    verdict: FloatArray, fronts: FloatArray, rears: FloatArray, front: int, rear: int
) -> Pair | None:
    """The pair that fits and has the ratio nearest to a wanted pair's.

    Args:
        verdict (array of int (fronts, rears)): Verdict codes, as in
            :class:`explorer.calc.chain.chain_fit.Fit` [-].
        fronts, rears (array): Front teeth of the map's rows, rear teeth of its columns [count].
        front, rear (int): Teeth of the wanted pair [count].

    Returns: Its place in the map; the fewest front teeth changed where ratios are equal. None where
        no pair fits [-].

    >>> now = FittedChain(13, 50, 112, 0.015875, room_forward=0.003, room_back=0.010)
    >>> fronts, rears = np.arange(12, 16), np.arange(44, 57)
    >>> map_ = fit(now, fronts[:, np.newaxis], rears, 112, 0.0)
    >>> place = nearest_fitting_pair(map_.verdict, fronts, rears, 13, 54)
    >>> int(fronts[place.front_index]), int(rears[place.rear_index])
    (12, 50)
    """
    fronts, rears = np.asarray(fronts), np.asarray(rears)
    rows, columns = np.nonzero(np.asarray(verdict) == Verdict.FITS)
    if rows.size == 0:
        return None
    # Rounded, so that equal ratios compare equal.
    distance = np.abs(np.log(rears[columns] / fronts[rows] * front / rear)).round(12)
    best = np.lexsort((np.abs(fronts[rows] - front), distance))[0]
    return Pair(int(rows[best]), int(columns[best]))
