"""When to change up: where the next gear accelerates harder, else at the rev limit."""

from typing import NamedTuple

import numpy as np

from explorer.calc.bisection import last_holding
from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.top_speed import Limit, TopSpeed
from explorer.calc.vehicle import FloatArray, Scalar

_GRID_POINTS = 48

_SHORT_OF_TOP = 1e-4
"""A power-limited top speed is only approached; a run counts as there within this share."""


class ShiftPoints(NamedTuple):
    """Where each gear ends.

    Attributes:
        exit_speed (array (cases, gears)): Road speed at which the gear is left, or its end speed
            where it is not left [m/s].
        shifts_up (array of bool (cases, gears)): Whether the next gear is taken there.
    """

    exit_speed: FloatArray
    shifts_up: FloatArray


def shift_points(drive: Drive, top: TopSpeed, at_engine_speed: Scalar | None = None) -> ShiftPoints:
    """Speed at which to leave each gear when accelerating at full throttle.

    The best moment is the last at which this gear still accelerates at least as hard as the next
    one; where the two never cross, it is the rev limit. The next gear is taken only if it still
    accelerates there after the speed lost during the shift.

    Args:
        drive: Vehicle, conditions and final drive ratios [SI].
        top: Top speeds of the same drive [m/s].
        at_engine_speed: Change up at this engine speed instead of at the best one [rad/s].

    Returns:
        Exit speed of every gear [m/s] and whether the next one is taken.

    References:
        The crossing of the excess tractive force curves corrected by the mass factor, which is the
        crossing of the accelerations: euromotor.org open course, pres7, slide 16.

    Example: see :func:`explorer.calc.motion.run.full_throttle.full_throttle`.
    """
    end_speed = np.where(
        top.limit_by_gear == Limit.REV_LIMIT, top.by_gear, top.by_gear * (1 - _SHORT_OF_TOP)
    )
    exit_speed = end_speed.copy()
    shifts_up = np.zeros(end_speed.shape, bool)
    if drive.gears > 1:
        this, following = drive.overall[:, :-1], drive.overall[:, 1:]
        if at_engine_speed is None:
            leave = _crossing(drive, this, following)
        else:
            leave = np.minimum(at_engine_speed, drive.limiter_speed) * drive.radius / this
        after, _ = drive.coast_step(leave, drive.shift_time)
        worth_it = _pulls(drive, leave, following) & _pulls(drive, after, following)
        # A gear that runs out of power before the shift speed is never left.
        shifts = worth_it[..., 0] & (leave[..., 0] <= end_speed[:, :-1] * (1 + 1e-9))
        shifts_up[:, :-1] = shifts
        exit_speed[:, :-1] = np.where(shifts, leave[..., 0], end_speed[:, :-1])
    return ShiftPoints(exit_speed, shifts_up)


def _crossing(drive: Drive, this: FloatArray, following: FloatArray) -> FloatArray:
    grid = np.linspace(0.0, 1.0, _GRID_POINTS)
    step_down = following / this
    # The step between two gears is the same for every pair of sprockets: only as many torques
    # are looked up as there are gears and grid points.
    step_down = step_down[:1] if np.ptp(step_down, axis=0).max() < 1e-12 else step_down

    def this_pulls_harder(engine_speed: FloatArray) -> FloatArray:
        road_speed = engine_speed * drive.radius / this
        this_gear = _acceleration(drive, road_speed, this, engine_speed)
        return this_gear >= _acceleration(drive, road_speed, following, engine_speed * step_down)

    engine_speed = drive.launch_speed + grid * (drive.limiter_speed - drive.launch_speed)
    holds = this_pulls_harder(engine_speed)
    crossing = last_holding(engine_speed, holds, this_pulls_harder)
    # Where the next gear is better from the start it is taken as soon as the clutch has locked.
    return np.where(np.isnan(crossing), drive.launch_speed, crossing) * drive.radius / this


def _acceleration(
    drive: Drive, road_speed: FloatArray, overall: FloatArray, geared: FloatArray
) -> FloatArray:
    """Acceleration with the clutch slipping wherever the engine would fall below launch speed."""
    torque = drive.torque(np.maximum(geared, drive.launch_speed))
    return drive.acceleration(road_speed, overall, torque, geared >= drive.launch_speed)


def _pulls(drive: Drive, road_speed: FloatArray, overall: FloatArray) -> FloatArray:
    return _acceleration(drive, road_speed, overall, road_speed * overall / drive.radius) > 0
