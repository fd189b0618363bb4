"""Each want of a rider judged for many set-ups at once: value, margin, satisfaction."""

from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np

from explorer.calc.course.fastest import ride_course
from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.launch import slowest_clutch_out_speed
from explorer.calc.drivetrain.top_speed import TopSpeed, top_speed
from explorer.calc.engine import curve as engine
from explorer.calc.engine.curve import PowerBand
from explorer.calc.vehicle import FloatArray
from explorer.calc.wants import want_measures
from explorer.calc.wants.want_measures import Answer
from explorer.calc.wants.wants_score import satisfaction
from explorer.records.bikes.bike import Bike
from explorer.records.ground.course import courses
from explorer.records.riding.want_values import ANY_GEAR
from explorer.study.wants.kinds import (
    CornerInOneGear,
    CruiseBelow,
    FewShifts,
    HoldSlope,
    JumpApproach,
    LegalRoadSpeed,
    ShiftOutOfCorner,
    SlowestClutchOut,
    TopSpeedAtLeast,
    Want,
)
from explorer.study.wants.wants_placed import Placed

PULLS_SHARE = 0.5
"""An engine pulls from the speed at which it gives this share of its power. Our choice."""

NO_LIMIT = -1
"""Stands where no limit of speed is spoken of."""

OF_GROUND = (
    SlowestClutchOut,
    CornerInOneGear,
    HoldSlope,
    CruiseBelow,
    TopSpeedAtLeast,
    ShiftOutOfCorner,
    FewShifts,
    LegalRoadSpeed,
)
"""Wants that depend on ratio and ground; the others on which parts are changed."""


@dataclass(frozen=True, eq=False)
class Judged:
    """One want, judged for every set-up.

    Attributes
    ----------
    placed : Placed
        The want on its ground.
    value : array (pairs,)
        What was measured, in SI; NaN where the set-up does not reach it.
    gear : array of int (pairs,)
        Index of the gear that answers, -1 where none does or none is asked for.
    limit : array of int (pairs,)
        Code of :class:`explorer.calc.drivetrain.top_speed.Limit` for a top speed, else `NO_LIMIT`.
    margin : array (pairs,)
        Signed, zero or more where met [SI unit of the want].
    tolerance : float
        Shortfall that halves the satisfaction [SI unit of the want].
    satisfaction : array (pairs,)
        0 to 1 [-].
    unknown : str
        What is missing to judge it, in a sentence; empty where it was judged. Then it counts
        for nothing.
    """

    placed: Placed
    value: FloatArray
    gear: FloatArray
    limit: FloatArray
    margin: FloatArray
    tolerance: float
    satisfaction: FloatArray
    unknown: str = ""

    @property
    def want(self) -> Want:
        """What is wanted."""
        return self.placed.want

    @property
    def weight(self) -> float:
        """Weight in the score; 0 where it could not be judged [-]."""
        return 0.0 if self.unknown else self.placed.weight

    @property
    def met(self) -> FloatArray:
        """Where the want is met, shape (pairs,)."""
        return self.satisfaction == 1.0


class Scene:
    """Many set-ups on one ground.

    Parameters
    ----------
    drive : Drive
        Vehicle, conditions and final drive ratios [SI].
    band : PowerBand
        Power band of the engine [rad/s].
    pulls : float
        Engine speed from which it pulls [rad/s].
    """

    def __init__(self, drive: Drive, band: PowerBand, pulls: float) -> None:
        self.drive, self.band, self.pulls = drive, band, pulls
        self._shifts: dict[str, FloatArray] = {}

    @cached_property
    def top(self) -> TopSpeed:
        """Top speed in every gear."""
        return top_speed(self.drive)

    def shifts(self, course: str) -> FloatArray:
        """Gears changed over a course; NaN where the motorcycle does not get through [count]."""
        if course not in self._shifts:
            ride = ride_course(self.drive, courses()[course].arrays())
            shifts = np.where(np.isnan(ride.time), np.nan, ride.upshifts + ride.downshifts)
            self._shifts[course] = shifts
        return self._shifts[course]


@lru_cache(maxsize=16)
def engine_bands(bike: Bike) -> tuple[PowerBand, float]:
    """Power band, and the engine speed from which the engine pulls [rad/s]."""
    vehicle = bike.vehicle()
    curve = (vehicle.torque_speeds, vehicle.torques)
    return engine.power_band(*curve), engine.power_band(*curve, PULLS_SHARE).low


def tolerance_of(want: Want, limiter: float) -> float:
    """Shortfall that leaves half of the satisfaction. All of them are our choice.

    Parameters
    ----------
    want : Want
        What is wanted.
    limiter : float
        Engine speed at the rev limit [rad/s].

    Returns
    -------
    float
        In the SI unit of the want.
    """
    match want.kind:
        case "clutch-out":
            return 0.1 * want.si("speed")
        case "corner" | "shift-out":
            return 0.05 * limiter
        case "slope":
            return 0.02
        case "cruise" | "legal-road":
            return 0.05 * want.si("engine_speed")
        case "top-speed":
            return 0.05 * want.si("speed")
        case "few-shifts":
            return max(1.0, 0.1 * want.shifts)
        case "keep-chain":
            return 0.002
        case "spend":
            return max(1.0, 0.1 * want.si("amount"))
        case "one-sprocket":
            return 0.5
        case _:  # jump
            return max(0.01, 0.5 * want.si("change"))


