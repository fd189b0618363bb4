"""Measures of pull and acceleration, one number for every case, by which set-ups are compared.

Args:
    speed (float or array (cases,), positive): The speed to reach [m/s].
    distance (float, positive): The distance to cover [m].
"""

from typing import NamedTuple

import numpy as np

from explorer.calc.drivetrain.drive import Drive
from explorer.calc.engine.part_throttle import intake_resistance, throttle_share
from explorer.calc.motion.run import Run, full_throttle, segment, time_to_distance
from explorer.calc.motion.shift_points import ShiftPoints, shift_points_over_distance
from explorer.calc.vehicle import FloatArray, Scalar

_GRID_POINTS = 20
_FINER_POINTS = 81
_REACHED = 1 - 1e-9
_LITTLE_FASTER = 1.02
"""The finish lies between two nodes of the run, and is passed a little faster than the first."""


def time_to_speed(drive: Drive, shifts: ShiftPoints, speed: Scalar) -> FloatArray:
    """Time from rest to a speed at full throttle, shifts included.

    Returns: array (cases,): Time; NaN where the speed is never reached [s].

    >>> drive, shifts = example_drive()
    >>> print(time_to_speed(drive, shifts, 50 / 3.6).round(1))
    [4.7]
    """
    return _time_at_end(full_throttle(drive, shifts, stop_speed=speed), speed)


def _time_at_end(run: Run, speed: Scalar) -> FloatArray:
    """How long a run took, NaN where it does not get to a speed."""
    reached = (run.end_speed >= speed * _REACHED) & np.isfinite(run.time[:, -1])
    return np.where(reached, run.time[:, -1], np.nan)


def best_time_to_speed(drive: Drive, shifts: ShiftPoints, speed: Scalar) -> FloatArray:
    """Time from rest to a speed, a gear kept to it where the shift before it would cost time.

    Returns: Time; NaN where the speed is never reached [s].

    >>> print(best_time_to_speed(*example_drive(), 50 / 3.6).round(1))
    [4.7]
    """
    run = full_throttle(drive, shifts, stop_speed=speed)
    best = _time_at_end(run, speed)
    wanted = np.broadcast_to(np.asarray(speed, float), best.shape)
    leaves = shifts.shifts_up & (shifts.exit_speed < wanted[:, np.newaxis])
    entered = np.ones_like(leaves)
    entered[:, 1:] = np.logical_and.accumulate(leaves[:, :-1], axis=1)
    stays = entered & leaves & (shifts.end_speed >= wanted[:, np.newaxis] * _REACHED)
    for gear in _used(run, stays):
        node = np.flatnonzero((run.gear == gear) & run.driving)[-1]
        overall = drive.overall[:, gear : gear + 1]
        start = run.road_speed[:, node]
        end = np.where(stays[:, gear], np.minimum(wanted, shifts.end_speed[:, gear]), start)
        ends = start.reshape(-1, 1, 1), end.reshape(-1, 1, 1)
        _, elapsed, _ = segment(drive, overall, *ends, locked=True)
        kept = run.time[:, node] + elapsed[:, 0, -1]
        best = np.where(stays[:, gear], np.fmin(best, kept), best)
    return np.where(np.isfinite(best), best, np.nan)


def time_over_distance(drive: Drive, shifts: ShiftPoints, distance: Scalar) -> FloatArray:
    """Time from rest over a distance at full throttle, shifts included.

    Returns: array (cases,): Time; NaN where the motorcycle cannot pull away [s].

    >>> print(time_over_distance(*example_drive(), 100.0).round(1))
    [8.5]
    """
    time = time_to_distance(full_throttle(drive, shifts), distance)
    return np.where(np.isfinite(time), time, np.nan)


def best_time_over_distance(drive: Drive, shifts: ShiftPoints, distance: Scalar) -> FloatArray:
    """Time from rest over a distance, a gear kept to its end where shifting would cost time.

    Returns: Time; NaN where the motorcycle cannot pull away [s].

    >>> print(best_time_over_distance(*example_drive(), 100.0).round(1))
    [8.5]
    """
    run = full_throttle(drive, shifts)
    best = time_to_distance(run, distance)
    inside = np.isfinite(run.distance) & (run.distance < distance)
    final = np.max(np.where(inside, run.road_speed, 0.0), axis=1) * _LITTLE_FASTER
    shifts = shift_points_over_distance(drive, shifts, np.maximum(final, 1.0))
    run = full_throttle(drive, shifts)
    best = np.fmin(best, time_to_distance(run, distance))
    for gear in _used(run, shifts.shifts_up):
        leaves = np.all(shifts.shifts_up[:, : gear + 1], axis=1)
        kept = time_to_distance(_keeping(drive, shifts, run, gear), distance)
        best = np.where(leaves, np.fmin(best, kept), best)
    return np.where(np.isfinite(best), best, np.nan)


