"""The filter takes out what was put in, and leaves what a motorcycle does."""

import numpy as np
import pytest

from explorer.calc.example import example_drive
from explorer.calc.ride.ride_filter import SMALLEST_GLITCH, breaks, kept_speeds
from explorer.calc.ride.simulated_ride import simulate_ride


def ride(interval, seed, noise=0.15):
    truth = simulate_ride(example_drive()[0])
    step = round(interval / 0.1)
    time, speed = truth.time[::step], truth.speed[::step]
    noisy = np.maximum(speed + np.random.default_rng(seed).normal(0, noise, len(speed)), 0)
    return time, speed, noisy


@pytest.mark.parametrize("interval", [0.2, 1.0])
@pytest.mark.parametrize("seed", range(4))
def test_glitches_go_and_riding_stays(interval, seed):
    time, _, speed = ride(interval, seed)
    rng = np.random.default_rng(seed + 100)
    rows = rng.choice(np.arange(5, len(time) - 5), 12, replace=False)
    size = rng.uniform(8, 40, 12)
    glitchy = speed.copy()
    glitchy[rows] += size
    keep = kept_speeds(time, glitchy)
    # A glitch beside another one may hide; what stays must be rare.
    assert keep[rows].sum() <= 1
    others = np.ones(len(time), bool)
    others[rows] = False
    assert keep[others].mean() > 0.96


def test_a_clean_ride_keeps_nearly_everything():
    time, _, speed = ride(1.0, 7)
    assert kept_speeds(time, speed).mean() > 0.97


def test_hard_braking_and_pulling_stay():
    time = np.arange(0, 40.0)
    speed = np.interp(time, [0, 10, 14, 18, 26, 40], [30, 30, 2, 2, 34, 34])  # 7 and 4 m/s²
    keep = kept_speeds(time, speed)
    assert keep.mean() > 0.9
    assert keep[10:15].sum() >= 3


def test_a_large_glitch_never_becomes_the_fastest_reading():
    for seed in range(20):
        time, truth, speed = ride(1.0, seed)
        row = np.random.default_rng(seed).integers(5, len(time) - 5)
        speed[row] = 60.0
        kept = speed[kept_speeds(time, speed)]
        assert kept.max() < truth.max() + SMALLEST_GLITCH


@pytest.mark.parametrize("value", [np.nan, np.inf, -3.0, 200.0])
def test_no_speed_of_a_motorcycle(value):
    time, speed = np.arange(30.0), np.full(30, 12.0)
    speed[10] = value
    assert np.flatnonzero(~kept_speeds(time, speed)).tolist() == [10]


def test_a_stretch_too_short_to_check_is_left_out():
    time = np.concatenate((np.arange(20.0), 100 + np.arange(4.0)))
    keep = kept_speeds(time, np.full(24, 9.0))
    assert keep.tolist() == [True] * 20 + [False] * 4


def test_breaks_are_silences():
    assert breaks(np.array([0.0, 5.0, 10.1, 11.0])).tolist() == [2]
