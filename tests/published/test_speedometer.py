"""The speedometer inequality of UN Regulation No. 39, paragraph 5.3, read second-hand.

V1 indicated, V2 true: 0 <= V1 - V2 <= 0.1 V2 + 4 km/h.
"""

import numpy as np
import pytest

from explorer.calc.drivetrain import speedometer

KMH = 1 / 3.6


@pytest.mark.parametrize(
    ("true", "largest"),
    [
        (40, 48),  # worked out from the inequality
        (50, 59),  # news item citing the regulation
        (80, 92),  # two owners' forums
        (90, 103),  # news item
        (110, 125),  # news item
        (120, 136),  # worked out
    ],
)
def test_largest_indicated_speed(true, largest):
    """Whole km/h, and exact: every figure is a whole number by the formula too."""
    found = speedometer.largest_indicated(true * KMH)
    assert found / KMH == pytest.approx(largest, abs=1e-9)
    assert speedometer.within_r39(largest * KMH, true * KMH)
    assert not speedometer.within_r39((largest + 0.01) * KMH, true * KMH)


@pytest.mark.parametrize(("true", "largest"), [(40, 52), (80, 96), (120, 140)])
def test_looser_bound_quoted_by_forums(true, largest):
    """0.1 V2 + 8 km/h, as two owners' forums quote it for motorcycles; not seen in the text of
    the regulation. The calculation has it as a quoted figure only, never as its default."""
    allowance = speedometer.QUOTED_LOOSER_ALLOWANCE
    found = speedometer.largest_indicated(true * KMH, allowance)
    assert found / KMH == pytest.approx(largest, abs=1e-9)
    assert not speedometer.within_r39(largest * KMH, true * KMH)


def test_must_not_under_read():
    """The same inequality; also Finnish decree 1188/2000 section 148a for mopeds: not below the
    true speed, at most 10 % + 4 km/h above."""
    true = np.array([40.0, 80.0, 120.0]) * KMH
    assert np.all(speedometer.within_r39(true, true))
    assert not np.any(speedometer.within_r39(true - 0.01 * KMH, true))


def test_100_true_may_show_114():
    """Australian practice as quoted: 100 true shows 100 to 114."""
    assert speedometer.largest_indicated(100 * KMH) / KMH == pytest.approx(114, abs=1e-9)
