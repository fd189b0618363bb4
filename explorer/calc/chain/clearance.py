"""Gaps that change with the sprockets and the axle: case, guide, swingarm and tyre.

The rider measures the gap now, with a feeler or a rule; these functions say what is left of it.
A negative gap means contact. How much gap is enough is for the motorcycle's manual, a mechanic
and the dirt where it is ridden. For the run of chain over the swingarm pivot see
:func:`explorer.calc.chain.chain_path.run_clearance`.
"""

import numpy as np

from explorer.calc.sprockets import outside_diameter, pitch_diameter
from explorer.calc.vehicle import FloatArray, Scalar


def outermost_radius(pitch: Scalar, teeth: Scalar, plate_height: Scalar) -> FloatArray:
    r"""Radius of a sprocket with the chain on it, over whichever stands out further.

    .. math:: R = \max\left(\frac{d + h_p}{2}, \frac{d_a}{2}\right)

    Returns: Radius over the plates of the chain, or over the teeth if they stand out further [m].

    References: Geometry; diameters as in :mod:`explorer.calc.sprockets`.

    >>> (outermost_radius(0.015875, np.array([13, 14]), 0.015) * 1000).round(1)
    array([40.7, 43.2])
    """
    over_plates = pitch_diameter(pitch, teeth) + plate_height
    return np.maximum(over_plates, outside_diameter(pitch, teeth)) / 2


def case_gap(
    shaft_to_case: Scalar, pitch: Scalar, teeth: Scalar, plate_height: Scalar
) -> FloatArray:
    """Gap between the chain on the front sprocket and the case, from the shaft's distance.

    Args:
        shaft_to_case (float or array, positive): Centre of the output shaft to the nearest part of
            case or cover, as measured [m].
        teeth (int or array, 3 or more): Teeth of the front sprocket [count].

    Returns: Gap left; negative on contact [m].

    >>> (case_gap(0.045, 0.015875, np.array([13, 14, 15]), 0.015) * 1000).round(1)
    array([ 4.3,  1.8, -0.7])
    """
    return np.asarray(shaft_to_case, float) - outermost_radius(pitch, teeth, plate_height)


def gap_after_teeth(
    gap_now: Scalar,
    pitch: Scalar,
    teeth_now: Scalar,
    teeth_new: Scalar,
    axle_movement: Scalar = 0.0,
    direction: Scalar = 0.0,
) -> FloatArray:
    r"""Gap between a sprocket and a part near it, after a change of teeth.

    .. math:: g' = g - \frac{d_{new} - d_{now}}{2} + m \cos\psi

    Teeth and plates of the same chain stand out by nearly the same on both sprockets, so the gap
    changes by half the difference of the pitch diameters.

    Args:
        gap_now: Gap measured with the sprocket fitted now [m].
        teeth_now (int or array, 3 or more): Teeth of the sprocket fitted now [count].
        teeth_new (int or array, 3 or more): Teeth of the new sprocket [count].
        axle_movement: Axle movement, positive to the rear; 0 for the front sprocket [m].
        direction: Where the part is, seen from the axle: 0 straight ahead along the swingarm, π/2
            straight below or above, where moving the axle changes nothing at first order [rad].

    Returns: Gap after the change; negative on contact [m].

    References: Geometry.

    >>> gap = gap_after_teeth(0.012, 0.015875, 48, np.array([50, 52]), axle_movement=-0.004)
    >>> (gap * 1000).round(1)
    array([ 3. , -2.1])
    """
    growth = (pitch_diameter(pitch, teeth_new) - pitch_diameter(pitch, teeth_now)) / 2
    return np.asarray(gap_now, float) - growth + axle_movement * np.cos(direction)


def tyre_gap(gap_now: Scalar, axle_movement: Scalar, radius_change: Scalar = 0.0) -> FloatArray:
    r"""Gap between the rear tyre and the swingarm ahead of it, after the axle has moved.

    .. math:: g' = g + m - \Delta R

    Args:
        gap_now: Gap measured with the axle where it is now, at the widest knob [m].
        axle_movement: Axle movement, positive to the rear [m].
        radius_change: Growth of the tyre's outside radius, if the tyre is changed too [m].

    Returns: Gap after the change; negative on contact [m].

    References: Geometry. A tyre also grows with speed, which is not counted.

    >>> round(float(tyre_gap(0.012, -0.008)) * 1000, 1)
    4.0
    """
    return np.asarray(gap_now, float) + axle_movement - radius_change


def room_to_lift_off(pitch: Scalar, roller_diameter: Scalar) -> FloatArray:
    r"""How far the axle must go forward before a closed chain can be lifted off a sprocket.

    The chain has to ride up from the roots onto the tips of the teeth over half the sprocket,

    .. math:: \Delta C = \frac{\pi}{2} \cdot \frac{1.25 p - d_1}{2}

    Args:
        roller_diameter (float or array, positive): Diameter of its rollers [m].

    Returns: Room needed; half of the length by which the run over the tips is longer [m].

    References:
        Largest tip diameter d + 1.25 p - d1 of ISO 606; that half the sprocket is ridden up at once
        is our choice, on the safe side.

    >>> round(float(room_to_lift_off(0.0127, 0.00851)) * 1000, 1)
    5.8
    """
    height = (1.25 * np.asarray(pitch, float) - roller_diameter) / 2
    return np.pi / 2 * height
