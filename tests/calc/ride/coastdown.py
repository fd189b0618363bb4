"""Coasting to a stop, clutch pulled, in closed form: what slows a motorcycle without its engine.

    dv/dt = -(a + b (v + w)²)

with a from rolling resistance and slope, b from air drag, and w the head wind. In the speed
against the air, u = v + w, this is the tangent law of the coast-down test.

Args:
    mass (float or array, positive): Motorcycle and rider [kg].
    wheel_mass (float or array, non-negative): Sum over both wheels of inertia over rolling radius
        squared [kg].
    from_speed (float or array, positive): Speed at the start [m/s].
    a (float or array, positive): Constant deceleration [m/s²].
    b (float or array, positive): Deceleration by drag [1/m].
    head_wind: Wind against the direction of travel; a tail wind must be slower than the motorcycle
        [m/s].
"""

import numpy as np

from explorer.calc.vehicle import STANDARD_GRAVITY, FloatArray, Scalar


def constant_deceleration(
    rolling_coefficient: Scalar, slope: Scalar, mass: Scalar, wheel_mass: Scalar
) -> FloatArray:
    """Part of the deceleration that does not depend on the speed: a.

    Args:
        rolling_coefficient (float or array, non-negative): Rolling resistance over normal load [-].
        slope: Angle of the ground, uphill positive [rad].

    Returns: Deceleration [m/s²].

    >>> round(float(constant_deceleration(0.03, 0.0, 200.0, 0.0)), 7)
    0.2941995
    """
    force = STANDARD_GRAVITY * (rolling_coefficient * np.cos(slope) + np.sin(slope))
    return force * mass / (mass + wheel_mass)


def drag_deceleration(
    drag_area: Scalar, air_density: Scalar, mass: Scalar, wheel_mass: Scalar
) -> Scalar:
    """Deceleration by air drag over the square of the speed against the air: b.

    Args:
        drag_area (float or array, non-negative): Drag coefficient times frontal area [m²].
        air_density (float or array, positive): Density of the air [kg/m³].

    Returns: Deceleration per squared speed [1/m].

    >>> round(drag_deceleration(0.5, 1.225, 200.0, 0.0), 8)
    0.00153125
    """
    return 0.5 * air_density * drag_area / (mass + wheel_mass)


def coast_time(
    from_speed: Scalar, to_speed: Scalar, a: Scalar, b: Scalar, head_wind: Scalar = 0.0
) -> FloatArray:
    r"""Time to slow down from one speed to another.

    .. math:: t = \frac{\arctan(u_0\sqrt{b/a}) - \arctan(u_1\sqrt{b/a})}{\sqrt{ab}}, \quad u = v+w

    Args:
        to_speed (float or array, non-negative): Speed at the end [m/s].

    Returns: Time [s].

    Raises:
        ValueError: If the motorcycle does not slow down by itself, or overtakes its own tail wind.

    References: G. D. Thompson, EPA, *The Vehicle Road Load Problem* (form of the equation).

    >>> print(round(float(coast_time(20.0, 0.0, 0.2941995, 0.00153125)), 6))
    45.453692
    """
    _check(a, b, np.asarray(to_speed, float) + head_wind)
    root = np.sqrt(np.asarray(b, float) / a)
    swept = np.arctan((np.asarray(from_speed) + head_wind) * root) - np.arctan(
        (np.asarray(to_speed) + head_wind) * root
    )
    return swept / np.sqrt(a * b)


def coast_speed(
    time: Scalar, from_speed: Scalar, a: Scalar, b: Scalar, head_wind: Scalar = 0.0
) -> FloatArray:
    """Speed after coasting for a time; 0 once it has stopped.

    Args:
        time (float or array, non-negative): Time since the start [s].

    Returns: Speed [m/s].

    Raises:
        ValueError: If the motorcycle does not slow down by itself.

    References: The inverse of :func:`coast_time`.

    >>> print(round(float(coast_speed(16.008315, 20.0, 0.2941995, 0.00153125)), 4))
    10.0
    """
    _check(a, b, 0.0)
    root = np.sqrt(np.asarray(b, float) / a)
    angle = np.arctan((np.asarray(from_speed) + head_wind) * root) - np.sqrt(a * b) * time
    # Below a right angle on the other side the tangent would come round again.
    air_speed = np.tan(np.maximum(angle, -0.49 * np.pi)) / root
    return np.maximum(air_speed - head_wind, 0.0)


def _check(a: Scalar, b: Scalar, slowest_air_speed: Scalar) -> None:
    if np.any(np.asarray(a) <= 0) or np.any(np.asarray(b) <= 0):
        raise ValueError(
            "A coast-down needs ground on which the motorcycle slows down by itself; the slope "
            "must be gentler than the rolling resistance, and the drag area above zero."
        )
    if np.any(np.asarray(slowest_air_speed) < 0):
        raise ValueError(
            "The tail wind is faster than the motorcycle at the end of the coast-down; end it at a "
            "higher speed, or wait for less wind."
        )
