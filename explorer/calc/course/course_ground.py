"""The ground of a course: cut into short pieces, and what each kind of ground does to a ride.

Segments with the same slope and surface share one ground, so that forces and shift speeds are
worked out once for each ground and not once for each segment.
"""

from typing import NamedTuple

import numpy as np

from explorer.calc.drivetrain import forces
from explorer.calc.drivetrain.drive import Drive
from explorer.calc.motion.shift_points import best_leaving
from explorer.calc.vehicle import STANDARD_GRAVITY, FloatArray, Scalar

_PIECE = 10.0
_MOST_PIECES = 2500


class Pieces(NamedTuple):
    """A course cut into short pieces for marching along it.

    Attributes:
        node (array (nodes,)): Distance of each node from the start [m].
        length (array (nodes - 1,)): Length of the piece after each node [m].
        segment (array (nodes - 1,)): Index of the segment that each piece belongs to [-].
        corner_speed (array (nodes,)): Greatest speed at each node; infinite where there is no
            corner [m/s].
    """

    node: FloatArray
    length: FloatArray
    segment: FloatArray
    corner_speed: FloatArray


def cut_course(length: FloatArray, corner_speed: FloatArray) -> Pieces:
    """Cut a course into pieces of at most 10 m, longer ones on a course of more than 25 km.

    Args:
        length, corner_speed (array (segments,)): Of each segment, as of a Course [m, m/s].

    Returns: Pieces that end where the segments end [m, m/s].

    >>> cut_course(np.array([5.0, 25.0]), np.array([3.0, np.inf])).node.round(1).tolist()
    [0.0, 5.0, 13.3, 21.7, 30.0]
    """
    longest = max(_PIECE, length.sum() / _MOST_PIECES)
    count = np.ceil(length / longest).astype(int)
    segment = np.repeat(np.arange(length.size), count)
    piece_length = (length / count)[segment]
    corners = np.full(segment.size + 1, np.inf)
    corners[np.cumsum(count)] = corner_speed
    node = np.concatenate(([0.0], np.cumsum(piece_length)))
    return Pieces(node, piece_length, segment, corners)


class Grounds(NamedTuple):
    """Forces on each ground of a course.

    Attributes:
        of_segment (array (segments,)): Index of each segment's ground [-].
        resistance (array (grounds, cases)): Rolling and slope resistance [N].
        grip_thrust, wheelie_thrust (array (grounds, cases)): Thrust at which the rear tyre spins
            and at which the front wheel lifts [N].
        full_braking, lift_braking (array (grounds, cases)): Braking force with the whole grip of
            both tyres, and that which lifts the rear wheel [N].
    """

    of_segment: FloatArray
    resistance: FloatArray
    grip_thrust: FloatArray
    wheelie_thrust: FloatArray
    full_braking: FloatArray
    lift_braking: FloatArray


def course_grounds(
    drive: Drive, slope: FloatArray, rolling_coefficient: FloatArray, grip: FloatArray
) -> Grounds:
    r"""Find the different grounds of a course and the forces on each.

    The rear wheel lifts under braking when the whole force backward along the ground reaches
    :math:`m g \cos\theta\,(L - x)/h`, by moments about the centre of gravity.

    Args:
        slope, rolling_coefficient, grip (array (segments,)): As of a Course [rad, -, -].

    Returns: Forces [N] and the ground of each segment.

    >>> grounds = course_grounds(example_drive()[0], np.array([0.0, 0.1, 0.0]), np.full(3, 0.03),
    ...                          np.full(3, 0.6))
    >>> grounds.of_segment.tolist(), grounds.resistance.round(0).tolist()
    ([0, 1, 0], [[54.0], [235.0]])
    """
    kinds, of_segment = np.unique(
        np.stack([slope, rolling_coefficient, grip]), axis=1, return_inverse=True
    )
    slope, rolling_coefficient, grip = kinds[:, :, np.newaxis]
    v = drive.vehicle
    rolling = forces.rolling_resistance(v.mass, slope, rolling_coefficient)
    weight = v.mass * STANDARD_GRAVITY * np.cos(slope)
    shape = (kinds.shape[1], drive.cases)
    return Grounds(
        np.ravel(of_segment),
        *(
            np.ascontiguousarray(np.broadcast_to(force, shape))
            for force in (
                rolling + forces.slope_force(v.mass, slope),
                forces.grip_thrust(
                    v.mass, v.wheelbase, v.cg_ahead, v.cg_height, slope, rolling, grip
                ),
                forces.wheelie_thrust(v.mass, v.cg_ahead, v.cg_height, slope, rolling),
                grip * weight,
                weight * (v.wheelbase - v.cg_ahead) / v.cg_height - rolling,
            )
        ),
    )


def shift_speeds(drive: Drive, grounds: Grounds, at_engine_speed: Scalar | None) -> FloatArray:
    """Speed at which each gear is left on each ground; infinite in the last gear.

    The best moment is that of :func:`explorer.calc.motion.shift_points.best_leaving`.

    Returns: array (grounds, cases, gears): Speed [m/s].

    >>> drive, _ = example_drive()
    >>> grounds = course_grounds(drive, np.zeros(1), np.full(1, 0.03), np.full(1, 0.6))
    >>> print(shift_speeds(drive, grounds, None)[0, 0].round(1))
    [ 9.7 14.5 19.  23.5  inf]
    """
    metres_per_radian = (drive.radius / drive.overall)[..., 0]
    leave = np.empty((grounds.resistance.shape[0], drive.cases, drive.gears))
    leave[..., -1] = np.inf
    if drive.gears == 1:
        return leave
    if at_engine_speed is not None:
        chosen = np.minimum(np.reshape(at_engine_speed, (-1, 1)), drive.limiter_speed[..., 0])
        leave[..., :-1] = (chosen * metres_per_radian)[:, :-1]
        return leave
    on = (grounds.resistance, grounds.grip_thrust, grounds.wheelie_thrust)
    leave[..., :-1] = best_leaving(drive, grounds=on)[..., 0]
    return leave
