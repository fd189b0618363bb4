"""Satisfaction and score: the written shape, and what may not change them."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.calc.wants.want_measures import widest_speed_range
from explorer.calc.wants.wants_score import satisfaction, weighted_score

margins = st.floats(-1e6, 1e6)
tolerances = st.floats(1e-3, 1e4)
shares = st.floats(0, 1)


def test_the_shape_at_written_points():
    """1 where met, ½ missed by one tolerance, 1/5 by two, 1/10 by three."""
    margin = np.array([5.0, 0.0, -0.5, -1.0, -1.5, math.nan])
    expected = [1, 1, 1 / 2, 1 / 5, 1 / 10, 0]
    np.testing.assert_allclose(satisfaction(margin, 0.5), expected, rtol=1e-15)


@given(margins, margins, tolerances)
def test_never_rises_with_a_worse_margin(one, other, tolerance):
    worse, better = sorted((one, other))
    low, high = satisfaction(np.array([worse, better]), tolerance)
    assert 0 <= low <= high <= 1


@given(st.floats(-20, -1e-3), st.floats(1e-6, 1))
def test_strictly_better_where_missed_by_less(margin, less):
    low, high = satisfaction(np.array([margin, margin * (1 - less / 2)]), 1.0)
    assert low < high


@given(margins, tolerances, st.floats(1e-3, 1e3))
def test_units_do_not_matter(margin, tolerance, factor):
    one = satisfaction(np.array([margin]), tolerance)
    other = satisfaction(np.array([margin * factor]), tolerance * factor)
    np.testing.assert_allclose(one, other, rtol=1e-12)


def test_no_step_and_no_kink_where_the_want_is_just_met():
    """On both sides of zero the slope vanishes: 1 - s is of second order in the margin."""
    small = np.array([-1e-3, -1e-4])
    np.testing.assert_allclose(1 - satisfaction(small, 1.0), small**2, rtol=2e-6)


@given(st.lists(st.tuples(shares, st.floats(0.01, 10)), min_size=1, max_size=8), st.data())
def test_scaling_all_weights_changes_nothing(rows, data):
    satisfied, weights = (np.array(column) for column in zip(*rows, strict=True))
    factor = data.draw(st.floats(1e-6, 1e6))
    one = weighted_score(satisfied[:, np.newaxis], weights)
    other = weighted_score(satisfied[:, np.newaxis], weights * factor)
    np.testing.assert_allclose(one, other, rtol=1e-12, atol=1e-300)


@given(st.lists(st.tuples(shares, st.floats(0, 10)), min_size=1, max_size=8))
def test_a_score_lies_between_its_worst_and_its_best_want(rows):
    satisfied, weights = (np.array(column) for column in zip(*rows, strict=True))
    score = float(weighted_score(satisfied[:, np.newaxis], weights)[0])
    counted = satisfied[weights > 0]
    if counted.size == 0:
        assert score == 1
    else:
        assert counted.min() - 1e-12 <= score <= counted.max() + 1e-12


def test_against_the_average_of_numpy():
    rng = np.random.default_rng(8)
    satisfied, weights = rng.random((5, 12, 40)), rng.random((5, 12)) * 10
    expected = [np.average(s, axis=0, weights=w) for s, w in zip(satisfied, weights, strict=True)]
    np.testing.assert_allclose(weighted_score(satisfied, weights), expected, rtol=1e-13)


@pytest.mark.parametrize(
    ("shifts", "expected"),
    [
        # Gears 3, 2, 1.5, 1.2; the engine pulls from 400 to 900 rad/s, a range of 2.25.
        (0, 2.25),
        # With one shift the widest step, 3 : 2, adds a factor of 1.5.
        (1, 3.375),
        # With two, 3 : 1.5.
        (2, 4.5),
        # With more shifts than gears, all of the gearbox: 3 : 1.2.
        (9, 5.625),
    ],
)
def test_range_of_speed_that_a_gearbox_covers(shifts, expected):
    """Worked by hand; no sprocket enters."""
    gears = np.array([3.0, 2.0, 1.5, 1.2])
    assert widest_speed_range(gears, shifts, 400.0, 900.0) == pytest.approx(expected, rel=1e-14)
