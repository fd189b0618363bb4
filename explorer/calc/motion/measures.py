"""Measures of pull and acceleration, one number for every case, by which set-ups are compared."""

import numpy as np

from explorer.calc.drivetrain.drive import Drive
from explorer.calc.motion.run import full_throttle, time_to_distance
from explorer.calc.motion.shift_points import ShiftPoints
from explorer.calc.vehicle import FloatArray, Scalar

_GRID_POINTS = 48
_REACHED = 1 - 1e-9


def time_to_speed(drive: Drive, shifts: ShiftPoints, speed: Scalar) -> FloatArray:
    """Time from rest to a speed at full throttle, shifts included.

    Args:
        drive: Vehicle, conditions and final drive ratios [SI].
        shifts: Where each gear is left [m/s].
        speed (float or array (cases,), positive): The speed to reach [m/s].

    Returns:
        array (cases,): Time; NaN where the speed is never reached [s].

    >>> from explorer.calc.example import example_drive
    >>> drive, shifts = example_drive()
    >>> print(time_to_speed(drive, shifts, 50 / 3.6).round(1))
    [4.7]
    """
    run = full_throttle(drive, shifts, stop_speed=speed)
    reached = (run.end_speed >= speed * _REACHED) & np.isfinite(run.time[:, -1])
    return np.where(reached, run.time[:, -1], np.nan)


def time_over_distance(drive: Drive, shifts: ShiftPoints, distance: Scalar) -> FloatArray:
    """Time from rest over a distance at full throttle, shifts included.

    Args:
        drive: Vehicle, conditions and final drive ratios [SI].
        shifts: Where each gear is left [m/s].
        distance (float, positive): The distance to cover [m].

    Returns:
        array (cases,): Time; NaN where the motorcycle cannot pull away [s].

    >>> from explorer.calc.example import example_drive
    >>> print(time_over_distance(*example_drive(), 100.0).round(1))
    [8.5]
    """
    time = time_to_distance(full_throttle(drive, shifts), distance)
    return np.where(np.isfinite(time), time, np.nan)


def roll_on(
    drive: Drive, shifts: ShiftPoints, from_speed: Scalar, to_speed: Scalar, gear: int
) -> FloatArray:
    """Time between two speeds in one gear, clutch locked, throttle fully open.

    Args:
        drive: Vehicle, conditions and final drive ratios [SI].
        shifts: Of the same drive; not used, as nobody shifts [m/s].
        from_speed (float, positive): Speed at the start [m/s].
        to_speed (float, positive): Speed at the end [m/s].
        gear (int): Index of the gear, 0 for first [-].

    Returns:
        array (cases,): Time; NaN where the engine would turn below idle at the start, or where the
        gear does not reach the end speed [s].

    >>> from explorer.calc.example import example_drive
    >>> print(roll_on(*example_drive(), 30 / 3.6, 50 / 3.6, 2).round(1))
    [3.]
    """
    run = full_throttle(drive, shifts, from_speed, to_speed, only_gear=gear)
    slowest = (drive.idle_speed * drive.radius / drive.overall)[:, gear, 0]
    reached = (run.end_speed >= to_speed * _REACHED) & np.isfinite(run.time[:, -1])
    return np.where(reached & (slowest <= from_speed), run.time[:, -1], np.nan)


def steepest_slope_by_gear(drive: Drive) -> FloatArray:
    """Steepest slope that each gear holds at some steady speed, within grip and balance.

    The slope of the drive's own conditions is left aside.

    Args:
        drive: Vehicle, conditions and final drive ratios [SI].

    Returns:
        array (cases, gears): Slope angle; negative where the gear needs a descent [rad].

    >>> from explorer.calc.example import example_drive
    >>> print(np.tan(steepest_slope_by_gear(example_drive()[0])[0, 0]).round(2))
    0.44
    """
    grid = np.linspace(0.0, 1.0, _GRID_POINTS)
    engine_speed = drive.idle_speed + grid * (drive.limiter_speed - drive.idle_speed)
    road_speed = engine_speed * drive.radius / drive.overall
    limits = drive.slope_limits(drive.pull(drive.torque(engine_speed), drive.overall), road_speed)
    return np.minimum(limits.power, np.minimum(limits.grip, limits.balance)).max(axis=-1)


def walking_pull(drive: Drive, road_speed: Scalar) -> FloatArray:
    """Pull in first gear at walking pace, clutch slipping if need be, within grip and balance.

    Args:
        drive: Vehicle, conditions and final drive ratios [SI].
        road_speed (float, positive): Walking pace [m/s].

    Returns:
        array (cases,): Thrust that the rear tyre passes on [N].

    >>> from explorer.calc.example import example_drive
    >>> print(walking_pull(example_drive()[0], 5 / 3.6).round(-1))
    [860.]
    """
    first = drive.overall[:, :1]
    engine_speed = np.maximum(road_speed * first / drive.radius, drive.launch_speed)
    thrust = drive.pull(drive.torque(engine_speed), first)
    passed_on = np.minimum(thrust, np.minimum(drive.grip_thrust, drive.wheelie_thrust))
    return np.broadcast_to(passed_on[:, 0, 0], (drive.cases,))