def _used(run: Run, wanted: FloatArray) -> list[int]:
    """Gears wanted by some case and driven in by some: one may be skipped by all."""
    driven = np.unique(run.gear[run.driving])
    return [int(gear) for gear in np.flatnonzero(wanted.any(axis=0)) if gear in driven]


def _keeping(drive: Drive, shifts: ShiftPoints, run: Run, gear: int) -> Run:
    """The run up to where a gear is left, and on in that gear to its end."""
    node = int(np.flatnonzero((run.gear == gear) & run.driving)[-1])
    start = run.road_speed[:, node].reshape(-1, 1, 1)
    end = np.maximum(shifts.end_speed[:, gear].reshape(-1, 1, 1), start)
    path, elapsed, covered = segment(drive, drive.overall[:, gear : gear + 1], start, end, True)
    till, here = slice(None, node + 1), slice(node, node + 1)
    time = np.append(run.time[:, till], run.time[:, here] + elapsed[:, 0], axis=1)
    distance = np.append(run.distance[:, till], run.distance[:, here] + covered[:, 0], axis=1)
    speed = np.append(run.road_speed[:, till], path[:, 0], axis=1)
    return Run(time, distance, speed, run.gear[till], run.driving[till], end[:, 0, 0])


class SpeedCurve(NamedTuple):
    """Time from rest to every speed, NaN where it is not reached [s], and the gear changes made
    before it [count], arrays (cases, speeds)."""

    time: FloatArray
    changes: FloatArray


def time_over_target(drive: Drive, shifts: ShiftPoints, speeds: FloatArray) -> SpeedCurve:
    """Time from rest to each of many speeds, with the number of gear changes it takes.

    A pair of sprockets that needs one change more just before the speed loses the time of that
    change; a little further on it is the other pair's turn. The curve shows both.

    Args:
        speeds (array (speeds,), positive): Speeds to reach [m/s].

    Returns: Times [s] and gear changes.

    >>> curve = time_over_target(*example_drive(), np.array([30.0, 50.0, 60.0]) / 3.6)
    >>> curve.time.round(1).tolist(), curve.changes.tolist()
    ([[2.2, 4.7, 6.7]], [[0, 1, 2]])
    """
    speeds = np.asarray(speeds, float)
    time = np.stack([best_time_to_speed(drive, shifts, speed) for speed in speeds], axis=1)
    left = shifts.exit_speed[:, np.newaxis] < speeds[:, np.newaxis]
    left &= shifts.shifts_up[:, np.newaxis]
    changes = np.cumprod(left, axis=-1).sum(axis=-1)
    # A gear that is kept because it gets there sooner costs no change.
    direct = np.stack([time_to_speed(drive, shifts, speed) for speed in speeds], axis=1)
    kept = np.isfinite(time) & ~(direct <= time * (1 + 1e-12))
    return SpeedCurve(time, changes - kept)


def roll_on(
    drive: Drive, shifts: ShiftPoints, from_speed: Scalar, to_speed: Scalar, gear: int
) -> FloatArray:
    """Time between two speeds in one gear, clutch locked, throttle fully open.

    Args:
        shifts: Of the same drive; not used, as nobody shifts [m/s].
        from_speed, to_speed (float, positive): Speed at the start and at the end [m/s].

    Returns: array (cases,): Time; NaN where the engine would turn below idle at the start, or where
        the gear does not reach the end speed [s].

    >>> print(roll_on(*example_drive(), 30 / 3.6, 50 / 3.6, 2).round(1))
    [3.]
    """
    run = full_throttle(drive, shifts, from_speed, to_speed, only_gear=gear)
    slowest = (drive.idle_speed * drive.radius / drive.overall)[:, gear, 0]
    return np.where(slowest <= from_speed, _time_at_end(run, to_speed), np.nan)


