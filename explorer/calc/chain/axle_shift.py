"""What moving the axle along the swingarm does to the motorcycle's stance.

First-order geometry of a rigid motorcycle: suspension and tyres keep their length.

Args:
    movement: Axle movement along the swingarm, positive to the rear [m].
    front_radius (float or array, positive): Radius of the front tyre [m].
    rake (float or array, 0 to π/2): Angle of the steering axis from the vertical [rad].
    fork_offset: Distance of the front axle from the steering axis [m].
"""

import numpy as np

from explorer.calc.vehicle import FloatArray, Scalar


def wheelbase_change(movement: Scalar, arm_angle: Scalar) -> FloatArray:
    r"""Change of wheelbase when the axle moves along the swingarm.

    .. math:: \Delta w = m \cos\varphi

    Returns: Change, positive where the motorcycle gets longer [m].

    References: Geometry, first order.

    >>> round(float(wheelbase_change(0.010, np.radians(-12))) * 1000, 2)
    9.78
    """
    return np.asarray(movement, float) * np.cos(arm_angle)


def rear_height_change(movement: Scalar, arm_angle: Scalar) -> FloatArray:
    r"""Change of the rear of the frame's height when the axle moves along the swingarm.

    .. math:: \Delta h = -m \sin\varphi

    With the swingarm sloping down to the rear, an axle further back lifts the rear a little.

    Returns: Change of the pivot's height above the axle, positive upwards [m].

    References: Geometry, first order.

    >>> round(float(rear_height_change(0.010, np.radians(-12))) * 1000, 2)
    2.08
    """
    return -np.asarray(movement, float) * np.sin(arm_angle)


def trail(front_radius: Scalar, rake: Scalar, fork_offset: Scalar) -> FloatArray:
    r"""Trail of the front wheel, measured along the ground.

    .. math:: t = \frac{R \sin\varepsilon - d}{\cos\varepsilon}

    Returns: Trail [m].

    References:
        Geometry of the steered wheel: ground contact below the axle, steering axis offset by d.

    >>> round(float(trail(0.345, np.radians(27), 0.022)) * 1000, 1)
    151.1
    """
    return (front_radius * np.sin(rake) - fork_offset) / np.cos(rake)


def trail_change(
    movement: Scalar,
    arm_angle: Scalar,
    wheelbase: Scalar,
    front_radius: Scalar,
    rake: Scalar,
    fork_offset: Scalar,
) -> FloatArray:
    r"""Change of trail when the axle moves along the swingarm.

    The lifted rear tips the motorcycle forward by :math:`\Delta h / w` about the front contact,
    which steepens the rake by as much.

    Returns: Change of trail, negative where it gets shorter [m].

    >>> change = trail_change(0.010, np.radians(-12), 1.42, 0.345, np.radians(27), 0.022)
    >>> round(float(change) * 1000, 2)
    -0.62
    """
    tipped = rear_height_change(movement, arm_angle) / wheelbase
    after = trail(front_radius, np.asarray(rake, float) - tipped, fork_offset)
    return after - trail(front_radius, rake, fork_offset)


def front_load_share(
    wheelbase: Scalar, cg_behind_front: Scalar, wheelbase_change: Scalar
) -> FloatArray:
    r"""Share of the weight on the front wheel after the wheelbase has changed at the rear.

    .. math:: s = 1 - \frac{b}{w + \Delta w}

    Args:
        wheelbase (float or array, positive): Distance between the axles before the change [m].
        cg_behind_front: Centre of gravity behind the front axle, rider seated [m].
        wheelbase_change: Change of wheelbase, positive where it gets longer [m].

    Returns: Share of the weight on the front wheel, standing on level ground [-].

    References: Balance of moments about the front contact.

    >>> front_load_share(1.42, 0.75, np.array([0.0, 0.010])).round(4)
    array([0.4718, 0.4755])
    """
    return 1 - cg_behind_front / (np.asarray(wheelbase, float) + wheelbase_change)
