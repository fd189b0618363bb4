"""Up to four set-ups on one motorcycle and one ground, computed once per change in one array.

Index `FITTED` is the gearing and tyre on the motorcycle now, the others follow in their order on
the page. Behind them in every array stand the same set-ups with each uncertain input moved up
and down, so that one computation gives every number, its uncertainty, and the uncertainty of each
difference. All numbers are SI.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from explorer.calc import gearing
from explorer.calc.course.course_ride import CourseRide
from explorer.calc.course.fastest import ride_course
from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.launch import slowest_clutch_out_speed
from explorer.calc.drivetrain.top_speed import TopSpeed, top_speed
from explorer.calc.drivetrain.tradeoff import TradeOff, all_pairs
from explorer.calc.engine import curve as engine
from explorer.calc.motion.shift_points import ShiftPoints, shift_points
from explorer.calc.statistics.spreads import (
    USUAL_SPREADS,
    Spread,
    rollout_spreads,
    surface_spreads,
    varied,
)
from explorer.calc.statistics.uncertainty import Difference, Estimate, difference, estimate
from explorer.calc.vehicle import FloatArray
from explorer.calc.wants.want_measures import cruise_engine_speed
from explorer.records.bikes.bike import Bike
from explorer.records.ground.course import courses
from explorer.records.ground.course_ids import DEFAULT_COURSE
from explorer.records.ground.surfaces import surfaces
from explorer.records.setups.comparison import Fitment
from explorer.records.setups.setup import Setup
from explorer.records.tyre import parse_size, rollout
from explorer.study.gearing_result import LARGER_IS_BETTER, conditions_of, measure_of

FITTED = 0

_CURVE_POINTS = 25


@dataclass(frozen=True, eq=False)
class CompareResult:
    """One computation of the page, the course left aside.

    Attributes
    ----------
    bike, setup : Bike, Setup
        What it was computed from.
    fitments : tuple of Fitment
        The fitted set-up first.
    ratios, rollouts : array (set_ups,)
        Final drive ratios [-] and roll-outs [m].
    drive : Drive
        The set-ups, then the varied cases.
    top : TopSpeed
        Top speeds of the set-ups and of the varied cases [m/s].
    shifts : ShiftPoints
        Best shift points [m/s].
    road_speed, engine_pull, pull : array (set_ups, gears, points)
        From idle to the rev limit: road speed [m/s], pull the engine has for the tyre and pull
        that grip and balance let through [N].
    power_band : PowerBand
        Engine speeds between which the engine gives 90 % of its power [rad/s].
    estimates : dict of str to Estimate
        By name: "pull" in first gear [N], "geared" speed at the rev limit in top gear [m/s],
        "top" speed [m/s], the picked "measure", "cruise" engine speed [rad/s] and "clutch-out"
        speed in first gear [m/s].
    cruise_gear : array of int (set_ups,)
        Index of the highest gear that holds the cruise speed, -1 where none does [-].
    pairs : TradeOff
        Every pair of the sprockets sold for the bike on the fitted tyre: the ground of a chart.
    """

    bike: Bike
    setup: Setup
    fitments: tuple[Fitment, ...]
    ratios: FloatArray
    rollouts: FloatArray
    drive: Drive
    top: TopSpeed
    shifts: ShiftPoints
    road_speed: FloatArray
    engine_pull: FloatArray
    pull: FloatArray
    power_band: engine.PowerBand
    estimates: dict[str, Estimate]
    cruise_gear: FloatArray
    pairs: TradeOff

    @property
    def count(self) -> int:
        """Number of set-ups, the fitted one included [count]."""
        return len(self.fitments)

    def change(self, name: str, index: int) -> Difference:
        """One figure of a set-up less that of the fitted one, with its own uncertainty."""
        return difference(self.estimates[name], FITTED, index)


@dataclass(frozen=True, eq=False)
class CompareCourse:
    """One ride of all set-ups over a course.

    Attributes
    ----------
    label : str
        Name of the course.
    ride : CourseRide
        The set-ups, then the varied cases.
    time : Estimate
        Time of each, NaN where it does not get through [s].
    """

    label: str
    ride: CourseRide
    time: Estimate

    def change(self, index: int) -> Difference:
        """Time of a set-up less that of the fitted one [s]."""
        return difference(self.time, FITTED, index)

    def shifts(self, index: int) -> int:
        """Gears changed up and down [count]."""
        return int(self.ride.upshifts[index] + self.ride.downshifts[index])


def all_of(bike: Bike, others: tuple[Fitment, ...]) -> tuple[Fitment, ...]:
    """The fitted set-up, then the others."""
    return (Fitment.fitted_to(bike, *others), *others)


def compute(bike: Bike, setup: Setup, others: tuple[Fitment, ...]) -> CompareResult:
    """Compute everything but the course.

    Parameters
    ----------
    bike : Bike
        The motorcycle, with what is fitted now.
    setup : Setup
        Ground, air, rider and measure; its own sprockets and tyre do not count.
    others : tuple of Fitment
        The set-ups beside the fitted one.

    Returns
    -------
    CompareResult
        All set-ups [SI].
    """
    fitments = all_of(bike, others)
    count = len(fitments)
    ratios, turns = _ratios(fitments), _rollouts(fitments)
    surface = surfaces()[setup.surface]
    spreads = (
        *USUAL_SPREADS,
        *surface_spreads(
            surface.rolling_low, surface.rolling_high, surface.grip_low, surface.grip_high
        ),
        *_tyre_spreads(fitments),
    )
    conditions, _ = conditions_of(setup)
    drive = Drive(*varied(bike.vehicle(setup.rider_mass), conditions, ratios, turns, spreads))
    top = top_speed(drive)
    shifts = shift_points(drive, top)
    engine_speed = drive.idle_speed + np.linspace(0, 1, _CURVE_POINTS) * (
        drive.limiter_speed - drive.idle_speed
    )
    road_speed = engine_speed * drive.radius / drive.overall
    engine_pull = drive.pull(drive.torque(engine_speed), drive.overall)
    pull = np.minimum(engine_pull, np.minimum(drive.grip_thrust, drive.wheelie_thrust))
    cruise = cruise_engine_speed(drive, setup.cruise_speed)
    in_top = (drive.limiter_speed * drive.radius / drive.overall)[:, -1, 0]
    values = {
        "pull": pull[:, 0].max(axis=1),
        "geared": in_top,
        "top": top.speed,
        "measure": measure_of(setup)(drive, shifts),
        "cruise": cruise.value,
        "clutch-out": slowest_clutch_out_speed(drive)[:, 0],
    }
    curve = bike.engine.torque_curve
    return CompareResult(
        bike=bike,
        setup=setup,
        fitments=fitments,
        ratios=ratios,
        rollouts=turns,
        drive=drive,
        top=top,
        shifts=shifts,
        road_speed=road_speed[:count],
        engine_pull=engine_pull[:count],
        pull=pull[:count],
        power_band=engine.power_band(curve.speeds, curve.torques),
        estimates={name: estimate(value, len(spreads), None) for name, value in values.items()},
        cruise_gear=cruise.gear[:count],
        pairs=_pairs(bike, fitments[FITTED].on(setup).model_copy(update=_NOT_IN_PAIRS)),
    )


def ride(bike: Bike, setup: Setup, others: tuple[Fitment, ...]) -> CompareCourse:
    """Ride the course of the set-up with every set-up, and with each input varied.

    Parameters
    ----------
    bike : Bike
        The motorcycle, with what is fitted now.
    setup : Setup
        Air, rider and course; slope and surface come from the course.
    others : tuple of Fitment
        The set-ups beside the fitted one.

    Returns
    -------
    CompareCourse
        Times [s]; the surfaces are taken as they stand in the course.
    """
    fitments = all_of(bike, others)
    spreads = (*USUAL_SPREADS, *_tyre_spreads(fitments))
    conditions, _ = conditions_of(setup)
    vehicle = bike.vehicle(setup.rider_mass)
    cases = varied(vehicle, conditions, _ratios(fitments), _rollouts(fitments), spreads)
    course = courses()[setup.course]
    ridden = ride_course(Drive(*cases), course.arrays())
    return CompareCourse(course.label, ridden, estimate(ridden.time, len(spreads), None))


def _ratios(fitments: tuple[Fitment, ...]) -> FloatArray:
    front, rear = (np.array([getattr(each, end) for each in fitments]) for end in ("front", "rear"))
    return gearing.final_ratio(front, rear)


def _rollouts(fitments: tuple[Fitment, ...]) -> FloatArray:
    return np.array([rollout(each.tyre, each.rollout).value for each in fitments])


def _tyre_spreads(fitments: tuple[Fitment, ...]) -> tuple[Spread, ...]:
    """One roll-out for each different tyre: the same tyre errs alike on every set-up."""
    tyres = [(parse_size(each.tyre).text, each.rollout) for each in fitments]
    return rollout_spreads(
        np.array([each.rollout is not None for each in fitments]),
        np.array([tyres.index(each) for each in tyres]),
    )


_NOT_IN_PAIRS = {
    "cruise_speed": 10.0,
    "shift_at": None,
    "course": DEFAULT_COURSE,
    "units": "metric",
}
"""What the map of all pairs does not depend on, set to one value so that it is found again."""


@lru_cache(maxsize=2)
def _pairs(bike: Bike, setup: Setup) -> TradeOff:
    fronts, rears = bike.sprockets.front_sold, bike.sprockets.rear_sold
    conditions, _ = conditions_of(setup)
    return all_pairs(
        bike.vehicle(setup.rider_mass),
        conditions,
        np.arange(fronts[0], fronts[1] + 1),
        np.arange(rears[0], rears[1] + 1),
        rollout(setup.tyre, setup.rollout).value,
        measure_of(setup),
        setup.measure in LARGER_IS_BETTER,
    )
