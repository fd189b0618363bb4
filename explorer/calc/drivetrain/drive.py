"""One motorcycle on one piece of ground, for one or many final drive ratios: its acceleration.

`Drive` joins the formulas of :mod:`explorer.calc.drivetrain.forces` so that every pair of
sprockets is computed in the same array. Its arrays have the shape ``(cases, gears, points)``.
"""

from copy import copy
from typing import Any

import numpy as np

from explorer.calc.drivetrain import forces
from explorer.calc.engine.curve import torque_interpolant
from explorer.calc.vehicle import Conditions, FloatArray, Scalar, Vehicle


class Drive:
    """Acceleration of a vehicle in each gear, at full throttle, within grip and balance.

    Attributes:
        overall (array (cases, gears, 1)): Engine turns for one turn of the rear wheel [-].
        radius (array (cases or 1, 1, 1)): Rolling radius of the rear tyre [m].
        grip_thrust, wheelie_thrust (array (cases or 1, 1, 1)): Thrust at which the rear tyre spins
            and at which the front wheel lifts [N].

    Example: see :func:`explorer.calc.motion.run.full_throttle.full_throttle`.
    """

    def __init__(
        self, vehicle: Vehicle, conditions: Conditions, final_ratio: Scalar, rollout: Scalar
    ) -> None:
        self.vehicle = vehicle
        self.conditions = conditions
        self._curve = torque_interpolant(vehicle.torque_speeds, vehicle.torques)
        self.rollout = _cases(rollout)
        self.radius = self.rollout / (2 * np.pi)
        self.idle_speed = _cases(vehicle.idle_speed)
        self.launch_speed = _cases(vehicle.launch_speed)
        self.limiter_speed = _cases(vehicle.limiter_speed)
        self.shift_time = _cases(vehicle.shift_time)
        gears = np.asarray(vehicle.gears, float)[np.newaxis, :, np.newaxis]
        self.overall = _cases(vehicle.primary) * gears * _cases(final_ratio)
        self.efficiency = _cases(vehicle.primary_efficiency) * _cases(vehicle.gearbox_efficiency)
        self.efficiency = self.efficiency * _cases(vehicle.chain_efficiency)
        self.power_factor = _cases(conditions.power_factor)
        self.mass = _cases(vehicle.mass)
        front, rear = _cases(vehicle.front_wheel_inertia), _cases(vehicle.rear_wheel_inertia)
        self.front_wheel_mass = front / _cases(vehicle.front_wheel_radius) ** 2
        self.wheel_mass = self.front_wheel_mass + rear / self.radius**2
        self.engine_inertia = _cases(vehicle.engine_inertia)
        slope = _cases(conditions.slope)
        self._rolling_coefficient = _cases(conditions.rolling_coefficient)
        self._grip = _cases(conditions.grip)
        self._cg_ahead = _cases(vehicle.cg_ahead)
        self._cg_height = _cases(vehicle.cg_height)
        self._wheelbase = _cases(vehicle.wheelbase)
        self.rolling = forces.rolling_resistance(self.mass, slope, self._rolling_coefficient)
        self.constant_resistance = self.rolling + forces.slope_force(self.mass, slope)
        balance = (self._cg_ahead, self._cg_height, slope, self.rolling)
        self.wheelie_thrust = forces.wheelie_thrust(self.mass, *balance)
        self.grip_thrust = forces.grip_thrust(self.mass, self._wheelbase, *balance, self._grip)
        self._wind = _cases(conditions.head_wind)
        self._density = _cases(conditions.air_density)
        self._drag_area = _cases(vehicle.drag_area)

    @property
    def cases(self) -> int:
        """Number of cases, the length of the first axis [count]."""
        shapes = self.overall.shape, np.shape(self.constant_resistance)
        return np.broadcast_shapes(*(shape[:1] for shape in shapes))[0]

    @property
    def gears(self) -> int:
        """Number of gears [count]."""
        return self.overall.shape[1]

    def torque(self, engine_speed: FloatArray) -> FloatArray:
        """Full-throttle engine torque here and now, altitude and weather included [N·m]."""
        first, last = self.vehicle.torque_speeds[[0, -1]]
        return self.power_factor * self._curve(np.clip(engine_speed, first, last))

    def pull(self, torque: FloatArray, overall: FloatArray) -> Any:
        """Pull at the tyre that the engine can give, grip and balance left aside [N]."""
        return forces.pull(torque, overall, self.efficiency, self.rollout)

    def resistance(self, road_speed: Scalar) -> Any:
        """Rolling, slope and air resistance at a road speed [N]."""
        drag = forces.air_drag(road_speed, self._wind, self._density, self._drag_area)
        return self.constant_resistance + drag

    def slope_limits(self, thrust: FloatArray, road_speed: FloatArray) -> forces.SlopeLimits:
        """Steepest slopes that a pull holds at a steady speed, whatever the slope here [rad]."""
        drag = forces.air_drag(road_speed, self._wind, self._density, self._drag_area)
        stance = (self.mass, self._wheelbase, self._cg_ahead, self._cg_height)
        ground = (self._rolling_coefficient, self._grip)
        return forces.steepest_slope(thrust, drag, *stance, *ground)

    def effective_mass(self, overall: FloatArray, locked: Scalar) -> Any:
        """Mass to accelerate, with the engine's share where the clutch is locked [kg]."""
        inertia = np.where(locked, self.engine_inertia, 0.0)
        return forces.effective_mass(
            self.mass, self.wheel_mass, inertia, overall, self.efficiency, self.rollout
        )

    def largest_acceleration(self, road_speed: FloatArray) -> FloatArray:
        """Acceleration at which the rear tyre spins or the front wheel lifts [m/s²]."""
        return self._held_back(self.resistance(road_speed))

    def _held_back(self, resistance: FloatArray) -> FloatArray:
        spin = (self.grip_thrust - resistance) / (self.mass + self.front_wheel_mass)
        lift = (self.wheelie_thrust - resistance) / self.mass
        return np.minimum(spin, lift)

    def engine_acceleration(
        self, road_speed: FloatArray, overall: FloatArray, torque: FloatArray, locked: Scalar
    ) -> FloatArray:
        """Acceleration the engine alone would give [m/s²]."""
        surplus = self.pull(torque, overall) - self.resistance(road_speed)
        return surplus / self.effective_mass(overall, locked)

    def acceleration(
        self, road_speed: FloatArray, overall: FloatArray, torque: FloatArray, locked: Scalar
    ) -> FloatArray:
        """Acceleration at full throttle, held back at the limits of grip and balance [m/s²]."""
        resistance = self.resistance(road_speed)  # of both, once
        by_engine = (self.pull(torque, overall) - resistance) / self.effective_mass(overall, locked)
        return np.minimum(by_engine, self._held_back(resistance))

    def coast_step(
        self, road_speed: FloatArray, duration: FloatArray
    ) -> tuple[FloatArray, FloatArray]:
        """Speed [m/s] and distance [m] after a short time without drive, as during a shift.

        One fourth-order Runge-Kutta step; a motorcycle that comes to rest stays at rest.
        """
        mass = self.mass + self.wheel_mass

        def slowing(speed: FloatArray) -> FloatArray:
            return -self.resistance(speed) / mass

        k1 = slowing(road_speed)
        k2 = slowing(road_speed + 0.5 * duration * k1)
        k3 = slowing(road_speed + 0.5 * duration * k2)
        k4 = slowing(road_speed + duration * k3)
        after = np.maximum(road_speed + duration * (k1 + 2 * k2 + 2 * k3 + k4) / 6, 0.0)
        return after, duration * (road_speed + duration * (k1 + k2 + k3) / 6)

    def on_ground(
        self, resistance: FloatArray, grip_thrust: FloatArray, wheelie_thrust: FloatArray
    ) -> "Drive":
        """The same drive where rolling and slope resistance, and the thrusts at which the tyre
        spins and the front wheel lifts, are others, each (cases,) or (grounds, cases) [N]."""
        moved, to_points = copy(self), (..., np.newaxis, np.newaxis)
        moved.constant_resistance = resistance[to_points]
        moved.grip_thrust = grip_thrust[to_points]
        moved.wheelie_thrust = wheelie_thrust[to_points]
        return moved

    def launched_at(self, engine_speed: Scalar) -> "Drive":
        """The same drive with the clutch slipping at another engine speed [rad/s]."""
        moved = copy(self)
        moved.launch_speed = _cases(engine_speed)
        return moved

    def coast_through_shift(self, road_speed: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Speed after a shift [m/s], and how much it changes with the speed before it [-]."""
        after, _ = self.coast_step(road_speed, self.shift_time)
        before, then = self.resistance(road_speed), self.resistance(after)
        # The flow of an equation without time in it: neighbours keep their distance in time.
        slower = np.where(before != 0, then / np.where(before != 0, before, 1.0), 1.0)
        return after, slower


def _cases(value: Scalar) -> FloatArray:
    """Give a scalar or a (cases,) array the shape (cases, 1, 1)."""
    return np.reshape(np.asarray(value, float), (-1, 1, 1))
