"""What is known of a bike on a ground with several set-ups: the one thing that every page asks.

A study is an immutable question. Each answer is worked out when it is first asked for, and kept;
what no move of a sprocket changes (the map of all pairs, the engine's figures) is found again by
the next study. A page that has to roll back when something cannot be worked out asks for all that
it shows before it touches a widget.

Index `FITTED` of every array is what is on the motorcycle now; the others follow in the order of
the page, on a page with two the `CHOSEN` one. All numbers are SI.
"""

from collections.abc import Callable
from functools import cached_property
from operator import attrgetter
from typing import NamedTuple, Self, cast

import numpy as np

from explorer.calc.drivetrain.binding_limits import Stretches, stretches
from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.hills import GearForSpeed, gear_for_speed
from explorer.calc.drivetrain.launch import Launch, launch
from explorer.calc.drivetrain.wheel_slip import WheelSlip, wheel_slip
from explorer.calc.engine.engine_braking import (
    MOTORING_SHARES,
    EngineBraking,
    coasting_deceleration,
    engine_braking,
)
from explorer.calc.motion import measures
from explorer.calc.motion.shift_points import ShiftPoints
from explorer.calc.motion.shift_strategy import (
    ShiftWorth,
    Strategies,
    compare_strategies,
    worth_of_each_shift,
)
from explorer.calc.statistics.sampling import (
    Band,
    Change,
    Sampled,
    alone,
    drawn,
    each_alone,
)
from explorer.calc.statistics.spreads import Spread
from explorer.calc.vehicle import FloatArray
from explorer.calc.wants.want_measures import cruise_engine_speed
from explorer.records.ground.course import courses
from explorer.records.setups.setup import Setup
from explorer.study.certainty import spreads_of
from explorer.study.course import CourseResult, ride_all
from explorer.study.driven import Driven
from explorer.study.engine_figures import EngineFigures, engine_figures
from explorer.study.goals import (
    BY_SHIFTING,
    WALKING_PACE,
    best_goal_of,
    goal_of,
    measure_of,
    shift_speed,
)
from explorer.study.pairs import Pairs, pairs_of
from explorer.study.question import Question, surface_of

FITTED, CHOSEN = 0, 1

_AT_ONCE = 1024
"""Most cases worked out at once: the rows of a bench, drawn, are 16,000, of which a kernel would
not have the memory to find the steepest slopes (tests/net/page_said.py has half of it)."""

FIGURES: dict[str, Callable[[Driven, Setup], FloatArray]] = {
    "top": lambda driven, setup: driven.top.speed,
    "measure": lambda driven, setup: measure_of(setup)(
        driven.drive, driven.shifts if setup.measure in BY_SHIFTING else cast(ShiftPoints, None)
    ),
    "goal": lambda driven, setup: best_goal_of(setup)(driven.drive, driven.shifts),
    "pull": lambda driven, setup: driven.pull[:, 0].max(axis=1),
    "geared": lambda driven, setup: driven.limiter_speeds[:, -1],
    "cruise": lambda driven, setup: cruise_engine_speed(driven.drive, setup.cruise_speed).value,
    "clutch-out": lambda driven, setup: driven.clutch_out[:, 0],
    "steepest": lambda driven, setup: np.tan(driven.steepest_slope).max(axis=1),
    "clutch-heat": lambda driven, setup: launch(driven.drive).clutch_energy,
}
"""Figures of which a study knows how sure they are: top speed [m/s], the picked measure, time to
the goal [s], largest pull in first gear [N], speed at the rev limit in top gear [m/s], engine
speed at the cruise speed [rad/s], slowest speed with the clutch out in first gear [m/s], steepest
slope held [-], heat in the clutch at a start in first gear [J]."""

GEAR_FIGURES: dict[str, Callable[[Driven], FloatArray]] = {
    "steepest": lambda driven: np.tan(driven.steepest_slope),
    "held": lambda driven: driven.top.by_gear,
    "clutch-out": lambda driven: driven.clutch_out,
}
"""The same for every gear, (set_ups, gears): steepest slope held [-], speed held on the set slope,
0 where none is [m/s], slowest speed with the clutch out [m/s]."""


