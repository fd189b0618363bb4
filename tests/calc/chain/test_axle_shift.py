"""Stance after the axle has moved: against positions, slopes and moments."""

import numpy as np
import pytest

from explorer.calc.chain import axle_shift, swingarm

ARM, ANGLE, WHEELBASE = 0.560, np.radians(-14.0), 1.430
"""An invented motorcycle."""
RADIUS, RAKE, OFFSET = 0.345, np.radians(27.0), 0.022


@pytest.mark.parametrize("movement", [-0.015, 0.0, 0.008, 0.020])
def test_against_the_axle_s_place_in_the_frame(movement):
    """The axle moves along the arm, which keeps its angle: the positions agree to rounding."""
    before, after = (swingarm.axle_position(ARM + m, ANGLE) for m in (0.0, movement))
    assert axle_shift.wheelbase_change(movement, ANGLE) == pytest.approx(
        after.x - before.x, abs=1e-15
    )
    # With the axle kept at its height, the frame rises by what the axle went down.
    assert axle_shift.rear_height_change(movement, ANGLE) == pytest.approx(
        before.y - after.y, abs=1e-15
    )


def test_axle_back_shortens_trail_where_the_arm_droops():
    change = axle_shift.trail_change(0.010, ANGLE, WHEELBASE, RADIUS, RAKE, OFFSET)
    rise = -0.010 * np.sin(ANGLE)
    slope = (
        axle_shift.trail(RADIUS, RAKE + 1e-6, OFFSET)
        - axle_shift.trail(RADIUS, RAKE - 1e-6, OFFSET)
    ) / 2e-6
    assert change == pytest.approx(-slope * rise / WHEELBASE, rel=0.005)
    assert change < 0
    level = axle_shift.trail_change(0.010, 0.0, WHEELBASE, RADIUS, RAKE, OFFSET)
    assert level == 0


def test_trail_of_an_upright_fork_is_its_offset_behind():
    assert axle_shift.trail(RADIUS, 0.0, OFFSET) == pytest.approx(-OFFSET)


def test_longer_wheelbase_loads_the_front():
    """Moments about the rear contact: front load times wheelbase = weight times distance."""
    shares = axle_shift.front_load_share(WHEELBASE, 0.75, np.array([0.0, 0.020]))
    assert shares[1] > shares[0]
    assert shares[1] * (WHEELBASE + 0.020) == pytest.approx(WHEELBASE + 0.020 - 0.75)
