"""Forces on the motorcycle: pull at the tyre, resistance, and the limits of grip and balance.

All forces act along the ground and are counted forward positive. Air drag is taken to act at the
height of the centre of gravity.

Args:
    efficiency (float or array, 0 to 1): Efficiency from crankshaft to rear wheel [-].
    mass (float or array, positive): Motorcycle and rider [kg].
    slope: Angle of the ground, uphill positive [rad].
    rolling_coefficient (float or array, non-negative): Rolling resistance over normal load [-].
    cg_ahead (float or array, positive): Centre of gravity ahead of the rear axle [m].
    cg_height (float or array, positive): Centre of gravity above the ground [m].
    grip (float or array, positive): Driving force over normal load at which the tyre spins [-].
"""

from typing import NamedTuple

import numpy as np

from explorer.calc.vehicle import STANDARD_GRAVITY, FloatArray, Scalar


def pull(torque: Scalar, overall_ratio: Scalar, efficiency: Scalar, rollout: Scalar) -> Scalar:
    r"""Pull (thrust) at the tyre from engine torque, at steady speed.

    .. math:: F = \eta\,T\,i / r, \qquad r = U / 2\pi

    Args:
        torque: Engine torque at the crankshaft [N·m].

    Returns: Pull at the contact of the rear tyre [N].

    References:
        R. S. Khurmi and J. K. Gupta, *Theory of Machines*, Ex. 3.15 (form of the driving force).

    >>> round(pull(10.0, 30.0, 0.9, 2.0), 1)
    848.2
    """
    return efficiency * torque * overall_ratio * (2 * np.pi) / rollout


def air_drag(
    road_speed: Scalar, head_wind: Scalar, air_density: Scalar, drag_area: Scalar
) -> Scalar:
    r"""Air drag, against the direction of travel; negative when a tail wind pushes.

    .. math:: D = \tfrac12\,\rho\,C_dA\,(v + w)\,|v + w|

    Args:
        road_speed: Road speed [m/s].
        head_wind: Wind against the direction of travel [m/s].
        air_density (float or array, positive): Density of the air [kg/m³].
        drag_area (float or array, non-negative): Drag coefficient times frontal area [m²].

    Returns: Drag [N].

    References: K. Subramanya, *1000 Solved Problems in Fluid Mechanics*, Ex. 9.6 (worked numbers).

    >>> round(float(air_drag(60 / 3.6, 0.0, 1.2, 0.35 * 1.6)), 2)
    93.33
    """
    air_speed = road_speed + head_wind
    return 0.5 * air_density * drag_area * air_speed * np.abs(air_speed)


def rolling_resistance(mass: Scalar, slope: Scalar, rolling_coefficient: Scalar) -> Scalar:
    """Rolling resistance of both tyres on a slope: C m g cos(slope).

    Returns: Rolling resistance [N].

    >>> round(float(rolling_resistance(200.0, 0.0, 0.02)), 2)
    39.23
    """
    return rolling_coefficient * mass * STANDARD_GRAVITY * np.cos(slope)


def slope_force(mass: Scalar, slope: Scalar) -> Scalar:
    """Part of the weight that pulls back down a slope: m g sin(slope).

    Returns: Force, downhill negative [N].

    >>> import math
    >>> round(float(slope_force(200.0, math.atan(0.10))), 1)
    195.2
    """
    return mass * STANDARD_GRAVITY * np.sin(slope)


def effective_mass(
    mass: Scalar,
    wheel_mass: Scalar,
    engine_inertia: Scalar,
    overall_ratio: Scalar,
    efficiency: Scalar,
    rollout: Scalar,
) -> Scalar:
    r"""Mass that the pull must accelerate, with the share of everything that turns.

    .. math:: M_{eff} = M + \frac{\sum I_{wheel}}{r^2} + \frac{\eta\,i^2 I_{engine}}{r^2}

    Args:
        wheel_mass (float or array, non-negative): Sum over both wheels of inertia over rolling
            radius squared [kg].
        engine_inertia (float or array, non-negative): Crankshaft, flywheel and clutch at crankshaft
            speed; 0 while the clutch slips [kg·m²].

    Returns: Effective mass [kg].

    Notes:
        The efficiency multiplies the engine's term because the torque that spins the crankshaft up
        never passes the gearbox.

    References: R. S. Khurmi and J. K. Gupta, *Theory of Machines*, Ex. 3.15.

    >>> round(effective_mass(200.0, 12.0, 0.01, 20.0, 0.9, 2.0), 1)
    247.5
    """
    radius = rollout / (2 * np.pi)
    return mass + wheel_mass + efficiency * engine_inertia * (overall_ratio / radius) ** 2


