"""Wants that no gearing meets and what would; wants that only exclude each other."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.top_speed import Limit, top_speed
from explorer.calc.vehicle import FloatArray
from explorer.calc.wants import want_measures
from explorer.records.bikes.bike import Bike
from explorer.records.riding.want_values import ANY_GEAR
from explorer.records.setups.setup import Setup
from explorer.records.tyre import rollout
from explorer.study.conditions import conditions_of, vehicle_of
from explorer.study.wants.wants_judged import Judged, Scene, engine_bands, measured
from explorer.study.wants.wants_placed import ground_of

_MOST_CONFLICTS = 3

_BEYOND = 5.0
"""How far beyond the shortest and the tallest pair sold a ratio is looked for that would do [-]."""

_RATIO_STEP = 0.01
"""Step between the ratios looked at: finer than one rear tooth [-]."""


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
        Index of the pair that comes nearest to it, of those that can be built where there are; of
        pairs that all do not hold a wanted speed, the fastest.
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
        every = np.ones(ratio.size, bool)
        nearness = _nearness(bike, setup, each, ratio)
        nearest = _nearest(nearness, eligible if eligible.any() else every)
        best = _nearest(nearness, every)
        found.append(_why(bike, setup, number, each, ratio, nearest, best))
    return tuple(found)


def _nearness(
    bike: Bike, setup: Setup, judged: Judged, ratio: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """How near each pair comes to a want: by its margin, and a second number for where it has none.

    A wanted cruise has no margin where no gear holds the speed. Of pairs too slow for it the
    fastest comes nearest; of pairs whose first gear is too fast for it with the clutch out, which
    come nearer still, the shortest.
    """
    want = judged.want
    if want.kind not in ("cruise", "legal-road") or not np.isnan(judged.margin).any():
        return judged.margin, np.zeros(ratio.size)
    short_of_it = top_speed(_drive(bike, setup, judged, ratio)).speed - want.si("speed")
    return judged.margin, np.where(short_of_it < 0, short_of_it, ratio)


def _nearest(nearness: tuple[FloatArray, FloatArray], among: FloatArray) -> int:
    """Index of the pair that comes nearest, of those marked in `among`."""
    margin, otherwise = nearness
    known = among & ~np.isnan(margin)
    if known.any():
        return int(np.argmax(np.where(known, margin, -np.inf)))
    return int(np.argmax(np.where(among, otherwise, -np.inf)))


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
            drive = _drive(bike, setup, judged, ratio[best : best + 1])
            gear = None if want.gear == ANY_GEAR else want.gear - 1
            limit = Limit(int(want_measures.slope_limit(drive, gear)[0]))
            if limit is Limit.GRIP:
                return because(Reason.GRIP)
            if limit is Limit.FRONT_WHEEL_LIFT:
                return because(Reason.BALANCE)
            return because(Reason.NOT_SOLD if shortest else Reason.POWER, True)
        case "top-speed" | "cruise" | "legal-road":
            would = _ratio_that_would(bike, setup, judged, ratio, best)
            if would is None:
                return because(_too_slow(bike, setup, judged, ratio, best))
            if ratio.min() <= would <= ratio.max():
                return because(Reason.BETWEEN)
            return because(Reason.NOT_SOLD, bool(would > ratio.max()))
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


def _ratio_that_would(
    bike: Bike, setup: Setup, judged: Judged, ratio: FloatArray, best: int
) -> float | None:
    """Final drive ratio, sold or not, that meets a want of speed: of several the nearest to best.

    Neither the limit that binds nor the end of the range sold says by itself what another ratio
    would do: beyond the rev limit may wait too little power, and past the power peak more of it.
    """
    low, high = ratio.min() / _BEYOND, ratio.max() * _BEYOND
    tried = np.geomspace(low, high, int(np.log(high / low) / _RATIO_STEP) + 2)
    scene = Scene(_drive(bike, setup, judged, tried), *engine_bands(bike))
    _, margin, _ = measured(judged.want, scene)
    meets = tried[margin >= 0]
    if not meets.size:
        return None
    return float(meets[np.argmin(np.abs(np.log(meets / ratio[best])))])


def _too_slow(bike: Bike, setup: Setup, judged: Judged, ratio: FloatArray, best: int) -> Reason:
    """What keeps every ratio, sold or not, from a wanted speed: the power or the ground."""
    if judged.want.kind != "top-speed" and np.isfinite(judged.margin[best]):
        # It holds the speed, and fewer revolutions would not have the power for it.
        return Reason.POWER
    drive = _drive(bike, setup, judged, ratio[best : best + 1])
    limit = Limit(int(top_speed(drive).limit[0]))
    if limit is Limit.CANNOT_HOLD:
        limit = Limit(int(want_measures.slope_limit(drive)[0]))
    return {Limit.GRIP: Reason.GRIP, Limit.FRONT_WHEEL_LIFT: Reason.BALANCE}.get(
        limit, Reason.POWER
    )


def _drive(bike: Bike, setup: Setup, judged: Judged, ratio: FloatArray) -> Drive:
    ground = ground_of(judged.placed, setup)
    conditions, _ = conditions_of(ground)
    turn = rollout(setup.tyre, setup.rollout).value
    return Drive(vehicle_of(bike, setup), conditions, ratio, turn)
