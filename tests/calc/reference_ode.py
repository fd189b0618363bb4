"""The same ride written again, one motorcycle at a time, for scipy's `solve_ivp`.

Nothing is shared with explorer.calc but the records that carry the numbers: the forces are written
out afresh, the speed is integrated over time (not time over speed) with tight tolerances, every
change of regime is an event, and the shift points come from a fine scan of what a shift at each
speed costs, the coasting integrated by `solve_ivp` too.
"""

import dataclasses
import math
from bisect import bisect_right
from functools import cached_property

import numpy as np
from scipy.integrate import solve_ivp
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

G0 = 9.80665


def plain(record):
    """The record with Python's own numbers, which are several times as quick one at a time."""
    numbers = {
        field.name: float(value)
        for field in dataclasses.fields(record)
        if isinstance(value := getattr(record, field.name), np.floating)
    }
    return dataclasses.replace(record, **numbers)


def curve_of(speeds, torques):
    """scipy's monotone cubic interpolation, read at one speed at a time."""
    cubic = PchipInterpolator(speeds, torques)
    starts, coefficients = cubic.x.tolist(), cubic.c.T.tolist()
    last = len(coefficients) - 1

    def torque(speed):
        place = min(max(bisect_right(starts, speed) - 1, 0), last)
        a, b, c, d = coefficients[place]
        x = speed - starts[place]
        return ((a * x + b) * x + c) * x + d

    return torque


