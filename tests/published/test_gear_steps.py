"""Gearbox layouts: the named progressions and what they do to speeds and forces.

The progressions are defined in *Hybrid Electric Vehicle System Modeling and Control*, p. 441,
equations 10.20 to 10.23 (its arithmetic difference is printed over n; n - 1 is needed to reach
both end ratios). Numbers derived from those definitions: five gears from 3.0 to 1.0.
"""

import numpy as np
import pytest

from explorer.calc import gearing

ARITHMETIC = np.array([3.0, 2.5, 2.0, 1.5, 1.0])
GEOMETRIC = np.array([3.0, 2.279507, 1.732051, 1.316074, 1.0])
HARMONIC = np.array([3.0, 2.0, 1.5, 1.2, 1.0])
STEP = 1.316074
SIX_DIGITS = 2e-6
"""The ratios above are printed to six decimals; a step is the quotient of two of them."""

PRIMARY, FRONT, REAR, ROLLOUT = 3.2, 13, 48, 2.08
REV_LIMIT = 900.0


def overall(gears):
    return gearing.overall_ratio(PRIMARY, gears, FRONT, REAR)


def test_geometric_layout_has_one_step():
    """Open course euromotor.org, pres3, slide 24: step = spread to the power 1/(gears - 1)."""
    assert gearing.gear_steps(GEOMETRIC) == pytest.approx([STEP] * 4, abs=SIX_DIGITS)
    assert pytest.approx(3.0 ** (1 / 4), abs=5e-7) == STEP


def test_geometric_layout_drops_the_engine_by_the_same_speed_at_each_upshift():
    """Same slide; also "Setting intermediate gear ratios" in a vehicle-technology textbook.

    Computed from road speeds, which stay the same through the upshift.
    """
    ratios = overall(GEOMETRIC)
    speeds = gearing.road_speed(REV_LIMIT, ratios, ROLLOUT)
    after = gearing.engine_speed(speeds[:-1], ratios[1:], ROLLOUT)
    # Six printed decimals of the ratios, times the rev limit.
    assert REV_LIMIT - after == pytest.approx([REV_LIMIT * (1 - 1 / STEP)] * 4, abs=2e-3)


def test_geometric_layout_spreads_the_speeds_toward_the_top():
    """Same slide: the speed difference between gears grows with the gear."""
    speeds = gearing.road_speed(REV_LIMIT, overall(GEOMETRIC), ROLLOUT)
    assert (np.diff(np.diff(speeds)) > 0).all()


def test_harmonic_layout_has_equal_road_speed_steps():
    """Equation 10.23: 1/R grows by a constant."""
    speeds = gearing.road_speed(REV_LIMIT, overall(HARMONIC), ROLLOUT)
    assert np.diff(speeds) == pytest.approx([np.diff(speeds)[0]] * 4, rel=1e-12)


def test_arithmetic_layout_has_growing_steps():
    """Equation 10.20: R falls by a constant, so the quotient grows toward the top gear."""
    steps = gearing.gear_steps(ARITHMETIC)
    assert steps == pytest.approx([1.2, 1.25, 4 / 3, 1.5], rel=1e-12)
    assert (np.diff(steps) > 0).all()


def test_progressive_layout_has_shrinking_steps():
    """Open course euromotor.org names the layout; that its steps shrink is common practice."""
    assert (np.diff(gearing.gear_steps(HARMONIC)) < 0).all()


@pytest.mark.parametrize("gears", [ARITHMETIC, GEOMETRIC, HARMONIC])
def test_sprockets_change_no_step(gears):
    """A step is a quotient of overall ratios, in which the final drive cancels."""
    for front, rear in [(12, 52), (15, 40)]:
        ratios = gearing.overall_ratio(PRIMARY, gears, front, rear)
        assert gearing.gear_steps(ratios) == pytest.approx(gearing.gear_steps(gears), rel=1e-12)
