"""The torque curve and what is read from it."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import CubicSpline

from explorer.calc.engine import curve as engine

SPEEDS = np.array([150.0, 300.0, 450.0, 600.0, 750.0, 900.0, 1000.0])
TORQUES = np.array([12.0, 18.0, 21.0, 25.0, 26.0, 22.0, 15.0])


@st.composite
def torque_curves(draw):
    points = draw(st.integers(min_value=2, max_value=10))
    # Hundredths, as such curves are written down.
    gaps = draw(st.lists(st.integers(100, 20_000), min_size=points - 1, max_size=points - 1))
    torques = draw(st.lists(st.integers(0, 10_000), min_size=points, max_size=points))
    return 100.0 + np.concatenate([[0.0], np.cumsum(gaps)]) / 100, np.array(torques) / 100


@given(torque_curves())
def test_no_bump_between_two_points(curve):
    speeds, torques = curve
    for left in range(len(speeds) - 1):
        ends = np.sort(torques[left : left + 2])
        between = engine.torque(speeds, torques, np.linspace(*speeds[left : left + 2], 50))
        rounding = 1e-9 * max(1.0, ends[1])
        assert between.min() >= ends[0] - rounding
        assert between.max() <= ends[1] + rounding
        direction = np.sign(torques[left + 1] - torques[left])
        assert (direction * np.diff(between) >= -rounding).all()


def test_an_ordinary_spline_would_invent_one():
    """The property above can fail: a step in the curve makes an ordinary spline overshoot."""
    speeds = np.array([200.0, 400.0, 600.0, 700.0, 900.0])
    torques = np.array([10.0, 10.0, 10.0, 30.0, 30.0])
    dense = np.linspace(200.0, 900.0, 500)
    assert CubicSpline(speeds, torques)(dense).max() > 31.0
    assert engine.torque(speeds, torques, dense).max() <= 30.0 + 1e-12


def test_through_the_points_and_beyond_them():
    np.testing.assert_allclose(engine.torque(SPEEDS, TORQUES, SPEEDS), TORQUES, rtol=1e-12)
    beyond = engine.torque(SPEEDS, TORQUES, np.array([[0.0, 149.0], [1000.1, 2000.0]]))
    np.testing.assert_array_equal(beyond, [[12.0, 12.0], [0.0, 0.0]])


@given(torque_curves())
def test_peaks_against_a_dense_table(curve):
    speeds, torques = curve
    dense = np.union1d(speeds, np.linspace(speeds[0], speeds[-1], 5001))
    table = engine.torque(speeds, torques, dense)
    assert engine.peak_torque(speeds, torques).value == pytest.approx(table.max(), abs=1e-9)
    powers = engine.power(table, dense)
    peak = engine.peak_power(speeds, torques)
    assert peak.value >= powers.max() * (1 - 1e-12)
    # Between two rows of the table, a smooth hump can hide only a sliver.
    assert peak.value == pytest.approx(powers.max(), rel=1e-3, abs=1e-9)
    assert engine.power(
        engine.torque(speeds, torques, peak.engine_speed), peak.engine_speed
    ) == pytest.approx(peak.value, rel=1e-9, abs=1e-9)


@given(torque_curves(), st.floats(min_value=0.05, max_value=1.0))
def test_power_band_against_a_dense_table(curve, share):
    speeds, torques = curve
    dense = np.union1d(speeds, np.linspace(speeds[0], speeds[-1], 2001))
    powers = engine.power(engine.torque(speeds, torques, dense), dense)
    peak = engine.peak_power(speeds, torques)
    band = engine.power_band(speeds, torques, share)
    level = share * peak.value
    assert band.low <= peak.engine_speed <= band.high
    outside = (dense < band.low) | (dense > band.high)
    assert (powers[outside] <= level * (1 + 1e-6) + 1e-9).all()
    for end in band:
        assert engine.power(engine.torque(speeds, torques, end), end) >= level * (1 - 1e-6) - 1e-9


def test_a_real_looking_curve():
    peak = engine.peak_power(SPEEDS, TORQUES)
    assert engine.peak_torque(SPEEDS, TORQUES) == (750.0, 26.0)
    assert 800.0 < peak.engine_speed < 900.0
    band = engine.power_band(SPEEDS, TORQUES)
    assert band.low < 750.0 < peak.engine_speed < band.high < 1000.0


def test_an_engine_without_torque():
    flat = np.zeros(3)
    speeds = np.array([100.0, 200.0, 300.0])
    assert engine.peak_power(speeds, flat).value == 0.0
    assert engine.power_band(speeds, flat) == (100.0, 300.0)
