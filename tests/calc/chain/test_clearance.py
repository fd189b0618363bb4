"""Gaps: signs, and the measured case distance against the change of teeth."""

import numpy as np
import pytest

from explorer.calc.chain import clearance
from explorer.calc.sprockets import outside_diameter, pitch_diameter

PITCH = 0.015875


def test_plates_or_teeth_whichever_stands_out():
    teeth = np.arange(11, 17)
    with_plates = clearance.outermost_radius(PITCH, teeth, 0.015)
    assert with_plates == pytest.approx((pitch_diameter(PITCH, teeth) + 0.015) / 2)
    bare = clearance.outermost_radius(PITCH, teeth, 0.0)
    assert bare == pytest.approx(outside_diameter(PITCH, teeth) / 2)


def test_gap_from_the_shaft_and_gap_from_the_gap_agree():
    gaps = clearance.case_gap(0.045, PITCH, np.array([13, 14]), 0.015)
    after = clearance.gap_after_teeth(gaps[0], PITCH, 13, 14)
    assert after == pytest.approx(gaps[1], rel=1e-12)


def test_one_front_tooth_takes_about_a_sixth_of_a_pitch():
    """The pitch radius grows by p / 2 pi with each tooth; 1 % more at 13 teeth."""
    lost = 0.010 - clearance.gap_after_teeth(0.010, PITCH, 13, 14)
    assert lost == pytest.approx(PITCH / (2 * np.pi), rel=0.01)


def test_axle_movement_opens_what_is_ahead_only():
    ahead, below = clearance.gap_after_teeth(
        0.010, PITCH, 48, 48, 0.005, np.array([0.0, np.pi / 2])
    )
    assert ahead == pytest.approx(0.015)
    assert below == pytest.approx(0.010)


def test_axle_forward_closes_the_tyre_gap():
    assert clearance.tyre_gap(0.012, -0.015) == pytest.approx(-0.003)
    assert clearance.tyre_gap(0.012, 0.005, 0.004) == pytest.approx(0.013)
