"""Top speed and motion against an independent solver: scipy's `solve_ivp` on a second formulation.

Required agreement: 0.1 %.
"""

import dataclasses

import numpy as np
import pytest

from explorer.calc.drivetrain.chain_losses import with_sprockets
from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.top_speed import top_speed
from explorer.calc.motion.measures import roll_on, time_over_distance, time_to_speed
from explorer.calc.motion.shift_points import shift_points
from tests.calc.random_setups import random_setup
from tests.calc.reference_ode import Ride

AGREEMENT = 1e-3


@pytest.mark.parametrize("seed", range(50))
def test_random_setup(seed):
    rng = np.random.default_rng(seed)
    vehicle, conditions, ratio, rollout = random_setup(rng)
    rear = int(rng.integers(38, 56))
    front = max(round(rear / ratio), 9)
    vehicle = dataclasses.replace(vehicle, chain_efficiency=0.95, chain_front=13, chain_rear=48)
    ratio = rear / front
    drive = Drive(with_sprockets(vehicle, front, rear), conditions, ratio, rollout)
    top = top_speed(drive)
    shifts = shift_points(drive, top)
    ride = Ride(vehicle, conditions, ratio, rollout, front, rear)
    leave = shifts.exit_speed[0]
    np.testing.assert_allclose(top.speed[0], ride.top_speed(), rtol=AGREEMENT)
    target = max(rng.uniform(0.3, 0.95) * top.speed[0], 1.0)
    distance = rng.uniform(20, 400)
    by_speed = ride.run(leave, stop_speed=target)
    np.testing.assert_allclose(
        np.nan_to_num(time_to_speed(drive, shifts, target)[0], nan=np.inf),
        by_speed,
        rtol=AGREEMENT,
    )
    by_distance = ride.run(leave, stop_distance=distance)
    np.testing.assert_allclose(
        np.nan_to_num(time_over_distance(drive, shifts, distance)[0], nan=np.inf),
        by_distance,
        rtol=AGREEMENT,
    )
    assert np.isfinite(by_distance) or top.speed[0] == 0


@pytest.mark.parametrize("seed", range(12))
def test_no_shift_point_costs_more_than_another(seed):
    """Against the second formulation: a millisecond, and what the step of its scan is worth."""
    vehicle, conditions, ratio, rollout = random_setup(np.random.default_rng(seed))
    drive = Drive(vehicle, conditions, ratio, rollout)
    shifts = shift_points(drive, top_speed(drive))
    ride = Ride(vehicle, conditions, ratio, rollout)
    for gear in range(drive.gears - 1):
        if shifts.shifts_up[0, gear]:
            speeds, cost = ride.shift_cost(gear)
            reached = speeds <= shifts.end_speed[0, gear]
            at = np.interp(shifts.exit_speed[0, gear], speeds, cost)
            assert at <= cost[reached].min() + 2e-3


@pytest.mark.parametrize("seed", range(20))
def test_roll_on_below_and_above_the_launch_speed(seed):
    """The clutch is locked, however low the engine turns."""
    rng = np.random.default_rng(1000 + seed)
    vehicle, conditions, ratio, rollout = random_setup(rng)
    drive = Drive(vehicle, conditions, ratio, rollout)
    ride = Ride(vehicle, conditions, ratio, rollout)
    gear = int(rng.integers(len(vehicle.gears)))
    idle = vehicle.idle_speed * ride.r / ride.i[gear]
    start, end = np.sort(rng.uniform(1.02 * idle, 0.98 * ride.limiter(gear), 2))
    computed = roll_on(drive, shift_points(drive, top_speed(drive)), start, end, gear)[0]
    expected = ride.roll_on(start, end, gear)
    np.testing.assert_allclose(np.nan_to_num(computed, nan=np.inf), expected, rtol=AGREEMENT)
