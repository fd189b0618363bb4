"""The power correction against its printed forms, published test reports and worked examples."""

import numpy as np
import pytest

from explorer.calc.engine.power_correction import (
    FRICTION_SHARE_1990,
    FRICTION_SHARE_2004,
    HIGHEST_TEMPERATURE,
    LOWEST_TEMPERATURE,
    REFERENCE_PRESSURE,
    REFERENCE_TEMPERATURE,
    correction_factor,
    power_factor,
)

INCH_OF_MERCURY = 3386.38864
"""[Pa]; Pint 0.25.3."""


def fahrenheit(degrees):
    return (degrees + 459.67) / 1.8


def celsius(degrees):
    return degrees + 273.15


def correction_between(pressure, temperature, reference_pressure, reference_temperature):
    """Correction to another reference air by a rule that leaves friction aside."""
    here = correction_factor(pressure, temperature, friction_share=0.0)
    return here / correction_factor(reference_pressure, reference_temperature, friction_share=0.0)


def test_reference_air():
    """SAE J1349 and Regulation (EU) 134/2014, Appendix 2.2, section 3: 99 kPa dry, 298.2 K."""
    assert REFERENCE_PRESSURE == 99_000.0
    assert pytest.approx(298.2, abs=0.0501) == REFERENCE_TEMPERATURE
    assert correction_factor(99_000.0, celsius(25.0)) == 1.0
    assert correction_factor(99_000.0, celsius(25.0), FRICTION_SHARE_1990) == 1.0
    assert power_factor(99_000.0, celsius(25.0)) == 1.0


def test_temperature_limits():
    """Regulation (EU) 134/2014, Appendix 2.2, section 3: 283.2 K < T < 318.2 K."""
    assert (LOWEST_TEMPERATURE, HIGHEST_TEMPERATURE) == (283.2, 318.2)


def test_friction_shares():
    """R package pwrcorr: mechanical efficiency 0.85 in 2004; 0.8475 for 1990, printed as 0.18."""
    assert pytest.approx(0.1765, abs=5e-5) == FRICTION_SHARE_2004
    assert pytest.approx((1 - 0.8475) / 0.8475, abs=1e-4) == FRICTION_SHARE_1990


@pytest.mark.parametrize("pressure_mbar", [860.0, 930.0, 990.0, 1030.0])
@pytest.mark.parametrize("temperature_c", [-5.0, 10.0, 25.0, 40.0])
def test_forms_as_printed(pressure_mbar, temperature_c):
    """cf = 1.180 (990/pd) ((Tc + 273)/298)^0.5 - 0.18, and 1.1765 k - 0.1765 for 2004.

    SAE J1349, June 1990 and 2004, as quoted by owners and by the R package pwrcorr. The printed
    form takes 0 °C as 273 K and 25 °C as 298 K, worth less than 6e-5 in this range; the
    coefficients of 2004 are rounded, worth 3e-5 more.
    """
    k = (990 / pressure_mbar) * ((temperature_c + 273) / 298) ** 0.5
    air = (pressure_mbar * 100, celsius(temperature_c))
    assert correction_factor(*air, FRICTION_SHARE_1990) == pytest.approx(1.180 * k - 0.18, abs=6e-5)
    assert correction_factor(*air) == pytest.approx(1.1765 * k - 0.1765, abs=9e-5)


@pytest.mark.parametrize(
    ("pressure_mbar", "temperature_c", "edition_1990", "edition_2004"),
    [
        (950.0, 30.0, 1.05996, 1.05978),
        (1013.25, 15.0, 0.95341, 0.95355),
        (898.746, 8.5, 1.08331, 1.08307),
        (795.0, 2.0, 1.23159, 1.23090),
    ],
)
def test_numbers_derived_from_the_printed_forms(
    pressure_mbar, temperature_c, edition_1990, edition_2004
):
    """Half a printed digit, and the 0.15 K between 298 K and 298.15 K as above."""
    air = (pressure_mbar * 100, celsius(temperature_c))
    assert correction_factor(*air, FRICTION_SHARE_1990) == pytest.approx(edition_1990, abs=5e-5)
    assert correction_factor(*air) == pytest.approx(edition_2004, abs=5e-5)


@pytest.mark.parametrize(
    ("measured", "temperature_f", "pressure_in_hg", "reported"),
    [
        pytest.param(48.38, 65, 28.868, 50.38, id="belt"),
        pytest.param(42.90, 76, 28.690, 45.43, id="drawbar"),
    ],
)
def test_nebraska_tractor_test_520(measured, temperature_f, pressure_in_hg, reported):
    """Nebraska Tractor Test 520 (1954), measured and corrected horsepower, to 60 F and 29.92 inHg.

    The report's rule leaves friction and humidity aside. Tolerance: its last digit.
    """
    factor = correction_between(
        pressure_in_hg * INCH_OF_MERCURY,
        fahrenheit(temperature_f),
        29.92 * INCH_OF_MERCURY,
        fahrenheit(60),
    )
    assert measured * factor == pytest.approx(reported, abs=0.01)


def saturated_vapour_pressure(temperature):
    """Magnus formula for the pressure of saturated water vapour [Pa] (from memory, WMO form)."""
    degrees = temperature - 273.15
    return 611.2 * np.exp(17.62 * degrees / (243.12 + degrees))


@pytest.mark.parametrize(
    ("temperature_f", "humidity", "pressure_in_hg", "factor"),
    [(85, 0.85, 28.85, 1.1005), (55, 0.35, 30.10, 0.994)],
)
def test_worked_examples_in_humid_air(temperature_f, humidity, pressure_in_hg, factor):
    """Dynamometer maker's technical note (name withheld), corrected to 60 F and 29.92 inHg dry.

    Its vapour pressures aren't printed; 0.001 covers the formulas in use.
    """
    temperature = fahrenheit(temperature_f)
    dry = pressure_in_hg * INCH_OF_MERCURY - humidity * saturated_vapour_pressure(temperature)
    computed = correction_between(dry, temperature, 29.92 * INCH_OF_MERCURY, fahrenheit(60))
    assert computed == pytest.approx(factor, abs=0.001)


@pytest.mark.parametrize(
    ("pressure_mbar", "temperature_c", "factor"),
    [(1013.0, 20.0, 1.0), (950.0, 30.0, 1.08436), (898.746, 8.5, 1.10479)],
)
def test_din_70020(pressure_mbar, temperature_c, factor):
    """DIN 70020 as quoted by owners: cf = (1013/p) ((273 + t)/293)^0.5; numbers derived from it.

    Tolerance: half a printed digit, and the 0.15 K between 293 K and 293.15 K.
    """
    computed = correction_between(
        pressure_mbar * 100, celsius(temperature_c), 101_300.0, celsius(20.0)
    )
    assert computed == pytest.approx(factor, abs=2e-5)
