"""When to change up: where the next gear, after the shift, wins; else at the rev limit."""

from typing import NamedTuple

import numpy as np

from explorer.calc.bisection import last_holding
from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.top_speed import Limit, TopSpeed
from explorer.calc.vehicle import FloatArray, Scalar

_GRID_POINTS = 48

_SHORT_OF_TOP = 1e-4
"""A power-limited top speed is only approached; a run counts as there within this share."""


_AS_GOOD = 5e-3
"""Two gears count as equal within this share: where grip binds both, a rider stays in his gear."""


class ShiftPoints(NamedTuple):
    """Where each gear ends.

    Attributes
    ----------
    exit_speed : array (cases, gears)
        Road speed at which the gear is left, or its end speed where it is not left [m/s].
    shifts_up : array of bool (cases, gears)
        Whether the next gear is taken there.
    end_speed : array (cases, gears)
        How fast the gear gets where it is kept: its rev limit, or its top speed [m/s].
    """

    exit_speed: FloatArray
    shifts_up: FloatArray
    end_speed: FloatArray


def shift_points(drive: Drive, top: TopSpeed, at_engine_speed: Scalar | None = None) -> ShiftPoints:
    r"""Speed at which to leave each gear when accelerating at full throttle.

    During the shift the motorcycle coasts from v to w(v). Staying pays as long as this gear gains
    speed at v at least as fast as the next one will at w; where that holds to the end, it is the
    rev limit. The next gear is taken only if it still accelerates after the shift.

    .. math:: \frac{d}{dv}\left(\int^v \frac{du}{a_1} + t_s + \int_{w(v)} \frac{du}{a_2}\right)
              \le 0 \iff a_1(v)\,w'(v) \ge a_2(w(v)), \qquad w' = R(w)/R(v)

    Parameters
    ----------
    drive : Drive
        Vehicle, conditions and final drive ratios [SI].
    top : TopSpeed
        Top speeds of the same drive [m/s].
    at_engine_speed : float or None
        Change up at this engine speed instead of at the best one [rad/s].

    Returns
    -------
    ShiftPoints
        Exit speed of every gear [m/s] and whether the next one is taken.

    References
    ----------
    Without a shift time, the crossing of the excess tractive force curves corrected by the mass
    factor, which is that of the accelerations: euromotor.org open course, pres7, slide 16. With
    one, the least time to any speed beyond (derived).

    Examples
    --------
    See :func:`explorer.calc.motion.run.full_throttle.full_throttle`.
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
    return ShiftPoints(exit_speed, shifts_up, end_speed)


def _crossing(drive: Drive, this: FloatArray, following: FloatArray) -> FloatArray:
    grid = np.linspace(0.0, 1.0, _GRID_POINTS)

    def staying_wins(engine_speed: FloatArray) -> FloatArray:
        road_speed = engine_speed * drive.radius / this
        this_gear = _acceleration(drive, road_speed, this, engine_speed)
        after, slower = drive.coast_through_shift(road_speed)
        next_gear = _acceleration(drive, after, following, after * following / drive.radius)
        return this_gear * slower >= next_gear * (1 - _AS_GOOD)

    engine_speed = drive.launch_speed + grid * (drive.limiter_speed - drive.launch_speed)
    crossing = last_holding(engine_speed, staying_wins(engine_speed), staying_wins)
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
