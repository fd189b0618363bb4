"""Does the chain reach? For the chosen pair and for every pair of the sprockets sold for a bike."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from explorer.calc import gearing
from explorer.calc.chain import chain_wear
from explorer.calc.chain.chain_choice import Choice, fit_choice, nearest_fitting_pair
from explorer.calc.chain.chain_diagnosis import Agreement, Diagnosis, diagnose
from explorer.calc.chain.chain_fit import Fit, FittedChain, Verdict
from explorer.calc.chain.length import centre_distance_for
from explorer.calc.vehicle import FloatArray, Scalar
from explorer.records.bikes.bike import Bike
from explorer.records.fitting.chains import chain_size
from explorer.records.fitting.fit import Measurements

UNKNOWN = -1
"""Stands beside the verdict codes where a measurement is missing."""

CHOICES = {
    "keep": Choice.KEEP_CHAIN,
    "fewest changed": Choice.FEWEST_CHANGED,
    "shortest": Choice.SHORTEST,
    "new": Choice.NEW_CHAIN,
}
"""The rider's words for a chain, as `explorer.records.fitting.fit_fields` lists them."""

PRESENT_CHAIN = (Choice.KEEP_CHAIN, Choice.FEWEST_CHANGED)
"""Choices that leave the chain that is on the bike on it."""

_NEAR = 0.01
"""Pairs within one per cent of the chosen ratio are shown beside it."""

_MOST_TWINS = 4

MOST_WORN = 0.05
"""No manual's limit is as high (the field takes none beyond it): a chain measured longer was not
counted right [-]."""


@dataclass(frozen=True, eq=False)
class ChainNow:
    """The chain on the bike, as far as it is known.

    Attributes:
        fitted: None where neither a usable link count nor a centre distance is known [SI].
        counted (bool): Whether the links were counted; else they come from the centre distance.
        rooms_known (bool): Whether the room of the adjuster is known both ways; one that is not is
            taken as endless.
        diagnosis: Counted links against the measured centre distance.
        elongation: Wear from the measured length; None where it was not measured [-].
        worn_out (bool): Whether it is at or past the manual's limit: a new one is planned then.
    """

    fitted: FittedChain | None
    counted: bool
    rooms_known: bool
    diagnosis: Diagnosis
    elongation: float | None
    worn_out: bool


@dataclass(frozen=True, eq=False)
class FitMap:
    """How the chain of the rider's choice fits on every pair.

    Attributes:
        fit: Each field of shape (fronts, rears) [SI].
        verdict (array of int (fronts, rears)): Verdict codes, or `UNKNOWN`.
    """

    fronts: FloatArray
    rears: FloatArray
    fit: Fit
    verdict: FloatArray


@dataclass(frozen=True)
class Twin:
    """A pair of nearly the chosen ratio.

    Attributes:
        difference: Its ratio over the chosen one, less 1 [-].
        fit: How the chain of the rider's choice fits on it [SI].
    """

    front: int
    rear: int
    difference: float
    fit: Fit


def pitch_of(bike: Bike) -> float:
    """Nominal pitch of the bike's chain [m]."""
    return chain_size(bike.chain.size).pitch


def measured_elongation(bike: Bike, measured: Measurements) -> float | None:
    """Wear of the chain from the measured length; None where it was not measured [-]."""
    if not measured.known("wear_pitches", "wear_length"):
        return None
    counted = measured.get("wear_pitches")
    return float(chain_wear.elongation(measured.si("wear_length"), counted, pitch_of(bike)))


def at_limit(elongation: float, limit: float) -> bool:
    """Whether wear is at or past a manual's limit, both as they are printed.

    >>> at_limit(0.0199, 0.02), at_limit(0.0242, 0.02), at_limit(0.30, 0.02)
    (True, True, False)
    """
    # What no chain lives to see was not counted right; the wear section says so.
    if not limit > 0 or elongation > MOST_WORN:
        return False
    return round(100 * elongation / limit) >= 100


@lru_cache(maxsize=4)
def chain_now(bike: Bike, measured: Measurements) -> ChainNow:
    """What is known of the chain on the bike; the count is taken from the centre distance where the
    rider's own cannot be used."""
    pitch, sprockets = pitch_of(bike), bike.sprockets
    elongation = measured_elongation(bike, measured)
    # A chain shorter than new, or longer than any that runs, is a miscount, which the wear section
    # says.
    worn = elongation if elongation is not None and 0 < elongation <= MOST_WORN else 0.0
    typed = [measured.si(name) for name in ("links", "centre_distance", "tape")]
    diagnosis = diagnose(*typed, pitch, sprockets.front, sprockets.rear)
    if worn and diagnosis.agreement != Agreement.AGREES:
        diagnosis = diagnose(*typed, pitch * (1 + worn), sprockets.front, sprockets.rear)
    counted = measured.links is not None and measured.links % 2 == 0
    counted = counted and bool(np.isfinite(diagnosis.implied_distance))
    links = measured.links if counted else diagnosis.even_links
    rooms_known = measured.known("room_forward", "room_back")
    rooms = [
        measured.si(name) if measured.known(name) else np.inf
        for name in ("room_forward", "room_back")
    ]
    fitted = None
    if np.isfinite(links):
        pair, unsure = (sprockets.front, sprockets.rear), measured.si("uncertainty")
        fitted = FittedChain(*pair, int(links), pitch, *rooms, unsure, worn)
    worn_out = elongation is not None and at_limit(elongation, measured.si("wear_limit"))
    return ChainNow(fitted, counted, rooms_known, diagnosis, elongation, worn_out)


