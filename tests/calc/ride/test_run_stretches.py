"""Coast-downs and pulls in a log: found where they are, braking and steady riding left alone.

Our own rule, no source; the rides are made of straight pieces with noise, seed fixed.
"""

import numpy as np
import pytest

from explorer.calc.ride.run_stretches import coasting_stretches, pulling_stretches, smoothed_change
from tests.calc.ride.coastdown import coast_speed

TIME = np.arange(0.0, 100.0)
# Pull, steady, coast, steady, brake.
SPEED = np.interp(TIME, [0, 5, 15, 25, 55, 80, 84, 100], [6, 6, 24, 24, 10, 10, 2, 2])


@pytest.fixture(params=range(5))
def noisy(request):
    return SPEED + np.random.default_rng(request.param).normal(0.0, 0.1, SPEED.size)


def test_a_coast_down_is_found_and_braking_is_not(noisy):
    [found] = coasting_stretches(TIME, noisy)
    assert 25 <= TIME[found][0] <= 28 and 50 <= TIME[found][-1] <= 55


def test_a_pull_is_found_and_steady_riding_is_not(noisy):
    [found] = pulling_stretches(TIME, noisy)
    assert 5 <= TIME[found][0] <= 8 and 12 <= TIME[found][-1] <= 15


@pytest.mark.parametrize("speeds", [np.zeros(0), np.ones(1), np.ones(2), np.full(50, 20.0)])
def test_nothing_to_find(speeds):
    time = np.arange(float(speeds.size))
    assert coasting_stretches(time, speeds) == []
    assert pulling_stretches(time, speeds) == []


def test_uneven_times_change_nothing():
    rng = np.random.default_rng(1)
    time = np.sort(rng.uniform(0.0, 30.0, 200))
    np.testing.assert_allclose(smoothed_change(time, 20.0 - 0.4 * time), -0.4, rtol=1e-9)


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("interval", [1.0, 0.1])
@pytest.mark.parametrize("lasting", [2.9, 3.6, 4.4, 5.4])
def test_a_short_pull_of_a_strong_bike_is_found_without_its_ends(interval, lasting, seed):
    rng = np.random.default_rng(seed)
    time = np.arange(0.0, 60.0, interval)
    opened = 20.0 + rng.uniform(0, 1)
    truth = 10 + 4.5 * np.clip(time - opened, 0, lasting)
    # Afterwards the hand closes: the speed falls slowly.
    truth = truth - 0.3 * np.clip(time - opened - lasting, 0, 15)
    [found] = pulling_stretches(time, truth + rng.normal(0, 0.1, time.size))
    inside = time[found]
    assert opened - 0.25 <= inside[0] and inside[-1] <= opened + lasting + 0.25
    assert np.polyfit(inside, truth[found], 1)[0] == pytest.approx(4.5, rel=0.06)


@pytest.mark.parametrize("seed", range(3))
def test_a_coast_down_from_a_high_speed_is_found_though_drag_alone_slows_hard(seed):
    time = np.arange(0.0, 70.0)
    a, b = 0.35, 1.4 / 27.0**2  # drag alone 1.4 m/s² at 27 m/s, 97 km/h
    speed = np.concatenate((np.full(10, 27.0), coast_speed(np.arange(60.0), 27.0, a, b)))
    noisy = speed + np.random.default_rng(seed).normal(0, 0.1, speed.size)
    [found] = coasting_stretches(time, noisy)
    assert time[found][0] <= 14.0
    assert speed[found][0] > 22.0


@pytest.mark.parametrize("brake", [0.8, 1.2, 2.0, 4.0])
@pytest.mark.parametrize("seed", range(4))
def test_braking_at_the_end_of_a_coast_down_does_not_leak_in(brake, seed):
    time = np.arange(0.0, 60.0)
    speed = np.concatenate((np.full(10, 24.0), coast_speed(np.arange(50.0), 24.0, 0.35, 0.0018)))
    begun = 32.0
    speed = np.maximum(speed - brake * np.clip(time - begun, 0, None), 0.0)
    noisy = speed + np.random.default_rng(seed).normal(0, 0.1, speed.size)
    found = coasting_stretches(time, noisy)
    assert found and all(time[each][-1] <= begun for each in found)
