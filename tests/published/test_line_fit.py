"""The straight line against certified and printed values.

Norris: NIST Statistical Reference Datasets, linear regression, "Norris" (calibration of ozone
monitors, 36 readings), read from public copies of Norris.dat that name it as their source.
Thermometer: JCGM 100:2008 (GUM), H.3, data and results as the documentation of the package GTC
prints them.
"""

import numpy as np
from scipy import stats

from explorer.calc.ride.speedometer_fit import fit_line, reading_at, true_speed_at

NORRIS_X = np.loadtxt(
    [
        "0.2 337.4 118.2 884.6 10.1 226.5 666.3 996.3 448.6 777.0 558.2 0.4 0.6 775.5 666.9 338.0 "
        "447.5 11.6 556.0 228.1 995.8 887.6 120.2 0.3 0.3 556.8 339.1 887.2 999.0 779.0 11.1 118.3 "
        "229.2 669.1 448.9 0.5"
    ]
)
NORRIS_Y = np.loadtxt(
    [
        "0.1 338.8 118.1 888.0 9.2 228.1 668.5 998.5 449.1 778.9 559.2 0.3 0.1 778.1 668.8 339.3 "
        "448.9 10.8 557.7 228.3 998.0 888.8 119.6 0.3 0.6 557.6 339.3 888.0 998.5 778.9 10.2 117.6 "
        "228.9 668.4 449.2 0.2"
    ]
)

THERMOMETER = np.array(
    [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511]
)
CORRECTION = -np.array(
    [0.171, 0.169, 0.166, 0.159, 0.164, 0.165, 0.156, 0.157, 0.159, 0.161, 0.160]
)


def test_norris_certified_values():
    """Certified to 15 digits; double precision leaves ten on data of this spread."""
    fit = fit_line(NORRIS_X, NORRIS_Y)
    np.testing.assert_allclose(fit.offset, -0.262323073774029, rtol=1e-10)
    np.testing.assert_allclose(fit.slope, 1.00211681802045, rtol=1e-12)
    spread = np.sqrt(np.diag(fit.covariance))
    np.testing.assert_allclose(spread, [0.232818234301152, 0.429796848199937e-3], rtol=1e-9)
    np.testing.assert_allclose(fit.residual_sd**2 * fit.degrees_of_freedom, 26.6173985294224)


def test_thermometer_of_the_gum():
    """Tolerances: half of the last printed digit."""
    fit = fit_line(THERMOMETER - 20.0, CORRECTION)
    spread = np.sqrt(np.diag(fit.covariance))
    assert abs(fit.offset - -0.1712) <= 0.00005
    assert abs(spread[0] - 0.0029) <= 0.00005
    assert abs(fit.slope - 0.00218) <= 0.000005
    assert abs(spread[1] - 0.00067) <= 0.000005
    assert abs(fit.correlation - -0.93) <= 0.005
    at_30 = reading_at(fit, 10.0)
    assert abs(at_30.value - -0.1494) <= 0.00005
    assert abs(at_30.standard_uncertainty - 0.0041) <= 0.00005


def test_slope_and_offset_as_scipy_gives_them():
    fit, other = fit_line(NORRIS_X, NORRIS_Y), stats.linregress(NORRIS_X, NORRIS_Y)
    np.testing.assert_allclose(
        [fit.slope, fit.offset, *np.sqrt(np.diag(fit.covariance))],
        [other.slope, other.intercept, other.intercept_stderr, other.stderr],
        rtol=1e-9,
    )


def test_the_intervals_hold_as_often_as_they_say():
    """Our own simulation: one more reading, and the true speed behind it, 95 % of the time."""
    rng = np.random.default_rng(20)
    true = np.array([30.0, 40.0, 50.0, 60.0, 70.0, 80.0])
    held = []
    for _ in range(3000):
        readings = 1.5 + 1.04 * true + rng.normal(0.0, 0.8, true.size)
        fit = fit_line(true, readings)
        more = 1.5 + 1.04 * 55.0 + rng.normal(0.0, 0.8)
        at, behind = reading_at(fit, 55.0), true_speed_at(fit, more)
        held.append(
            (abs(more - at.value) <= at.prediction, abs(behind.value - 55.0) <= behind.prediction)
        )
    # Three standard deviations of a share of 95 % among 3000.
    assert np.abs(np.mean(held, axis=0) - 0.95).max() < 0.012
