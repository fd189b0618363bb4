"""The power factor: direction, bounds and where it is an extrapolation."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.calc.atmosphere import standard_atmosphere
from explorer.calc.engine.power_correction import correction_factor, power_factor, within_validity

PRESSURES = st.floats(min_value=60_000.0, max_value=105_000.0)
TEMPERATURES = st.floats(min_value=250.0, max_value=320.0)


@given(PRESSURES, TEMPERATURES)
def test_thinner_or_hotter_air_takes_power(pressure, temperature):
    here = power_factor(pressure, temperature)
    assert power_factor(pressure * 0.99, temperature) < here
    assert power_factor(pressure, temperature + 1) < here


@given(PRESSURES, TEMPERATURES)
def test_friction_makes_the_loss_worse(pressure, temperature):
    """What the thin air takes from the cylinder, friction doesn't give back."""
    with_friction = correction_factor(pressure, temperature)
    without = correction_factor(pressure, temperature, 0.0)
    assert abs(with_friction - 1) >= abs(without - 1)


@pytest.mark.parametrize(
    ("pressure", "temperature", "valid"),
    [
        (99_000.0, 298.15, True),
        (99_000.0, 283.0, False),
        (99_000.0, 318.5, False),
        (93_000.0, 298.15, False),
        (94_000.0, 298.15, True),
        (106_000.0, 298.15, False),
    ],
)
def test_validity(pressure, temperature, valid):
    assert within_validity(pressure, temperature) == valid


def test_a_mountain_is_an_extrapolation():
    altitudes = np.array([0.0, 2000.0])
    air = standard_atmosphere(altitudes)
    warm_day = 293.15
    assert within_validity(air.pressure, warm_day).tolist() == [True, False]
    assert power_factor(air.pressure, warm_day).shape == (2,)
