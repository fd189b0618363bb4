"""A rider's wants worked out again for one pair of sprockets, the slow way: an independent script.

Plain loops over gears and engine speeds, the balances of forces and moments written out anew, and
scipy's root finding in place of the house's closed forms and bisections. Shared with the house are
the numbers of the bike, the air and the surface, the shape of the torque curve (scipy's PCHIP
through its points) and, for the number of shifts over a course, the ride itself, called for one
pair at a time: the ride has its own reference in tests/calc/course/reference_course.py.
"""

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq, minimize_scalar

from explorer.calc.course.course_rider import CourseRider
from explorer.calc.course.fastest import ride_course
from explorer.calc.drivetrain.drive import Drive
from explorer.records.fitting.chains import chain_size
from explorer.records.ground.course import courses
from explorer.records.tyre import rollout
from explorer.study.question import conditions_of
from explorer.study.wants.kinds import read_want
from tests.study.wants.oracles import ORACLES

G = 9.80665
ENGINE_SPEEDS = 48
"""Engine speeds at which a slope is tried, as many as in the house, evenly from idle to limit."""


def straight_root(line):
    """Root of a straight line from two of its points."""
    first, second = line(0.0), line(1000.0)
    return 1000.0 * first / (first - second)


class OnePair:
    """One pair of sprockets on one bike and one ground."""

    def __init__(self, bike, ground, front, rear):
        self.bike, self.ground, self.front, self.rear = bike, ground, front, rear
        self.vehicle = bike.vehicle(ground.rider_mass)
        self.air, _ = conditions_of(ground)
        self.turn = rollout(ground.tyre, ground.rollout).value
        self.curve = PchipInterpolator(self.vehicle.torque_speeds, self.vehicle.torques)
        self.gears = range(len(self.vehicle.gears))
        self.idle = float(self.vehicle.idle_speed)
        self.limiter = float(self.vehicle.limiter_speed)

    @property
    def chain_efficiency(self):
        """Each link bends by 360°/z on either sprocket and loses in proportion to both bends."""

        def bent(front, rear):
            return 360 / front + 360 / rear

        fitted = self.bike.sprockets
        lost = 1 - float(self.vehicle.chain_efficiency)
        return 1 - lost * bent(self.front, self.rear) / bent(fitted.front, fitted.rear)

    @property
    def changed(self):
        """Whether the front and the rear sprocket are other than fitted."""
        fitted = self.bike.sprockets
        return self.front != fitted.front, self.rear != fitted.rear

    def fitted(self):
        """The pair on the bike now, on the same ground."""
        fitted = self.bike.sprockets
        return OnePair(self.bike, self.ground, fitted.front, fitted.rear)

    def torque(self, engine_speed):
        first, last = self.vehicle.torque_speeds[0], self.vehicle.torque_speeds[-1]
        held = min(max(engine_speed, first), last)
        return float(self.air.power_factor) * float(self.curve(held))

    def engine_speed(self, gear, speed):
        """Turns of the crankshaft per second of angle: wheel turns times all reductions."""
        wheel_turns = speed / self.turn
        reductions = float(self.vehicle.primary) * float(self.vehicle.gears[gear])
        return 2 * math.pi * wheel_turns * reductions * self.rear / self.front

    def road_speed(self, gear, engine_speed):
        return engine_speed / self.engine_speed(gear, 1.0)

    def pull(self, gear, engine_speed):
        """Power at the wheel over road speed."""
        v = self.vehicle
        efficiency = v.primary_efficiency * v.gearbox_efficiency * self.chain_efficiency
        power = self.torque(engine_speed) * engine_speed * efficiency
        return power / self.road_speed(gear, engine_speed)

    def resistance(self, speed, slope):
        v, air = self.vehicle, self.air
        wind = speed + air.head_wind
        drag = math.copysign(0.5 * air.air_density * v.drag_area * wind**2, wind)
        weight = v.mass * G
        rolling = air.rolling_coefficient * weight * math.cos(slope)
        return rolling + weight * math.sin(slope) + drag, rolling, drag

    def spin_and_lift(self, slope, rolling):
        """Thrusts at which the rear tyre spins and the front wheel lifts, by moments."""
        v, mu = self.vehicle, float(self.air.grip)
        across = v.mass * G * math.cos(slope)

        def spare(thrust):
            rear_load = (
                across * (v.wheelbase - v.cg_ahead) + (thrust - rolling) * v.cg_height
            ) / v.wheelbase
            return mu * rear_load - thrust

        def tipping(thrust):
            return across * v.cg_ahead - (thrust - rolling) * v.cg_height

        # Where the load moves back faster than the thrust grows, the tyre never spins.
        spin = math.inf if mu * v.cg_height >= v.wheelbase else straight_root(spare)
        lift = straight_root(tipping)
        return spin, lift

    def spare(self, gear, speed, slope=None):
        """Least of the three: engine, tyre and balance against the resistance [N]."""
        slope = float(self.air.slope) if slope is None else slope
        total, rolling, _ = self.resistance(speed, slope)
        spin, lift = self.spin_and_lift(slope, rolling)
        engine = self.pull(gear, self.engine_speed(gear, speed))
        return min(engine, spin, lift) - total

    def top_speed(self):
        """Fastest of all gears: from the limiter down until something holds, then the root."""
        best = 0.0
        for gear in range(len(self.vehicle.gears)):
            low, high = self.road_speed(gear, self.idle), self.road_speed(gear, self.limiter)
            grid = np.linspace(high, low, 600)
            if self.spare(gear, high) >= 0:
                best = max(best, high)
                continue
            for above, below in pairwise(grid):
                if self.spare(gear, below) >= 0:
                    best = max(best, brentq(lambda v, g=gear: self.spare(g, v), below, above))
                    break
        return best

    def slope(self, gear):
        """Steepest slope in a gear, the best of all engine speeds, by root finding."""

        def held(engine_speed):
            speed = self.road_speed(gear, engine_speed)
            return math.tan(brentq(lambda a: self.spare(gear, speed, a), -1.5, 1.5, xtol=1e-13))

        speeds = np.linspace(self.idle, self.limiter, ENGINE_SPEEDS)
        slopes = [held(speed) for speed in speeds]
        k = int(np.argmax(slopes))
        near = minimize_scalar(
            lambda w: -held(w),
            bounds=(speeds[max(k - 1, 0)], speeds[min(k + 1, ENGINE_SPEEDS - 1)]),
            method="bounded",
            options={"xatol": 1e-4},
        )
        return max(slopes[k], -near.fun)

    def band(self, share):
        """Engine speeds between which the engine gives a share of its greatest power."""
        first, last = self.vehicle.torque_speeds[0], self.vehicle.torque_speeds[-1]

        def power(w):
            return float(self.curve(w)) * w

        grid = np.linspace(first, last, 4001)
        top = max(grid, key=power)
        step = grid[1] - grid[0]
        peak = minimize_scalar(
            lambda w: -power(w),
            bounds=(max(first, top - step), min(last, top + step)),
            method="bounded",
            options={"xatol": 1e-9},
        )
        level = share * max(-peak.fun, power(top))
        inside = [w for w in grid if power(w) >= level]
        low, high = inside[0], inside[-1]
        if low > first:
            low = brentq(lambda w: power(w) - level, low - step, low)
        if high < last:
            high = brentq(lambda w: power(w) - level, high, high + step)
        return low, high

    def cruise(self, speed):
        """Engine speed in the highest gear that holds the speed; NaN if none does."""
        for gear in reversed(range(len(self.vehicle.gears))):
            engine_speed = self.engine_speed(gear, speed)
            if self.idle <= engine_speed <= self.limiter and self.spare(gear, speed) >= 0:
                return engine_speed
        return math.nan

    def shifts(self, course):
        ratio = np.array([self.rear / self.front])
        ride = ride_course(
            Drive(
                replace(self.vehicle, chain_efficiency=self.chain_efficiency),
                self.air,
                ratio,
                self.turn,
            ),
            courses()[course].arrays(),
            rider=CourseRider(effort=0.5, shift_price=0.5, clutch=0.25),
        )
        return float(ride.upshifts[0] + ride.downshifts[0]) if ride.time[0] > 0 else math.nan

    def chain_margin(self, links, room_forward, room_back):
        """Adjuster room left with a chain of so many links, centre distances by root finding."""
        pitch = chain_size(self.bike.chain.size).pitch
        sprockets = self.bike.sprockets

        def taut(front, rear):
            small, large = (pitch / 2 / math.sin(math.pi / z) for z in (front, rear))

            def too_long(distance):
                lean = math.asin((large - small) / distance)
                runs = 2 * distance * math.cos(lean) / pitch
                wraps = front * (0.5 - lean / math.pi) + rear * (0.5 + lean / math.pi)
                return runs + wraps - links

            return brentq(too_long, large + small, 3.0, xtol=1e-14)

        moved = taut(self.front, self.rear) - taut(sprockets.front, sprockets.rear)
        return min(room_forward + moved, room_back - moved)


def satisfied(short, tolerance):
    """1 where met, half where missed by the tolerance."""
    if math.isnan(short):
        return 0.0
    if short >= 0 or -short <= 1e-9 * tolerance:
        return 1.0
    return tolerance**2 / (tolerance**2 + short**2)


def random_want(rng, kind, gears):
    """A want of a kind with values that some bikes meet and some miss."""
    texts = ORACLES[kind].texts(rng, gears)
    return read_want(kind, {k: str(v) for k, v in texts.items()}, f"{rng.uniform(0, 10):.2f}")
