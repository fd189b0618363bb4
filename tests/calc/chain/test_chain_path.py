"""The drawing's lines: true tangents, the right length, and the run's gap to a round part."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.calc.chain import chain_path, chain_slack, swingarm
from explorer.calc.chain.swingarm import Point
from explorer.calc.sprockets import pitch_diameter

PITCH = 0.015875
SHAFT = Point(-0.080, 0.012)
FRONTS = st.integers(min_value=10, max_value=17)
REARS = st.integers(min_value=30, max_value=60)
ANGLES = st.floats(min_value=-0.6, max_value=0.6)


@given(FRONTS, REARS, ANGLES)
def test_runs_are_common_tangents(front, rear, angle):
    axle = swingarm.axle_position(0.56, angle)
    runs = chain_path.straight_runs(SHAFT, axle, PITCH, front, rear)
    for run, normal in ((runs.upper, runs.upper_normal), (runs.lower, runs.lower_normal)):
        assert np.hypot(normal.x, normal.y) == pytest.approx(1.0, rel=1e-12)
        along = np.array([run.x[1] - run.x[0], run.y[1] - run.y[0]])
        expected = chain_slack.run_length(
            np.hypot(axle.x - SHAFT.x, axle.y - SHAFT.y), PITCH, front, rear
        )
        assert np.hypot(*along) == pytest.approx(expected, rel=1e-12)
        for end, centre, teeth in ((0, SHAFT, front), (1, axle, rear)):
            spoke = np.array([run.x[end] - centre.x, run.y[end] - centre.y])
            assert np.hypot(*spoke) == pytest.approx(pitch_diameter(PITCH, teeth) / 2, rel=1e-12)
            assert spoke @ along == pytest.approx(0.0, abs=1e-15)
    assert np.all(runs.upper.y > runs.lower.y)


def test_runs_over_a_whole_travel_at_once():
    axle = swingarm.axle_position(0.56, np.linspace(-0.4, 0.3, 25))
    runs = chain_path.straight_runs(SHAFT, axle, PITCH, 13, 48)
    assert runs.upper.x.shape == (25, 2)
    one = chain_path.straight_runs(SHAFT, Point(axle.x[7], axle.y[7]), PITCH, 13, 48)
    assert runs.lower.y[7] == pytest.approx(one.lower.y, rel=1e-12)


def test_no_room_for_a_run_is_nan():
    runs = chain_path.straight_runs(Point(0.0, 0.0), Point(0.02, 0.0), PITCH, 13, 48)
    assert np.all(np.isnan(runs.upper.x))
    runs = chain_path.straight_runs(Point(0.0, 0.0), Point(0.0, 0.0), PITCH, 13, 48)
    assert np.all(np.isnan(runs.upper.x))


@given(FRONTS, REARS, ANGLES)
def test_gap_against_many_points_of_the_run(front, rear, angle):
    """The least distance of 20 001 points along the run, for a part beside the run's middle."""
    axle = swingarm.axle_position(0.56, angle)
    runs = chain_path.straight_runs(SHAFT, axle, PITCH, front, rear)
    share = np.linspace(0, 1, 20001)
    for run, normal in ((runs.upper, runs.upper_normal), (runs.lower, runs.lower_normal)):
        middle = Point(run.x.mean(), run.y.mean())
        part = Point(middle.x - 0.05 * normal.x, middle.y - 0.05 * normal.y)
        x = run.x[0] + share * (run.x[1] - run.x[0])
        y = run.y[0] + share * (run.y[1] - run.y[0])
        nearest = np.hypot(x - part.x, y - part.y).min()
        gap = chain_path.run_clearance(run, normal, part, 0.030, 0.015)
        assert gap == pytest.approx(nearest - 0.030 - 0.0075, abs=1e-9)
        through = chain_path.run_clearance(run, normal, middle, 0.030, 0.015)
        assert through == pytest.approx(-0.0375, abs=1e-9)


def test_smaller_front_sprocket_comes_closer_to_the_slider():
    axle = swingarm.axle_position(0.56, np.radians(-12.0))
    runs = chain_path.straight_runs(SHAFT, axle, PITCH, np.arange(11, 17), 48)
    pivot = Point(0.0, 0.0)
    for run, normal in ((runs.upper, runs.upper_normal), (runs.lower, runs.lower_normal)):
        gaps = chain_path.run_clearance(run, normal, pivot, 0.025, 0.015)
        assert np.all(np.diff(gaps) > 0)


@given(FRONTS, REARS, ANGLES)
def test_outline_closes_and_has_the_length_of_the_belt(front, rear, angle):
    """A belt on the pitch circles: arcs of circles and two tangents, 1 part in 10 000 for the
    polygon of 400 points."""
    axle = swingarm.axle_position(0.56, angle)
    line = chain_path.outline(SHAFT, axle, PITCH, front, rear, points=400)
    assert (line.x[0], line.y[0]) == (line.x[-1], line.y[-1])
    distance = np.hypot(axle.x - SHAFT.x, axle.y - SHAFT.y)
    small, large = pitch_diameter(PITCH, front) / 2, pitch_diameter(PITCH, rear) / 2
    slope = np.arcsin((large - small) / distance)
    belt = 2 * distance * np.cos(slope) + small * (np.pi - 2 * slope) + large * (np.pi + 2 * slope)
    length = np.hypot(np.diff(line.x), np.diff(line.y)).sum()
    assert length == pytest.approx(belt, rel=1e-4)


def test_hanging_run_has_its_extra_length():
    """The drawn parabola is longer than its chord by what it was made from; the series leaves
    out the next term, below 1 % for this sag."""
    span, extra = 0.60, 0.0015
    sag = chain_path.hanging_sag(span, extra)
    x = np.linspace(0, span, 20001)
    y = 4 * sag * x / span * (1 - x / span)
    length = np.hypot(np.diff(x), np.diff(y)).sum()
    assert length - span == pytest.approx(extra, rel=0.01)
    assert chain_path.hanging_sag(span, -0.001) == 0


def test_sag_hangs_below_the_lower_run():
    axle = swingarm.axle_position(0.56, -0.2)
    taut = chain_path.outline(SHAFT, axle, PITCH, 13, 48, points=41)
    slack = chain_path.outline(SHAFT, axle, PITCH, 13, 48, sag=0.02, points=41)
    moved = np.hypot(slack.x - taut.x, slack.y - taut.y)
    assert moved.max() == pytest.approx(0.02)
    assert moved.argmax() == 2 * 41 + 20
    assert slack.y[moved.argmax()] < taut.y[moved.argmax()]
