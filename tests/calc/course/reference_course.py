"""A ride over a course written again, one motorcycle at a time, in time instead of distance.

Nothing is shared with explorer.calc but the records that carry the numbers: the forces are those of
`tests.calc.reference_ode`, scipy's `solve_ivp` integrates with tight tolerances, every change of
regime is an event, and the braking limit is a dense solution for each segment. The rider's rules
are those that explorer.calc.course.fastest.fastest describes in words.
"""

import dataclasses
import math
from functools import cached_property

import numpy as np
from scipy.integrate import quad, solve_ivp

from tests.calc.reference_ode import G0, Ride

_NO_CORNER = 1e4
_CHECK = 0.02
"""Seconds between two looks at whether a shift has become worth it."""


class Ground(Ride):
    """One segment: the motorcycle on its slope and surface, and the braking limit above it."""

    def __init__(
        self, vehicle, conditions, ratio, rollout, length, corner, following, share, effort
    ):
        super().__init__(vehicle, conditions, ratio, rollout)
        self.effort = effort
        self.length = length
        self.share = share
        self.corner_energy = min(corner**2 / 2, _NO_CORNER)
        self.end_energy = min(self.corner_energy, following)
        back = solve_ivp(
            lambda _, e: [self.braking(math.sqrt(2 * max(e[0], 0.0)))],
            (0.0, length),
            [self.end_energy],
            rtol=1e-9,
            atol=1e-9,
            dense_output=True,
        )
        self._before_end = back.sol
        self.start_energy = float(back.y[0, -1])

    def allowed(self, x):
        """Energy that the brakes allow at a distance from the segment's start."""
        return float(self._before_end(min(max(self.length - x, 0.0), self.length))[0])

    def allowed_at(self, places):
        return self._before_end(np.clip(self.length - places, 0.0, self.length))[0]

    def braking(self, u):
        v, c = self.v, self.c
        normal = v.mass * G0 * math.cos(c.slope)
        by_grip = self.share * c.grip * normal
        lift = normal * (v.wheelbase - v.cg_ahead) / v.cg_height - c.rolling_coefficient * normal
        return max((min(by_grip, lift) + self.resistance(u)) / v.mass, 0.0)

    def coasting(self, u):
        return -self.resistance(u) / self.rolling_mass

    def eased(self, a):
        return self.effort * a if a > 0 else a

    def driven(self, u, gear):
        a = self.eased(self.free(u, gear))
        return min(a, 0.0) if u >= self.limiter(gear) * (1 - 1e-9) else a

    @cached_property
    def exits(self):
        return [*(self.shift_speed(gear) for gear in range(len(self.i) - 1)), math.inf]

    def gear_out(self, u):
        usable = [
            gear
            for gear in range(len(self.i))
            if u >= self.matching(gear) * (1 - 1e-9)
            and u < self.exits[gear] * (1 - 1e-9)
            and u <= self.limiter(gear)
        ]
        if not usable:
            return next(g for g in range(len(self.i)) if u <= self.limiter(g) * (1 + 1e-9))
        best = max(self.driven(u, gear) for gear in usable)
        return max(g for g in usable if self.driven(u, g) >= best - 1e-9 * abs(best))


