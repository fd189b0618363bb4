"""Wants that no gearing meets and what would; wants that only exclude each other."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from explorer.calc import want_measures
from explorer.calc.drive import Drive
from explorer.calc.top_speed import Limit
from explorer.calc.vehicle import FloatArray
from explorer.pages.gearing_result import conditions_of
from explorer.pages.wants_judged import Judged, engine_bands
from explorer.pages.wants_placed import ground_of
from explorer.records.bike import Bike
from explorer.records.setup import Setup
from explorer.records.tyre import rollout
from explorer.records.want_values import ANY_GEAR

_MOST_CONFLICTS = 3


class Reason(StrEnum):
    """What stands in the way of a want."""

    DOES_NOT_FIT = "does not fit"
    """Some pair meets it, but its chain does not go on."""
    NOT_SOLD = "not sold"
    """A ratio beyond those sold for the bike would meet it."""
    POWER = "power"
    """The engine has not the power for it in any gear, however geared."""
    GRIP = "grip"
    """The rear tyre spins first."""
    BALANCE = "balance"
    """The front wheel lifts first."""
    BETWEEN = "between"
    """One pair is too tall for it and the next too short."""
    GAP = "gap"
    """The gears are too far apart for so few shifts."""
    COURSE = "course"
    """The course and the gearbox ask for more shifts, or it is not got through."""
    MONEY = "money"
    """Parts of every pair cost more."""
    TYRE = "tyre"
    """The tyre changes the engine speed, and no pair makes up for it closely enough."""


@dataclass(frozen=True)
class Cannot:
    """A want that no pair meets.

    Attributes
    ----------
    want : int
        Index of the want as judged.
    nearest : int
        Index of the pair that comes nearest to it; of those that can be built where there are.
    reason : Reason
        What stands in the way.
    shorter : bool
        Whether shorter gearing than any sold would help, or taller; for `Reason.NOT_SOLD`.
    """

    want: int
    nearest: int
    reason: Reason
    shorter: bool = False


@dataclass(frozen=True)
class Conflict:
    """Two wants that can be met one by one, but by no pair together.

    Attributes
    ----------
    first, second : int
        Indexes of the wants as judged.
    """

    first: int
    second: int


def cannot_be_met(
    bike: Bike, setup: Setup, judged: Sequence[Judged], ratio: FloatArray, eligible: FloatArray
) -> tuple[Cannot, ...]:
    """Every want that no pair meets, with what stands in the way.

    Parameters
    ----------
    bike : Bike
        The motorcycle.
    setup : Setup
        What the rider chose.
    judged : sequence of Judged
        The wants.
    ratio : array (pairs,)
        Final drive ratios [-].
    eligible : array of bool (pairs,)
        Whether each pair can be built.

    Returns
    -------
    tuple of Cannot
        In the order of the wants.
    """
    found = []
    for number, each in enumerate(judged):
        if each.unknown or (each.met & eligible).any():
            continue
        if each.met.any():
            found.append(Cannot(number, int(np.flatnonzero(each.met)[0]), Reason.DOES_NOT_FIT))
            continue
        margin = np.where(np.isnan(each.margin), -np.inf, each.margin)
        nearest = int(np.argmax(np.where(eligible, margin, -np.inf)))
        best = int(np.argmax(margin))
        found.append(_why(bike, setup, number, each, ratio, nearest, best))
    return tuple(found)


def conflicts(judged: Sequence[Judged], eligible: FloatArray) -> tuple[Conflict, ...]:
    """Pairs of wants that exclude each other on this bike, the weightiest first.

    Parameters
    ----------
    judged : sequence of Judged
        The wants.
    eligible : array of bool (pairs,)
        Whether each pair can be built.

    Returns
    -------
    tuple of Conflict
        At most three.
    """
    met = [each.met & eligible for each in judged]
    usable = [n for n, each in enumerate(judged) if each.weight > 0 and met[n].any()]
    found = [
        Conflict(a, b) for a in usable for b in usable if a < b and not (met[a] & met[b]).any()
    ]
    found.sort(key=lambda each: -min(judged[each.first].weight, judged[each.second].weight))
    return tuple(found[:_MOST_CONFLICTS])


def _why(
    bike: Bike,
    setup: Setup,
    number: int,
    judged: Judged,
    ratio: FloatArray,
    nearest: int,
    best: int,
) -> Cannot:
    """What stands in the way, from the best of all pairs, whether its chain goes on or not."""
    want = judged.want
    shortest = bool(ratio[best] >= ratio.max())
    tallest = bool(ratio[best] <= ratio.min())

    def because(reason: Reason, shorter: bool = False) -> Cannot:
        return Cannot(number, nearest, reason, shorter)

    def beyond_sold() -> Cannot:
        return because(Reason.NOT_SOLD if shortest or tallest else Reason.BETWEEN, shortest)

    match want.kind:
        case "slope":
            drive = _drive(bike, setup, judged, ratio[best])
            gear = None if want.gear == ANY_GEAR else want.gear - 1
            limit = Limit(int(want_measures.slope_limit(drive, gear)[0]))
            if limit is Limit.GRIP:
                return because(Reason.GRIP)
            if limit is Limit.FRONT_WHEEL_LIFT:
                return because(Reason.BALANCE)
            return because(Reason.NOT_SOLD if shortest else Reason.POWER, True)
        case "top-speed":
            limit = Limit(int(judged.limit[best]))
            if limit is Limit.REV_LIMIT and tallest:
                return because(Reason.NOT_SOLD)
            if limit is Limit.GRIP:
                return because(Reason.GRIP)
            if limit is Limit.FRONT_WHEEL_LIFT:
                return because(Reason.BALANCE)
            return because(Reason.POWER)
        case "cruise" | "legal-road":
            # The tallest pair answers only if its top gear still holds the speed; if a shorter
            # pair comes nearer, the taller ones lack the power.
            held = np.isfinite(judged.margin[best])
            return because(Reason.NOT_SOLD if held and tallest else Reason.POWER)
        case "shift-out":
            _, pulls = engine_bands(bike)
            widest = want_measures.widest_speed_range(
                bike.vehicle().gears, want.shifts, pulls, bike.engine.rev_limit.si
            )
            if want.si("exit_speed") / want.si("corner_speed") > widest:
                return because(Reason.GAP)
            return beyond_sold()
        case "few-shifts":
            return because(Reason.COURSE)
        case "spend":
            return because(Reason.MONEY)
        case "corner" | "clutch-out":
            return beyond_sold()
        case _:
            # A jump: on the old tyre the fitted pair changes nothing. The fitted pair also meets
            # one sprocket only and keeping the chain, so they never come here.
            return because(Reason.TYRE)


def _drive(bike: Bike, setup: Setup, judged: Judged, ratio: float) -> Drive:
    ground = ground_of(judged.placed, setup)
    conditions, _ = conditions_of(ground)
    turn = rollout(setup.tyre, setup.rollout).value
    return Drive(bike.vehicle(setup.rider_mass), conditions, np.array([ratio]), turn)
