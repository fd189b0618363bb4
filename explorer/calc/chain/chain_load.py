"""What the chain bears: tension, speed, bending on the sprockets, and which teeth meet which links.

How unevenly a sprocket of few teeth drives is
:func:`explorer.calc.sprockets.chordal_speed_variation`.

Args:
    teeth (int or array, positive): Teeth of the sprocket [count].
"""

import numpy as np

from explorer.calc.sprockets import pitch_diameter
from explorer.calc.vehicle import FloatArray, Scalar


def tension(pull: Scalar, rollout: Scalar, pitch: Scalar, rear: Scalar) -> FloatArray:
    r"""Tension in the driving run from the pull at the tyre.

    .. math:: F = \frac{P\,U}{\pi\,d}

    Equal torque of tyre and rear sprocket about the axle, at steady speed. It is the mean force
    of the drive; bumps and landings put far more on the chain.

    Args:
        pull: Pull (thrust) at the tyre [N].

    Returns: Tension [N].

    References: Balance of moments about the rear axle.

    >>> round(float(tension(1000.0, 2.0, 0.015875, 48)))
    2623
    """
    return np.asarray(pull, float) * rollout / (np.pi * pitch_diameter(pitch, rear))


def chain_speed(shaft_speed: Scalar, pitch: Scalar, teeth: Scalar) -> FloatArray:
    r"""Mean speed of the chain from the speed of a sprocket.

    .. math:: v = \frac{\omega\,z\,p}{2\pi}

    Args:
        shaft_speed: Speed of the output shaft, or of the rear wheel [rad/s].
        teeth (int or array, 3 or more): Teeth of the sprocket on it [count].

    Returns: Mean speed of the chain [m/s].

    References: L. T. Wentzell, *Machine Design*, Ex. 14.4 (worked numbers).

    >>> round(float(chain_speed(1800 * np.pi / 30, 0.0127, 12)), 3)
    4.572
    """
    return np.asarray(shaft_speed, float) * pitch * teeth / (2 * np.pi)


def chain_speed_on_road(
    road_speed: Scalar, rollout: Scalar, pitch: Scalar, rear: Scalar
) -> FloatArray:
    r"""Mean speed of the chain from the road speed.

    .. math:: v = V\,z\,p / U

    Args:
        road_speed: Road speed [m/s].

    Returns: Mean speed of the chain [m/s].

    References: One turn of the wheel takes as many links as the rear sprocket has teeth.

    >>> round(float(chain_speed_on_road(100 / 3.6, 2.0, 0.015875, 48)), 2)
    10.58
    """
    return np.asarray(road_speed, float) * pitch * rear / rollout


def articulation_angle(teeth: Scalar) -> FloatArray:
    r"""Angle by which each link swings on its neighbour as it goes on a sprocket, and again off.

    .. math:: \alpha = 2\pi / z

    Args:
        teeth (int or array, 3 or more): Teeth of the sprocket [count].

    Returns: Angle [rad].

    References: Geometry of the pitch polygon.

    >>> np.degrees(articulation_angle(np.array([12, 13, 15]))).round(1)
    array([30. , 27.7, 24. ])
    """
    return 2 * np.pi / np.asarray(teeth, float)


def articulation_per_kilometre(
    front: Scalar, rear: Scalar, links: Scalar, rollout: Scalar
) -> FloatArray:
    r"""Angle through which each joint of the chain swings over one kilometre.

    Each joint bends and straightens once on either sprocket for each turn of the chain, so over
    the distance s

    .. math:: \Theta = \frac{s\,z_2}{U L}\; 2 \left(\frac{2\pi}{z_1} + \frac{2\pi}{z_2}\right)

    Wear of a joint grows with the angle and with the tension during it; this compares pairs,
    it does not predict a life.

    Returns: Angle for one kilometre [rad].

    References: Counting; see :func:`articulation_angle`.

    >>> round(float(articulation_per_kilometre(13, 48, 112, 2.0)))
    263
    """
    turns = 1000.0 * np.asarray(rear, float) / (rollout * np.asarray(links, float))
    return turns * 2 * (articulation_angle(front) + articulation_angle(rear))


def ring_drag(
    joint_torque: Scalar, front: Scalar, rear: Scalar, links: Scalar, rollout: Scalar
) -> FloatArray:
    r"""Force at the tyre that it takes to bend the joints of a chain, as its rings resist.

    The work at all joints over the distance that it is done on: :math:`F = M L\,\Theta / s`.

    Args:
        joint_torque (float or array, not negative): Torque that bends one joint [N m].

    Returns: Force [N].

    >>> round(float(ring_drag(0.05, 13, 48, 112, 2.0)), 2)
    1.47
    """
    per_metre = articulation_per_kilometre(front, rear, links, rollout) / 1000
    return joint_torque * np.asarray(links, float) * per_metre


def chain_turns_before_repeat(teeth: Scalar, links: Scalar) -> FloatArray:
    r"""Turns of the chain before the same tooth meets the same link again.

    .. math:: n = \mathrm{lcm}(z, L) / L

    A large number spreads the wear of a damaged tooth or stiff link over the whole drive.

    Returns: int or array: Turns of the chain; `teeth` is the most, 1 the least [count].

    References:
        Least common multiple; tooth and link counts shall be coprime or share a small factor:
        mechanical-design-handbook notes on chain drives.

    >>> chain_turns_before_repeat(np.array([12, 13, 14]), 112)
    array([ 3, 13,  1])
    """
    return np.lcm(teeth, links) // np.asarray(links)


def sprocket_turns_before_repeat(teeth: Scalar, links: Scalar) -> FloatArray:
    r"""Turns of the sprocket before the same tooth meets the same link again.

    .. math:: n = \mathrm{lcm}(z, L) / z

    Returns: int or array: Turns of the sprocket [count].

    References: Least common multiple.

    >>> sprocket_turns_before_repeat(np.array([12, 13, 14]), 112)
    array([ 28, 112,   8])
    """
    return np.lcm(teeth, links) // np.asarray(teeth)


def every_tooth_meets_both_plates(teeth: Scalar, links: Scalar) -> FloatArray:
    """Whether each tooth meets inner and outer links in turn, rather than always the same kind.

    Inner and outer links alternate along the chain. With an even number of teeth and of links a
    tooth meets only one kind for ever; an odd number of teeth makes it alternate.

    Returns: True where it alternates [-].

    References: Mechanical-design-handbook notes on chain drives: such a drive spreads the wear.

    >>> every_tooth_meets_both_plates(np.array([12, 13]), 112)
    array([False,  True])
    """
    return (np.asarray(teeth) % 2 == 1) | (np.asarray(links) % 2 == 1)
