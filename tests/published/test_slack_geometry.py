"""Geometry of slack and swingarm: figures worked out outside this project from the law of cosines
and the theorem of Pythagoras, to the digits given."""

import numpy as np
import pytest

from explorer.calc.chain import chain_slack, swingarm


@pytest.mark.parametrize(
    ("degrees", "distance"),
    [(0, 640.000), (10, 638.936), (20, 635.764), (30, 630.552), (40, 623.408)],
)
@pytest.mark.parametrize("shaft_direction", [180.0, 175.0, 200.0])
def test_law_of_cosines(degrees, distance, shaft_direction):
    """Output shaft 80 mm from the pivot, swingarm 560 mm; degrees out of line. To 0.001 mm,
    whichever way the line through shaft and pivot points."""
    shaft = 0.080 * np.exp(1j * np.radians(shaft_direction))
    in_line = np.radians(shaft_direction - 180)
    for side in (1, -1):
        found = swingarm.sprocket_distance(
            shaft.real, shaft.imag, 0.560, in_line + side * np.radians(degrees)
        )
        assert found * 1000 == pytest.approx(distance, abs=0.0005)


@pytest.mark.parametrize(
    ("deflection", "extra"), [(10, 0.3332), (17.5, 1.0200), (20, 1.3319), (25, 2.0797)]
)
def test_extra_length_of_a_run_of_600(deflection, extra):
    """A straight run of 600 mm pushed aside at its middle; mm, to 0.0001 mm. The slack a rider
    measures, up and down, is twice the deflection."""
    found = chain_slack.extra_length(0.600, 2 * deflection / 1000)
    assert found * 1000 == pytest.approx(extra, abs=0.00005)
    back = chain_slack.slack_from_extra_length(0.600, found)
    assert back * 1000 == pytest.approx(2 * deflection, rel=1e-12)
    # The textbook approximation 2 h²/S is 0.2 % off at most here.
    assert 2 * deflection**2 / 600 == pytest.approx(extra, rel=0.002)


def test_setting_the_chain_where_the_sprockets_are_furthest_apart():
    """The method of a trade article, "Perfect drive chain slack adjustment" (2019): almost no
    slack at the greatest sprocket distance, then read it in the normal position. By it the slack
    at rest is larger than at the tightest place, and no position in the travel has less."""
    angles = np.radians(np.linspace(-20, 12, 65))
    tight = swingarm.tightest_angle(-0.080, 0.010, angles[0], angles[-1])
    travel = chain_slack.slack_through_travel(
        -0.080, 0.010, 0.560, angles, tight, 0.006, 0.015875, 13, 48
    )
    assert np.all(travel.slack >= 0.006 - 1e-9)
    assert travel.slack[0] > 0.006
