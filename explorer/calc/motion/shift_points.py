"""When to change up: where the next gear, after the shift, wins; else at the rev limit."""

from collections.abc import Callable, Sequence
from typing import NamedTuple

import numpy as np

from explorer.calc.bisection import last_holding
from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.top_speed import Limit, TopSpeed
from explorer.calc.vehicle import FloatArray, Scalar

_GRID_POINTS = 32

_SHORT_OF_TOP = 1e-4
"""A power-limited top speed is only approached; a run counts as there within this share."""

_HARDLY = 1e-6
"""Where a gear no longer accelerates it takes for ever [m/s²]."""

_NEVER = 1e5
"""Time per speed of waiting for a gear that does not pull [s²/m]."""

_AS_GOOD = 1e-3
"""Where grip or balance binds, gears count as equal within this share, and a rider stays in his."""


class ShiftPoints(NamedTuple):
    """Where each gear ends.

    Attributes:
        exit_speed (array (cases, gears)): Road speed at which the gear is left, or its end speed
            where it is not left [m/s].
        shifts_up (array of bool (cases, gears)): Whether the next gear is taken there.
        end_speed (array (cases, gears)): How fast the gear gets where it is kept: its rev limit, or
            its top speed [m/s].
    """

    exit_speed: FloatArray
    shifts_up: FloatArray
    end_speed: FloatArray


def shift_points(drive: Drive, top: TopSpeed, at_engine_speed: Scalar | None = None) -> ShiftPoints:
    r"""Speed at which to leave each gear when accelerating at full throttle.

    During the shift the motorcycle coasts from v to w(v). Staying pays as long as this gear gains
    speed at v at least as fast as the next one will at w; where that holds to the end, it is the
    rev limit. Where it holds in several stretches, the one with the least time counts. The next
    gear is taken only if it still accelerates after the shift, and not before its clutch is locked:
    slipping it again would spare the engine being spun up, and up to 0.6 % of the time, but nobody
    rides so (common practice, no source).

    .. math:: a_1(v)\,w'(v) \ge a_2(w(v)), \qquad w' = R(w)/R(v)

    Returns: Exit speed of every gear [m/s] and whether the next one is taken.

    References:
        Without a shift time, the crossing of the excess tractive force curves corrected by the
        mass factor, which is that of the accelerations: euromotor.org open course, pres7, slide 16.
        With one, the least time to any speed beyond (derived).

    Example: see :func:`explorer.calc.motion.run.full_throttle.full_throttle`.
    """
    end_speed = np.where(
        top.limit_by_gear == Limit.REV_LIMIT, top.by_gear, top.by_gear * (1 - _SHORT_OF_TOP)
    )
    if at_engine_speed is None:
        return _points(drive, end_speed, lambda this, following: best_leaving(drive))
    leave = np.minimum(at_engine_speed, drive.limiter_speed) * drive.radius
    return _points(drive, end_speed, lambda this, following: leave / this)


def shift_points_over_distance(
    drive: Drive, shifts: ShiftPoints, final_speed: Scalar
) -> ShiftPoints:
    r"""Speed at which to leave each gear to cover a distance soonest.

    What counts at the finish is the way, and a shift made early delays all that follows: time is
    weighed with :math:`1 - v/V`, V being the speed at the finish. Staying pays as long as

    .. math:: a_1 \left(w'\,(1 - w/V) + a_2\,x_s'/V\right) \ge a_2\,(1 - v/V), \qquad
              x_s' = (v - w)\,m/R(v)

    Args:
        shifts: Shift points of the same drive, for how far each gear goes [m/s].
        final_speed (float or array (cases,), positive): Speed at the finish, about [m/s].

    Returns: Exit speed of every gear [m/s] and whether the next one is taken.

    References: Least time over a fixed way: the first variation of T - X/V (derived).

    >>> drive, shifts = example_drive()
    >>> later = shift_points_over_distance(drive, shifts, 17.0)
    >>> print(shifts.exit_speed[0, :2].round(1), later.exit_speed[0, :2].round(1))
    [ 9.7 14.5] [10.1 15.2]
    """
    final = np.reshape(np.asarray(final_speed, float), (-1, 1, 1))
    return _points(drive, shifts.end_speed, lambda this, following: best_leaving(drive, final))