def wheelie_thrust(
    mass: Scalar, cg_ahead: Scalar, cg_height: Scalar, slope: Scalar, rolling: Scalar
) -> Scalar:
    r"""Thrust at the rear tyre that lifts the front wheel off the ground.

    Moments about the centre of gravity with no load on the front tyre:

    .. math:: X = m g \cos\theta\,\frac{x}{h} + R_{roll}

    On level ground without drag this is an acceleration of g x/h.

    Args:
        rolling (float or array, non-negative): Rolling resistance, which acts at the ground against
            the thrust [N].

    Returns: Thrust [N].

    References:
        Giancoli, *Physics for Scientists & Engineers with Modern Physics*, 4th ed., ch. 10,
        problem 101 (situation and numbers; author from memory).

    >>> round(float(wheelie_thrust(1.0, 0.35, 0.95, 0.0, 0.0)), 2)
    3.61
    """
    return mass * STANDARD_GRAVITY * np.cos(slope) * cg_ahead / cg_height + rolling


def grip_thrust(
    mass: Scalar,
    wheelbase: Scalar,
    cg_ahead: Scalar,
    cg_height: Scalar,
    slope: Scalar,
    rolling: Scalar,
    grip: Scalar,
) -> Scalar:
    r"""Greatest thrust the rear tyre can pass on, with the load that the thrust itself moves back.

    With :math:`N_r = (m g \cos\theta\,(L - x) + (X - R_{roll})\,h) / L` and :math:`X = \mu N_r`:

    .. math:: X = \mu\,\frac{m g \cos\theta\,(L - x) - R_{roll}\,h}{L - \mu h}

    Args:
        rolling (float or array, non-negative): Rolling resistance [N].

    Returns: Thrust [N]; infinite where the load moves back faster than the thrust grows.

    References:
        J. Y. Wong, *Theory of Ground Vehicles*, section 3.2, rear-wheel drive (from memory); the
        test solves the balance of moments independently.

    >>> round(float(grip_thrust(200.0, 1.4, 0.7, 0.6, 0.0, 0.0, 0.5)), 1)
    624.1
    """
    weight = mass * STANDARD_GRAVITY * np.cos(slope)
    arm = wheelbase - grip * cg_height
    load_moment = grip * (weight * (wheelbase - cg_ahead) - rolling * cg_height)
    return np.where(arm > 0, load_moment / np.where(arm > 0, arm, 1.0), np.inf)


class SlopeLimits(NamedTuple):
    """Steepest slope angle [rad] that power, grip and balance each allow at steady speed."""

    power: FloatArray
    grip: FloatArray
    balance: FloatArray


def steepest_slope(
    thrust: Scalar,
    drag: Scalar,
    mass: Scalar,
    wheelbase: Scalar,
    cg_ahead: Scalar,
    cg_height: Scalar,
    rolling_coefficient: Scalar,
    grip: Scalar,
) -> SlopeLimits:
    r"""Steepest slope that can be climbed at steady speed, by each of three limits.

    Each balance has the form :math:`p \sin\theta + q \cos\theta = k`, hence
    :math:`\theta = \arcsin(k/\sqrt{p^2+q^2}) - \operatorname{atan2}(q, p)`.

    Args:
        thrust: Pull at the tyre [N].
        drag: Air drag [N].

    Returns: Three angles; π/2 where that limit never binds, −π/2 where not even a descent helps
        [rad].

    >>> limits = steepest_slope(981.0, 0.0, 200.0, 1.4, 0.7, 0.6, 0.0, 10.0)
    >>> round(float(limits.power), 4)
    0.5238
    """
    weight = mass * STANDARD_GRAVITY
    power = _balance_angle(weight, rolling_coefficient * weight, thrust - drag)
    transfer = grip * cg_height / wheelbase
    grip_angle = _balance_angle(
        weight * (1 - transfer),
        weight * (rolling_coefficient - grip * (wheelbase - cg_ahead) / wheelbase),
        -drag * (1 - transfer),
    )
    balance = _balance_angle(weight * cg_height, -weight * cg_ahead, -drag * cg_height)
    return SlopeLimits(power, np.where(transfer < 1, grip_angle, np.pi / 2), balance)


def _balance_angle(p: Scalar, q: Scalar, k: Scalar) -> FloatArray:
    """Solve p sin θ + q cos θ = k for θ, clipped to a wall upward or downward [rad]."""
    sine = k / np.hypot(p, q)
    angle = np.arcsin(np.clip(sine, -1.0, 1.0)) - np.arctan2(q, p)
    wall = np.where(np.abs(sine) > 1, np.copysign(np.pi / 2, sine), angle)
    return np.clip(wall, -np.pi / 2, np.pi / 2)
