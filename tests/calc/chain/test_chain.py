"""Chain length and its inverse: identity, monotony, shapes, and the one rule for bad input."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.calc.chain import length as chain

FRONTS = st.integers(min_value=5, max_value=30)
REARS = st.integers(min_value=5, max_value=90)
PITCHES = st.sampled_from([0.0127, 0.015875, 0.01905])
# Times the distance at which the teeth touch: from almost touching to far beyond a motorcycle.
STRETCH = st.floats(min_value=1.000001, max_value=50.0)


@given(FRONTS, REARS, PITCHES, STRETCH)
def test_inverse_of_forward_is_identity(front, rear, pitch, stretch):
    distance = stretch * chain.touching_distance(pitch, front, rear)
    links = chain.links_for(distance, pitch, front, rear)
    back = chain.centre_distance_for(links, pitch, front, rear)
    assert back == pytest.approx(distance, rel=1e-9)


@given(FRONTS, REARS, PITCHES, STRETCH, st.floats(min_value=1.0001, max_value=1.5))
def test_more_distance_takes_more_links(front, rear, pitch, stretch, further):
    near = stretch * chain.touching_distance(pitch, front, rear)
    links = chain.links_for(np.array([near, near * further]), pitch, front, rear)
    assert links[1] > links[0]


@given(FRONTS, REARS, PITCHES, STRETCH)
def test_front_and_rear_may_change_places(front, rear, pitch, stretch):
    distance = stretch * chain.touching_distance(pitch, front, rear)
    one_way = chain.links_for(distance, pitch, front, rear)
    assert chain.links_for(distance, pitch, rear, front) == pytest.approx(one_way, rel=1e-12)
    wrap = chain.wrap_angle(distance, pitch, front, rear)
    assert 0 < wrap <= np.pi
    assert chain.wrap_angle(distance, pitch, rear, front) == pytest.approx(wrap, rel=1e-12)


def test_equal_sprockets_take_twice_the_distance_and_one_sprocket():
    assert chain.links_for(30.0, 1.0, 14, 14) == pytest.approx(74.0, rel=1e-12)
    assert chain.wrap_angle(30.0, 1.0, 14, 14) == pytest.approx(np.pi, rel=1e-12)


def test_shapes_broadcast():
    fronts, rears = np.arange(12, 16)[:, np.newaxis], np.arange(44, 54)
    links = np.array([110, 112, 114])[:, np.newaxis, np.newaxis]
    distances = chain.centre_distance_for(links, 0.015875, fronts, rears)
    assert distances.shape == (3, 4, 10)
    assert distances[1, 1, 6] == chain.centre_distance_for(112, 0.015875, 13, 50)
    assert np.ndim(chain.centre_distance_for(112, 0.015875, 13, 50)) == 0
    assert chain.links_for(distances, 0.015875, fronts, rears) == pytest.approx(
        np.broadcast_to(links, (3, 4, 10)), rel=1e-12
    )


@pytest.mark.parametrize(
    ("links", "pitch", "front", "rear"),
    [
        (0, 0.015875, 13, 50),
        (-112, 0.015875, 13, 50),
        (40, 0.015875, 13, 50),  # too few to keep the sprockets apart
        (112, 0.0, 13, 50),
        (112, -0.015875, 13, 50),
        (112, 0.015875, 0, 50),
        (112, 0.015875, 13, 2),
        (np.nan, 0.015875, 13, 50),
        (np.inf, 0.015875, 13, 50),
    ],
)
def test_no_such_chain_is_nan(links, pitch, front, rear):
    assert np.isnan(chain.centre_distance_for(links, pitch, front, rear))


@pytest.mark.parametrize(
    ("distance", "pitch", "front", "rear"),
    [
        (0.0, 0.015875, 13, 50),
        (-0.6, 0.015875, 13, 50),
        (0.160, 0.015875, 13, 50),
        (0.6, 0.0, 13, 50),
        (0.6, 0.015875, 2, 50),
        (np.nan, 0.015875, 13, 50),
    ],
)
def test_no_such_distance_is_nan(distance, pitch, front, rear):
    assert np.isnan(chain.links_for(distance, pitch, front, rear))


def test_limit_is_where_the_teeth_touch():
    touching = chain.touching_distance(0.015875, 13, 50)
    assert np.isnan(chain.links_for(touching, 0.015875, 13, 50))
    least = chain.links_for(touching * 1.0001, 0.015875, 13, 50)
    assert np.isnan(chain.centre_distance_for(least - 0.01, 0.015875, 13, 50))
    assert chain.centre_distance_for(least, 0.015875, 13, 50) > touching


def test_one_bad_element_leaves_the_others():
    distances = chain.centre_distance_for(np.array([112, 20, 114]), 0.015875, 13, 50)
    assert list(np.isnan(distances)) == [False, True, False]


def test_wrap_inside_the_larger_circle_is_nan():
    assert np.isnan(chain.wrap_angle(0.05, 0.015875, 13, 50))
    assert np.isnan(chain.wrap_angle(0.0, 0.015875, 13, 50))
