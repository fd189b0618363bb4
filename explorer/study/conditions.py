"""Motorcycle, ground and air of a set-up, as the physics takes them."""

import numpy as np

from explorer.calc.atmosphere import air_density, standard_atmosphere
from explorer.calc.engine.power_correction import power_factor, within_validity
from explorer.calc.vehicle import Conditions, Vehicle
from explorer.records.bikes.bike import Bike
from explorer.records.ground.surfaces import Surface, surfaces
from explorer.records.setups.setup import Setup


def vehicle_of(bike: Bike, setup: Setup) -> Vehicle:
    """The bike with the rider of a set-up, where he is on it [SI]."""
    return bike.vehicle(setup.rider_mass, setup.rider_position)


def surface_of(setup: Setup) -> Surface:
    """The ground of a set-up under its rear tread."""
    return surfaces(setup.tyre_kind)[setup.surface]


def conditions_of(setup: Setup) -> tuple[Conditions, bool]:
    """Ground and air of a set-up, and whether the power correction is meant for that air.

    Args:
        setup: What the rider chose.

    Returns: tuple of Conditions and bool: In SI; False where the correction is used outside its
        range of validity.
    """
    standard = standard_atmosphere(setup.altitude)
    temperature = standard.temperature if setup.temperature is None else setup.temperature
    surface = surface_of(setup)
    conditions = Conditions(
        slope=float(np.arctan(setup.slope)),
        head_wind=setup.head_wind,
        air_density=float(air_density(standard.pressure, temperature)),
        power_factor=float(power_factor(standard.pressure, temperature)),
        rolling_coefficient=surface.rolling_typical,
        grip=surface.grip_typical,
    )
    return conditions, bool(within_validity(standard.pressure, temperature))
