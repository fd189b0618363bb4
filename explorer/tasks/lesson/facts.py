"""Every number of the lesson, computed from the bike and the chosen pair; nothing is written in.

Numbers are SI. Index `FITTED` of an array of two is the pair on the bike now, `CHOSEN` the other.
"""

from collections.abc import Mapping
from dataclasses import replace
from functools import cached_property
from typing import NamedTuple

import numpy as np

from explorer import units
from explorer.calc import gearing
from explorer.calc.chain import chain_load
from explorer.calc.drivetrain import forces
from explorer.calc.drivetrain.top_speed import TopSpeed
from explorer.calc.engine import curve as engine
from explorer.calc.sprockets import pitch_diameter
from explorer.calc.vehicle import FloatArray
from explorer.records.bikes.bike import Bike
from explorer.records.fitting.chains import chain_size
from explorer.records.fitting.fit import Measurements
from explorer.records.tyre import rollout
from explorer.study.fit_slack import SlackThroughTravel, slack_result
from explorer.study.study import CHOSEN, FITTED, Study
from explorer.study.table import run_arrays
from explorer.tasks.lesson.state import Lesson, others

SHAFT_TORQUE = 100.0
"""A round number for the lever, at the gearbox's output shaft [N·m]."""

_CLOSED = 1e-3
"""The clutch is closed at an engine speed beyond the launch speed by this share."""

_SHORT_OF = 0.995
"""An upshift above this share of the rev limit counts as one at the rev limit [-]."""

_ROUND_SPEED = 5
"""Speeds asked for are multiples of this in the reader's unit."""

_CLEAR = 0.03
"""Values further apart than this can be told from each other in a question [-]."""

_SEVERAL = 2
"""So many rear teeth are several [count]."""

MOST_REAR_TEETH = 5
"""Rear teeth that are set against one front tooth [count]."""


class Lever(NamedTuple):
    """Forces at the rear wheel from `SHAFT_TORQUE`: pitch radii of the sprockets and rolling radius
    [m], force in the chain and force of the tyre on the ground [N], each (2,)."""

    front_radius: FloatArray
    rear_radius: FloatArray
    wheel_radius: FloatArray
    tension: FloatArray
    pull: FloatArray


class AtOneSpeed(NamedTuple):
    """The engine in every gear that can run at one road speed [m/s], at full throttle.

    Arrays (n,): gears that run there between idle and the rev limit, counted from 1; engine speed
    [rad/s], torque at the crankshaft [N·m], power there [W], and pull that the engine has for the
    tyre [N].
    """

    speed: float
    gears: FloatArray
    engine_speed: FloatArray
    torque: FloatArray
    power: FloatArray
    pull: FloatArray


class Shift(NamedTuple):
    """The upshift that the lesson looks at, with the chosen pair.

    Attributes:
        gear: Gear that is left, counted from 1.
        taken (bool): Whether the next gear is taken at all.
        road_speed, before, after: Where: road speed [m/s], engine speed before and after [rad/s].
        held_back (bool): Whether the ground, or the front wheel, lets less through than the engine
            gives there.
        at_limit (bool): Whether it is only at the rev limit.
        slipping (bool): Whether the next gear's clutch would slip until then.
    """

    gear: int
    taken: bool
    road_speed: float
    before: float
    after: float
    held_back: bool
    at_limit: bool
    slipping: bool


class Need(NamedTuple):
    """A speed that is needed, and pairs of which one is best in the measure and reaches it.

    Attributes:
        speed: Speed needed, round in the reader's units [m/s].
        options: Front and rear teeth, top speed [m/s] and measure [SI] of each, the slowest first.
        right: Which of them is the answer.
    """

    speed: float
    options: tuple[tuple[int, int, float, float], ...]
    right: int


