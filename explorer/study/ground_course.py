"""A course ridden by the fitted and the chosen gearing, or by every pair; computed when asked for.

The air comes from the set-up, slope and surface from the course. How sure the times are follows
from mass, drag area, engine power and roll-out; the surfaces of the course are taken as they are.
"""

from dataclasses import dataclass

import numpy as np

from explorer.calc.course.course_ride import CourseRide
from explorer.calc.course.fastest import Course, ride_course
from explorer.calc.drivetrain.drive import Drive
from explorer.calc.gearing import final_ratio
from explorer.calc.statistics.spreads import USUAL_SPREADS, rollout_spreads, varied
from explorer.calc.statistics.uncertainty import Difference, Estimate, difference, estimate
from explorer.calc.vehicle import FloatArray
from explorer.records.bikes.bike import Bike
from explorer.records.setups.setup import Setup, fitted_rollout
from explorer.records.tyre import rollout
from explorer.study.certainty import is_fitted_tyre
from explorer.study.ground_result import CHOSEN, FITTED, drive_of


@dataclass(frozen=True, eq=False)
class CourseResult:
    """One ride of both gearings over a course.

    Attributes
    ----------
    bike, setup : Bike, Setup
        What was ridden.
    course : Course
        Where.
    ride : CourseRide
        Index `FITTED` and `CHOSEN` first; the varied cases behind them.
    time : Estimate
        Time of both, with what each uncertain input contributes [s].
    """

    bike: Bike
    setup: Setup
    course: Course
    ride: CourseRide
    time: Estimate

    @property
    def change(self) -> Difference:
        """Time, chosen less fitted [s]."""
        return difference(self.time, FITTED, CHOSEN)


def ride_both(bike: Bike, setup: Setup, course: Course) -> CourseResult:
    """Ride the course with the fitted and the chosen gearing, and with each input varied.

    Parameters
    ----------
    bike : Bike
        The motorcycle.
    setup : Setup
        What the rider chose.
    course : Course
        Where to ride [SI].

    Returns
    -------
    CourseResult
        Times and speeds [SI].
    """
    drive, rollouts, ratios = drive_of(bike, setup)
    tyres = np.array([0, 0 if is_fitted_tyre(bike, setup) else 1])
    measured = np.array([fitted_rollout(bike, setup) is not None, setup.rollout is not None])
    spreads = (*USUAL_SPREADS, *rollout_spreads(measured, tyres))
    turns = np.array([each.value for each in rollouts])
    cases = Drive(*varied(drive.vehicle, drive.conditions, ratios, turns, spreads))
    ride = ride_course(cases, course)
    return CourseResult(bike, setup, course, ride, estimate(ride.time, len(spreads), None))


@dataclass(frozen=True, eq=False)
class PairRides:
    """Every pair of the sprockets sold for the bike on one course.

    Attributes
    ----------
    front, rear : array (pairs,)
        Teeth, the fastest pair first; pairs that do not get through at the end [count].
    time : array (pairs,)
        NaN where the motorcycle does not get through [s].
    shifts : array (pairs,)
        Gears changed up and down [count].
    time_on_limiter : array (pairs,)
        Time held at the rev limit [s].
    """

    front: FloatArray
    rear: FloatArray
    time: FloatArray
    shifts: FloatArray
    time_on_limiter: FloatArray


def ride_all_pairs(bike: Bike, setup: Setup, course: Course) -> PairRides:
    """Ride the course with every pair of sprockets on the chosen tyre.

    Parameters
    ----------
    bike : Bike
        The motorcycle.
    setup : Setup
        What the rider chose.
    course : Course
        Where to ride [SI].

    Returns
    -------
    PairRides
        Sorted by time [SI].
    """
    fronts, rears = bike.sprockets.front_sold, bike.sprockets.rear_sold
    front, rear = (
        grid.ravel()
        for grid in np.meshgrid(
            np.arange(fronts[0], fronts[1] + 1), np.arange(rears[0], rears[1] + 1), indexing="ij"
        )
    )
    both, _, _ = drive_of(bike, setup)
    turn = rollout(setup.tyre, setup.rollout).value
    drive = Drive(both.vehicle, both.conditions, final_ratio(front, rear), turn)
    ride = ride_course(drive, course)
    order = np.argsort(ride.time, kind="stable")
    return PairRides(
        front[order],
        rear[order],
        ride.time[order],
        (ride.upshifts + ride.downshifts)[order],
        ride.time_on_limiter[order],
    )