class CourseReference:
    def __init__(
        self, vehicle, conditions, ratio, rollout, course, share, effort=1.0, price=0.0, clutch=1.0
    ):
        smooth = 1.2 * vehicle.idle_speed
        slipping = smooth + clutch * (vehicle.launch_speed - smooth)
        vehicle = dataclasses.replace(vehicle, launch_speed=slipping)
        self.shift_time, self.price = vehicle.shift_time, price
        self.grounds = []
        following = _NO_CORNER
        for index in range(len(course.length) - 1, -1, -1):
            here = dataclasses.replace(
                conditions,
                slope=course.slope[index],
                rolling_coefficient=course.rolling_coefficient[index],
                grip=course.grip[index],
            )
            ground = Ground(
                vehicle,
                here,
                ratio,
                rollout,
                course.length[index],
                course.corner_speed[index],
                following,
                share * effort,
                effort,
            )
            following = ground.start_energy
            self.grounds.insert(0, ground)
        self.kinds = list(zip(course.slope, course.rolling_coefficient, course.grip, strict=True))

    def ride(self, start_speed=0.0):
        """Time, upshifts, downshifts, time braking; the time is inf if it stops for good."""
        self.time = self.braked = 0.0
        self.up = self.down = 0
        self.speed = min(start_speed, math.sqrt(2 * self.grounds[0].start_energy))
        self.gear = self.grounds[0].gear_out(self.speed)
        self.shift_left = 0.0
        self.shifting = False
        self.rolled = True
        for index in range(len(self.grounds)):
            if not self._segment(index):
                return math.inf
        return self.time

    def _segment(self, index):
        ground = self.grounds[index]
        self.x = 0.0
        changed = index > 0 and self.kinds[index] != self.kinds[index - 1]
        if not self.rolled and self.grounds[index - 1].corner_energy < _NO_CORNER:
            self._change(ground.gear_out(self.speed))
        elif changed and self.rolled and not self.shifting:
            self._consider(index, entering=True)
        self.rolled = True
        for _ in range(20000):
            if self.x >= ground.length - 1e-9:
                return True
            if self.speed**2 / 2 >= ground.allowed(self.x) * (1 - 1e-7):
                self._brake(ground)
                self.rolled = False
                return True
            if self.shifting:
                self._coast(ground)
                continue
            if self._consider(index, entering=False):
                continue
            if self.speed < 1e-9 and ground.driven(self.speed, self.gear) <= 0:
                return False
            self._drive(ground)
        raise AssertionError("the reference ride does not end")

    def _brake(self, ground):
        end = math.sqrt(2 * ground.end_energy)
        if ground.braking(end) > 0:
            seconds = quad(lambda u: 1 / ground.braking(u), end, self.speed)[0]
        else:
            seconds = (ground.length - self.x) / self.speed
        self.time += seconds
        self.braked += seconds
        self.x, self.speed = ground.length, end
        self.shifting = False

    def _change(self, gear):
        self.up += max(gear - self.gear, 0)
        self.down += max(self.gear - gear, 0)
        self.gear = gear

    def _march(self, ground, slope, seconds, marks):
        """Integrate until a time, a speed mark, the segment's end or the brakes."""

        def brakes(_, y):
            return y[1] ** 2 / 2 - ground.allowed(y[0])

        events = [lambda _, y: y[0] - ground.length, brakes, lambda _, y: y[1] - 1e-10]
        for event, direction in zip(events, (1, 1, -1), strict=True):
            event.terminal, event.direction = True, direction
        for mark in marks:

            def reaches(_, y, mark=mark):
                return y[1] - mark

            reaches.terminal, reaches.direction = True, 1
            events.append(reaches)
        solution = solve_ivp(
            lambda _, y: [y[1], slope(y[1])],
            (0.0, seconds),
            [self.x, self.speed],
            events=events,
            rtol=1e-8,
            atol=1e-9,
            max_step=0.25,
        )
        self.time += solution.t[-1]
        self.x, self.speed = solution.y[:, -1]
        self.speed = max(self.speed, 0.0)
        for mark, found in zip(marks, solution.t_events[3:], strict=True):
            if found.size:
                self.speed = mark
        if solution.t_events[2].size and self.speed < 1e-9:
            self.speed = 0.0
        return solution.t[-1]

    def _coast(self, ground):
        if self.shift_left > 0:
            self.shift_left -= self._march(ground, ground.coasting, self.shift_left, [])
        if self.shift_left <= 1e-12:
            self.shifting = False

    def _drive(self, ground):
        gear, u = self.gear, self.speed
        a = ground.driven(u, gear)
        limiter = ground.limiter(gear)
        if u >= limiter * (1 - 1e-9) and a >= 0:
            # Held at the rev limit.
            step = min(ground.length - self.x, u * _CHECK)
            if u**2 / 2 >= ground.allowed(self.x + step):
                for _ in range(40):
                    step *= 0.5
                    if u**2 / 2 < ground.allowed(self.x + step):
                        self.x += step
                        self.time += step / u
                return
            self.x += step
            self.time += step / u
            return
        matching = ground.matching(gear)
        slipping = u < matching * (1 - 1e-9)
        marks = [m for m in (matching, ground.exits[gear], limiter) if m > u * (1 + 1e-9)]
        waits = a < 0 or u >= ground.exits[gear] * (1 - 1e-9)
        self._march(
            ground,
            lambda v: ground.eased(ground.acceleration(v, gear, slipping)),
            _CHECK if waits else 2.0,
            [m for m in marks if math.isfinite(m)],
        )

    def _consider(self, index, entering):
        """Shift if the rider's rule says so."""
        ground, gear, u = self.grounds[index], self.gear, self.speed
        stay = ground.driven(u, gear)
        if u >= ground.exits[gear] * (1 - 1e-9):
            other, horizon = gear + 1, self._to_brakes(index)
        elif stay < 0 or entering:
            lower = [g for g in range(gear) if u < ground.exits[g] * (1 - 1e-9)]
            if not lower:
                return False
            other = max(lower, key=lambda g: ground.driven(u, g))
            horizon = min(self._to_brakes(index), self._to_other_ground(index))
        else:
            return False
        tau = self.shift_time + self.price
        coast = ground.coasting(u)
        new = ground.driven(u, other)
        after = ground.driven(max(u + coast * tau, 0.0), other)
        if min(new, after) <= 0 if other > gear else new <= stay:
            return False
        if math.isfinite(horizon):
            t = horizon / max(u, 1e-9)
            rest = t - tau
            by_shifting = coast * tau * (tau / 2 + rest) + after * rest**2 / 2
            margin = max(ground.limiter(gear) - u, 0.0)
            s = t if stay <= 0 else min(t, margin / stay)
            if rest <= 0 or by_shifting <= stay * s * (t - s / 2):
                return False
        self._change(other)
        self.shifting, self.shift_left = True, self.shift_time
        return True

    def _to_brakes(self, index):
        energy, way = self.speed**2 / 2, -self.x
        for here in range(index, len(self.grounds)):
            ground = self.grounds[here]
            places = np.linspace(self.x if here == index else 0.0, ground.length, 400)
            over = np.flatnonzero(ground.allowed_at(places) <= energy)
            if over.size:
                return way + places[over[0]]
            way += ground.length
        return math.inf

    def _to_other_ground(self, index):
        way = self.grounds[index].length - self.x
        for here in range(index + 1, len(self.grounds)):
            if self.kinds[here] != self.kinds[index]:
                return way
            way += self.grounds[here].length
        return math.inf
