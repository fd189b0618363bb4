"""Air pressure, temperature and density: the standard atmosphere and a day that differs from it."""

from typing import NamedTuple

import numpy as np

from explorer.calc.vehicle import STANDARD_GRAVITY, Scalar

SEA_LEVEL_TEMPERATURE, SEA_LEVEL_PRESSURE = 288.15, 101_325.0
"""Standard temperature [K] and pressure [Pa] at sea level."""

LAPSE_RATE = 0.0065
"""Fall of temperature with height in the troposphere [K/m]."""

GAS_CONSTANT = 287.05287
"""Specific gas constant of dry air [J/(kg·K)]."""

LOWEST_ALTITUDE, HIGHEST_ALTITUDE = -5000.0, 11_000.0
"""Lower end of the standard's tables, and end of the troposphere: another formula above [m]."""


class Air(NamedTuple):
    """State of the air: absolute temperature [K], absolute pressure [Pa] and density [kg/m³]."""

    temperature: Scalar
    pressure: Scalar
    density: Scalar


def standard_atmosphere(altitude: Scalar) -> Air:
    r"""Temperature, pressure and density of the standard atmosphere in the troposphere.

    .. math:: T = T_0 - L H, \qquad p = p_0 (T/T_0)^{g/RL}, \qquad \rho = p / RT

    Args:
        altitude (float or array, -5000 to 11000): Geopotential altitude above sea level, by which
            the standard's tables are indexed. The height on a map differs by 0.05 % of itself at
            3000 m, which changes the pressure there by 0.02 % [m].

    Returns: Temperature [K], pressure [Pa] and density [kg/m³].

    Raises: ValueError: If an altitude is outside the range or not a number.

    References:
        ISO 2533:1975; ICAO Doc 7488, 3rd ed. 1993 (through the packages that implement them).

    >>> air = standard_atmosphere(1000.0)
    >>> round(air.temperature, 2), round(air.pressure, 1), round(air.density, 5)
    (281.65, 89874.6, 1.11164)
    """
    heights = np.asarray(altitude)
    # Asked this way round so that NaN is refused too.
    if not np.all((heights >= LOWEST_ALTITUDE) & (heights <= HIGHEST_ALTITUDE)):
        raise ValueError(
            "The altitude is outside the standard atmosphere's lowest layer. "
            "Give an altitude from -5000 m to 11000 m above sea level."
        )
    temperature = SEA_LEVEL_TEMPERATURE - LAPSE_RATE * altitude
    exponent = STANDARD_GRAVITY / (GAS_CONSTANT * LAPSE_RATE)
    pressure = SEA_LEVEL_PRESSURE * (temperature / SEA_LEVEL_TEMPERATURE) ** exponent
    return Air(temperature, pressure, air_density(pressure, temperature))


def air_density(pressure: Scalar, temperature: Scalar) -> Scalar:
    r"""Density of dry air, for a day warmer or colder than standard.

    .. math:: \rho = p / RT

    Take the pressure of the standard atmosphere at the altitude and the temperature of the day.
    Water vapour, left aside here, makes air lighter: at sea level by less than 2 % at 30 °C.

    Args:
        pressure (float or array, positive): Absolute pressure [Pa].
        temperature (float or array, positive): Absolute temperature [K].

    Returns: Density [kg/m³].

    References: ISO 2533:1975, the ideal gas law with the standard's constant.

    A day of 30 °C at 1000 m:

    >>> round(air_density(standard_atmosphere(1000.0).pressure, 303.15), 4)
    1.0328
    """
    return pressure / (GAS_CONSTANT * temperature)
