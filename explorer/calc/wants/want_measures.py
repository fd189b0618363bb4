"""What each want of a rider measures on a motorcycle, for all set-ups at once.

Every function takes a drive of many set-ups and returns, for each of them, the number that the
want speaks of and the gear that answers. Whether that is enough is said by
:mod:`explorer.calc.wants.wants_score`.

Args:
    gear (int or None): Index of the gear to hold a slope in; any gear if None [-].
    shifts (int, non-negative): Upshifts on the way [count].
    pulls: Engine speed from which the engine pulls [rad/s].
"""

from typing import NamedTuple

import numpy as np

from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.hills import NO_GEAR, gear_for_speed
from explorer.calc.drivetrain.top_speed import Limit
from explorer.calc.engine.curve import PowerBand
from explorer.calc.motion.measures import steepest_slope_by_gear
from explorer.calc.vehicle import FloatArray, Scalar

_GRID_POINTS = 48


class Answer(NamedTuple):
    """One number for each set-up, and the gear that gives it.

    Attributes:
        value (array (cases,)): NaN where no gear answers [unit of the measure].
        gear (array of int (cases,)): Index of the gear; NO_GEAR where none answers [-].
    """

    value: FloatArray
    gear: FloatArray


def room_in_band(drive: Drive, road_speed: float, band: PowerBand) -> Answer:
    """How far inside the power band the best gear keeps the engine at a road speed.

    Args:
        road_speed (float, positive): Speed through the corner [m/s].
        band: Power band of the engine; it ends at the rev limit at the latest [rad/s].

    Returns: Distance to the nearer end of the band, negative outside it [rad/s], and the gear with
        the most room.

    >>> room = room_in_band(example_drive()[0], 40 / 3.6, PowerBand(700.0, 1000.0))
    >>> room.value.round(0), room.gear
    (array([66.]), array([1]))
    """
    engine_speed = road_speed * (drive.overall / drive.radius)[..., 0]
    high = np.minimum(band.high, drive.limiter_speed[..., 0])
    room = np.minimum(engine_speed - band.low, high - engine_speed)
    gear = np.argmax(room, axis=1)
    return Answer(room.max(axis=1), gear)


def slope_held(drive: Drive, gear: int | None = None) -> Answer:
    """Steepest slope held at a steady speed, as rise over run.

    Args:
        drive: The slope of its conditions is left aside [SI].

    Returns: Slope [-] and gear; of several gears the one that holds the steepest, the highest of
        equal ones. NaN where the gearbox has no such gear.

    >>> held = slope_held(example_drive()[0])
    >>> held.value.round(2), held.gear
    (array([0.44]), array([0]))
    """
    by_gear = np.tan(steepest_slope_by_gear(drive))
    if gear is None:
        highest = drive.gears - 1 - np.argmax(by_gear[:, ::-1], axis=1)
        return Answer(by_gear.max(axis=1), highest)
    if gear >= drive.gears:
        return Answer(np.full(drive.cases, np.nan), np.full(drive.cases, NO_GEAR))
    return Answer(by_gear[:, gear], np.full(drive.cases, gear))


def slope_limit(drive: Drive, gear: int | None = None) -> FloatArray:
    """What ends the steepest slope of :func:`slope_held`: power, grip or balance.

    Returns: array of Limit (cases,): POWER, GRIP or FRONT_WHEEL_LIFT [-].

    >>> Limit(slope_limit(example_drive()[0])[0]).name
    'GRIP'
    """
    grid = np.linspace(0.0, 1.0, _GRID_POINTS)
    overall = drive.overall if gear is None else drive.overall[:, gear : gear + 1]
    engine_speed = drive.idle_speed + grid * (drive.limiter_speed - drive.idle_speed)
    road_speed = engine_speed * drive.radius / overall
    limits = drive.slope_limits(drive.pull(drive.torque(engine_speed), overall), road_speed)
    bounds = np.stack(np.broadcast_arrays(*limits), axis=-1).reshape(drive.cases, -1, 3)
    best = np.argmax(bounds.min(axis=-1), axis=1)
    binding = np.argmin(bounds[np.arange(drive.cases), best], axis=1)
    return np.array([Limit.POWER, Limit.GRIP, Limit.FRONT_WHEEL_LIFT])[binding]


