"""The standard atmosphere's limits and the day that differs from it."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.calc.atmosphere import (
    GAS_CONSTANT,
    HIGHEST_ALTITUDE,
    LOWEST_ALTITUDE,
    air_density,
    standard_atmosphere,
)
from explorer.calc.vehicle import STANDARD_GRAVITY


@pytest.mark.parametrize(
    "altitude", [LOWEST_ALTITUDE - 1, HIGHEST_ALTITUDE + 1, np.nan, np.array([0.0, 20_000.0])]
)
def test_outside_the_troposphere_is_refused(altitude):
    with pytest.raises(ValueError, match="from -5000 m to 11000 m"):
        standard_atmosphere(altitude)


@given(st.floats(min_value=LOWEST_ALTITUDE + 1, max_value=HIGHEST_ALTITUDE - 1))
def test_pressure_carries_the_weight_of_the_air(altitude):
    """dp/dH = -rho g, by a central difference."""
    below, here, above = standard_atmosphere(altitude + np.array([-1.0, 0.0, 1.0])).pressure
    density = standard_atmosphere(altitude).density
    assert (above - below) / 2 == pytest.approx(-density * STANDARD_GRAVITY, rel=1e-6)
    assert above < here < below


def test_a_hot_day_is_thinner():
    standard = standard_atmosphere(1500.0)
    hot = air_density(standard.pressure, standard.temperature + 20)
    assert hot / standard.density == pytest.approx(
        standard.temperature / (standard.temperature + 20), rel=1e-12
    )
    assert hot * GAS_CONSTANT * (standard.temperature + 20) == pytest.approx(standard.pressure)