def measured(want: Want, scene: Scene) -> tuple[Answer, FloatArray, FloatArray]:
    """Measure a want that depends on ratio and ground.

    Parameters
    ----------
    want : Want
        One of `OF_GROUND`.
    scene : Scene
        Set-ups on its ground.

    Returns
    -------
    tuple of Answer, array (cases,) and array of int (cases,)
        Value with gear, margin, and the limit of a top speed [SI].
    """
    drive, limit = scene.drive, np.full(scene.drive.cases, NO_LIMIT)
    none = np.full(drive.cases, want_measures.NO_GEAR)
    match want:
        case SlowestClutchOut():
            slowest = np.broadcast_to(slowest_clutch_out_speed(drive)[:, 0], (drive.cases,))
            answer = Answer(slowest, np.zeros(drive.cases, int))
            margin = want.speed.si - slowest
        case CornerInOneGear():
            answer = want_measures.room_in_band(drive, want.speed.si, scene.band)
            margin = answer.value
        case HoldSlope():
            gear = None if want.gear == ANY_GEAR else want.gear - 1
            answer = want_measures.slope_held(drive, gear)
            margin = answer.value - want.slope.si
        case CruiseBelow():
            answer = want_measures.cruise_engine_speed(drive, want.speed.si)
            margin = want.engine_speed.si - answer.value
        case TopSpeedAtLeast():
            top = scene.top
            answer, limit = Answer(top.speed, top.gear), top.limit
            margin = top.speed - want.speed.si
        case ShiftOutOfCorner():
            speeds = want.corner_speed.si, want.exit_speed.si
            answer = want_measures.room_out_of_corner(drive, *speeds, want.shifts, scene.pulls)
            margin = answer.value
        case FewShifts():
            shifts = scene.shifts(want.course)
            answer, margin = Answer(shifts, none), want.shifts - shifts
        case LegalRoadSpeed():
            answer = want_measures.cruise_engine_speed(drive, want.speed.si)
            roomy = drive.limiter_speed[..., 0, 0] * (1 - want.reserve.si)
            margin = np.minimum(want.engine_speed.si, roomy) - answer.value
        case _:
            raise TypeError(f"{want.kind} does not depend on the ground.")
    return answer, margin, limit


def missing_gear(want: Want, gears: int) -> str:
    """Sentence that asks for another gear, where the gearbox has none of that number."""
    wanted = getattr(want, "gear", ANY_GEAR)
    if wanted <= gears:
        return ""
    return f"{want.label}: this gearbox has {gears} gears; choose a gear from 1 to {gears}."


def judged_by_ratio(
    placed: Placed, scene: Scene, inverse: FloatArray, gears: int, limiter: float
) -> Judged:
    """Judge a want of `OF_GROUND` for every pair.

    Parameters
    ----------
    placed : Placed
        The want on its ground.
    scene : Scene
        One set-up for each different ratio.
    inverse : array of int (pairs,)
        Which of them each pair is [-].
    gears : int
        Gears of the gearbox [count].
    limiter : float
        Rev limit [rad/s].

    Returns
    -------
    Judged
        For every pair.
    """
    answer, margin, limit = measured(placed.want, scene)
    tolerance = tolerance_of(placed.want, limiter)
    return Judged(
        placed,
        answer.value[inverse],
        answer.gear[inverse],
        limit[inverse],
        margin[inverse],
        tolerance,
        satisfaction(margin, tolerance)[inverse],
        missing_gear(placed.want, gears),
    )


def judged_jump(
    placed: Placed, ratio: FloatArray, turns: tuple[float, float], old_ratio: float, gears: int
) -> Judged:
    """Judge an unchanged jump approach for every pair.

    Parameters
    ----------
    placed : Placed
        The want.
    ratio : array (pairs,)
        Final drive ratios [-].
    turns : tuple of two float
        Roll-out of the tyre ridden until now, and of the chosen one [m].
    old_ratio : float
        Final drive ratio ridden until now [-].
    gears : int
        Gears of the gearbox [count].

    Returns
    -------
    Judged
        Its value is the change of engine speed [-].
    """
    want = placed.want
    assert isinstance(want, JumpApproach)
    change = want_measures.engine_speed_change(ratio, turns[1], old_ratio, turns[0])
    gear = np.full(ratio.shape, want.gear - 1)
    return of_parts(
        placed, change, want.change.si - np.abs(change), gear, missing_gear(want, gears)
    )


def of_parts(
    placed: Placed,
    value: FloatArray,
    margin: FloatArray,
    gear: FloatArray | None = None,
    unknown: str = "",
) -> Judged:
    """Judge a want from a margin that is known for every pair."""
    none = np.full(margin.shape, want_measures.NO_GEAR)
    tolerance = tolerance_of(placed.want, np.nan)
    return Judged(
        placed,
        value,
        none if gear is None else gear,
        np.full(margin.shape, NO_LIMIT),
        margin,
        tolerance,
        satisfaction(margin, tolerance),
        unknown,
    )
