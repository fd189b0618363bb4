"""All pairs at once against one pair at a time, and the best-compromise front by its definition."""

from functools import partial

import hypothesis.extra.numpy as arrays
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.top_speed import top_speed
from explorer.calc.drivetrain.tradeoff import all_pairs, best_compromise
from explorer.calc.example import example_conditions, example_vehicle
from explorer.calc.motion import measures
from explorer.calc.motion.shift_points import shift_points
from tests.calc.random_setups import random_setup
from tests.calc.reference_ode import Ride

MEASURES = {
    "time to speed": (partial(measures.time_to_speed, speed=50 / 3.6), False),
    "time over distance": (partial(measures.time_over_distance, distance=100.0), False),
    "roll-on": (partial(measures.roll_on, from_speed=8.0, to_speed=15.0, gear=2), False),
    "slope": (lambda drive, shifts: measures.steepest_slope_by_gear(drive).max(axis=1), True),
    "walking pull": (lambda drive, shifts: measures.walking_pull(drive, 5 / 3.6), True),
}
FRONTS, REARS = np.arange(12, 16), np.arange(44, 54)


@pytest.mark.parametrize("name", MEASURES)
def test_all_pairs_equal_one_pair_at_a_time(name):
    """Wiring: the array computation gives each pair what the pair gives alone."""
    measure, larger = MEASURES[name]
    vehicle, conditions = example_vehicle(), example_conditions()
    pairs = all_pairs(vehicle, conditions, FRONTS, REARS, 2.0, measure, larger)
    for i, j in [(0, 0), (1, 7), (3, 9), (2, 4)]:
        drive = Drive(vehicle, conditions, np.array([REARS[j] / FRONTS[i]]), 2.0)
        top = top_speed(drive)
        np.testing.assert_allclose(pairs.top_speed[i, j], top.speed[0], rtol=1e-9)
        alone = measure(drive, shift_points(drive, top))[0]
        np.testing.assert_allclose(pairs.value[i, j], alone, rtol=1e-6)


@pytest.mark.parametrize("seed", [101, 102, 103])
def test_the_map_of_pairs_agrees_with_the_independent_solver(seed):
    """scipy solve_ivp on a second formulation, three pairs of a random bike: 0.1 %."""
    vehicle, conditions, _, rollout = random_setup(np.random.default_rng(seed))
    measure = partial(measures.time_over_distance, distance=80.0)
    pairs = all_pairs(vehicle, conditions, FRONTS, REARS, rollout, measure, False)
    for i, j in [(0, 9), (2, 3), (3, 0)]:
        ride = Ride(vehicle, conditions, REARS[j] / FRONTS[i], rollout)
        expected = ride.run(stop_distance=80.0)
        np.testing.assert_allclose(
            np.nan_to_num(pairs.value[i, j], nan=np.inf), expected, rtol=1e-3
        )
        np.testing.assert_allclose(pairs.top_speed[i, j], ride.top_speed(), rtol=1e-3)


small_numbers = st.integers(0, 6).map(float) | st.just(np.nan)


@given(st.data(), st.integers(1, 25))
def test_best_compromise_by_definition(data, count):
    first = data.draw(arrays.arrays(float, count, elements=small_numbers))
    second = data.draw(arrays.arrays(float, count, elements=small_numbers))
    usable = ~np.isnan(first) & ~np.isnan(second)
    expected = [
        usable[i]
        and not any(
            usable[j]
            and first[j] >= first[i]
            and second[j] >= second[i]
            and (first[j] > first[i] or second[j] > second[i])
            for j in range(count)
        )
        for i in range(count)
    ]
    np.testing.assert_array_equal(best_compromise(first, second), expected)
