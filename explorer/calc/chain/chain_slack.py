"""Slack of the chain: free movement of its slack run, and how it changes through the travel.

Slack here is the total up-and-down movement of the slack run, as a rider measures it. The
motorcycle's own manual says how much it shall be, where along the run and in which state of the
suspension it is measured; that value is the authority, and no figure is built in here.

The slack run is taken as straight between the tangent points, held by no slider or guide, and the
chain as even all round; on the motorcycle, turn the wheel and measure at the tightest place.

Args:
    span (float or array, positive): Length of the straight run, tangent point to tangent point [m].
    place (float or array, 0 to 1): Where along the run it is measured, as a share of the span; 0.5
        is mid-run [-].
"""

from typing import NamedTuple

import numpy as np

from explorer.calc.chain import length as chain
from explorer.calc.chain import swingarm
from explorer.calc.sprockets import pitch_diameter
from explorer.calc.vehicle import FloatArray, Scalar


def extra_length(span: Scalar, slack: Scalar, place: Scalar = 0.5) -> FloatArray:
    r"""Length by which a run exceeds the straight line, from its slack.

    Pushed sideways by h at a share q of its span S, the run forms two straight pieces:

    .. math:: \Delta L = \sqrt{(qS)^2 + h^2} + \sqrt{((1-q)S)^2 + h^2} - S

    which at mid-run is close to :math:`2h^2/S`.

    Args:
        slack (float or array, non-negative): Total up-and-down movement, 2h [m].

    Returns: Extra length [m].

    References: Theorem of Pythagoras.

    >>> (extra_length(0.600, np.array([0.020, 0.035, 0.040, 0.050])) * 1000).round(4)
    array([0.3332, 1.02  , 1.3319, 2.0797])
    """
    deflection = np.asarray(slack, float) / 2
    span = np.asarray(span, float)
    # hypot(u, h) - u without the loss of digits of a difference of nearly equal lengths
    one, other = (
        deflection**2 / (np.hypot(part, deflection) + part)
        for part in (span * place, span * (1 - np.asarray(place, float)))
    )
    return one + other


def slack_from_extra_length(span: Scalar, extra: Scalar, place: Scalar = 0.5) -> FloatArray:
    r"""Slack of a run from its extra length; the inverse of `extra_length`.

    A point of the run moves on an ellipse about the two tangent points:

    .. math::

        h = B \sqrt{1 - \left(\frac{(q - 1/2)\,S}{A}\right)^2}, \qquad
        A = \frac{S + \Delta L}{2}, \quad B^2 = A^2 - (S/2)^2

    Args:
        extra: Extra length [m].

    Returns: Total up-and-down movement, 2h; NaN where the extra length is negative, the chain being
        drawn tight before the suspension gets there [m].

    References: Ellipse as the curve of constant sum of two distances.

    >>> slack = slack_from_extra_length(0.600, np.array([0.0010200, -0.001]))
    >>> (slack * 1000).round(1)
    array([35., nan])
    """
    span, extra = np.asarray(span, float), np.asarray(extra, float)
    half_sum = (span + extra) / 2
    # A² - (S/2)² as a product, again to keep the digits of a small extra length
    semi_minor_squared = extra * (2 * span + extra) / 4
    off_centre = (np.asarray(place, float) - 0.5) * span / half_sum
    square = semi_minor_squared * (1 - off_centre**2)
    return 2 * np.sqrt(np.where(extra >= 0, square, np.nan))[()]


def run_length(centre_distance: Scalar, pitch: Scalar, front: Scalar, rear: Scalar) -> FloatArray:
    r"""Length of the straight run between the two tangent points.

    .. math:: S = \sqrt{C^2 - (r_2 - r_1)^2}

    Returns: Length; NaN where one pitch circle would lie inside the other [m].

    References: Geometry of an open two-sprocket drive.

    >>> round(float(run_length(0.632, 0.015875, 13, 50)) * 1000, 1)
    625.1
    """
    difference = (pitch_diameter(pitch, rear) - pitch_diameter(pitch, front)) / 2
    square = np.asarray(centre_distance, float) ** 2 - difference**2
    return np.sqrt(np.where(square > 0, square, np.nan))[()]


class Travel(NamedTuple):
    """The chain through the travel of the rear wheel.

    Attributes:
        centre_distance, run: Output shaft to rear axle, length of the straight run [m].
        extra: Length of the chain beyond a taut one, all of it in the slack run; negative where the
            chain would be drawn tight before [m].
        slack: Total up-and-down movement of the slack run; NaN where `extra` is negative [m].
    """

    centre_distance: FloatArray
    run: FloatArray
    extra: FloatArray
    slack: FloatArray


def slack_through_travel(
    shaft_x: Scalar,
    shaft_y: Scalar,
    arm_length: Scalar,
    arm_angle: Scalar,
    set_angle: Scalar,
    set_slack: Scalar,
    pitch: Scalar,
    front: Scalar,
    rear: Scalar,
    place: Scalar = 0.5,
) -> Travel:
    """Slack at any angle of the swingarm, for a chain set to some slack at one angle.

    With the tightest angle as `set_angle` and the slack to remain there as `set_slack`, the
    result at the angle of rest is the slack to set on the stand. With the angle of rest and the
    manual's value, the result at the tightest angle is what that value leaves there.

    Args:
        arm_angle: Angles of the swingarm asked for [rad].
        set_angle: Angle at which the slack is given [rad].
        set_slack (float or array, non-negative): Slack given there [m].

    Returns: One value for each element of the broadcast inputs.

    References:
        Setting almost no slack where the sprockets are furthest apart, and reading it in the normal
        position: trade article "Perfect drive chain slack adjustment", 2019.

    >>> angles = np.radians([-20.0, -7.0, 10.0])
    >>> bike = -0.080, 0.010, 0.560
    >>> travel = slack_through_travel(*bike, angles, angles[1], 0.010, 0.015875, 13, 48)
    >>> (travel.slack * 1000).round(0)
    array([68., 10., 89.])
    """
    distance = swingarm.sprocket_distance(shaft_x, shaft_y, arm_length, arm_angle)
    set_distance = swingarm.sprocket_distance(shaft_x, shaft_y, arm_length, set_angle)
    set_run = run_length(set_distance, pitch, front, rear)
    taut = chain.links_for(distance, pitch, front, rear) * pitch
    length = chain.links_for(set_distance, pitch, front, rear) * pitch
    length = length + extra_length(set_run, set_slack, place)
    run = run_length(distance, pitch, front, rear)
    extra = length - taut
    return Travel(distance, run, extra, slack_from_extra_length(run, extra, place))


def axle_movement_for_slack(
    centre_distance: Scalar,
    slack_now: Scalar,
    slack_wanted: Scalar,
    pitch: Scalar,
    front: Scalar,
    rear: Scalar,
    place: Scalar = 0.5,
) -> FloatArray:
    """How far to move the axle to get from one slack to another.

    Args:
        slack_now, slack_wanted (float or array, non-negative): Measured, and wanted in the same way
            [m].

    Returns: Movement, positive to the rear, along the line from output shaft to axle; the change of
        the run's own length is left out, which is about 1 % of the movement [m].

    >>> move = axle_movement_for_slack(0.632, 0.060, 0.040, 0.015875, 13, 50)
    >>> round(float(move) * 1000, 2)
    0.81
    """
    run = run_length(centre_distance, pitch, front, rear)
    spare = extra_length(run, slack_now, place) - extra_length(run, slack_wanted, place)
    links = chain.links_for(centre_distance, pitch, front, rear)
    return chain.centre_distance_for(links + spare / pitch, pitch, front, rear) - centre_distance