def steepest_slope_by_gear(drive: Drive) -> FloatArray:
    """Steepest slope that each gear holds at some steady speed, within grip and balance.

    The slope of the drive's own conditions is left aside.

    Returns: array (cases, gears): Slope angle; negative where the gear needs a descent [rad].

    >>> print(np.tan(steepest_slope_by_gear(example_drive()[0])[0, 0]).round(2))
    0.44
    """

    def slope(engine_speed: FloatArray) -> FloatArray:
        road_speed = engine_speed * drive.radius / drive.overall
        thrust = drive.pull(drive.torque(engine_speed), drive.overall)
        limits = drive.slope_limits(thrust, road_speed)
        return np.minimum(limits.power, np.minimum(limits.grip, limits.balance))

    span = drive.limiter_speed - drive.idle_speed
    engine_speed = drive.idle_speed + np.linspace(0.0, 1.0, _GRID_POINTS) * span
    held = slope(engine_speed)
    # Again between the neighbours of the best point, on a grid as fine there as 760 points.
    best = np.argmax(held, axis=-1, keepdims=True) / (_GRID_POINTS - 1)
    near = best + np.linspace(-1.0, 1.0, _FINER_POINTS) / (_GRID_POINTS - 1)
    finer = slope(drive.idle_speed + np.clip(near, 0.0, 1.0) * span)
    return np.maximum(held.max(axis=-1), finer.max(axis=-1))


def revs_above_idle(drive: Drive, road_speed: Scalar) -> FloatArray:
    """Engine speed above idle in first gear with the clutch out: the room before it stalls.

    Returns: Negative where the clutch has to slip [rad/s].

    >>> print((revs_above_idle(example_drive()[0], 5 / 3.6) * 30 / np.pi).round(0))
    [-133.]
    """
    revs = road_speed * drive.overall[:, :1] / drive.radius - drive.idle_speed
    return np.broadcast_to(revs[:, 0, 0], (drive.cases,))


def throttle_to_hold(drive: Drive, road_speed: Scalar, gear: int) -> FloatArray:
    """Share of the throttle's opening that holds a speed in one gear, clutch out.

    Returns: 0 to 1; NaN where the gear does not hold it, or turns the engine below idle or above
        the rev limit [-].

    References: The simple model of :mod:`explorer.calc.engine.part_throttle`.

    >>> print(throttle_to_hold(example_drive()[0], 30 / 3.6, 2).round(2))
    [0.04]
    """
    overall = drive.overall[:, gear : gear + 1]
    engine_speed = road_speed * overall / drive.radius
    needed = np.broadcast_to(drive.resistance(road_speed), engine_speed.shape)
    opening = _opening(drive, needed, overall, engine_speed)
    runs = (engine_speed >= drive.idle_speed) & (engine_speed <= drive.limiter_speed)
    grips = needed <= np.minimum(drive.grip_thrust, drive.wheelie_thrust)
    return np.where(runs & grips, opening, np.nan)[:, 0, 0]


def throttle_at_grip(drive: Drive, engine_speed: Scalar) -> FloatArray:
    """Share of the throttle's opening at which the tyre spins or the front wheel lifts, by gear.

    Args:
        engine_speed (float, positive): Engine speed at which the rider opens up [rad/s].

    Returns: 0 to 1; NaN where full throttle is not too much [-].

    >>> print(throttle_at_grip(example_drive()[0], 700.0)[0].round(2))
    [0.49  nan  nan  nan  nan]
    """
    most = np.minimum(drive.grip_thrust, drive.wheelie_thrust)
    asked = np.broadcast_to(most, drive.overall.shape)
    return _opening(drive, asked, drive.overall, np.full((1, 1, 1), engine_speed))[..., 0]


def _opening(
    drive: Drive, thrust: FloatArray, overall: FloatArray, engine_speed: FloatArray
) -> FloatArray:
    full = drive.pull(drive.torque(engine_speed), overall)
    vehicle = drive.vehicle
    power_peak = vehicle.torque_speeds[np.argmax(vehicle.torques * vehicle.torque_speeds)]
    share = thrust / np.where(full > 0, full, np.nan)
    return throttle_share(share, intake_resistance(engine_speed, power_peak))


def walking_pull(drive: Drive, road_speed: Scalar) -> FloatArray:
    """Pull in first gear at walking pace, clutch slipping if need be, within grip and balance.

    Returns: array (cases,): Thrust that the rear tyre passes on [N].

    >>> print(walking_pull(example_drive()[0], 5 / 3.6).round(-1))
    [860.]
    """
    first = drive.overall[:, :1]
    engine_speed = np.maximum(road_speed * first / drive.radius, drive.launch_speed)
    thrust = drive.pull(drive.torque(engine_speed), first)
    passed_on = np.minimum(thrust, np.minimum(drive.grip_thrust, drive.wheelie_thrust))
    return np.broadcast_to(passed_on[:, 0, 0], (drive.cases,))
