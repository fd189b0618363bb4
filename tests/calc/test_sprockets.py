"""Sprocket diameters by geometry on the tooth polygon."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.calc import sprockets

PITCH = 0.015875
ROLLER = 0.01016
TEETH = st.integers(min_value=9, max_value=80)


def roller_centres(teeth):
    """Rollers in every tooth gap, at the corners of a polygon whose sides are one pitch."""
    step = 2 * np.pi / teeth
    corners = np.exp(1j * step * np.arange(teeth))
    return corners * PITCH / abs(corners[1] - corners[0])


@given(TEETH)
def test_diameters_by_geometry(teeth):
    centres = roller_centres(teeth)
    assert 2 * abs(centres[0]) == pytest.approx(sprockets.pitch_diameter(PITCH, teeth), rel=1e-12)
    across = abs(centres - centres[0]).max() - ROLLER
    assert across == pytest.approx(sprockets.caliper_diameter(PITCH, teeth, ROLLER), rel=1e-12)


@given(TEETH)
def test_chordal_variation_by_geometry(teeth):
    """The chain is led by the pin that runs on; its lever arm is least half a tooth off the top."""
    angles = np.linspace(-np.pi / teeth, np.pi / teeth, 201)
    lever_arms = np.cos(angles)
    variation = 1 - lever_arms.min() / lever_arms.max()
    assert sprockets.chordal_speed_variation(teeth) == pytest.approx(variation, abs=1e-12)


@given(TEETH)
def test_order_of_the_diameters(teeth):
    root = sprockets.root_diameter(PITCH, teeth, ROLLER)
    assert sprockets.caliper_diameter(PITCH, teeth, ROLLER) <= root
    assert root < sprockets.pitch_diameter(PITCH, teeth) < sprockets.outside_diameter(PITCH, teeth)


def test_broadcasting():
    teeth = np.array([13, 48])
    diameters = sprockets.pitch_diameter(np.array([[0.0127], [PITCH]]), teeth)
    assert diameters.shape == (2, 2)
    assert sprockets.caliper_diameter(PITCH, teeth, ROLLER).shape == (2,)
