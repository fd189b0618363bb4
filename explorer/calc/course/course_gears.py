"""Acceleration in any gear on any ground of a course, looked up quickly step after step.

A ride over a course takes thousands of small steps. Whatever does not change with speed is worked
out once, by the formulas of :class:`explorer.calc.drivetrain.drive.Drive`; a step only looks it up.
"""

from typing import NamedTuple

import numpy as np

from explorer.calc.course.course_ground import Grounds
from explorer.calc.drivetrain import forces
from explorer.calc.drivetrain.drive import Drive
from explorer.calc.engine.curve import torque_interpolant
from explorer.calc.vehicle import FloatArray

_TORQUE_POINTS = 20001

SAME = 1e-9
"""Two speeds or energies that differ by less than this share count as the same [-]."""


class InGear(NamedTuple):
    """Cases, each in one gear on one ground; arrays of one shape.

    Attributes:
        exit_speed, lower_exit_speed: Where the gear is left for the next, infinite in the last
            gear, and where the gear below it is left, 0 in first gear [m/s].
        locking_speed, limiter_speed: Where its clutch locks, and its rev limit. All four are a hair
            less, so that a speed rounded down counts as there [m/s].
        radians_per_metre: Engine turning per metre of road [rad/m].
        pull_per_torque: Pull at the tyre for 1 N·m of the torque curve [N/(N·m)].
        mass_locked, mass_coasting: Effective mass with the clutch locked, and with it slipping or
            out [kg].
        resistance: Rolling and slope resistance [N].
        spin_acceleration, lift_acceleration: Acceleration at which the rear tyre spins and at which
            the front wheel lifts, air drag left aside [m/s²].
        spin_mass, mass: Mass that the rear tyre accelerates as it begins to spin, and the mass
            itself [kg].
        launch_speed: Engine speed while the clutch slips [rad/s].
        wind, density, drag_area: Of the air drag [m/s, kg/m³, m²].
        torque: Torque curve at closely and evenly spaced engine speeds [N·m].
        first_speed, torques_per_speed: Engine speed of its first point, and its points for each
            rad/s [rad/s, s/rad].
        effort: Share of the acceleration that the rider uses [-].
    """

    exit_speed: FloatArray
    lower_exit_speed: FloatArray
    locking_speed: FloatArray
    limiter_speed: FloatArray
    radians_per_metre: FloatArray
    pull_per_torque: FloatArray
    mass_locked: FloatArray
    mass_coasting: FloatArray
    resistance: FloatArray
    spin_acceleration: FloatArray
    lift_acceleration: FloatArray
    spin_mass: FloatArray
    mass: FloatArray
    launch_speed: FloatArray
    wind: FloatArray
    density: FloatArray
    drag_area: FloatArray
    torque: FloatArray
    first_speed: float
    torques_per_speed: float
    effort: float

    def acceleration(self, speed: FloatArray, pulling: bool | FloatArray = True) -> FloatArray:
        """Acceleration as ridden, or coasting where it does not pull, as in a shift [m/s²].

        Grip, balance and rev limit hold it back.
        """
        engine_speed = np.maximum(speed * self.radians_per_metre, self.launch_speed)
        # The points lie so close that the nearest one is near enough, and found at once.
        point = (self.torques_per_speed * (engine_speed - self.first_speed) + 0.5).astype(int)
        pull = self.pull_per_torque * self.torque.take(point, mode="clip") * pulling
        drag = forces.air_drag(speed, self.wind, self.density, self.drag_area)
        locked = (speed >= self.locking_speed) & pulling
        mass = np.where(locked, self.mass_locked, self.mass_coasting)
        spins = self.spin_acceleration - drag / self.spin_mass
        lifts = self.lift_acceleration - drag / self.mass
        acceleration = np.minimum((pull - self.resistance - drag) / mass, np.minimum(spins, lifts))
        if self.effort < 1:
            acceleration = np.where((acceleration > 0) & pulling, self.effort, 1.0) * acceleration
        # At the rev limit the speed is held, or falls.
        return np.minimum(acceleration, np.where(speed >= self.limiter_speed, 0.0, np.inf))

    def next_mark(self, speed: FloatArray) -> FloatArray:
        """Next speed above at which something changes: clutch, shift or rev limit [m/s]."""
        mark = np.where(self.limiter_speed > speed, self.limiter_speed, np.inf)
        mark = np.where(self.exit_speed > speed, np.minimum(self.exit_speed, mark), mark)
        mark = np.where(self.locking_speed > speed, np.minimum(self.locking_speed, mark), mark)
        # The full speed again, or a rounded square root could stop a hair before the mark.
        return mark * (1 + SAME)

    def next_mark_below(self, speed: FloatArray) -> FloatArray:
        """Next speed below at which something changes: the gear below, or the clutch [m/s]."""
        mark = np.where(self.lower_exit_speed <= speed, self.lower_exit_speed, 0.0)
        mark = np.where(self.locking_speed <= speed, np.maximum(self.locking_speed, mark), mark)
        return mark * (1 - SAME)


