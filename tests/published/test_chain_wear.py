"""Elongation of a worn chain: the definition in numbers, and the published limits."""

import numpy as np
import pytest

from explorer.calc.chain import chain_wear


@pytest.mark.parametrize(("share", "length"), [(0.03, 327.03), (0.02, 323.85), (0.01, 320.68)])
def test_20_pitches_of_15_875(share, length):
    """By the definition of elongation, 20 pitches being 317.50 mm; lengths to 0.01 mm.

    327.025 and 320.675 lie on the edge of rounding, hence half a unit and a hair.
    """
    found = chain_wear.length_at_elongation(share, 20, 0.015875) * 1000
    assert found == pytest.approx(length, abs=0.00501)
    # 0.005 mm of 317.50 mm are 1.6e-5 of elongation.
    assert chain_wear.elongation(length / 1000, 20, 0.015875) == pytest.approx(share, abs=1.6e-5)


@pytest.mark.parametrize(
    ("rear", "per_cent"), [(48, 3.0), (60, 3.0), (66, 3.0), (67, 2.985), (70, 2.857)]
)
def test_limit_by_rear_teeth(rear, per_cent):
    """A chain maker's page of technical questions citing ANSI B29.1 and B29.3 (name withheld):
    3 %, or 200 % over the teeth of a sprocket of more than 66; numbers worked out to 0.001 %.
    """
    limit = chain_wear.published_limits(rear)[-1]
    assert limit.lowest == limit.highest
    assert limit.highest * 100 == pytest.approx(per_cent, abs=0.0005)


def test_spread_of_published_limits():
    """1.5 % (a chain maker's maintenance page), 1.5 to 2 % (common practice, no source), 2.5 to
    3 % (a bearing supplier's page), 3 % (a chain maker's page); names withheld."""
    limits = chain_wear.published_limits(48)
    assert [(limit.lowest, limit.highest) for limit in limits] == [
        (0.015, 0.015),
        (0.015, 0.02),
        (0.025, 0.03),
        (0.03, 0.03),
    ]
    assert [limit.source for limit in limits].count("common practice, no source") == 1


def test_no_limit_is_a_default():
    """The manual's limit is the rider's to enter: leaving it out is an error, not a default."""
    with pytest.raises(TypeError, match="limit"):
        chain_wear.wear_used(0.01)
    assert np.isnan(chain_wear.wear_used(0.01, np.nan))
