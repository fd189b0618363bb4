"""Ways of changing up, against closed forms of constant force in each gear."""

import dataclasses
from functools import partial

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.top_speed import top_speed
from explorer.calc.motion.measures import time_over_distance, time_to_speed
from explorer.calc.motion.shift_points import shift_points
from explorer.calc.motion.shift_strategy import compare_strategies, worth_of_each_shift
from tests.calc.random_setups import random_setup
from tests.calc.simple_vehicles import one_gear


def two_gears(shift_time):
    """150 N·m at any speed, 150 kg: 2 m/s² to 10 m/s in first, then 1.4 m/s² in second."""
    return one_gear(
        engine_speeds=[1e-6, 20.0],
        torques=[150.0, 150.0],
        mass=150.0,
        gears=(2.0, 1.4),
        shift_time=shift_time,
    )


def to_speed(speed):
    return lambda drive, shifts: time_to_speed(drive, shifts, speed)


def over(distance):
    return lambda drive, shifts: time_over_distance(drive, shifts, distance)


def test_a_shift_just_before_the_goal_is_not_worth_it():
    """Changing up at 8 m/s on the way to 9.5 m/s: v/a = 4.75 s against 4 + 0.25 + 1.5/1.4 s."""
    drive = two_gears(0.25)
    top = top_speed(drive)
    worth = worth_of_each_shift(drive, shift_points(drive, top, 16.0), to_speed(9.5))
    np.testing.assert_allclose(worth.time, [[4.75, 4.25 + 1.5 / 1.4]], rtol=1e-9)
    assert not worth.worth_it[0, 0]
    np.testing.assert_allclose(worth.gain, worth.time[:, :1] - worth.time[:, 1:])


def test_a_shift_is_worth_it_where_it_is_the_only_way():
    """12 m/s is beyond first gear: 5 + 0.25 + 2/1.4 s."""
    drive = two_gears(0.25)
    top = top_speed(drive)
    worth = worth_of_each_shift(drive, shift_points(drive, top), to_speed(12.0))
    assert np.isnan(worth.time[0, 0])
    np.testing.assert_allclose(worth.time[0, 1], 5.25 + 2 / 1.4, rtol=1e-9)
    assert worth.worth_it[0, 0]


@pytest.mark.parametrize(("beyond", "shift_time"), [(40.0, 0.25), (8.0, 0.2), (8.0, 0.0)])
def test_staying_on_the_limiter_over_a_distance(beyond, shift_time):
    """25 m to the limiter in first; then at 10 m/s, or 10 m/s during the shift and 1.4 m/s²."""
    drive = two_gears(shift_time)
    top = top_speed(drive)
    worth = worth_of_each_shift(drive, shift_points(drive, top), over(25.0 + beyond))
    stay = 5 + beyond / 10
    left = beyond - 10 * shift_time
    go = 5 + shift_time + (np.sqrt(100 + 2.8 * left) - 10) / 1.4
    np.testing.assert_allclose(worth.time, [[stay, go]], rtol=1e-5)
    assert worth.worth_it[0, 0]


def test_a_goal_reached_before_the_shift():
    drive = two_gears(0.25)
    top = top_speed(drive)
    worth = worth_of_each_shift(drive, shift_points(drive, top), over(20.0))
    np.testing.assert_allclose(worth.gain, 0.0, atol=1e-9)
    assert not worth.worth_it.any()


def test_cost_of_changing_up_too_early():
    """At 5 m/s instead of 10 m/s on the way to 12 m/s: 5 m/s at 1.4 instead of 2 m/s²."""
    drive = two_gears(0.25)
    ways = compare_strategies(drive, top_speed(drive), to_speed(12.0), 10.0)
    np.testing.assert_allclose(ways.chosen_cost, 5 / 1.4 - 5 / 2, rtol=1e-6)
    # Flat torque pulls harder in first up to the end: the best is at the rev limit.
    np.testing.assert_allclose(ways.rev_limit_cost, 0.0, atol=1e-9)


@given(seed=st.integers(0, 10_000), share=st.floats(0.5, 1.0))
def test_without_time_lost_nothing_beats_the_best_shift_points(seed, share):
    """Without shift time the rule is exact: always in the gear that accelerates harder.

    To a speed; tolerance 0.1 %, as the crossing is found by bisection.
    """
    vehicle, conditions, ratio, rollout = random_setup(np.random.default_rng(seed))
    vehicle = dataclasses.replace(vehicle, shift_time=0.0)
    drive = Drive(vehicle, conditions, ratio, rollout)
    top = top_speed(drive)
    goal = to_speed(0.9 * top.speed)
    ways = compare_strategies(drive, top, goal, share * vehicle.limiter_speed)
    for cost in (ways.rev_limit_cost, ways.chosen_cost):
        assert not (cost < -1e-3 * ways.best).any()


def test_the_timing_may_be_a_partial():
    drive = two_gears(0.1)
    timing = partial(time_to_speed, speed=12.0)
    ways = compare_strategies(drive, top_speed(drive), timing, 20.0)
    np.testing.assert_allclose(ways.chosen, ways.rev_limit)