def cruise_engine_speed(drive: Drive, road_speed: float) -> Answer:
    """Engine speed at a steady road speed, in the highest gear that holds it.

    Returns: Engine speed [rad/s] and gear; NaN where no gear holds that speed.

    >>> cruise = cruise_engine_speed(example_drive()[0], 60 / 3.6)
    >>> (cruise.value * 30 / np.pi).round(-1), cruise.gear
    (array([5430.]), array([4]))
    """
    gear = gear_for_speed(drive, road_speed).highest
    engine_speed = road_speed * (drive.overall / drive.radius)[..., 0]
    engine_speed = np.broadcast_to(engine_speed, (drive.cases, drive.gears))
    chosen = np.take_along_axis(engine_speed, np.maximum(gear, 0)[:, np.newaxis], axis=1)[:, 0]
    return Answer(np.where(gear == NO_GEAR, np.nan, chosen), gear)


def room_out_of_corner(
    drive: Drive, corner_speed: float, exit_speed: float, shifts: int, pulls: Scalar
) -> Answer:
    """Room in engine speed to drive out of a corner with a number of upshifts.

    The gear chosen at the corner must turn the engine at least so fast that it pulls, and the
    gear that many upshifts higher must reach the exit speed below the rev limit. The smaller of
    the two distances counts, in the gear where it is greatest. With fewer gears above than that,
    the highest one answers.

    Args:
        corner_speed (float, positive): Speed where the throttle is opened [m/s].
        exit_speed (float, above corner_speed): Speed at the end of the drive [m/s].

    Returns: The room, negative where it takes more shifts [rad/s], and the gear at the corner.

    >>> room = room_out_of_corner(example_drive()[0], 25 / 3.6, 45 / 3.6, 0, 400.0)
    >>> room.value.round(0), room.gear
    (array([79.]), array([1]))
    """
    per_speed = np.broadcast_to((drive.overall / drive.radius)[..., 0], (drive.cases, drive.gears))
    last = np.minimum(np.arange(drive.gears) + shifts, drive.gears - 1)
    at_corner = corner_speed * per_speed - pulls
    at_exit = drive.limiter_speed[..., 0] - exit_speed * per_speed[:, last]
    room = np.minimum(at_corner, at_exit)
    return Answer(room.max(axis=1), np.argmax(room, axis=1))


def widest_speed_range(gears: FloatArray, shifts: int, pulls: float, limiter: float) -> float:
    """Greatest exit over corner speed that a gearbox covers with a number of upshifts.

    No change of sprockets alters it: it is the engine's own range times the steps of the gears.

    Args:
        gears (array (g,), decreasing): Gear ratios of the gearbox, first gear first [-].
        limiter: Engine speed at the rev limit [rad/s].

    Returns: Ratio of the speeds [-].

    >>> widest_speed_range(np.array([3.0, 2.0, 1.6]), 1, 400.0, 800.0)
    3.0
    """
    gears = np.asarray(gears, float)
    last = np.minimum(np.arange(gears.size) + shifts, gears.size - 1)
    return float(np.max(gears / gears[last]) * limiter / pulls)


def engine_speed_change(
    final_ratio: FloatArray, rollout: Scalar, old_ratio: float, old_rollout: float
) -> FloatArray:
    """Change of engine speed at the same road speed and gear, as a share of the old one.

    Args:
        old_ratio, old_rollout: Final drive ratio and roll-out as ridden until now [-, m].

    Returns: array (cases,): Positive where the engine turns faster [-].

    >>> engine_speed_change(np.array([50 / 13]), 2.0, 48 / 13, 2.0).round(4)
    array([0.0417])
    """
    return final_ratio / rollout * old_rollout / old_ratio - 1
