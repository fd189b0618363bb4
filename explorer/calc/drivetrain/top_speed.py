"""Top speed in each gear, and what it is that ends it."""

from enum import IntEnum
from typing import NamedTuple

import numpy as np

from explorer.calc.bisection import last_holding
from explorer.calc.drivetrain.drive import Drive
from explorer.calc.vehicle import FloatArray

_GRID_POINTS = 48


class Limit(IntEnum):
    """What keeps a motorcycle from going faster, or from pulling harder."""

    REV_LIMIT = 0
    POWER = 1
    GRIP = 2
    FRONT_WHEEL_LIFT = 3
    CANNOT_HOLD = 4


_EQUALLY_FAST = 5e-5


class TopSpeed(NamedTuple):
    """Top speed of every case in every gear.

    Attributes:
        by_gear (array (cases, gears)): Highest steady speed in each gear; 0 where the gear cannot
            hold any speed [m/s].
        limit_by_gear (array of Limit (cases, gears)): Which limit binds there.
        gear (array (cases,)): Index of the fastest gear; the lowest within 0.005 % of it [-].
    """

    by_gear: FloatArray
    limit_by_gear: FloatArray
    gear: FloatArray

    @property
    def speed(self) -> FloatArray:
        """Top speed in the fastest gear, shape (cases,) [m/s]."""
        return np.take_along_axis(self.by_gear, self.gear[:, np.newaxis], axis=1)[:, 0]

    @property
    def limit(self) -> FloatArray:
        """The limit that binds in the fastest gear, shape (cases,)."""
        return np.take_along_axis(self.limit_by_gear, self.gear[:, np.newaxis], axis=1)[:, 0]


def top_speed(drive: Drive) -> TopSpeed:
    """Highest speed at which the drive at full throttle still meets the resistance, by gear.

    A steady speed needs the clutch locked, so only engine speeds from idle to the rev limit count.

    Returns: Speeds [m/s], binding limits and the fastest gear.

    Example: see :func:`explorer.calc.motion.run.full_throttle.full_throttle`.
    """
    grid = np.linspace(0.0, 1.0, _GRID_POINTS)
    engine_speed = drive.idle_speed + grid * (drive.limiter_speed - drive.idle_speed)
    metres_per_radian = drive.radius / drive.overall
    road_speed = engine_speed * metres_per_radian
    ground = np.minimum(drive.grip_thrust, drive.wheelie_thrust)

    def still_pulls(speed: FloatArray, engine_speed: FloatArray) -> FloatArray:
        thrust = np.minimum(drive.pull(drive.torque(engine_speed), drive.overall), ground)
        return thrust >= drive.resistance(speed)

    holds = still_pulls(road_speed, engine_speed)
    speed = last_holding(road_speed, holds, lambda v: still_pulls(v, v / metres_per_radian))
    torque = drive.torque(speed / metres_per_radian)
    resistance = drive.resistance(speed)
    engine_share = drive.engine_acceleration(speed, drive.overall, torque, True)
    bound_by_ground = engine_share > drive.largest_acceleration(speed)
    lifts_first = drive.wheelie_thrust < drive.grip_thrust
    held_back = np.where(lifts_first, Limit.FRONT_WHEEL_LIFT, Limit.GRIP)
    limit = np.where(bound_by_ground, held_back, Limit.POWER)
    limit = np.where(holds[..., -1:], Limit.REV_LIMIT, limit)
    limit = np.where(np.isnan(resistance), Limit.CANNOT_HOLD, limit)[..., 0]
    by_gear = np.nan_to_num(speed[..., 0])
    # Where grip sets the speed, it is that of several gears but for the solver's noise.
    as_fast = by_gear >= by_gear.max(axis=1, keepdims=True) * (1 - _EQUALLY_FAST)
    return TopSpeed(by_gear, limit, np.argmax(as_fast, axis=1))
