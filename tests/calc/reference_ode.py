"""The same ride written again, one motorcycle at a time, for scipy's `solve_ivp`.

Nothing is shared with explorer.calc but the records that carry the numbers: the forces are written
out afresh, the speed is integrated over time (not time over speed) with tight tolerances, every
change of regime is an event, and the shift points come from a fine scan of what a shift at each
speed costs, the coasting integrated by `solve_ivp` too.
"""

import math

import numpy as np
from scipy.integrate import solve_ivp
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

G0 = 9.80665


class Ride:
    def __init__(self, vehicle, conditions, final_ratio, rollout, front=None, rear=None):
        self.v, self.c = vehicle, conditions
        chain = vehicle.chain_efficiency
        if front is not None:
            # Each link bends by 2 pi/z on a sprocket; the loss follows the bends.
            bends = (2 * math.pi / front + 2 * math.pi / rear) / (
                2 * math.pi / vehicle.chain_front + 2 * math.pi / vehicle.chain_rear
            )
            chain = 1 - (1 - chain) * bends
        self.r = rollout / (2 * math.pi)
        self.i = [vehicle.primary * gear * final_ratio for gear in vehicle.gears]
        self.curve = PchipInterpolator(vehicle.torque_speeds, vehicle.torques)
        self.eta = vehicle.primary_efficiency * vehicle.gearbox_efficiency * chain

    def resistance(self, u):
        v, c = self.v, self.c
        air = u + c.head_wind
        return (
            v.mass * G0 * math.sin(c.slope)
            + c.rolling_coefficient * v.mass * G0 * math.cos(c.slope)
            + 0.5 * c.air_density * v.drag_area * air * abs(air)
        )

    def limit(self, u):
        """Acceleration at which the rear tyre spins or the front wheel lifts, by moments."""
        v, c = self.v, self.c
        normal = v.mass * G0 * math.cos(c.slope)
        rolling = c.rolling_coefficient * normal
        lift = normal * v.cg_ahead / v.cg_height + rolling
        # Rear load with thrust X: (normal (L - x) + (X - rolling) h) / L; spin where X = mu load.
        matrix = np.array([[1.0, -c.grip], [-v.cg_height / v.wheelbase, 1.0]])
        right = np.array(
            [0.0, (normal * (v.wheelbase - v.cg_ahead) - rolling * v.cg_height) / v.wheelbase]
        )
        spin = np.linalg.solve(matrix, right)[0] if np.linalg.det(matrix) > 0 else math.inf
        front = v.front_wheel_inertia / v.front_wheel_radius**2
        rest = self.resistance(u)
        return min((spin - rest) / (v.mass + front), (lift - rest) / v.mass)

    def acceleration(self, u, gear, slipping):
        v = self.v
        i = self.i[gear]
        w = v.launch_speed if slipping else u * i / self.r
        w = min(max(w, v.torque_speeds[0]), v.torque_speeds[-1])
        thrust = self.eta * self.c.power_factor * float(self.curve(w)) * i / self.r
        mass = (
            v.mass
            + v.front_wheel_inertia / v.front_wheel_radius**2
            + v.rear_wheel_inertia / self.r**2
        )
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
        rates = [
            (
                self.free(u, gear) * (1.001 if self.free(u, gear) >= self.limit(u) else 1.0),
                self.free(v, gear + 1),
            )
            for u, v in zip(middle, left_of_middle, strict=True)
        ]
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
        v = self.v
        mass = (
            v.mass
            + v.front_wheel_inertia / v.front_wheel_radius**2
            + v.rear_wheel_inertia / self.r**2
        )
        if not v.shift_time:
            return speeds
        air = self.resistance
        solution = solve_ivp(
            lambda _, y: -np.array([air(u) for u in y]) / mass,
            (0.0, v.shift_time),
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
            values = [self.acceleration(u, gear, False) for u in scan]
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
        v = self.v
        mass = (
            v.mass
            + v.front_wheel_inertia / v.front_wheel_radius**2
            + v.rear_wheel_inertia / self.r**2
        )
        solution = solve_ivp(
            lambda _, y: [-self.resistance(y[0]) / mass, y[0]],
            (time, time + v.shift_time),
            state,
            rtol=1e-10,
            atol=1e-10,
        )
        return solution.t[-1], solution.y[:, -1]
