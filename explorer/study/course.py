"""A course ridden by every set-up of a study, or by every pair; worked out when asked for.

The air comes from the set-up, slope and surface from the course. How sure the times are follows
from all that is uncertain but the surfaces of the course, which are taken as they are.
"""

from dataclasses import dataclass

import numpy as np

from explorer.calc.course.course_ride import CourseRide
from explorer.calc.course.course_rider import RIDERS
from explorer.calc.course.fastest import Course, ride_course
from explorer.calc.statistics.sampling import Change, Sampled
from explorer.calc.vehicle import FloatArray
from explorer.study.certainty import spreads_of
from explorer.study.fit_chain import sold_grid
from explorer.study.question import Question, drive_of


@dataclass(frozen=True, eq=False)
class CourseResult:
    """One ride of all set-ups over a course.

    Attributes:
        ride: The set-ups first, the fitted one at their head; the drawn cases behind them.
        time: Time of each, with its 95 % interval; NaN where it does not get through [s].
    """

    study: Question
    course: Course
    ride: CourseRide
    time: Sampled

    def change(self, index: int = 1) -> Change:
        """Time of a set-up less that of the fitted one [s]."""
        return self.time.change(0, index)

    def shifts(self, index: int) -> int:
        """Gears changed up and down [count]."""
        return int(self.ride.upshifts[index] + self.ride.downshifts[index])


def ride_all(study: Question, course: Course) -> CourseResult:
    """Ride a course with every set-up of a study, and with all inputs drawn [SI]."""
    cases = study.drawn(spreads_of(study.fitments)).drive
    ride = ride_course(cases, course, rider=RIDERS[study.setup.course_rider])
    return CourseResult(study, course, ride, Sampled.of(ride.time, study.count))


@dataclass(frozen=True, eq=False)
class PairRides:
    """Every pair of the sprockets sold for the bike on one course, the fastest first; (pairs,).

    Attributes:
        time: NaN, and at the end, where the motorcycle does not get through [s].
        shifts: Gears changed up and down [count].
        time_on_limiter: Time held at the rev limit [s].
    """

    front: FloatArray
    rear: FloatArray
    time: FloatArray
    shifts: FloatArray
    time_on_limiter: FloatArray


def ride_pairs(study: Question, course: Course) -> PairRides:
    """Ride a course with every pair of sprockets on the chosen tyre, sorted by time [SI]."""
    front, rear = sold_grid(study.bike)
    drive = drive_of(study.bike, study.setup, front, rear)
    ride = ride_course(drive, course, rider=RIDERS[study.setup.course_rider])
    columns = front, rear, ride.time, ride.upshifts + ride.downshifts, ride.time_on_limiter
    order = np.argsort(ride.time, kind="stable")
    return PairRides(*(column[order] for column in columns))
