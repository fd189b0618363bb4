"""Hills: the speed that each gear holds on a slope, and the gear to climb it in.

The steepest slope that each gear holds is in
:func:`explorer.calc.motion.measures.steepest_slope_by_gear`.
"""

from dataclasses import replace
from typing import NamedTuple

import numpy as np

from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.top_speed import TopSpeed, top_speed
from explorer.calc.vehicle import Conditions, FloatArray, Scalar, Vehicle

NO_GEAR = -1
"""Index that stands for "no gear holds it"."""


def on_slope(
    vehicle: Vehicle, conditions: Conditions, final_ratio: Scalar, rollout: Scalar, slope: Scalar
) -> tuple[Drive, TopSpeed]:
    """Speed held on a slope in each gear at full throttle, with the limit that binds.

    Args:
        slope (float or array (cases,)): In place of that of the conditions, uphill positive [rad].

    Returns: The drive on that slope, and the speeds it holds there [m/s].

    >>> drive, held = on_slope(
    ...     example_vehicle(), example_conditions(), 48 / 14, 2.0, np.arctan([0.1, 0.2]))
    >>> print((held.by_gear * 3.6).round(0))
    [[37. 55. 72. 76. 58.]
     [37. 54. 57.  0.  0.]]
    """
    drive = Drive(vehicle, replace(conditions, slope=slope), final_ratio, rollout)
    return drive, top_speed(drive)


class GearForSpeed(NamedTuple):
    """Which gears hold a speed on a slope, and which of them to use.

    Attributes:
        holds (array of bool (cases, gears)): The clutch is out, the engine turns between idle and
            the rev limit, and it has pull enough for the speed within grip and balance.
        highest (array (cases,)): Index of the highest gear that holds the speed, NO_GEAR where none
            does: the calmest engine for that climb [-].
        in_hand (array (cases, gears)): Acceleration to spare at that speed, negative where it is
            lost; NaN where the engine would turn below idle or above the rev limit [m/s²].
    """

    holds: FloatArray
    highest: FloatArray
    in_hand: FloatArray


def gear_for_speed(drive: Drive, road_speed: Scalar) -> GearForSpeed:
    """Gear to hold a speed in, on the slope of the drive's own conditions.

    To climb as fast as possible instead: the gear with the highest speed held, which is
    ``top_speed(drive).gear``.

    Returns: Which gears hold the speed, the highest of them, and what each has in hand [m/s²].

    >>> gears = gear_for_speed(example_drive()[0], 50 / 3.6)
    >>> gears.holds.tolist(), gears.highest.tolist()
    ([[False, True, True, True, True]], [4])
    """
    speed = np.reshape(np.asarray(road_speed, float), (-1, 1, 1))
    engine_speed = speed * drive.overall / drive.radius
    spare = drive.acceleration(speed, drive.overall, drive.torque(engine_speed), True)
    in_range = (engine_speed >= drive.idle_speed) & (engine_speed <= drive.limiter_speed)
    in_hand = np.where(in_range, spare, np.nan)[..., 0]
    holds = in_hand >= 0
    highest = drive.gears - 1 - np.argmax(holds[:, ::-1], axis=1)
    return GearForSpeed(holds, np.where(holds.any(axis=1), highest, NO_GEAR), in_hand)