def rider_choice(bike: Bike, measured: Measurements) -> Choice:
    """Which chain to plan with: the rider's own choice, unless that chain is worn out.

    A new chain is planned with the fewest links while its number is missing.
    """
    choice = CHOICES[measured.chain]
    if choice is Choice.NEW_CHAIN and measured.new_links is None:
        return Choice.SHORTEST
    if choice in PRESENT_CHAIN and chain_now(bike, measured).worn_out:
        return Choice.SHORTEST
    return choice


def known_verdict(verdict: FloatArray, now: ChainNow) -> FloatArray:
    """Verdict codes computed with the rooms of `now`, `UNKNOWN` where one that was not measured
    decides: an endless room rules nothing out, and lets nothing fit [-]."""
    if now.rooms_known:
        return verdict
    return np.where(verdict > Verdict.CLOSE, verdict, UNKNOWN)


def stays_on(bike: Bike, measured: Measurements, front: Scalar, rear: Scalar) -> FloatArray:
    """Where the chain that is on the bike stays on, and so goes round, whatever was measured: on
    the fitted pair, unless another chain is planned. One truth value for each pair."""
    fitted = bike.sprockets
    kept = rider_choice(bike, measured) in PRESENT_CHAIN
    return (front == fitted.front) & (rear == fitted.rear) & kept


def can_be_counted(now: ChainNow, choice: Choice) -> bool:
    """Whether the links of a chain can be said: the fewest need the room of the adjuster."""
    return now.fitted is not None and (now.rooms_known or choice is not Choice.SHORTEST)


def options(now: ChainNow, measured: Measurements, front: int, rear: int) -> dict[Choice, Fit]:
    """How each chain that the rider could put on fits on one pair; those that can be counted."""
    wanted = [Choice.SHORTEST] if now.worn_out else [*PRESENT_CHAIN, Choice.SHORTEST]
    if measured.new_links is not None:
        wanted.append(Choice.NEW_CHAIN)
    return {
        each: fit_choice(now.fitted, front, rear, each, measured.new_links)
        for each in wanted
        if can_be_counted(now, each)
    }


@lru_cache(maxsize=4)
def fit_map(bike: Bike, measured: Measurements) -> FitMap | None:
    """How the chain of the rider's choice fits on every pair sold for the bike; None where the
    links of the chain on the bike, or of the one to go on, are not known."""
    fronts, rears = sold(bike)
    now, choice = chain_now(bike, measured), rider_choice(bike, measured)
    if not can_be_counted(now, choice):
        return None
    result = fit_choice(now.fitted, fronts[:, np.newaxis], rears, choice, measured.new_links)
    # A front sprocket that is not the smaller one is no final drive.
    impossible = fronts[:, np.newaxis] >= rears
    verdict = np.where(impossible, Verdict.NO_CHAIN, result.verdict)
    verdict = known_verdict(verdict, now)
    on_it = stays_on(bike, measured, fronts[:, np.newaxis], rears)
    return FitMap(fronts, rears, result, np.where(on_it, Verdict.FITS, verdict))


def verdicts_sold(bike: Bike, measured: Measurements) -> FloatArray:
    """Verdict codes of every pair sold, or `UNKNOWN`, of shape (fronts, rears)."""
    if (fits := fit_map(bike, measured)) is not None:
        return fits.verdict
    fronts, rears = sold(bike)
    on_it = stays_on(bike, measured, fronts[:, np.newaxis], rears)
    return np.where(on_it, Verdict.FITS, UNKNOWN)


def sold(bike: Bike) -> tuple[FloatArray, FloatArray]:
    """Front and rear sprockets sold for a bike [count]."""
    (low, high), (lowest, highest) = bike.sprockets.front_sold, bike.sprockets.rear_sold
    return np.arange(low, high + 1), np.arange(lowest, highest + 1)


def sold_grid(bike: Bike) -> tuple[FloatArray, FloatArray]:
    """Front and rear teeth of all pairs of these, (pairs,) [count]."""
    front, rear = np.meshgrid(*sold(bike), indexing="ij")
    return front.ravel(), rear.ravel()


def nearest_pair(fits: FitMap, front: int, rear: int) -> tuple[int, int] | None:
    """The pair that fits and comes nearest to a wanted ratio; None where none does."""
    place = nearest_fitting_pair(fits.verdict, fits.fronts, fits.rears, front, rear)
    if place is None:
        return None
    return int(fits.fronts[place.front_index]), int(fits.rears[place.rear_index])


def twins(bike: Bike, measured: Measurements, front: int, rear: int) -> tuple[Twin, ...]:
    """Pairs of nearly the chosen ratio, nearest first, with their axle positions."""
    fits = fit_map(bike, measured)
    if fits is None:
        return ()
    pairs = gearing.near_equal_pairs(
        fits.fronts, fits.rears, gearing.final_ratio(front, rear), _NEAR
    )
    found = []
    for other_front, other_rear, difference in zip(*pairs, strict=True):
        if (other_front, other_rear) != (front, rear):
            row, column = other_front - fits.fronts[0], other_rear - fits.rears[0]
            # Kept out of the map's own arrays, so that a page can show one pair by itself.
            one = Fit(*(field[row, column] for field in fits.fit))
            found.append(Twin(int(other_front), int(other_rear), float(difference), one))
    return tuple(found[:_MOST_TWINS])


def axle_range(bike: Bike, front: int, rear: int) -> tuple[float, float]:
    """How far the axle moves with the same chain, whatever its length, positive to the rear [m].

    With the links unknown: the least and the most over all even counts from 104 to 136 (which
    finals of small off-road machines have: common practice, no source).
    """
    links = np.arange(104, 137, 2)
    pitch, fitted = pitch_of(bike), bike.sprockets
    moved = centre_distance_for(links, pitch, front, rear) - centre_distance_for(
        links, pitch, fitted.front, fitted.rear
    )
    return float(np.nanmin(moved)), float(np.nanmax(moved))
