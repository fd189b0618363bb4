"""The numbers that steps of the lesson share, computed from the bike and the chosen pair.

What one step alone needs stands in its own file, worked out of these.
Numbers are SI. Index `FITTED` of an array of two is the pair on the bike now, `CHOSEN` the other.
"""

from collections.abc import Callable, Mapping
from functools import cached_property, wraps
from typing import Any, TypeVar

import numpy as np

from explorer import units
from explorer.calc import gearing
from explorer.calc.vehicle import FloatArray
from explorer.records.bikes.bike import Bike
from explorer.records.fitting.fit import Measurements
from explorer.records.ground.surfaces import surfaces
from explorer.records.tyre import rollout
from explorer.study.study import CHOSEN, FITTED, Study
from explorer.tasks.lesson.lesson import Lesson, others

_Found = TypeVar("_Found")

_YARD = 0.9144
"""International yard, by definition [m]."""

MOST_REAR_TEETH = 5
"""Rear teeth that are set against one front tooth [count]."""


class Facts:
    """What all steps ask, each worked out when it is first asked for."""

    def __init__(self, lesson: Lesson, library: Mapping[str, Bike], measured: Measurements) -> None:
        self.lesson, self._library = lesson, library
        self.bike, self.setup = lesson.bike, lesson.setup
        other_id = lesson.other_bike(library)
        self.other = others(library, lesson.setup.bike_id)[other_id]
        self.other_name = self.other.name
        if other_id not in library:  # one of the demo's, among a club's own
            self.other_name += " (invented)"
        self.measured = measured
        self._kept: dict[Callable[[Facts], Any], Any] = {}

    def at(self, lesson: Lesson) -> "Facts":
        """The numbers of the same bike, with a lesson set otherwise."""
        return Facts(lesson, self._library, self.measured)

    def once(self, work: "Callable[[Facts], _Found]") -> _Found:
        """What a step works out of these numbers; worked out when it first asks."""
        if work not in self._kept:
            self._kept[work] = work(self)
        return self._kept[work]

    @cached_property
    def result(self) -> Study:
        """What the gearing page computes from the same bike and pair."""
        return Study.of(self.bike, self.setup)

    @property
    def system(self) -> str:
        """Units of the reader."""
        return self.setup.units

    @property
    def way(self) -> tuple[str, float]:
        """A way of about a metre in the reader's units: its name, and its length [m]."""
        return ("metre", 1.0) if self.system == "metric" else ("yard", _YARD)

    def said(self, value: float, kind: str) -> str:
        """An SI value with the reader's unit."""
        return units.text(float(value), kind, self.system)

    @property
    def fitted(self) -> str:
        """The pair on the bike now, such as "13/50"."""
        return f"{self.bike.sprockets.front}/{self.bike.sprockets.rear}"

    @property
    def chosen(self) -> str:
        """The chosen pair."""
        return f"{self.setup.front}/{self.setup.rear}"

    @property
    def instead(self) -> str:
        """The chosen pair, and that it is not the fitted one."""
        return (
            f"{self.chosen} instead of {self.fitted}" if self.chosen != self.fitted else self.chosen
        )

    @property
    def where(self) -> str:
        """Ground and air, short: they decide what a speed or a shift point is."""
        setup = self.setup
        slope = f"{100 * setup.slope:g} % slope" if setup.slope else "level"
        return (
            f"{surfaces()[setup.surface].label}, {slope}, "
            f"{self.said(setup.altitude, 'altitude')} altitude"
        )

    @cached_property
    def fitted_ratio(self) -> float:
        """Final drive ratio fitted [-]."""
        return float(self.result.ratios[FITTED])

    @cached_property
    def chosen_ratio(self) -> float:
        """Final drive ratio chosen [-]."""
        return float(self.result.ratios[CHOSEN])

    @cached_property
    def pull_change(self) -> float:
        """Change of pull from the fitted to the chosen pair [-]."""
        return float(gearing.pull_change(self.fitted_ratio, self.chosen_ratio))

    @cached_property
    def speed_change(self) -> float:
        """Change of speed at the same engine speed, fitted to chosen pair [-]."""
        return float(gearing.speed_change(self.fitted_ratio, self.chosen_ratio))

    @cached_property
    def teeth(self) -> gearing.RearTeeth:
        """Rear teeth worth one front tooth, at the fitted pair."""
        return gearing.rear_teeth_per_front_tooth(
            self.bike.sprockets.front, self.bike.sprockets.rear
        )

    @cached_property
    def front_tooth(self) -> float:
        """Change of pull by one front tooth fewer, at the fitted pair [-]."""
        front, rear = self.bike.sprockets.front, self.bike.sprockets.rear
        return float(gearing.pull_change(self.fitted_ratio, gearing.final_ratio(front - 1, rear)))

    @cached_property
    def rear_teeth(self) -> FloatArray:
        """Change of pull by 1, 2, … rear teeth more, at the fitted pair [-]."""
        more = np.arange(1, MOST_REAR_TEETH + 1)
        front, rear = self.bike.sprockets.front, self.bike.sprockets.rear
        return gearing.pull_change(self.fitted_ratio, gearing.final_ratio(front, rear + more))

    def overall_of(self, bike: Bike) -> FloatArray:
        """Overall ratio of every gear of a bike with the chosen pair [-]."""
        vehicle = bike.vehicle()
        return gearing.overall_ratio(
            vehicle.primary, vehicle.gears, self.setup.front, self.setup.rear
        )

    def turns_per_metre(self, bike: Bike) -> FloatArray:
        """Engine turns for a metre of road in every gear of a bike with the chosen pair [1/m]."""
        if bike is self.bike:
            turn = rollout(self.setup.tyre, self.setup.rollout).value
        else:
            measured = bike.tyre.rollout
            turn = rollout(bike.tyre.rear, None if measured is None else measured.si).value
        return self.overall_of(bike) / turn

    @cached_property
    def held(self) -> float:
        """Pull at which the rear tyre spins or the front wheel lifts, the smaller of them [N]."""
        drive = self.result.drive
        return float(min(np.ravel(drive.grip_thrust)[0], np.ravel(drive.wheelie_thrust)[0]))

    @property
    def beyond_held(self) -> str:
        """What happens beyond that pull."""
        drive = self.result.drive
        lifts = float(np.ravel(drive.wheelie_thrust)[0]) < float(np.ravel(drive.grip_thrust)[0])
        return "The front wheel lifts" if lifts else "The rear tyre spins"

    @cached_property
    def fastest_geared(self) -> float:
        """Road speed at the rev limit in top gear with the chosen pair [m/s]."""
        return float(self.result.limiter_speeds[CHOSEN, -1])


def kept(work: Callable[[Facts], _Found]) -> Callable[[Facts], _Found]:
    """Make a function of the facts that works its result out once, however often it is asked."""

    @wraps(work)
    def asked(facts: Facts) -> _Found:
        return facts.once(work)

    return asked
