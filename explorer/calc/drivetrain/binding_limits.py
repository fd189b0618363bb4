"""What holds the motorcycle back at full throttle, speed by speed: engine, grip or front wheel.

While the clutch slips the engine is held at its launch speed, as in a start from rest.
"""

from typing import NamedTuple

import numpy as np

from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.top_speed import Limit
from explorer.calc.vehicle import FloatArray

_GRID_POINTS = 64
_HALVINGS = 20
"""Twenty halvings of a step of the grid leave one part in sixty million of the range."""


class Stretches(NamedTuple):
    """Ranges of speed with one binding limit, one row each, by case, gear and speed.

    Attributes:
        case, gear (array (rows,)): Index of the case and of the gear [-].
        start, end (array (rows,)): Road speeds between which the limit binds; the first row of a
            gear starts from rest and the last ends at the rev limit [m/s].
        limit (array of Limit (rows,)): POWER where the engine binds, GRIP or FRONT_WHEEL_LIFT.
    """

    case: FloatArray
    gear: FloatArray
    start: FloatArray
    end: FloatArray
    limit: FloatArray


def binding_limit(drive: Drive, road_speed: FloatArray) -> FloatArray:
    """Limit that binds at full throttle in each gear at given speeds, from rest upward.

    Args:
        road_speed (broadcast to (cases, gears, points)): Up to the rev limit of each gear [m/s].

    Returns: array of Limit (cases, gears, points): As of :class:`Stretches` [-].

    >>> [Limit(x).name for x in binding_limit(example_drive()[0], np.array([1.0, 8.0]))[0, 0]]
    ['GRIP', 'POWER']
    """
    geared = road_speed * drive.overall / drive.radius
    torque = drive.torque(np.maximum(geared, drive.launch_speed))
    locked = geared >= drive.launch_speed
    engine = drive.engine_acceleration(road_speed, drive.overall, torque, locked)
    lifts_first = drive.wheelie_thrust < drive.grip_thrust
    held_back = np.where(lifts_first, Limit.FRONT_WHEEL_LIFT, Limit.GRIP)
    return np.where(engine > drive.largest_acceleration(road_speed), held_back, Limit.POWER)


def stretches(drive: Drive) -> Stretches:
    """Divide each gear, from rest to the rev limit, into stretches with one binding limit.

    Returns: One row for each stretch; speeds [m/s].

    Example: see :func:`held_back`.
    """
    fastest = drive.limiter_speed * drive.radius / drive.overall
    grid = fastest * np.linspace(0.0, 1.0, _GRID_POINTS)
    label = binding_limit(drive, grid)
    grid = np.broadcast_to(grid, label.shape)
    low, high, before = grid[..., :-1], grid[..., 1:], label[..., :-1]
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        same = binding_limit(drive, middle) == before
        low, high = np.where(same, middle, low), np.where(same, high, middle)
    # A stretch begins at the start of each gear and wherever the label changes.
    begins = np.ones(label.shape, bool)
    begins[..., 1:] = label[..., 1:] != before
    starts = np.concatenate([grid[..., :1], low], axis=-1)
    case, gear, _ = np.nonzero(begins)
    start = starts[begins]
    same_gear = (case[1:] == case[:-1]) & (gear[1:] == gear[:-1])
    end = np.append(np.where(same_gear, start[1:], np.inf), np.inf)
    end = np.where(np.isinf(end), grid[case, gear, -1], end)
    return Stretches(case, gear, start, end, label[begins])


def held_back(rows: Stretches, limit: Limit) -> Stretches:
    """Stretches in which grip, or the front wheel, holds the thrust back.

    From the start to the end of each, shorter gearing gains nothing in that gear. A gear may have
    none, one from rest, one further up where the torque has its peak, or several.

    Args:
        rows: Stretches of a drive [m/s].
        limit (Limit): GRIP or FRONT_WHEEL_LIFT.

    Returns: Those rows in which that limit binds; speeds [m/s].

    >>> grip = held_back(stretches(example_drive()[0]), Limit.GRIP)
    >>> print(grip.gear, (grip.start * 3.6).round(1), (grip.end * 3.6).round(1))
    [0] [0.] [14.6]
    """
    bound = rows.limit == limit
    return Stretches(*(column[bound] for column in rows))
