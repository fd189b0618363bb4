"""Slack and extra length: inverses, measuring places, and the way through the travel."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.calc.chain import chain_slack, swingarm
from explorer.calc.chain import length as chain

SPANS = st.floats(min_value=0.3, max_value=0.8)
SLACKS = st.floats(min_value=0.0001, max_value=0.12)
PLACES = st.floats(min_value=0.1, max_value=0.9)
BIKE = {"shaft_x": -0.080, "shaft_y": 0.010, "arm_length": 0.560}
DRIVE = {"pitch": 0.015875, "front": 13, "rear": 48}


@given(SPANS, SLACKS, PLACES)
def test_slack_and_extra_length_are_inverses(span, slack, place):
    extra = chain_slack.extra_length(span, slack, place)
    back = chain_slack.slack_from_extra_length(span, extra, place)
    assert back == pytest.approx(slack, rel=1e-9)


@given(SPANS, SLACKS, PLACES)
def test_extra_length_is_two_sides_less_the_third(span, slack, place):
    """Pythagoras written plainly; its difference keeps 1e-15 of the span."""
    height = slack / 2
    sides = np.sqrt((span * place) ** 2 + height**2) + np.sqrt(
        (span * (1 - place)) ** 2 + height**2
    )
    assert chain_slack.extra_length(span, slack, place) == pytest.approx(sides - span, abs=1e-14)


@given(SPANS, SLACKS, PLACES)
def test_the_same_chain_moves_less_away_from_mid_run(span, slack, place):
    """Why the manual's measuring place counts as much as its number."""
    extra = chain_slack.extra_length(span, slack)
    assert chain_slack.slack_from_extra_length(span, extra, place) <= slack * (1 + 1e-9)


def test_no_extra_length_is_no_slack_and_less_is_nan():
    slack = chain_slack.slack_from_extra_length(0.6, np.array([0.0, -0.0001]))
    assert slack[0] == 0
    assert np.isnan(slack[1])


@given(st.floats(min_value=0.002, max_value=0.06), st.floats(min_value=-0.4, max_value=0.3))
def test_setting_at_rest_and_at_the_tightest_place_are_inverses(slack, rest):
    tight = swingarm.tightest_angle(-0.080, 0.010, -0.4, 0.3)
    at_rest = chain_slack.slack_through_travel(
        **BIKE, arm_angle=rest, set_angle=tight, set_slack=slack, **DRIVE
    )
    back = chain_slack.slack_through_travel(
        **BIKE, arm_angle=tight, set_angle=rest, set_slack=at_rest.slack, **DRIVE
    )
    assert back.slack == pytest.approx(slack, rel=1e-6)


@given(st.floats(min_value=0.002, max_value=0.06))
def test_tightest_place_has_the_least_slack(slack):
    angles = np.linspace(-0.4, 0.3, 71)
    tight = swingarm.tightest_angle(-0.080, 0.010, angles[0], angles[-1])
    travel = chain_slack.slack_through_travel(
        **BIKE, arm_angle=angles, set_angle=tight, set_slack=slack, **DRIVE
    )
    assert np.all(travel.slack >= slack * (1 - 1e-9))
    assert np.all(travel.extra > 0)


def test_a_chain_set_too_tight_at_rest_is_drawn_tight_in_the_travel():
    angles = np.radians([-20.0, -7.0])
    travel = chain_slack.slack_through_travel(
        **BIKE, arm_angle=angles, set_angle=angles[0], set_slack=0.020, **DRIVE
    )
    assert travel.slack[0] == pytest.approx(0.020)
    assert travel.extra[1] < 0
    assert np.isnan(travel.slack[1])


def test_slack_through_travel_against_the_whole_loop():
    """The chain is one length: links round the taut loop plus extra are the same all along."""
    angles = np.linspace(-0.4, 0.3, 15)
    travel = chain_slack.slack_through_travel(
        **BIKE, arm_angle=angles, set_angle=-0.35, set_slack=0.05, **DRIVE
    )
    loop = chain.links_for(travel.centre_distance, **DRIVE) * DRIVE["pitch"] + travel.extra
    assert loop == pytest.approx(loop[0], rel=1e-12)


@given(SLACKS, SLACKS)
def test_moving_the_axle_brings_the_slack_wanted(now, wanted):
    """To 3 % of the move: the run's own change of length is left out on purpose."""
    distance = 0.632
    move = chain_slack.axle_movement_for_slack(distance, now, wanted, **DRIVE)
    length = chain.links_for(distance, **DRIVE) * DRIVE["pitch"]
    length += chain_slack.extra_length(chain_slack.run_length(distance, **DRIVE), now)
    run = chain_slack.run_length(distance + move, **DRIVE)
    extra = length - chain.links_for(distance + move, **DRIVE) * DRIVE["pitch"]
    expected = chain_slack.extra_length(run, wanted)
    assert extra == pytest.approx(expected, abs=0.03 * abs(move) + 1e-12)
    assert (move > 0) == (now > wanted) or now == pytest.approx(wanted, rel=1e-9)


def test_run_inside_the_larger_circle_is_nan():
    assert np.isnan(chain_slack.run_length(0.05, **DRIVE))
