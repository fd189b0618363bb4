"""Many set-ups on one ground, as wants are measured on them."""

from functools import cached_property, lru_cache

import numpy as np

from explorer.calc.course.course_rider import RIDERS
from explorer.calc.course.fastest import ride_course
from explorer.calc.drivetrain.drive import Drive
from explorer.calc.vehicle import FloatArray
from explorer.records.bikes.bike import Bike
from explorer.records.ground.course import courses
from explorer.records.setups.setup import Setup
from explorer.study.driven import Driven
from explorer.study.engine_figures import EngineFigures, engine_figures
from explorer.study.fit_chain import sold_grid
from explorer.study.question import drive_of


class Scene(Driven):
    """Set-ups of one bike on one ground, with the figures of its engine."""

    def __init__(self, drive: Drive, engine: EngineFigures) -> None:
        super().__init__(drive)
        self.engine = engine
        self._shifts_over: dict[str, FloatArray] = {}

    @cached_property
    def limiter(self) -> FloatArray:
        """Engine speed at the rev limit, shape of the cases or one [rad/s]."""
        return self.drive.limiter_speed[..., 0, 0]

    def shifts_over(self, course: str) -> FloatArray:
        """Gears changed over a course ridden at ease; NaN where it is not got through [count]."""
        if course not in self._shifts_over:
            ride = ride_course(self.drive, courses()[course].arrays(), rider=RIDERS["easy"])
            shifts = np.where(np.isnan(ride.time), np.nan, ride.upshifts + ride.downshifts)
            self._shifts_over[course] = shifts
        return self._shifts_over[course]


def scene_on(bike: Bike, ground: Setup, front: FloatArray, rear: FloatArray) -> Scene:
    """Some pairs of sprockets on the ground, air and tyre of a set-up."""
    return Scene(drive_of(bike, ground, front, rear), engine_figures(bike))


def all_pairs_sold(bike: Bike) -> tuple[FloatArray, FloatArray]:
    """Teeth of all pairs sold for a bike; its file is refused if the fitted one is not one."""
    front, rear = sold_grid(bike)
    return front[front < rear], rear[front < rear]


@lru_cache(maxsize=12)
def scene_of(bike: Bike, ground: Setup) -> Scene:
    """All pairs; what has been computed on it is kept for the next call."""
    return scene_on(bike, ground, *all_pairs_sold(bike))
