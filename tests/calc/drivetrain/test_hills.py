"""Hills: identities of the steady climb, each derived from the definition."""

import math

import numpy as np
import pytest

from explorer.calc.drivetrain.hills import NO_GEAR, gear_for_speed, on_slope
from explorer.calc.drivetrain.top_speed import Limit
from explorer.calc.example import example_conditions, example_vehicle
from explorer.calc.motion.measures import steepest_slope_by_gear
from tests.calc.random_setups import random_setup
from tests.calc.simple_vehicles import constant_power

RATIO, ROLLOUT = 48 / 14, 2.0


def on(slope):
    return on_slope(example_vehicle(), example_conditions(), RATIO, ROLLOUT, slope)


def test_power_limited_climb():
    """P = m g (sin + C cos) v without air: 200 kg, 6 kW, slope of 10 %, C = 0.02."""
    level = constant_power(6e3, 200.0, rolling=0.02)
    slope = math.atan(0.10)
    _, held = on_slope(level.vehicle, level.conditions, 1.0, 2 * math.pi, slope)
    expected = 6e3 / (200 * 9.80665 * (math.sin(slope) + 0.02 * math.cos(slope)))
    np.testing.assert_allclose(held.speed, expected, rtol=2e-5)
    assert held.limit[0] == Limit.POWER


@pytest.mark.parametrize("seed", range(6))
def test_each_gear_holds_up_to_its_steepest_slope(seed):
    """Two ways to the same limit: the slope from the forces, the speed from the acceleration."""
    vehicle, conditions, ratio, rollout = random_setup(np.random.default_rng(seed))
    level, _ = on_slope(vehicle, conditions, ratio, rollout, 0.0)
    steepest = steepest_slope_by_gear(level)[0]
    for gear, limit in enumerate(steepest):
        _, below = on_slope(vehicle, conditions, ratio, rollout, limit - 0.002)
        _, above = on_slope(vehicle, conditions, ratio, rollout, limit + 0.002)
        assert below.by_gear[0, gear] > 0
        assert above.by_gear[0, gear] == 0


def test_many_slopes_at_once():
    slopes = np.arctan([0.0, 0.1, 0.2, 0.6])
    _, together = on(slopes)
    for row, slope in enumerate(slopes):
        np.testing.assert_array_equal(together.by_gear[row], on(slope)[1].by_gear[0])


def test_the_highest_gear_that_holds_the_speed():
    drive, held = on(math.atan(0.1))
    chosen = gear_for_speed(drive, 50 / 3.6)
    slowest = (drive.idle_speed * drive.radius / drive.overall)[0, :, 0]
    inside = (slowest <= 50 / 3.6) & (held.by_gear[0] >= 50 / 3.6)
    np.testing.assert_array_equal(chosen.holds[0], inside)
    assert chosen.highest[0] == np.flatnonzero(inside)[-1]
    # To be as fast as possible is another question, with another answer on this hill.
    assert held.gear[0] != chosen.highest[0]


def test_in_hand_is_zero_at_the_speed_held():
    drive, held = on(math.atan(0.1))
    gear = held.gear[0]
    in_hand = gear_for_speed(drive, held.speed).in_hand[0, gear]
    np.testing.assert_allclose(in_hand, 0.0, atol=1e-4)


def test_no_gear_climbs_a_wall():
    drive, held = on(math.atan(2.0))
    assert gear_for_speed(drive, 5.0).highest[0] == NO_GEAR
    assert (held.by_gear == 0).all()
    assert (held.limit_by_gear == Limit.CANNOT_HOLD).all()


def test_a_speed_beyond_every_gear():
    drive, _ = on(0.0)
    chosen = gear_for_speed(drive, 100.0)
    assert chosen.highest[0] == NO_GEAR
    assert np.isnan(chosen.in_hand).all()
