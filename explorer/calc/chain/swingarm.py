"""The swingarm in side view: where the axle is, and how far the sprockets are apart.

Coordinates: origin at the swingarm pivot, x to the rear, y up, as seen from the left. The arm
angle is the angle of the line from pivot to axle, positive where the axle is above the pivot; it
grows as the suspension is compressed. The output shaft carries the front sprocket and sits ahead
of the pivot, so `shaft_x` is negative on nearly every motorcycle.
"""

from typing import NamedTuple

import numpy as np

from explorer.calc.vehicle import FloatArray, Scalar


class Point(NamedTuple):
    """A point in side view: x to the rear of the pivot, y above it [m]."""

    x: FloatArray
    y: FloatArray


def axle_position(arm_length: Scalar, arm_angle: Scalar) -> Point:
    """Where the rear axle is at an angle of the swingarm.

    Returns: Position of the axle [m].

    >>> axle = axle_position(0.560, np.radians(-30))
    >>> round(float(axle.x), 3), round(float(axle.y), 3)
    (0.485, -0.28)
    """
    length = np.asarray(arm_length)
    return Point(length * np.cos(arm_angle), length * np.sin(arm_angle))


def arm_angle_at_height(arm_length: Scalar, axle_height: Scalar) -> FloatArray:
    r"""Angle of the swingarm from the height of the axle above the pivot.

    .. math:: \varphi = \arcsin(h / b)

    Args:
        axle_height: Height of the axle above the pivot, negative where it is below [m].

    Returns: Angle of the swingarm; NaN where the height exceeds the arm's length [rad].

    References: Geometry.

    >>> round(float(np.degrees(arm_angle_at_height(0.560, -0.140))), 2)
    -14.48
    """
    sine = np.asarray(axle_height, float) / arm_length
    return np.arcsin(np.where(np.abs(sine) <= 1, sine, np.nan))[()]


def arm_angle_after_travel(arm_length: Scalar, arm_angle: Scalar, travel: Scalar) -> FloatArray:
    """Angle of the swingarm after the wheel has moved up by some travel.

    Args:
        arm_angle: Angle of the swingarm before, for example with the wheel hanging [rad].
        travel: Vertical movement of the axle relative to the frame, positive upwards [m].

    Returns: Angle of the swingarm; NaN where the travel exceeds what the arm can reach [rad].

    >>> hanging = np.radians(-20.0)
    >>> round(float(np.degrees(arm_angle_after_travel(0.560, hanging, 0.280))), 2)
    9.09
    """
    return arm_angle_at_height(arm_length, arm_length * np.sin(arm_angle) + travel)


def sprocket_distance(
    shaft_x: Scalar, shaft_y: Scalar, arm_length: Scalar, arm_angle: Scalar
) -> FloatArray:
    r"""Distance from output shaft to rear axle, the centre distance of the chain.

    By the law of cosines, with a the distance of output shaft and pivot, b the length of the
    swingarm and :math:`\varphi` the angle by which the three centres are out of line:

    .. math:: C^2 = a^2 + b^2 + 2ab\cos\varphi

    Returns: Centre distance [m].

    References: Law of cosines.

    >>> distance = sprocket_distance(-0.080, 0.0, 0.560, np.radians([0, 10, 20, 30, 40]))
    >>> (distance * 1000).round(3)
    array([640.   , 638.936, 635.764, 630.552, 623.408])
    """
    axle = axle_position(arm_length, arm_angle)
    return np.hypot(axle.x - shaft_x, axle.y - shaft_y)


def tightest_angle(
    shaft_x: Scalar, shaft_y: Scalar, lowest_angle: Scalar, highest_angle: Scalar
) -> FloatArray:
    """Angle of the swingarm at which the chain is tightest within the travel.

    The sprockets are furthest apart where output shaft, pivot and axle are in line. Where the
    travel does not reach that position, the chain is tightest at the nearer end of the travel.

    Args:
        lowest_angle: Angle of the swingarm with the wheel hanging [rad].
        highest_angle: At full compression; within π of the position in line [rad].

    Returns: Angle of the swingarm [rad].

    References: The triangle inequality.

    >>> tightest = tightest_angle(-0.080, 0.010, np.radians(-20.0), np.radians(10.0))
    >>> round(float(np.degrees(tightest)), 2)
    -7.13
    """
    in_line = np.arctan2(-np.asarray(shaft_y, float), -np.asarray(shaft_x, float))
    return np.clip(in_line, lowest_angle, highest_angle)
