"""The backward pass over a course: how fast one may be at each place and still brake in time."""

from typing import NamedTuple

import numpy as np

from explorer.calc.course.course_ground import Grounds, Pieces
from explorer.calc.drivetrain import forces
from explorer.calc.drivetrain.drive import Drive
from explorer.calc.vehicle import FloatArray

_FASTER_THAN_THE_LIMITER = 2.0
"""Without a corner the limit is a speed that no gear reaches, so that it stays a number."""


class BrakingLimit(NamedTuple):
    """The fastest that allows braking to every corner ahead.

    Attributes:
        energy (array (cases or 1, nodes)): Half the square of that speed at each node [m²/s²].
        deceleration (array (cases or 1, nodes - 1)): Deceleration under full braking at the end of
            the piece after each node [m/s²].
        steepening (array (cases or 1, nodes - 1)): Its growth by the higher speed before, halved:
            s before its end the energy of a piece is more by deceleration·s + steepening·s² [1/s²].
    """

    energy: FloatArray
    deceleration: FloatArray
    steepening: FloatArray


def fastest_to_brake(
    drive: Drive, grounds: Grounds, pieces: Pieces, braking_share: float
) -> BrakingLimit:
    r"""March backward from corner to corner under full braking.

    .. math:: d = \frac{\min(k \mu m g \cos\theta,\ F_{lift}) + R(v)}{m}

    The brakes act on the wheels, so what turns with them is slowed by the brakes and not by the
    ground: only the mass itself counts. Where a descent is too steep for the brakes the limit
    keeps the speed of the corner below all the way down.

    Args:
        drive: Vehicle and air [SI].
        braking_share (float, positive): Share of the ground's grip used for braking [-].

    Returns: Energies [m²/s²] and decelerations [m/s²]; one row where all cases brake alike.

    Example: see :func:`explorer.calc.course.fastest.ride_course`.
    """
    mass = drive.mass[:, :, 0]
    braking = np.minimum(braking_share * grounds.full_braking, grounds.lift_braking)
    steady = (braking + grounds.resistance).T / mass
    air = (drive.conditions.head_wind, drive.conditions.air_density, drive.vehicle.drag_area)
    if all(np.size(value) == 1 for value in (*air, mass)) and np.all(steady == steady[:1]):
        steady = steady[:1]
    mass = mass[:, 0]
    ground = grounds.of_segment[pieces.segment]
    limiter = float(np.max(drive.limiter_speed * drive.radius / drive.overall))
    fastest = 0.5 * (_FASTER_THAN_THE_LIMITER * limiter) ** 2
    corner = np.minimum(0.5 * pieces.corner_speed**2, fastest)
    energy = np.empty((steady.shape[0], corner.size))
    deceleration = np.empty((steady.shape[0], ground.size))
    steepening = np.empty_like(deceleration)
    energy[:, -1] = corner[-1]
    for i in range(ground.size - 1, -1, -1):
        end, length, on_this_ground = energy[:, i + 1], pieces.length[i], steady[:, ground[i]]

        def slowing(energy: FloatArray, on_this_ground: FloatArray = on_this_ground) -> FloatArray:
            drag = forces.air_drag(np.sqrt(2 * energy), *air)
            return np.maximum(on_this_ground + drag / mass, 0.0)

        deceleration[:, i] = slowing(end)
        in_the_middle = slowing(np.minimum(end + 0.5 * length * deceleration[:, i], fastest))
        steepening[:, i] = (in_the_middle - deceleration[:, i]) / length
        energy[:, i] = np.minimum(end + length * in_the_middle, corner[i])
    return BrakingLimit(energy, deceleration, steepening)