class Facts:
    """The numbers of all steps, each worked out when it is first asked for."""

    def __init__(self, lesson: Lesson, library: Mapping[str, Bike], measured: Measurements) -> None:
        self.lesson, self._library = lesson, library
        self.bike, self.setup = lesson.bike, lesson.setup
        other_id = lesson.other_bike(library)
        self.other = others(library, lesson.setup.bike_id)[other_id]
        self.other_name = self.other.name
        if other_id not in library:  # one of the demo's, among a club's own
            self.other_name += " (invented)"
        self.measured = measured

    def at(self, lesson: Lesson) -> "Facts":
        """The numbers of the same bike, with a lesson set otherwise."""
        return Facts(lesson, self._library, self.measured)

    def shows(self, step: int) -> bool:
        """Whether a step's idea holds for this bike and ground; if not, it is not claimed."""
        if step == 2:
            return bool(self.teeth.for_one_fewer >= _SEVERAL)
        if step == 7:
            return self.shift is not None and self.shift.taken and not self.shift.slipping
        if step == 9:
            return self.slack is not None
        return step != 10 or self.need is not None

    @cached_property
    def result(self) -> Study:
        """What the gearing page computes from the same bike and pair."""
        return Study.of(self.bike, self.setup)

    @property
    def system(self) -> str:
        """Units of the reader."""
        return self.setup.units

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
    def lever(self) -> Lever:
        """Short arm and long arm, with both pairs."""
        front, rear = np.array([(each.front, each.rear) for each in self.result.fitments]).T
        pitch = chain_size(self.bike.chain.size).pitch
        turn = rollout(self.setup.tyre, self.setup.rollout).value
        pull = forces.pull(SHAFT_TORQUE, self.result.ratios, 1.0, turn)
        return Lever(
            front_radius=pitch_diameter(pitch, front) / 2,
            rear_radius=pitch_diameter(pitch, rear) / 2,
            wheel_radius=np.full(2, turn / (2 * np.pi)),
            tension=chain_load.tension(pull, turn, pitch, rear),
            pull=pull,
        )

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

    @cached_property
    def gear_steps(self) -> FloatArray:
        """Step from each gear to the next, less 1, with the fitted and the chosen pair (2, g) [-].

        From the overall ratios, so that it shows whether a sprocket changes a gap.
        """
        overall = self.result.drive.overall[:, :, 0]
        return np.array([gearing.gear_steps(each) for each in overall]) - 1

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
    def fastest_geared(self) -> float:
        """Road speed at the rev limit in top gear with the chosen pair [m/s]."""
        return float(self.result.limiter_speeds[CHOSEN, -1])

    @cached_property
    def at_one_speed(self) -> AtOneSpeed:
        """Torque, power and pull in every gear at the road speed of the lesson."""
        drive = self.result.drive
        speed = min(self.lesson.place.road_speed, self.fastest_geared)
        overall = drive.overall[CHOSEN, :, 0]
        engine_speed = speed * overall / float(drive.radius[CHOSEN, 0, 0])
        runs = (engine_speed >= drive.idle_speed.item()) & (
            engine_speed <= drive.limiter_speed.item() * (1 + 1e-9)
        )
        torque = np.ravel(drive.torque(engine_speed))
        turn = float(drive.rollout[CHOSEN, 0, 0])
        pull = forces.pull(torque, overall, float(drive.efficiency[CHOSEN, 0, 0]), turn)
        return AtOneSpeed(
            speed=speed,
            gears=np.flatnonzero(runs) + 1,
            engine_speed=engine_speed[runs],
            torque=torque[runs],
            power=engine.power(torque, engine_speed)[runs],
            pull=pull[runs],
        )

    @cached_property
    def held(self) -> float:
        """Pull at which the rear tyre spins or the front wheel lifts, the smaller of them [N]."""
        drive = self.result.drive
        return float(min(np.ravel(drive.grip_thrust)[0], np.ravel(drive.wheelie_thrust)[0]))

    @cached_property
    def shift(self) -> Shift | None:
        """The first upshift that comes before the rev limit; else the last that is taken.

        None for a bike with a single gear.
        """
        result = self.result
        if result.drive.gears == 1:
            return None
        drive = result.drive
        per_speed = drive.overall[CHOSEN, :, 0] / float(drive.radius[CHOSEN, 0, 0])
        taken = result.shifts.shifts_up[CHOSEN][:-1]
        # A shift that waits for the next gear's clutch alone does not show the rule.
        turning = result.shifts.exit_speed[CHOSEN, :-1] * per_speed[1:]
        closed = taken & (turning > drive.launch_speed.item() * (1 + _CLOSED))
        taken = closed if closed.any() else taken
        before_limit = result.shifts.exit_speed[CHOSEN] < result.limiter_speeds[CHOSEN] * _SHORT_OF
        early = np.flatnonzero(taken & before_limit[:-1])
        late = np.flatnonzero(taken)
        gear = int(early[0]) if early.size else int(late[-1]) if late.size else 0
        speed = float(result.shifts.exit_speed[CHOSEN, gear])
        limit = drive.limiter_speed.item()
        pull = np.interp(speed, result.road_speed[CHOSEN, gear], result.engine_pull[CHOSEN, gear])
        return Shift(
            gear=gear + 1,
            taken=bool(taken[gear]),
            road_speed=speed,
            before=float(per_speed[gear] * speed),
            after=float(per_speed[gear + 1] * speed),
            held_back=bool(pull > self.held),
            at_limit=float(per_speed[gear] * speed) > limit * _SHORT_OF,
            slipping=bool(taken[gear]) and not closed[gear],
        )

    @cached_property
    def taller(self) -> tuple[float, float, TopSpeed]:
        """With one front tooth more than chosen: final drive ratio [-], speed at the rev limit in
        top gear [m/s], and top speed."""
        taller = replace(self.result.fitments[CHOSEN], front=self.setup.front + 1)
        study = Study(self.bike, self.setup, (taller,))
        return float(study.ratios[0]), float(study.limiter_speeds[0, -1]), study.top

    @cached_property
    def run(self) -> dict[str, FloatArray]:
        """Both pairs from rest at full throttle, at `RUN_TIMES`."""
        return run_arrays(self.result)

    @cached_property
    def slack(self) -> SlackThroughTravel | None:
        """Slack through the travel with the fitted pair; None where the swingarm is not known."""
        fitted = self.setup.model_copy(
            update={"front": self.bike.sprockets.front, "rear": self.bike.sprockets.rear}
        )
        return slack_result(self.bike, fitted, self.measured, 0.0)

    @cached_property
    def need(self) -> Need | None:
        """A speed to reach, half way between the fitted pair's and that of the best in the measure;
        None where the best pairs are too close to call."""
        pairs = self.result.pairs.tradeoff
        front, rear, speed, value = (
            np.ravel(each) for each in (pairs.front, pairs.rear, pairs.top_speed, pairs.value)
        )
        sprockets = self.bike.sprockets
        fitted = np.flatnonzero((front == sprockets.front) & (rear == sprockets.rear))
        line = np.flatnonzero(np.ravel(pairs.best_compromise) & np.isfinite(value))
        if not fitted.size or not line.size:
            return None
        line = line[np.argsort(speed[line], kind="stable")]
        per_unit, _ = units.display(1.0, "speed", self.system)
        half_way = (speed[line[0]] + speed[fitted[0]]) / 2 * per_unit
        asked = round(half_way / _ROUND_SPEED) * _ROUND_SPEED / per_unit
        short = line[speed[line] < asked * (1 - _CLEAR)]
        enough = line[speed[line] >= asked * (1 + _CLEAR / 2)]
        if not short.size or not enough.size:
            return None
        right = enough[0]
        # Beside it the shortest, the last that does not reach it, and a taller one: the fitted
        # pair, or the tallest.
        taller = [each for each in (fitted[0], line[-1]) if speed[each] >= speed[right]]
        taller = [each for each in taller if abs(value[each] / value[right] - 1) > _CLEAR][:1]
        if not taller or abs(value[short[0]] / value[right] - 1) < _CLEAR:
            return None
        options = sorted({short[0], short[-1], right, *taller}, key=lambda each: speed[each])
        return Need(
            speed=asked,
            options=tuple(
                (int(front[each]), int(rear[each]), float(speed[each]), float(value[each]))
                for each in options
            ),
            right=options.index(right),
        )
