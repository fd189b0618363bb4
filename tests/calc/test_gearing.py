"""Ratios and speeds: inverses, signs and searches."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.calc import gearing

FRONTS = st.integers(min_value=9, max_value=18)
REARS = st.integers(min_value=28, max_value=60)
RATIOS = st.floats(min_value=1.0, max_value=60.0)
ROLLOUTS = st.floats(min_value=1.0, max_value=2.5)


@given(st.floats(min_value=0.0, max_value=1500.0), RATIOS, ROLLOUTS)
def test_speeds_are_inverses(engine_speed, overall, rollout):
    road_speed = gearing.road_speed(engine_speed, overall, rollout)
    assert gearing.engine_speed(road_speed, overall, rollout) == pytest.approx(
        engine_speed, rel=1e-12
    )


@given(RATIOS, RATIOS)
def test_pull_and_speed_changes_undo_each_other(old, new):
    pull = gearing.pull_change(old, new)
    speed = gearing.speed_change(old, new)
    assert (1 + pull) * (1 + speed) == pytest.approx(1.0, rel=1e-12)
    assert pull == gearing.speed_change(new, old)


def test_shorter_gearing_pulls_more_and_runs_slower():
    old, new = gearing.final_ratio(13, 48), gearing.final_ratio(12, 48)
    assert gearing.pull_change(old, new) == pytest.approx(1 / 12)
    assert gearing.speed_change(old, new) == pytest.approx(-1 / 13)


@given(FRONTS, REARS)
def test_rear_teeth_give_the_same_ratio_as_the_front_tooth(front, rear):
    teeth = gearing.rear_teeth_per_front_tooth(front, rear)
    assert gearing.final_ratio(front, rear + teeth.for_one_fewer) == pytest.approx(
        gearing.final_ratio(front - 1, rear), rel=1e-12
    )
    assert gearing.final_ratio(front, rear - teeth.for_one_more) == pytest.approx(
        gearing.final_ratio(front + 1, rear), rel=1e-12
    )


@given(FRONTS, REARS, st.floats(min_value=0.0, max_value=0.05))
def test_near_equal_pairs_against_a_plain_search(front, rear, tolerance):
    fronts, rears = np.arange(9, 19), np.arange(28, 61)
    ratio = gearing.final_ratio(front, rear)
    pairs = gearing.near_equal_pairs(fronts, rears, ratio, tolerance)
    plain = {
        (f, r)
        for f in fronts
        for r in rears
        if abs(gearing.final_ratio(f, r) / ratio - 1) <= tolerance
    }
    assert set(zip(pairs.front, pairs.rear, strict=True)) == plain
    assert (front, rear) in plain
    assert (np.diff(np.abs(pairs.difference)) >= 0).all()
    np.testing.assert_allclose(pairs.rear / pairs.front, ratio * (1 + pairs.difference), rtol=1e-12)


def test_no_pair_near_enough():
    pairs = gearing.near_equal_pairs(np.array([13]), np.array([48]), 10.0, 0.01)
    assert [len(column) for column in pairs] == [0, 0, 0]


def test_all_pairs_and_gears_at_once():
    fronts, rears = np.meshgrid(np.arange(11, 19), np.arange(30, 61), indexing="ij")
    gears = np.array([2.4, 1.8, 1.4, 1.1, 0.9])
    overall = gearing.overall_ratio(3.0, gears, fronts[..., None], rears[..., None])
    assert gearing.road_speed(900.0, overall, 2.0).shape == (8, 31, 5)
