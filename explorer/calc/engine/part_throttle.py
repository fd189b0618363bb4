"""The engine at part throttle: how far the throttle is open for the torque that is asked for.

A simple model, for comparing set-ups. The charge is what the pressure behind the throttle lets in;
the throttle and the rest of the intake are two resistances to the flow, the throttle's in inverse
proportion to its opening; friction stays what it is. No ignition, no fuel, no linkage.
"""

import numpy as np

from explorer.calc.engine.power_correction import FRICTION_SHARE_2004
from explorer.calc.vehicle import FloatArray, Scalar

INTAKE_RESISTANCE = 0.25
"""Pressure lost over pressure kept, in the intake at the engine speed of the greatest power with
the throttle fully open: our choice, for a full-throttle intake loses little [-]."""


def intake_resistance(engine_speed: Scalar, power_peak_speed: Scalar) -> Scalar:
    """Resistance of the open intake at an engine speed, in proportion to the flow.

    Args:
        engine_speed (float or array, non-negative): Engine speed [rad/s].
        power_peak_speed (float or array, positive): Engine speed of the greatest power [rad/s].

    Returns: Pressure lost over pressure kept [-].

    >>> intake_resistance(400.0, 800.0)
    0.125
    """
    return INTAKE_RESISTANCE * engine_speed / power_peak_speed


def torque_share(
    opening: Scalar, resistance: Scalar, friction_share: Scalar = FRICTION_SHARE_2004
) -> FloatArray:
    r"""Share of the full-throttle torque at an opening of the throttle.

    With the pressure behind the throttle :math:`p/p_0 = 1/(1 + z/a)` and friction fixed:

    .. math:: s = (1 + f)\,\frac{1 + z}{1 + z/a} - f

    Args:
        opening (float or array, above 0 to 1): Share a of the throttle's opening [-].
        resistance (float or array, positive): z of :func:`intake_resistance` [-].
        friction_share (float or array, non-negative): Friction over full-throttle torque, as in SAE
            J1349 [-].

    Returns: Torque over that at full throttle; negative where the engine brakes [-].

    References:
        Pressure: J. S. Denker, "Throttle Model" (2008), eqs. 1-3, isothermal flow with a fixed
        impedance. Friction: mechanical efficiency 0.85 of SAE J1349, edition of 2004.

    >>> torque_share(np.array([0.1, 1 / 3, 1.0]), 0.25).round(2).tolist()
    [0.24, 0.66, 1.0]
    """
    charge = (1 + resistance) / (1 + resistance / np.asarray(opening, float))
    return (1 + friction_share) * charge - friction_share


def throttle_share(share: Scalar, resistance: Scalar) -> FloatArray:
    """Opening of the throttle that gives a share of the full-throttle torque.

    Args:
        share (float or array): Torque asked for over that at full throttle [-].
        resistance (float or array): As of :func:`torque_share`, which is solved here [-].

    Returns: 0 where the closed throttle gives more already; NaN for more than full torque [-].

    >>> throttle_share(np.array([-0.2, 0.5, 1.0, 1.1]), 0.25).round(2).tolist()
    [0.0, 0.21, 1.0, nan]
    """
    share = np.asarray(share, float)
    charge = np.maximum((share + FRICTION_SHARE_2004) / (1 + FRICTION_SHARE_2004), 0.0)
    opening = resistance * charge / (1 + resistance - charge)
    return np.where(share > 1 + 1e-12, np.nan, np.minimum(opening, 1.0))
