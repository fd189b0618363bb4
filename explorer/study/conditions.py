"""Ground and air of a set-up, as the physics takes them."""

import numpy as np

from explorer.calc.atmosphere import air_density, standard_atmosphere
from explorer.calc.engine.power_correction import power_factor, within_validity
from explorer.calc.vehicle import Conditions
from explorer.records.ground.surfaces import surfaces
from explorer.records.setups.setup import Setup


def conditions_of(setup: Setup) -> tuple[Conditions, bool]:
    """Ground and air of a set-up, and whether the power correction is meant for that air.

    Parameters
    ----------
    setup : Setup
        What the rider chose.

    Returns
    -------
    tuple of Conditions and bool
        In SI; False where the correction is used outside its range of validity.
    """
    standard = standard_atmosphere(setup.altitude)
    temperature = standard.temperature if setup.temperature is None else setup.temperature
    surface = surfaces()[setup.surface]
    conditions = Conditions(
        slope=float(np.arctan(setup.slope)),
        head_wind=setup.head_wind,
        air_density=float(air_density(standard.pressure, temperature)),
        power_factor=float(power_factor(standard.pressure, temperature)),
        rolling_coefficient=surface.rolling_typical,
        grip=surface.grip_typical,
    )
    return conditions, bool(within_validity(standard.pressure, temperature))
