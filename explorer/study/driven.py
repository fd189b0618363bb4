"""What a drive of several cases does, each quantity worked out when first asked for."""

from functools import cached_property

import numpy as np

from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.launch import slowest_clutch_out_speed
from explorer.calc.drivetrain.top_speed import TopSpeed, top_speed
from explorer.calc.motion.measures import steepest_slope_by_gear
from explorer.calc.motion.shift_points import ShiftPoints, shift_points
from explorer.calc.vehicle import FloatArray

_CURVE_POINTS = 25


class Driven:
    """Several cases on one ground."""

    def __init__(self, drive: Drive) -> None:
        self.drive = drive

    @cached_property
    def top(self) -> TopSpeed:
        """Top speeds, in each gear too [m/s]."""
        return top_speed(self.drive)

    @cached_property
    def shifts(self) -> ShiftPoints:
        """Best shift points [m/s]."""
        return shift_points(self.drive, self.top)

    @cached_property
    def engine_speed(self) -> FloatArray:
        """From idle to the rev limit [rad/s]."""
        idle, limiter = self.drive.idle_speed, self.drive.limiter_speed
        return idle + np.linspace(0, 1, _CURVE_POINTS) * (limiter - idle)

    @cached_property
    def road_speed(self) -> FloatArray:
        """At each engine speed, shape (cases, gears, points) [m/s]."""
        return self.engine_speed * self.drive.radius / self.drive.overall

    @cached_property
    def limiter_speeds(self) -> FloatArray:
        """Road speed at the rev limit, shape (cases, gears) [m/s]."""
        return (self.drive.limiter_speed * self.drive.radius / self.drive.overall)[:, :, 0]

    @cached_property
    def engine_pull(self) -> FloatArray:
        """Pull that the engine has for the tyre, shape (cases, gears, points) [N]."""
        return self.drive.pull(self.drive.torque(self.engine_speed), self.drive.overall)

    @cached_property
    def pull(self) -> FloatArray:
        """What of it grip and balance allow [N]."""
        return np.minimum(
            self.engine_pull, np.minimum(self.drive.grip_thrust, self.drive.wheelie_thrust)
        )

    @cached_property
    def clutch_out(self) -> FloatArray:
        """Slowest speed with the clutch out, shape (cases, gears) [m/s]."""
        return slowest_clutch_out_speed(self.drive)

    @cached_property
    def steepest_slope(self) -> FloatArray:
        """Slope angle that each gear holds, shape (cases, gears) [rad]."""
        return steepest_slope_by_gear(self.drive)
