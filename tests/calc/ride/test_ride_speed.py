"""Held speeds, roll-ons, histogram and slopes against closed forms and straightforward loops."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.calc.ride.ride_speed import HeldSpeeds, covered, held_speeds, roll_ons, time_at_speed
from explorer.calc.ride.ride_summary import slopes_along, speed_on_slopes, top_speed_held

speeds = st.lists(st.floats(0, 40), min_size=8, max_size=60).map(np.array)


@given(speeds, st.floats(2.0, 6.0))
def test_held_speed_is_way_over_time(speed, window):
    time = np.arange(len(speed)) * 1.0
    held = held_speeds(time, speed, None, window)
    fine = np.linspace(0, time[-1], 40 * (len(time) - 1) + 1)
    for start, mean in zip(held.start, held.speed, strict=True):
        inside = fine[(fine >= start) & (fine <= start + window)]
        inside = np.append(inside, start + window)
        way = np.trapezoid(np.interp(inside, time, speed), inside)
        assert mean == pytest.approx(way / window, abs=1e-6 + 1e-6 * mean)


@given(speeds)
def test_a_held_speed_is_below_the_largest_reading(speed):
    held = held_speeds(np.arange(len(speed)) * 1.0, speed, None, 3.0)
    assert held.speed.max() <= speed.max() + 1e-9


@given(speeds)
def test_all_time_is_in_some_bin(speed):
    time = np.arange(len(speed)) * 0.7
    edges = np.linspace(0, 40.0001, 9)
    found = time_at_speed(time, speed, edges)
    assert found.sum() == pytest.approx(time[-1])
    assert np.all(found >= -1e-12)
    fine = np.interp(np.linspace(0, time[-1], 50_001), time, speed)
    sampled = np.histogram(fine, edges)[0] / 50_001 * time[-1]
    assert found == pytest.approx(sampled, abs=0.004 * time[-1])


def passages(time, speed, low, high):
    """The same by walking along a fine grid."""
    fine = np.linspace(time[0], time[-1], 4000 * (len(time) - 1) + 1)
    values = np.interp(fine, time, speed)
    found, began = [], None
    for moment, before, now in zip(fine[1:], values, values[1:], strict=False):
        if before < low <= now:
            began = moment
        elif now < low:
            began = None
        if began is not None and now >= high > before:
            found.append(moment - began)
            began = None
    return found


@pytest.mark.parametrize("seed", range(8))
def test_roll_ons_as_a_walk_along_the_ride_finds_them(seed):
    rng = np.random.default_rng(seed)
    time, speed = np.arange(30.0), rng.uniform(2, 30, 30)
    # At both ends a reading that no passage can rest on.
    speed[:2], speed[-2:] = 5.0, 5.0
    found = roll_ons(time, speed, 10.0, 20.0)
    assert found.duration == pytest.approx(passages(time, speed, 10.0, 20.0), abs=1e-3)


def test_even_acceleration_in_closed_form():
    time = np.arange(0, 12.0, 0.5)
    found = roll_ons(time, 2.0 * time, 7.3, 16.1)
    assert found.duration == pytest.approx([(16.1 - 7.3) / 2])
    assert found.distance == pytest.approx([(16.1**2 - 7.3**2) / 4])  # v² = 2as


def test_opposite_directions_are_averaged():
    time = np.arange(40.0)
    speed = np.concatenate((np.full(20, 22.0), np.full(20, 18.0)))
    course = np.concatenate((np.full(20, 0.4), np.full(20, 0.4 + np.pi)))
    top = top_speed_held(held_speeds(time, speed, course, 5.0))
    assert top.both_ways == pytest.approx(20.0)


def test_one_direction_alone_has_no_average():
    time = np.arange(20.0)
    top = top_speed_held(held_speeds(time, np.full(20, 22.0), np.full(20, 6.2), 5.0))
    assert top.speed == pytest.approx(22.0)
    assert np.isnan(top.both_ways)
    assert top_speed_held(held_speeds(time[:3], np.full(3, 22.0), None, 5.0)) is None


def test_a_hill_in_closed_form():
    time = np.arange(0, 200.0)
    distance = 10 * time
    height = 0.07 * np.clip(distance - 800, 0, 400) + 30
    found = slopes_along(time, distance, height)
    assert found.slope.max() == pytest.approx(0.07)
    bins = speed_on_slopes(found, np.array([-0.02, 0.02, 0.05, 0.1]))
    # Level before and behind; the edges of the hill are smoothed over 100 m on each side.
    assert bins.distance[0] == pytest.approx(1900 - 400 - 200, abs=120)
    assert bins.best_speed[2] == pytest.approx(10.0)


def test_way_is_what_the_trapezoid_gives():
    time, speed = np.array([0.0, 1.0, 4.0]), np.array([0.0, 6.0, 0.0])
    assert covered(time, speed).tolist() == [0.0, 3.0, 12.0]


@pytest.mark.parametrize(
    ("across", "along", "averaged"), [(8.0, 60.0, True), (300.0, 0.0, False), (0.0, 9000.0, False)]
)
def test_only_both_directions_of_one_road_are_averaged(across, along, averaged):
    speed, course = np.array([25.0, 21.0]), np.array([np.pi / 2, 3 * np.pi / 2])
    held = HeldSpeeds(np.array([0.0, 60.0]), speed, np.zeros(2), course)
    top = top_speed_held(held, (np.array([0.0, along]), np.array([0.0, across])))
    assert top.opposite_speed == 21.0
    assert np.isfinite(top.both_ways) == averaged


def test_a_slower_run_on_the_same_road_is_paired_before_a_faster_one_elsewhere():
    course = np.array([0.0, np.pi, np.pi])
    held = HeldSpeeds(np.arange(3.0), np.array([25.0, 24.0, 20.0]), np.zeros(3), course)
    top = top_speed_held(held, (np.array([0.0, 5000.0, 10.0]), np.zeros(3)))
    assert (top.opposite_speed, top.both_ways) == (20.0, 22.5)
