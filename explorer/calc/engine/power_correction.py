r"""Power of an engine in today's air, by the rule that corrects a test-bench reading.

SAE J1349 turns a reading taken in some air into the power in reference air (99 kPa dry, 25 °C)
with a factor cf. Here the rule predicts what is left of a torque curve in other air, with friction
held at what it is in the air of the curve. The rule is meant for small
differences; on a mountain it is stretched beyond its range, and :func:`within_validity` says so.
It is for naturally aspirated spark-ignition engines at full throttle, with the mixture right for
the air: an engine that runs rich at altitude loses more.

Args:
    dry_pressure (float or array, positive): Air pressure less the pressure of its water vapour
        [Pa].
    temperature (float or array, positive): Absolute temperature of the air that the engine
        draws [K].
"""

from typing import NamedTuple

import numpy as np

from explorer.calc.vehicle import FloatArray, Scalar

REFERENCE_PRESSURE = 99_000.0
"""Dry pressure of the reference air: 100 kPa less 1 kPa of water vapour [Pa]."""

REFERENCE_TEMPERATURE = 298.15
"""Temperature of the reference air, 25 °C [K]. The standards print 298, with 0 °C as 273."""

FRICTION_SHARE_1990 = 0.18
"""Friction power over brake power, as printed in the edition of June 1990 [-]."""

FRICTION_SHARE_2004 = (1 - 0.85) / 0.85
"""Friction power over brake power at the 2004 edition's mechanical efficiency of 0.85 [-]."""

LOWEST_TEMPERATURE, HIGHEST_TEMPERATURE = 283.2, 318.2
"""Coldest and warmest test the regulation allows [K]."""

SMALLEST_CORRECTION, LARGEST_CORRECTION = 0.93, 1.07
"""Correction factors the rules allow [-]. From memory; the printed limits were not seen."""


def correction_factor(
    dry_pressure: Scalar, temperature: Scalar, friction_share: Scalar = FRICTION_SHARE_2004
) -> Scalar:
    r"""Power in reference air over power in today's air, SAE J1349.

    Air changes the power made in the cylinder, not the part that friction takes from it:

    .. math:: cf = (1 + f)\,\frac{p_0}{p_d}\sqrt{\frac{T}{T_0}} - f

    Args:
        friction_share (float or array, non-negative): Friction power over brake power; the editions
            of the standard differ [-].

    Returns: Correction factor, 1 in reference air [-].

    References: SAE J1349, editions of June 1990 and of 2004, as quoted in the R package pwrcorr.

    >>> round(float(correction_factor(95_000.0, 303.15)), 3)
    1.06
    """
    air = REFERENCE_PRESSURE / dry_pressure * np.sqrt(temperature / REFERENCE_TEMPERATURE)
    return (1 + friction_share) * air - friction_share


class ReferenceAir(NamedTuple):
    """Air of a torque curve: pressure less that of its vapour [Pa], absolute temperature [K]."""

    dry_pressure: float
    temperature: float


REFERENCE_AIRS = {
    "SAE J1349": ReferenceAir(REFERENCE_PRESSURE, REFERENCE_TEMPERATURE),
    "DIN 70020": ReferenceAir(101_300.0, 293.15),
    "SAE J607": ReferenceAir(29.92 * 3386.38864, 288.71),
}
"""Airs of the usual corrections: J1349 as above; DIN 70020, 1013 mbar and 20 °C (second-hand);
J607, 29.92 inHg dry and 60 °F (a dynamometer maker's note, name withheld)."""


def power_factor(
    dry_pressure: Scalar,
    temperature: Scalar,
    curve_air: ReferenceAir = REFERENCE_AIRS["SAE J1349"],
    friction_share: Scalar = FRICTION_SHARE_2004,
) -> Scalar:
    r"""Power, and torque at the same engine speed, in today's air over that of the torque curve.

    What the cylinders make follows the air; what friction takes stays what it is in the air of
    the curve, the share f of the power there. Used as printed, backwards, the rule would let
    friction shrink with the power that is left in thin air.

    .. math:: \frac{P}{P_c} = (1 + f)\,\frac{p_d}{p_c}\sqrt{\frac{T_c}{T}} - f

    Args:
        dry_pressure (float or array, positive): Air pressure less the pressure of its water vapour;
            in dry air, the air pressure [Pa].
        curve_air: Air in which the torque curve holds [Pa, K].
        friction_share (float or array, non-negative): Friction power over brake power in the air of
            the curve [-].

    Returns: Power factor, 1 in the air of the curve, never negative [-].

    References:
        SAE J1349, edition of 2004, as quoted in the R package pwrcorr, its friction term anchored
        in the air of the curve (derived).

    The standard atmosphere at 1000 m:

    >>> round(float(power_factor(89_874.6, 281.65)), 3)
    0.922
    """
    air = dry_pressure / curve_air.dry_pressure * np.sqrt(curve_air.temperature / temperature)
    return np.maximum((1 + friction_share) * air - friction_share, 0.0)


def within_validity(dry_pressure: Scalar, temperature: Scalar) -> FloatArray:
    """Whether today's air is close enough to reference air for the rule to be meant for it.

    Returns: False where the power factor is an extrapolation, to be shown as such [-].

    References:
        Regulation (EU) No 134/2014, Appendix 2.2, section 3 (temperatures). The limits of the
        correction factor, 0.93 to 1.07, are from memory.

    >>> within_validity(np.array([97_000.0, 79_495.2]), np.array([293.15, 275.15]))
    array([ True, False])
    """
    correction = correction_factor(dry_pressure, temperature)
    temperature = np.asarray(temperature)
    return (
        (correction >= SMALLEST_CORRECTION)
        & (correction <= LARGEST_CORRECTION)
        & (temperature > LOWEST_TEMPERATURE)
        & (temperature < HIGHEST_TEMPERATURE)
    )
