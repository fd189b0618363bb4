"""Coast-downs and pulls in a log: found where they are, braking and steady riding left alone.

Our own rule, no source; the rides are made of straight pieces with noise, seed fixed.
"""

import numpy as np
import pytest

from explorer.calc.ride.run_stretches import coasting_stretches, pulling_stretches, smoothed_change

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
