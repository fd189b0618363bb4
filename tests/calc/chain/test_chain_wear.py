"""Elongation: inverses, uncertainty, and the share of the manual's limit."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.calc.chain import chain_wear

PITCHES = st.integers(min_value=5, max_value=120)
SHARES = st.floats(min_value=0.0, max_value=0.05)


@given(SHARES, PITCHES)
def test_length_and_elongation_are_inverses(share, pitches):
    length = chain_wear.length_at_elongation(share, pitches, 0.0127)
    found = chain_wear.elongation(length, pitches, 0.0127)
    assert found == pytest.approx(share, abs=1e-14)


def test_miscounted_pitches_show_as_negative():
    assert chain_wear.elongation(0.3175, 21, 0.015875) == pytest.approx(-1 / 21)


def test_more_pitches_measure_better():
    few, many = chain_wear.elongation_uncertainty(0.0003, np.array([10, 20]), 0.015875)
    assert few == pytest.approx(2 * many)
    shifted = chain_wear.elongation(0.3175 + 0.0003, 20, 0.015875)
    assert shifted == pytest.approx(many)


def test_wear_used():
    assert chain_wear.wear_used(np.array([0.005, 0.012]), 0.01) == pytest.approx([0.5, 1.2])


@given(st.integers(min_value=20, max_value=120))
def test_published_limits_never_exceed_three_per_cent(rear):
    for limit in chain_wear.published_limits(rear):
        assert 0 < limit.lowest <= limit.highest <= 0.03
        assert limit.source