class Ride:
    def __init__(self, vehicle, conditions, final_ratio, rollout, front=None, rear=None):
        vehicle, conditions = plain(vehicle), plain(conditions)
        final_ratio, rollout = float(final_ratio), float(rollout)
        self.v, self.c = vehicle, conditions
        chain = vehicle.chain_efficiency
        if front is not None:
            # Each link bends by 2 pi/z on a sprocket; the loss follows the bends.
            bends = (2 * math.pi / front + 2 * math.pi / rear) / (
                2 * math.pi / vehicle.chain_front + 2 * math.pi / vehicle.chain_rear
            )
            chain = 1 - (1 - chain) * bends
        self.r = rollout / (2 * math.pi)
        self.i = [float(vehicle.primary * gear * final_ratio) for gear in vehicle.gears]
        self.curve = curve_of(vehicle.torque_speeds, vehicle.torques)
        self.slowest, *_, self.fastest = map(float, vehicle.torque_speeds)
        self.eta = float(vehicle.primary_efficiency * vehicle.gearbox_efficiency * chain)

    @cached_property
    def at_rest(self):
        """Resistance without air."""
        v, c = self.v, self.c
        return v.mass * G0 * math.sin(c.slope) + c.rolling_coefficient * v.mass * G0 * math.cos(
            c.slope
        )

    def resistance(self, u):
        """At one speed, or at each of many."""
        v, c = self.v, self.c
        air = u + c.head_wind
        return self.at_rest + 0.5 * c.air_density * v.drag_area * air * abs(air)

    @cached_property
    def rolling_mass(self):
        """The motorcycle and what its turning wheels add."""
        v = self.v
        return (
            v.mass
            + v.front_wheel_inertia / v.front_wheel_radius**2
            + v.rear_wheel_inertia / self.r**2
        )

    @cached_property
    def largest_thrusts(self):
        """Thrust at which the rear tyre spins, and with which the front wheel lifts, by moments."""
        v, c = self.v, self.c
        normal = v.mass * G0 * math.cos(c.slope)
        rolling = c.rolling_coefficient * normal
        lift = normal * v.cg_ahead / v.cg_height + rolling
        # Rear load with thrust X: (normal (L - x) + (X - rolling) h) / L; spin where X = mu load.
        matrix = np.array([[1.0, -c.grip], [-v.cg_height / v.wheelbase, 1.0]])
        right = np.array(
            [0.0, (normal * (v.wheelbase - v.cg_ahead) - rolling * v.cg_height) / v.wheelbase]
        )
        spin = float(np.linalg.solve(matrix, right)[0]) if np.linalg.det(matrix) > 0 else math.inf
        return spin, lift

    def limit(self, u):
        """Acceleration at which the rear tyre spins or the front wheel lifts."""
        v = self.v
        spin, lift = self.largest_thrusts
        front = v.front_wheel_inertia / v.front_wheel_radius**2
        rest = self.resistance(u)
        return min((spin - rest) / (v.mass + front), (lift - rest) / v.mass)

    def acceleration(self, u, gear, slipping):
        v, u = self.v, float(u)
        i = self.i[gear]
        w = v.launch_speed if slipping else u * i / self.r
        w = min(max(w, self.slowest), self.fastest)
        thrust = self.eta * self.c.power_factor * self.curve(w) * i / self.r
        mass = self.rolling_mass
        if not slipping:
            mass += self.eta * i**2 * v.engine_inertia / self.r**2
        return min((thrust - self.resistance(u)) / mass, self.limit(u))

    def free(self, u, gear):
        return self.acceleration(u, gear, u * self.i[gear] / self.r < self.v.launch_speed)

    def limiter(self, gear):
        return self.v.limiter_speed * self.r / self.i[gear]

    def matching(self, gear):
        return self.v.launch_speed * self.r / self.i[gear]

    def shift_cost(self, gear):
        """Speeds at which to leave a gear, and what each costs on the way to any speed beyond.

        Waiting from u to u + du takes du/a1; it saves the next gear the speeds between what is
        left of u and of u + du after the shift. Where grip binds, two gears within a tenth of a
        per cent count as equal. No gear is left before the next one's clutch locks.
        """
        lowest = min(self.matching(gear + 1), self.limiter(gear))
        scan = np.linspace(lowest, self.limiter(gear), 1600)
        left = self.after_shift(scan)
        step = np.diff(left) / np.diff(scan)
        middle = 0.5 * (scan[1:] + scan[:-1])
        left_of_middle = 0.5 * (left[1:] + left[:-1])
        rates = []
        for u, v in zip(middle.tolist(), left_of_middle.tolist(), strict=True):
            now = self.free(u, gear)
            bound = 1.001 if now >= self.limit(u) else 1.0
            rates.append((now * bound, self.free(v, gear + 1)))
        # Time that waiting for each step costs less what it saves later.
        costs = [
            (1 / max(now, 1e-6) - (w / later if later > 0 else 1e5)) * du
            for (now, later), w, du in zip(rates, step, np.diff(scan), strict=True)
        ]
        return scan, np.concatenate(([0.0], np.cumsum(costs)))

    def shift_speed(self, gear):
        speeds, cost = self.shift_cost(gear)
        return speeds[np.argmin(cost)]

    def after_shift(self, speeds):
        if not self.v.shift_time:
            return speeds
        solution = solve_ivp(
            lambda _, y: -self.resistance(y) / self.rolling_mass,
            (0.0, self.v.shift_time),
            speeds,
            rtol=1e-8,
            atol=1e-10,
        )
        return np.maximum(solution.y[:, -1], 0.0)

    def top_speed(self):
        best = 0.0
        for gear in range(len(self.i)):
            low = self.v.idle_speed * self.r / self.i[gear]
            scan = np.linspace(low, self.limiter(gear), 800)
            values = [self.acceleration(u, gear, False) for u in scan.tolist()]
            if values[-1] >= 0:
                best = max(best, scan[-1])
                continue
            for left, right in zip(range(798, -1, -1), range(799, 0, -1), strict=True):
                if values[left] >= 0:
                    best = max(
                        best,
                        brentq(
                            lambda u, g=gear: self.acceleration(u, g, False),
                            scan[left],
                            scan[right],
                            xtol=1e-12,
                        ),
                    )
                    break
        return best

    def run(self, exits=None, stop_speed=math.inf, stop_distance=math.inf, horizon=600.0):
        """Time of reaching a speed or a distance from rest, each gear left at its speed in
        `exits`; inf when it is not reached."""
        time, state, gear = 0.0, np.array([0.0, 0.0]), 0
        while time < horizon:
            last_gear = gear == len(self.i) - 1
            shift = None if last_gear else self.shift_speed(gear) if exits is None else exits[gear]
            if shift is not None:
                coast = self._coast(time, np.array([shift, 0.0]))[1][0]
                if self.free(shift, gear + 1) <= 0 or self.free(coast, gear + 1) <= 0:
                    shift = None
            leave = self.limiter(gear) if shift is None else shift
            if shift is not None and state[0] >= leave:
                # Skipped on the way to the next: one movement of the foot more, no second shift.
                gear += 1
                continue
            for slipping, until in ((True, min(self.matching(gear), leave)), (False, leave)):
                if state[0] >= until:
                    continue

                def slope(_, y, slipping=slipping, gear=gear):
                    return [self.acceleration(y[0], gear, slipping), y[0]]

                goals = [
                    lambda _, y, until=until: y[0] - until,
                    lambda _, y: y[0] - min(stop_speed, 1e9),
                    lambda _, y: y[1] - min(stop_distance, 1e12),
                ]
                for goal in goals:
                    goal.terminal, goal.direction = True, 1
                if slope(0, state)[0] <= 0:
                    return math.inf
                solution = solve_ivp(
                    slope,
                    (time, horizon),
                    state,
                    events=goals,
                    rtol=1e-9,
                    atol=1e-9,
                    max_step=0.25,
                )
                time, state = solution.t[-1], solution.y[:, -1]
                if solution.t_events[1].size or solution.t_events[2].size:
                    return time
            if time >= horizon:
                break
            if shift is None:
                # Held at the rev limit for good.
                left = stop_distance - state[1]
                return time + left / state[0] if math.isfinite(stop_distance) else math.inf
            before = state
            time, state = self._coast(time, state)
            if state[1] >= stop_distance:
                return time - (state[1] - stop_distance) / (0.5 * (before[0] + state[0]))
            gear += 1
        return math.inf

    def roll_on(self, start, end, gear, horizon=600.0):
        """Time between two speeds in one gear, clutch locked; inf when it is not reached."""
        if self.acceleration(start, gear, False) <= 0 or end > self.limiter(gear):
            return math.inf

        def reached(_, y):
            return y[0] - end

        reached.terminal, reached.direction = True, 1
        solution = solve_ivp(
            lambda _, y: [self.acceleration(y[0], gear, False)],
            (0.0, horizon),
            [start],
            events=[reached],
            rtol=1e-9,
            atol=1e-9,
            max_step=0.25,
        )
        return solution.t[-1] if solution.t_events[0].size else math.inf

    def _coast(self, time, state):
        solution = solve_ivp(
            lambda _, y: [-self.resistance(y[0]) / self.rolling_mass, y[0]],
            (time, time + self.v.shift_time),
            state,
            rtol=1e-10,
            atol=1e-10,
        )
        return solution.t[-1], solution.y[:, -1]