class Sure(NamedTuple):
    """Top speed [m/s] and the picked measure, both with their intervals."""

    top_speed: Sampled
    value: Sampled


class Study(Question):
    """A question, and every answer to it."""

    def ask(self, *names: str) -> Self:
        """Work out some answers at once, such as "sure" or "pairs.tradeoff": a fault in one of
        them then comes before anything is painted."""
        for name in names:
            attrgetter(name)(self)
        return self

    @cached_property
    def walking_pull(self) -> FloatArray:
        """Pull at walking pace in first gear, for each set-up [N]."""
        return measures.walking_pull(self.drive, WALKING_PACE)

    # The engine alone.

    @cached_property
    def engine(self) -> EngineFigures:
        """Peaks and bands of the torque curve."""
        return engine_figures(self.bike)

    peak_torque = property(attrgetter("engine.peak_torque"))
    peak_power = property(attrgetter("engine.peak_power"))
    power_band = property(attrgetter("engine.power_band"))

    # How sure the figures are.

    @cached_property
    def spreads(self) -> tuple[Spread, ...]:
        """What is uncertain."""
        return spreads_of(self.fitments, surface_of(self.setup))

    @cached_property
    def _as_varied(self) -> Driven:
        """The set-ups, then the same with each uncertain input moved by itself."""
        return Driven(Drive(*each_alone(*self._cases, self.spreads)))

    @cached_property
    def _as_drawn(self) -> tuple[Driven, ...]:
        cases = drawn(*self._cases, self.spreads)
        return tuple(Driven(Drive(*some)) for some in cases.in_parts(_AT_ONCE))

    @cached_property
    def _estimates(self) -> dict[str, Sampled]:
        return {}

    def sensitivity(self, name: str) -> tuple[Band, Band]:
        """95 % intervals that each uncertain input by itself gives one of `FIGURES`, and its
        difference to the fitted set-up's, (inputs, set_ups)."""
        rows = FIGURES[name](self._as_varied, self.setup).reshape(-1, self.count)
        return alone(rows), alone(rows - rows[:, [FITTED]])

    def estimate(self, name: str) -> Sampled:
        """One of `FIGURES` for each set-up, with its 95 % interval."""
        if name not in self._estimates:
            values = [FIGURES[name](each, self.setup) for each in self._as_drawn]
            self._estimates[name] = Sampled.of(np.concatenate(values), self.count)
        return self._estimates[name]

    def in_gear(self, name: str, gear: int) -> Sampled:
        """One of `GEAR_FIGURES` for each set-up in one gear, with its 95 % interval."""
        values = [GEAR_FIGURES[name](each)[:, gear] for each in self._as_drawn]
        return Sampled.of(np.concatenate(values), self.count)

    def change(self, name: str, index: int = CHOSEN) -> Change:
        """One of `FIGURES` of a set-up less that of the fitted one, with its own interval."""
        return self.estimate(name).change(FITTED, index)

    def relative(self, name: str) -> Change:
        """Share by which one of `FIGURES` is more with the chosen set-up than with the fitted one,
        with its own interval [-]."""
        value, draws = self.estimate(name)
        of_fitted = Sampled(value / value[FITTED], draws / draws[:, [FITTED]])
        return of_fitted.change(FITTED, CHOSEN)

    @property
    def sure(self) -> Sure:
        """Top speed and the picked measure."""
        return Sure(self.estimate("top"), self.estimate("measure"))

    @property
    def measure(self) -> FloatArray:
        """The picked measure of each set-up; NaN where it is not reached."""
        return self.estimate("measure").value

    # All pairs.

    @cached_property
    def pairs(self) -> Pairs:
        """Every pair of the sprockets sold for the bike, on the tyre of `setup`."""
        return pairs_of(self.bike, self.setup)

    # On the ground.

    @cached_property
    def away(self) -> Launch:
        """Pulling away in first gear."""
        return launch(self.drive)

    @cached_property
    def at_cruise(self) -> GearForSpeed:
        """Which gears hold the cruise speed on the set slope."""
        return gear_for_speed(self.drive, self.setup.cruise_speed)

    @cached_property
    def coasting(self) -> FloatArray:
        """Deceleration at the cruise speed with the clutch in, for each set-up [m/s²]."""
        slowed = coasting_deceleration(self.drive, np.array([self.setup.cruise_speed]))
        return np.broadcast_to(slowed.ravel(), self.count)

    @cached_property
    def braking(self) -> EngineBraking:
        """Throttle closed in gear at the cruise speed, (set_ups, gears, 1); estimated where the
        bike file does not say what the engine holds back."""
        curve = self.bike.engine.motoring_curve
        if curve is not None:
            return engine_braking(self.drive, curve.speeds, curve.torques, self.setup.cruise_speed)
        return self._estimated_braking(MOTORING_SHARES[1])

    @cached_property
    def braking_bounds(self) -> tuple[EngineBraking, EngineBraking] | None:
        """The same with the least and the most that an engine may hold back; None where the bike
        file says it."""
        if self.bike.engine.motoring_curve is not None:
            return None
        low, _, high = MOTORING_SHARES
        return self._estimated_braking(low), self._estimated_braking(high)

    def _estimated_braking(self, share: float) -> EngineBraking:
        vehicle = self.drive.vehicle
        torque = np.full(2, share * vehicle.torques.max())
        speeds = vehicle.torque_speeds[[0, -1]]
        return engine_braking(self.drive, speeds, torque, self.setup.cruise_speed)

    @cached_property
    def throttle_at_grip(self) -> FloatArray:
        """Share of throttle at which the tyre spins or the front wheel lifts at the engine speed
        of the greatest torque, (set_ups, gears); NaN where full throttle is not too much [-]."""
        return measures.throttle_at_grip(self.drive, self.peak_torque.engine_speed)

    @cached_property
    def throttle_at_cruise(self) -> FloatArray:
        """Share of throttle that holds the cruise speed in each gear, (set_ups, gears) [-]."""
        speed = self.setup.cruise_speed
        gears = range(self.drive.gears)
        return np.stack([measures.throttle_to_hold(self.drive, speed, g) for g in gears], axis=1)

    @cached_property
    def over_target(self) -> tuple[FloatArray, measures.SpeedCurve]:
        """Time to speeds about the one to reach [m/s], and the gear changes on the way."""
        speeds = self.setup.target_speed * np.linspace(0.8, 1.2, 17)
        return speeds, measures.time_over_target(self.drive, self.shifts, speeds)

    @cached_property
    def more_changes(self) -> FloatArray:
        """Gear changes before the speed to reach, more than with the fitted set-up: a difference
        of the times hangs on them, for each set-up [count]."""
        target = np.array([self.setup.target_speed])
        changes = measures.time_over_target(self.drive, self.shifts, target).changes[:, 0]
        return changes - changes[FITTED]

    @cached_property
    def slip(self) -> WheelSlip:
        """Slip of the rear tyre at full throttle from idle to the rev limit, (set_ups, gears,
        points)."""
        most = np.minimum(self.drive.grip_thrust, self.drive.wheelie_thrust)
        asked = np.minimum(self.engine_pull, most)
        modulus = surface_of(self.setup).slip_modulus
        return wheel_slip(asked, self.drive.grip_thrust, self.road_speed, modulus)

    @property
    def shift_at(self) -> float:
        """Engine speed at which the rider changes up [rad/s]."""
        return shift_speed(self.bike, self.setup)

    @cached_property
    def strategies(self) -> Strategies:
        """Time to the goal with each way of changing up [s]."""
        goal, best = goal_of(self.setup), best_goal_of(self.setup)
        return compare_strategies(self.drive, self.top, goal, self.shift_at, best)

    @cached_property
    def worth(self) -> ShiftWorth:
        """What each shift is worth for the goal [s]."""
        return worth_of_each_shift(self.drive, self.shifts, goal_of(self.setup))

    @cached_property
    def stretches(self) -> Stretches:
        """What binds in each gear, from rest to the rev limit [m/s]."""
        return stretches(self.drive)

    @property
    def on_course(self) -> CourseResult:
        """A ride over the course of the set-up, each time anew: kept here, it would keep us."""
        return ride_all(self, courses()[self.setup.course].arrays(self.setup.tyre_kind))
