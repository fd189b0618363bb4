"""A ride out and back made from the model, for demo rides and for tests that know the truth.

Each way: pull away through the gears, hold, coast down in neutral, roll on and hold in each gear,
climb at full throttle (down again on the way back), stop. What the satellites and the logger do to
it is added elsewhere.
"""

import dataclasses
from typing import NamedTuple

import numpy as np

from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.top_speed import top_speed
from explorer.calc.motion.run import full_throttle
from explorer.calc.motion.shift_points import shift_points
from explorer.calc.ride.ride_replay import gears_by_rule
from explorer.calc.vehicle import FloatArray

STEP = 0.1
"""Between two moments [s]."""
NEUTRAL = -1
_BRAKING = 2.5
_CLIMB = np.arctan(0.08)
_COAST_DOWN_TO = 6.0
_HOLD = 12.0
"""How long each speed is held [s]."""


class SimulatedRide(NamedTuple):
    """The truth, one value for each moment.

    Attributes:
        time (array (n,)): Evenly spaced [s].
        speed, engine_speed (array (n,)): Road speed and engine speed [m/s, rad/s].
        gear (array of int (n,)): Index of the gear; `NEUTRAL` where coasting [-].
        slope (array (n,)): Angle of the ground in the direction of travel [rad].
        back (array of bool (n,)): Whether it is on the way back.
    """

    time: FloatArray
    speed: FloatArray
    engine_speed: FloatArray
    gear: FloatArray
    slope: FloatArray
    back: FloatArray


def simulate_ride(drive: Drive) -> SimulatedRide:
    """Ride out and back with one gearing.

    Args:
        drive: One case, on level ground [SI].

    Returns: Some minutes [s, m/s, rad/s, rad].

    >>> ride = simulate_ride(example_drive()[0])
    >>> ride.gear.max() + 1, bool(ride.speed[-1] == 0)
    (np.int64(5), True)
    """
    return _Rider(drive).out_and_back()


class _Rider:
    """Adds piece after piece; every piece begins at the speed with which the last one ended."""

    def __init__(self, drive: Drive) -> None:
        self.level = drive
        uphill = dataclasses.replace(drive.conditions, slope=_CLIMB)
        ratio = drive.overall[:, 0, 0] / drive.vehicle.gears[0] / drive.vehicle.primary
        self.climb = Drive(drive.vehicle, uphill, ratio, drive.rollout[:, 0, 0])
        self.quotient = (drive.overall / drive.radius)[0, :, 0]
        self.top = top_speed(drive)
        self.limiter = float(drive.limiter_speed[0, 0, 0])
        self.shift_up = 0.9 * self.limiter
        self.pieces: list[tuple[FloatArray, ...]] = []
        self.back = False

    @property
    def speed(self) -> float:
        return float(self.pieces[-1][0][-1]) if self.pieces else 0.0

    def out_and_back(self) -> SimulatedRide:
        for self.back in (False, True):
            self._one_way()
        speed, gear, slope, back = map(np.concatenate, zip(*self.pieces, strict=True))
        geared = speed * self.quotient[np.maximum(gear, 0)]
        idle, launch = (float(x[0, 0, 0]) for x in (self.level.idle_speed, self.level.launch_speed))
        # Below the launch speed the clutch slips in first gear; standing, the engine idles.
        engine = np.where(
            gear == 0, np.maximum(geared, np.where(speed > 0.3, launch, idle)), geared
        )
        engine = np.where(gear == NEUTRAL, idle, engine)
        return SimulatedRide(STEP * np.arange(len(speed)), speed, engine, gear, slope, back)

    def _one_way(self) -> None:
        self._stand(6.0)
        reached = 0.96 * float(self.top.speed[0])
        self._pull(self.level, reached)
        self._hold()
        self._coast(_COAST_DOWN_TO)
        self._brake(0.0)
        self._stand(4.0)
        self._pull(self.level, 8.0)
        for gear, quotient in enumerate(self.quotient):
            lowest = max(3.5, 0.35 * self.limiter / quotient)
            highest = 0.9 * min(float(self.top.by_gear[0, gear]), self.limiter / quotient)
            if highest < 1.15 * lowest:
                continue
            self._go_to(lowest, gear)
            self._hold(gear)
            self._pull(self.level, highest, gear)
            self._hold(gear)
        self._hill()
        self._brake(0.0)
        self._stand(6.0)

    def _hill(self) -> None:
        gear = min(2, len(self.quotient) - 1)
        pace = 0.6 * self.limiter / self.quotient[gear]
        self._go_to(pace, gear)
        self._hold(gear)
        slope = -_CLIMB if self.back else _CLIMB
        if not self.back:
            held = float(top_speed(self.climb).by_gear[0, gear])
            if held > pace:
                self._pull(self.climb, 0.97 * held, gear, slope)
        self._add(np.full(round((25.0 if self.back else _HOLD) / STEP), self.speed), gear, slope)
        self._hold(gear)

    def _add(self, speed: FloatArray, gear: int | FloatArray, slope: float = 0.0) -> None:
        if len(speed):
            along = (np.broadcast_to(each, speed.shape) for each in (gear, slope, self.back))
            self.pieces.append((speed, *along))

    def _stand(self, duration: float) -> None:
        self._add(np.zeros(round(duration / STEP)), 0)

    def _hold(self, gear: int | None = None) -> None:
        last = int(self.pieces[-1][1][-1]) if gear is None else gear
        self._add(np.full(round(_HOLD / STEP), self.speed), last)

    def _pull(self, drive: Drive, to: float, only: int | None = None, slope: float = 0.0) -> None:
        if to <= self.speed:
            return
        shifts = shift_points(drive, top_speed(drive))
        run = full_throttle(drive, shifts, self.speed, to, only)
        finite = np.isfinite(run.time[0])
        time, speed, gear = run.time[0][finite], run.road_speed[0][finite], run.gear[finite]
        moments = np.arange(STEP, time[-1], STEP)
        row = np.minimum(np.searchsorted(time, moments), len(gear) - 1)
        self._add(np.interp(moments, time, speed), gear[row], slope)

    def _go_to(self, speed: float, gear: int) -> None:
        if speed < self.speed:
            self._brake(speed)
        elif speed > self.speed:
            count = max(round((speed - self.speed) / 1.0 / STEP), 1)
            self._add(np.linspace(self.speed, speed, count), gear)

    def _brake(self, to: float) -> None:
        count = max(round((self.speed - to) / _BRAKING / STEP), 1)
        ramp = np.linspace(self.speed, to, count)
        rule = gears_by_rule(STEP * np.arange(count), ramp, self.quotient, self.shift_up)
        self._add(ramp, rule)

    def _coast(self, to: float) -> None:
        speeds = [self.speed]
        while speeds[-1] > to and len(speeds) < 90.0 / STEP:
            after, _ = self.level.coast_step(np.full((1, 1, 1), speeds[-1]), np.asarray(STEP))
            speeds.append(float(after[0, 0, 0]))
        self._add(np.array(speeds[1:]), NEUTRAL)