class GearTables:
    """Everything of `InGear` for all cases, gears and grounds.

    Args:
        exit_speed (array (grounds, cases, gears)): As of `shift_speeds` [m/s].
        effort (float): Share of the acceleration that the rider uses [-].
    """

    def __init__(
        self, drive: Drive, grounds: Grounds, exit_speed: FloatArray, effort: float = 1.0
    ) -> None:
        self.cases, self.gears = drive.cases, drive.gears
        vehicle, air = drive.vehicle, drive.conditions
        first, last = vehicle.torque_speeds[[0, -1]]
        curve = torque_interpolant(vehicle.torque_speeds, vehicle.torques)
        torque = curve(np.linspace(first, last, _TORQUE_POINTS))
        self._curve = (torque, first, (_TORQUE_POINTS - 1) / (last - first), effort)
        road = drive.radius / drive.overall
        lower = np.concatenate([np.zeros_like(exit_speed[..., :1]), exit_speed[..., :-1]], axis=-1)
        self._by_all = [speed.ravel() * (1 - SAME) for speed in (exit_speed, lower)]
        self._by_gear = [
            np.broadcast_to(table[..., 0], (self.cases, self.gears)).ravel()
            for table in (
                drive.launch_speed * road * (1 - SAME),
                drive.limiter_speed * road * (1 - SAME),
                1 / road,
                drive.pull(drive.power_factor, drive.overall),
                drive.effective_mass(drive.overall, True),
                drive.effective_mass(drive.overall, False),
            )
        ]
        mass = drive.mass[:, 0, 0]
        spin_mass = mass + drive.front_wheel_mass[:, 0, 0]
        self._by_ground = [
            table.ravel()
            for table in (
                grounds.resistance,
                (grounds.grip_thrust - grounds.resistance) / spin_mass,
                (grounds.wheelie_thrust - grounds.resistance) / mass,
            )
        ]
        of_air = (air.head_wind, air.air_density, vehicle.drag_area)
        self._by_case = [
            np.ravel(np.asarray(value, float))
            for value in (spin_mass, mass, drive.launch_speed, *of_air)
        ]

    def at(self, case: FloatArray, gear: FloatArray, ground: FloatArray) -> InGear:
        """Look up some cases in some gears on some grounds; index arrays that broadcast."""
        by_gear = case * self.gears + gear
        by_ground = ground * self.cases + case
        by_all = by_ground * self.gears + gear
        return InGear(  # type: ignore[call-arg]
            *(table.take(by_all) for table in self._by_all),  # type: ignore[arg-type]
            *(table.take(by_gear) for table in self._by_gear),
            *(table.take(by_ground) for table in self._by_ground),
            *(value if value.size == 1 else value.take(case) for value in self._by_case),
            *self._curve,
        )

    def every_gear(self, case: FloatArray, ground: FloatArray) -> InGear:
        """Look up some cases in all gears; arrays of the shape (some cases, gears)."""
        gears = np.arange(self.gears)[np.newaxis]
        return self.at(case[:, np.newaxis], gears, ground[:, np.newaxis])
