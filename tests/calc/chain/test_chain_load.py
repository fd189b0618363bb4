"""Chain load: power through the chain, and which tooth meets which link, by counting."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.calc.chain import chain_load
from explorer.calc.sprockets import pitch_diameter

PITCH = 0.015875
TEETH = st.integers(min_value=9, max_value=60)
LINKS = st.integers(min_value=60, max_value=140)


def test_tension_has_the_torque_of_the_pull():
    force = chain_load.tension(800.0, 2.05, PITCH, 48)
    assert force * pitch_diameter(PITCH, 48) / 2 == pytest.approx(800.0 * 2.05 / (2 * np.pi))


@given(TEETH, st.floats(min_value=0.1, max_value=50.0), st.floats(min_value=1.0, max_value=2.5))
def test_power_at_the_tyre_is_power_in_the_chain(rear, road_speed, rollout):
    """To the difference of pitch circle and polygon, (pi/z)²/6: 2 % at 9 teeth."""
    force = chain_load.tension(500.0, rollout, PITCH, rear)
    speed = chain_load.chain_speed_on_road(road_speed, rollout, PITCH, rear)
    assert force * speed == pytest.approx(500.0 * road_speed, rel=(np.pi / rear) ** 2 / 6 * 1.1)


@given(TEETH, TEETH)
def test_chain_has_one_speed_on_both_sprockets(front, rear):
    wheel = 30.0
    on_rear = chain_load.chain_speed(wheel, PITCH, rear)
    on_front = chain_load.chain_speed(wheel * rear / front, PITCH, front)
    assert on_front == pytest.approx(on_rear, rel=1e-12)
    on_road = chain_load.chain_speed_on_road(wheel * 2.0 / (2 * np.pi), 2.0, PITCH, rear)
    assert on_road == pytest.approx(on_rear, rel=1e-12)


def test_articulation_is_the_corner_of_the_polygon():
    angle = chain_load.articulation_angle(13)
    pins = pitch_diameter(PITCH, 13) / 2 * np.exp(1j * angle * np.arange(3))
    links = np.diff(pins)
    assert np.abs(links) == pytest.approx(PITCH, rel=1e-12)
    assert np.angle(links[1] / links[0]) == pytest.approx(angle)


def test_articulation_over_a_kilometre():
    """One turn of the wheel carries 48 joints of 112 on and off each sprocket."""
    turns_of_wheel = 1000 / 2.0
    per_wheel_turn = 48 / 112 * (2 * 2 * np.pi / 13 + 2 * 2 * np.pi / 48)
    found = chain_load.articulation_per_kilometre(13, 48, 112, 2.0)
    assert found == pytest.approx(turns_of_wheel * per_wheel_turn)


@given(TEETH, LINKS)
def test_repeat_by_turning_the_sprocket_tooth_by_tooth(teeth, links):
    passed = 1
    while passed % teeth or passed % links:
        passed += 1
    assert chain_load.chain_turns_before_repeat(teeth, links) * links == passed
    assert chain_load.sprocket_turns_before_repeat(teeth, links) * teeth == passed


@given(TEETH, LINKS)
def test_kinds_of_link_a_tooth_meets(teeth, links):
    met = {teeth * turn % links % 2 for turn in range(2 * links)}
    assert chain_load.every_tooth_meets_both_plates(teeth, links) == (len(met) == 2)
