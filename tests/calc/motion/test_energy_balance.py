"""Energy closes over any simulated run to 0.1 %, and would not if the run were wrong."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.launch import launch
from explorer.calc.drivetrain.top_speed import top_speed
from explorer.calc.motion.run import full_throttle
from explorer.calc.motion.shift_points import shift_points
from tests.calc.motion.energy_balance import energy_balance
from tests.calc.random_setups import random_setup
from tests.calc.simple_vehicles import constant_force

CLOSES = 1e-3


def ride(seed, **changes):
    vehicle, conditions, ratio, rollout = random_setup(np.random.default_rng(seed))
    drive = Drive(dataclasses.replace(vehicle, **changes), conditions, ratio, rollout)
    return drive, shift_points(drive, top_speed(drive))


@given(seed=st.integers(0, 100_000), start=st.floats(0.0, 15.0), stop=st.floats(1.0, 80.0))
def test_closes_over_any_run(seed, start, stop):
    drive, shifts = ride(seed)
    balance = energy_balance(drive, full_throttle(drive, shifts, start, start + stop))
    assert abs(balance.error[0]) < CLOSES
    assert all(np.isfinite(values).all() for values in balance)
    lost = (balance.clutch, balance.drivetrain, balance.rolling, balance.spinning)
    assert all(values[0] >= -1e-6 * balance.engine[0] for values in lost)


def test_closes_to_the_end_of_a_run_at_top_speed():
    errors = []
    for seed in range(40):
        drive, shifts = ride(seed)
        errors.append(energy_balance(drive, full_throttle(drive, shifts)).error[0])
    assert np.max(np.abs(errors)) < CLOSES


def test_a_wrong_run_does_not_close():
    drive, shifts = ride(0)
    run = full_throttle(drive, shifts, stop_speed=15.0)
    slow = run._replace(time=1.01 * run.time)
    assert abs(energy_balance(drive, slow).error[0]) > 3 * CLOSES


def test_known_work():
    """600 N over the distance of a run with quadratic drag: work = F x, by definition."""
    drive = constant_force(600.0, 200.0, drag=0.30, fastest=60.0)
    run = full_throttle(drive, shift_points(drive, top_speed(drive)), stop_speed=26.185218)
    balance = energy_balance(drive, run)
    # 10 s and 139.938947 m, from the closed form v = vt tanh(t √(F c)/m).
    np.testing.assert_allclose(balance.engine, 600 * 139.938947, rtol=1e-5)
    np.testing.assert_allclose(balance.moving, 0.5 * 200 * 26.185218**2, rtol=1e-9)
    np.testing.assert_allclose(balance.clutch, 0.0, atol=1e-3)


@pytest.mark.parametrize("seed", [0, 1, 2, 4])
def test_the_clutch_takes_what_launch_says(seed):
    drive, shifts = ride(seed)
    away = launch(drive)
    run = full_throttle(drive, shifts, stop_speed=away.lock_up_speed)
    np.testing.assert_allclose(energy_balance(drive, run).clutch, away.clutch_energy, rtol=1e-3)


def test_several_cases_at_once():
    vehicle, conditions, ratio, rollout = random_setup(np.random.default_rng(5))
    ratios = ratio * np.array([0.9, 1.0, 1.1])
    drive = Drive(vehicle, conditions, ratios, rollout)
    run = full_throttle(drive, shift_points(drive, top_speed(drive)), stop_speed=12.0)
    together = energy_balance(drive, run)
    for case, each in enumerate(ratios):
        alone = Drive(vehicle, conditions, each, rollout)
        run = full_throttle(alone, shift_points(alone, top_speed(alone)), stop_speed=12.0)
        np.testing.assert_allclose(together.engine[case], energy_balance(alone, run).engine[0])
