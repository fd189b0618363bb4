"""The slipping clutch against closed forms and against an independent integration over time."""

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.launch import launch, slowest_clutch_out_speed
from tests.calc.random_setups import random_setup
from tests.calc.reference_ode import Ride
from tests.calc.simple_vehicles import one_gear


def flat_torque(**changes):
    """150 N·m whatever the speed, wheel radius 1 m, clutch held at 10 rad/s: a = 1 m/s²."""
    return one_gear(
        engine_speeds=[1.0, 50.0], torques=[150.0, 150.0], mass=150.0, launch_speed=10.0, **changes
    )


def test_half_of_the_work_heats_the_clutch():
    """Constant torque without losses, derived from the definition: E = m v²/2 = T ω t/2."""
    away = launch(flat_torque())
    np.testing.assert_allclose(away.clutch_energy, 7500.0, rtol=1e-12)
    np.testing.assert_allclose(away.slip_time, 10.0, rtol=1e-12)
    np.testing.assert_allclose(away.slip_distance, 50.0, rtol=1e-12)
    np.testing.assert_allclose(away.lock_up_speed, 10.0, rtol=1e-12)


def test_grip_lowers_the_torque_but_not_the_heat():
    """Less thrust for longer: without resistance the heat is m v²/2 whatever the thrust."""
    held_back = launch(flat_torque(grip=0.04))
    assert held_back.slip_time[0] > 20.0
    np.testing.assert_allclose(held_back.clutch_energy, 7500.0, rtol=1e-9)


def test_shorter_gearing_spares_the_clutch():
    overall = np.array([1.0, 1.25])
    energies = [launch(flat_torque(overall=each)).clutch_energy[0] for each in overall]
    np.testing.assert_allclose(energies[0] / energies[1], 1.25**2, rtol=1e-12)


def test_what_cannot_pull_away_is_nan():
    away = launch(flat_torque(slope=0.5))
    assert all(np.isnan(values).all() for values in away)


@pytest.mark.parametrize("seed", range(12))
def test_against_an_integration_over_time(seed):
    """scipy's solve_ivp on the second formulation of the ride; agreement 0.1 %."""
    vehicle, conditions, ratio, rollout = random_setup(np.random.default_rng(seed))
    ride = Ride(vehicle, conditions, ratio, rollout)
    wheels = vehicle.front_wheel_inertia / vehicle.front_wheel_radius**2
    mass = vehicle.mass + wheels + vehicle.rear_wheel_inertia / ride.r**2

    def slope(_, state):
        speed = state[0]
        gained = ride.acceleration(speed, 0, slipping=True)
        gearbox_torque = (
            (mass * gained + ride.resistance(speed))
            * ride.r
            / (vehicle.gears[0] * ratio * vehicle.gearbox_efficiency * vehicle.chain_efficiency)
        )
        slip = vehicle.launch_speed / vehicle.primary - speed / ride.r * vehicle.gears[0] * ratio
        return [gained, speed, gearbox_torque * slip]

    def locks(_, state):
        return state[0] - ride.matching(0)

    locks.terminal = True
    solution = solve_ivp(slope, (0, 120), [0, 0, 0], events=locks, rtol=1e-10, atol=1e-10)
    away = launch(Drive(vehicle, conditions, ratio, rollout))
    if solution.t_events[0].size == 0:
        # The independent solver found that this one cannot pull away either.
        assert slope(0, solution.y[:, -1])[0] <= 1e-6
        assert np.isnan(away.slip_time).all()
        return
    np.testing.assert_allclose(away.slip_time, solution.t[-1], rtol=1e-3)
    np.testing.assert_allclose(away.slip_distance, solution.y[1, -1], rtol=1e-3)
    np.testing.assert_allclose(away.clutch_energy, solution.y[2, -1], rtol=1e-3)


def test_slowest_clutch_out_speed():
    """Speed from engine speed, by the definition of the overall ratio."""
    drive = one_gear(
        engine_speeds=[150.0, 900.0],
        torques=[10.0, 10.0],
        mass=150.0,
        gears=(2.0, 1.0),
        overall=10.0,
        rollout=2.0,
    )
    speed = slowest_clutch_out_speed(drive, 1.2)
    np.testing.assert_allclose(
        speed, [[1.2 * 150 / (2 * math.pi) * 2 / 20, 3.6 * 10 / math.pi / 2]]
    )
