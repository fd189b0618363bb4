"""Motion against closed forms: derived from the definition (Newton's second law), no table.

The expected figures were evaluated once in double precision from the formula named in each test
and confirmed with scipy to 1e-8; g = 9.80665 m/s² throughout.
"""

import numpy as np
import pytest

from explorer.calc.drivetrain import forces
from explorer.calc.drivetrain.top_speed import Limit, top_speed
from explorer.calc.motion.run import full_throttle, time_to_distance
from explorer.calc.motion.shift_points import shift_points
from tests.calc.simple_vehicles import constant_force, constant_power, one_gear


def run_of(drive, **arguments):
    return full_throttle(drive, shift_points(drive, top_speed(drive)), **arguments)


def test_constant_power_without_losses():
    """t = m v²/2P and x = m v³/3P: 200 kg, 20 kW, 0 to 20 m/s."""
    run = run_of(constant_power(20e3, 200.0), stop_speed=20.0)
    np.testing.assert_allclose(run.time[0, -1], 2.000, rtol=1e-4)
    np.testing.assert_allclose(run.distance[0, -1], 26.6667, rtol=1e-4)


def test_constant_force_and_quadratic_drag():
    """v = vt tanh(t sqrt(F c)/m), x = (m/c) ln cosh(...): 200 kg, 600 N, c = 0.30 kg/m."""
    drive = constant_force(600.0, 200.0, drag=0.30, fastest=60.0)
    np.testing.assert_allclose(top_speed(drive).speed, 44.721360, rtol=2e-5)
    np.testing.assert_allclose(run_of(drive, stop_speed=30.0).time[0, -1], 12.108058, rtol=1e-6)
    to_ten_seconds = run_of(drive, stop_speed=26.185218)
    np.testing.assert_allclose(to_ten_seconds.time[0, -1], 10.0, rtol=1e-6)
    np.testing.assert_allclose(to_ten_seconds.distance[0, -1], 139.938947, rtol=1e-6)
    np.testing.assert_allclose(time_to_distance(run_of(drive), 139.938947), 10.0, rtol=1e-4)


def test_coast_down_with_rolling_resistance_and_drag():
    """t and x of dv/dt = -(a + b v²), the atan form: 20 m/s to rest and 20 to 10 m/s."""
    mass, b = 200.0, 0.5 * 1.225 * 0.5 / 200
    drive = one_gear(
        engine_speeds=[1.0, 100.0], torques=[0.0, 0.0], mass=mass, drag=b * mass, rolling=0.03
    )
    step = 45.453692 / 1000
    speed, distance = np.full((1, 1, 1), 20.0), 0.0
    speeds = [20.0]
    for _ in range(1000):
        speed, covered = drive.coast_step(speed, step)
        distance += covered.item()
        speeds.append(speed.item())
    np.testing.assert_allclose(speeds[-1], 0.0, atol=1e-4)
    np.testing.assert_allclose(distance, 367.527502, rtol=1e-6)
    at_ten = np.interp(-10.0, -np.array(speeds), np.arange(1001) * step)
    np.testing.assert_allclose(at_ten, 16.008315, rtol=1e-5)


@pytest.mark.parametrize(("rolling", "kmh"), [(0.02, 120.2312), (0.0, 123.9502)])
def test_power_limited_top_speed(rolling, kmh):
    """0.5 rho CdA v³ + Crr m g v = P: 15 kW, CdA 0.6 m², rho 1.225 kg/m³, 200 kg."""
    drive = constant_power(15e3, 200.0, drag=0.5 * 1.225 * 0.6, rolling=rolling)
    top = top_speed(drive)
    np.testing.assert_allclose(top.speed * 3.6, kmh, rtol=2e-5)
    assert top.limit[0] == Limit.POWER


@pytest.mark.parametrize("rolling", [0.0, 0.02, 0.08])
def test_climbing_at_a_crawl(rolling):
    """F = eta T i / r = m g (sin + Crr cos): identity, derived from the definition."""
    thrust = forces.pull(10.0, 30.0, 0.9, 2.0)
    limits = forces.steepest_slope(thrust, 0.0, 185.0, 1.4, 0.7, 0.6, rolling, 1e6)
    needed = forces.slope_force(185.0, limits.power) + forces.rolling_resistance(
        185.0, limits.power, rolling
    )
    np.testing.assert_allclose(needed, thrust, rtol=1e-12)
