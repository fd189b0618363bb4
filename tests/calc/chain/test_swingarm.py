"""The swingarm: the position in line is the tightest, and angles and heights are inverses."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.calc.chain import swingarm

SHAFT_X = st.floats(min_value=-0.150, max_value=-0.030)
SHAFT_Y = st.floats(min_value=-0.040, max_value=0.040)
ARMS = st.floats(min_value=0.350, max_value=0.650)
ANGLES = st.floats(min_value=-0.8, max_value=0.8)


@given(SHAFT_X, SHAFT_Y, ARMS, ANGLES)
def test_in_line_is_the_greatest_distance(shaft_x, shaft_y, arm, angle):
    in_line = swingarm.tightest_angle(shaft_x, shaft_y, -np.pi / 2, np.pi / 2)
    greatest = swingarm.sprocket_distance(shaft_x, shaft_y, arm, in_line)
    assert greatest == pytest.approx(np.hypot(shaft_x, shaft_y) + arm, rel=1e-12)
    assert swingarm.sprocket_distance(shaft_x, shaft_y, arm, angle) <= greatest + 1e-12


@given(SHAFT_X, SHAFT_Y, ARMS, ANGLES, ANGLES)
def test_tightest_angle_within_a_travel(shaft_x, shaft_y, arm, one, other):
    low, high = sorted((one, other))
    tightest = swingarm.tightest_angle(shaft_x, shaft_y, low, high)
    assert low <= tightest <= high
    distances = swingarm.sprocket_distance(shaft_x, shaft_y, arm, np.linspace(low, high, 101))
    there = swingarm.sprocket_distance(shaft_x, shaft_y, arm, tightest)
    assert there >= distances.max() - 1e-12


@given(ARMS, ANGLES)
def test_angle_and_height_are_inverses(arm, angle):
    axle = swingarm.axle_position(arm, angle)
    assert swingarm.arm_angle_at_height(arm, axle.y) == pytest.approx(angle, abs=1e-12)


@given(ARMS, st.floats(min_value=-0.4, max_value=0.0), st.floats(min_value=0.0, max_value=0.2))
def test_travel_is_the_vertical_movement_of_the_axle(arm, hanging, travel):
    after = swingarm.arm_angle_after_travel(arm, hanging, travel)
    rise = swingarm.axle_position(arm, after).y - swingarm.axle_position(arm, hanging).y
    assert rise == pytest.approx(travel, abs=1e-12)


def test_travel_beyond_the_arm_is_nan():
    assert np.isnan(swingarm.arm_angle_after_travel(0.5, 0.0, 0.6))
    assert np.isnan(swingarm.arm_angle_at_height(0.5, -0.51))
