"""How much faster the rear tyre turns than it rolls while it pulls, and what that costs.

A tyre slips to pull: a little on asphalt, a good deal on soft ground, more and more towards its
grip. Times and speeds elsewhere leave slip aside; here is what it takes from them.
"""

from typing import NamedTuple

import numpy as np

from explorer.calc.vehicle import FloatArray, Scalar

_STEPS = 40


def gross_traction(cohesion: Scalar, friction_angle: Scalar, ground_pressure: Scalar) -> Scalar:
    r"""Greatest driving force over load that soil allows a tyre whose lugs grip it.

    .. math:: \frac{H}{W} = \frac{c\,A + W\tan\varphi}{W} = \frac{c}{p} + \tan\varphi

    Args:
        cohesion (float or array, non-negative): Cohesion of the soil c [Pa].
        friction_angle (float or array): Its angle of shearing resistance φ [rad].
        ground_pressure (float or array, positive): Load over contact patch p, about the inflation
            pressure of a supple tyre [Pa].

    Returns: Gross: the tyre's rolling resistance has not been taken off [-].

    References:
        J. Y. Wong, *Theory of Ground Vehicles*; M. G. Bekker, *Introduction to Terrain-Vehicle
        Systems* (form of the equation from memory).

    Sandy loam of 23 % moisture, 9.65 kPa and 35° (Wong's table), under a tyre at 0.9 bar:

    >>> round(float(gross_traction(9650.0, np.radians(35.0), 90e3)), 2)
    0.81
    """
    return cohesion / ground_pressure + np.tan(friction_angle)


def shear_share(slip: Scalar, modulus: Scalar) -> FloatArray:
    r"""Share of the soil's greatest shear that a patch has at a slip.

    .. math:: 1 - \frac{K}{i\,l}\left(1 - e^{-i\,l/K}\right)

    Args:
        slip (float or array, 0 to 1): Slip i: what the ground does not see of the tyre's turning
            [-].
        modulus (float or array, positive): Shear deformation modulus over length of the contact
            patch, K/l [-].

    Returns: Share [-].

    References:
        Z. Janosi and B. Hanamoto (1961), for a uniformly loaded patch, as in J. Y. Wong, *Theory of
        Ground Vehicles* (equation from memory).

    >>> shear_share(np.array([0.0, 0.1, 1.0]), 0.15).round(3).tolist()
    [0.0, 0.27, 0.85]
    """
    along = np.asarray(slip, float) / modulus
    # Below a thousandth the difference of two near numbers loses its digits: first term instead.
    safe = np.maximum(along, 1e-3)
    return np.where(along < 1e-3, along / 2, 1 - (1 - np.exp(-safe)) / safe)


def slip_for(share_of_grip: Scalar, modulus: Scalar) -> FloatArray:
    """Slip at which a tyre passes on a share of its grip.

    Grip is what is left when the wheel turns without moving on, slip 1; nothing is sudden.

    Args:
        share_of_grip (float or array, 0 to 1): Thrust over the thrust at which the tyre spins; more
            counts as 1 [-].
        modulus (float or array, positive): See `shear_share` [-].

    Returns: Slip, 0 to 1 [-].

    >>> slip_for(np.array([0.0, 0.3, 0.8, 1.0]), 0.15).round(2).tolist()
    [0.0, 0.09, 0.44, 1.0]
    """
    wanted, modulus = np.broadcast_arrays(np.asarray(share_of_grip, float), modulus)
    wanted = np.clip(wanted, 0.0, 1.0) * shear_share(1.0, modulus)
    low, high = np.zeros(wanted.shape), np.ones(wanted.shape)
    for _ in range(_STEPS):
        middle = 0.5 * (low + high)
        less = shear_share(middle, modulus) < wanted
        low, high = np.where(less, middle, low), np.where(less, high, middle)
    return high * (wanted > 0)


class WheelSlip(NamedTuple):
    """What slip takes.

    Attributes:
        slip: Slip, 0 to 1 [-].
        speed_lost: Speed of the tread less that of the motorcycle, infinite where it spins [m/s].
        heat: Power that turns to heat and thrown soil, likewise [W].
    """

    slip: FloatArray
    speed_lost: FloatArray
    heat: FloatArray


def wheel_slip(
    thrust: Scalar, grip_thrust: Scalar, road_speed: Scalar, modulus: Scalar
) -> WheelSlip:
    r"""Slip, speed lost and heat of the rear tyre while it passes a thrust on.

    .. math:: \Delta v = v\,\frac{i}{1 - i}, \qquad P = X\,\Delta v

    Args:
        thrust (float or array, non-negative): Driving force asked of the tyre [N].
        grip_thrust (float or array, positive): Thrust at which it spins, such as that of a Drive
            [N].
        road_speed (float or array, non-negative): Speed of the motorcycle [m/s].
        modulus (float or array, positive): See `shear_share` [-].

    Returns: Slip [-], speed [m/s] and power [W].

    References: Definition of slip; force times relative speed.

    >>> lost = wheel_slip(np.array([300.0, 800.0]), 1000.0, 10.0, 0.15)
    >>> lost.slip.round(2).tolist(), lost.speed_lost.round(1).tolist()
    ([0.09, 0.44], [1.0, 8.0])
    """
    slip = slip_for(np.asarray(thrust, float) / grip_thrust, modulus)
    speed_lost = np.where(slip < 1, road_speed * slip / np.where(slip < 1, 1 - slip, 1.0), np.inf)
    return WheelSlip(slip, speed_lost, np.minimum(thrust, grip_thrust) * speed_lost)