def _points(
    drive: Drive, end_speed: FloatArray, leaves: Callable[[FloatArray, FloatArray], FloatArray]
) -> ShiftPoints:
    exit_speed = end_speed.copy()
    shifts_up = np.zeros(end_speed.shape, bool)
    if drive.gears > 1:
        this, following = drive.overall[:, :-1], drive.overall[:, 1:]
        leave = leaves(this, following)
        after, _ = drive.coast_step(leave, drive.shift_time)
        worth_it = _pulls(drive, leave, following) & _pulls(drive, after, following)
        # A gear that runs out of power before the shift speed is never left.
        shifts = worth_it[..., 0] & (leave[..., 0] <= end_speed[:, :-1] * (1 + 1e-9))
        shifts_up[:, :-1] = shifts
        exit_speed[:, :-1] = np.where(shifts, leave[..., 0], end_speed[:, :-1])
    return ShiftPoints(exit_speed, shifts_up, end_speed)


def best_leaving(
    drive: Drive, final: FloatArray | None = None, grounds: Sequence[FloatArray] = ()
) -> FloatArray:
    """Speed at which leaving each gear but the last costs least, whatever the gear then holds.

    Args:
        final (array (cases, 1, 1)): Speed at the finish of a distance; None for least time to any
            speed beyond [m/s].
        grounds: In place of the drive's own, what `Drive.on_ground` takes of several [N].

    Returns: Road speed, (cases, gears - 1, 1), of each ground where several are given, from where
        the next gear's clutch locks to the rev limit [m/s].

    Example: see :func:`shift_points`.
    """
    this, following = drive.overall[:, :-1], drive.overall[:, 1:]
    grid = np.linspace(0.0, 1.0, _GRID_POINTS)

    def waiting(drive: Drive, engine_speed: FloatArray) -> FloatArray:
        """Time that waiting costs over what it saves, per speed [s²/m]."""
        road_speed = engine_speed * drive.radius / this
        after, slower = drive.coast_through_shift(road_speed)
        next_gear = _acceleration(drive, after, following, after * following / drive.radius)
        this_gear = _acceleration(drive, road_speed, this, engine_speed)
        held_back = this_gear >= drive.largest_acceleration(road_speed)
        spent, saved = np.where(held_back, 1 - _AS_GOOD, 1.0), slower
        way: Scalar = 0.0
        if final is not None:
            coasting = drive.resistance(road_speed) / (drive.mass + drive.wheel_mass)
            rolls = coasting != 0
            longer = (road_speed - after) / np.where(rolls, coasting, 1.0)
            way = np.where(rolls, longer, drive.shift_time) / final
            spent, saved = spent * (1 - road_speed / final), saved * (1 - after / final)
        per_speed = 1 / np.maximum(this_gear, _HARDLY)
        gain = np.where(next_gear > 0, saved / np.maximum(next_gear, _HARDLY), _NEVER)
        return spent * per_speed - gain - way

    lowest = np.minimum(drive.launch_speed * this / following, drive.limiter_speed)
    engine_speed = lowest + grid * (drive.limiter_speed - lowest)
    index = np.arange(_GRID_POINTS)

    def holding(drive: Drive) -> FloatArray:
        """Where waiting still pays, up to the speed at which leaving costs least."""
        slope = waiting(drive, engine_speed)
        cost = np.zeros_like(slope)
        cost[..., 1:] = np.cumsum(slope[..., 1:] + slope[..., :-1], axis=-1)
        least = np.argmin(cost, axis=-1, keepdims=True)
        return (index < least) | ((index == least) & (slope <= 0))

    # The grid of one ground after the other stays in the processor's memory; the few speeds of the
    # bisection are quicker all together.
    if grounds:
        holds = np.stack([holding(drive.on_ground(*one)) for one in zip(*grounds, strict=True)])
        drive = drive.on_ground(*grounds)
    else:
        holds = holding(drive)
    crossing = last_holding(engine_speed, holds, lambda speed: waiting(drive, speed) <= 0)
    # Where the next gear is better from the start it is taken as soon as its clutch is locked.
    leave = np.where(np.isnan(crossing), lowest, crossing) * drive.radius / this
    # No gear is left before it is reached: nobody skips one.
    return np.maximum.accumulate(leave, axis=-2)


def _acceleration(
    drive: Drive, road_speed: FloatArray, overall: FloatArray, geared: FloatArray
) -> FloatArray:
    """Acceleration with the clutch slipping wherever the engine would fall below launch speed."""
    torque = drive.torque(np.maximum(geared, drive.launch_speed))
    return drive.acceleration(road_speed, overall, torque, geared >= drive.launch_speed)


def _pulls(drive: Drive, road_speed: FloatArray, overall: FloatArray) -> FloatArray:
    return _acceleration(drive, road_speed, overall, road_speed * overall / drive.radius) > 0
