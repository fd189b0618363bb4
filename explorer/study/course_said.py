"""What a course says of two gearings beside the time, on every page alike.

Ridden flat out a course measures racing, a want measures riding; where the two disagree, the page
says so in these sentences.
"""

import numpy as np

from explorer.calc.course.course_ride import CourseRide
from explorer.calc.course.course_rider import RIDERS
from explorer.calc.course.fastest import Course, ride_course
from explorer.calc.vehicle import FloatArray
from explorer.records.ground.course import courses
from explorer.study.question import Question
from explorer.study.wants.mixes import terrains
from explorer.study.wants.wants_link import Wishes
from explorer.units import RPM

SAME_TIME = 0.05
"""Two times closer than this read as equal [s]."""

NOT_THE_TIME = "“Describe your riding” weighs clutch, gear changes and pull, not the time of a lap."

_SAME_ROOM = 20.0
"""Engine speeds closer than this read as equal [rpm]."""


def racing_words(study: Question, wishes: Wishes) -> list[str]:
    """Said beside a recommendation that is slower when the courses of the mix are raced."""
    said = []
    for course_id in dict.fromkeys(terrains()[name].course for name in wishes.mix):
        course = courses()[course_id].arrays(study.setup.tyre_kind)
        lost = _lost(_ridden(study, course, "race"))
        if lost >= SAME_TIME:
            pair, fitted = study.fitments[1].pair, study.fitments[0].pair
            said.append(
                f"Raced over “{courses()[course_id].label}”, {pair} is {lost:.1f} s slower than "
                f"{fitted}. {easy_words(study, course)}"
            )
    return said


def easy_words(study: Question, course: Course) -> str:
    """The first other gearing against the fitted one on a course as wants are judged on it."""
    ride = _ridden(study, course, "easy")
    lost, beside = _lost(ride), beside_time(study, course, ride)
    if not np.isfinite(lost):
        return "Ridden easy, one of the two does not get through."
    slower = f"{abs(lost):.1f} s {'slower' if lost > 0 else 'faster'}"
    time = "as fast" if abs(lost) < SAME_TIME else slower
    return f"Ridden easy, as your riding is judged, it is {', with '.join([time, *beside])}."


def beside_time(study: Question, course: Course, ride: CourseRide) -> list[str]:
    """What the rider feels beside the time, against the fitted one, in one text or none."""
    # Of the times as they are printed, or a reader would not find the difference.
    slipping = float(np.diff(ride.time_slipping[:2].round(1))[0])
    changes = ride.upshifts + ride.downshifts
    shifts = int(changes[1] - changes[0])
    room = room_above_stall(study, course, ride)
    above = float(room[1] - room[0]) / RPM
    said = []
    if abs(slipping) >= SAME_TIME:
        said.append(f"{abs(slipping):.1f} s {_more(slipping)} clutch slip")
    if shifts:
        said.append(f"{abs(shifts)} {_more(shifts, 'fewer')} gear changes")
    if abs(above) >= _SAME_ROOM:
        said.append(
            f"{round(abs(above), -1):.0f} rpm {_more(above)} above stall in the slowest corner"
        )
    return [", ".join(said)] if said else []


def room_above_stall(study: Question, course: Course, ride: CourseRide) -> FloatArray:
    """Engine speed in first gear at the slowest corner ridden through, less idle speed.

    Below zero the clutch has to slip there; NaN without such a corner. One for each set-up [rad/s].
    """
    corners = np.isfinite(course.corner_speed) & (course.corner_speed > 0)
    if not corners.any():
        return np.full(study.count, np.nan)
    at = np.searchsorted(ride.distance, np.cumsum(course.length)[corners] - 1e-6)
    speed = ride.road_speed[: study.count, at]
    slowest = np.min(speed, axis=1, where=speed > 0, initial=np.inf)
    first = (study.drive.overall / study.drive.radius)[:, 0, 0]
    room = slowest * first - study.drive.vehicle.idle_speed
    return np.where(np.isfinite(room), room, np.nan)


def _ridden(study: Question, course: Course, who: str) -> CourseRide:
    return ride_course(study.drive, course, rider=RIDERS[who])


def _lost(ride: CourseRide) -> float:
    return float(ride.time[1] - ride.time[0])


def _more(value: float, less: str = "less") -> str:
    return "more" if value > 0 else less
