"""Dominated set-ups by their definition, compared pair by pair."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from explorer.calc.wants.dominated import NOBODY, dominator


def dominates(satisfied, costs, a, b):
    """The definition, want by want and cost by cost."""
    wants, prices = range(len(satisfied)), range(len(costs))
    as_good = all(satisfied[w][a] >= satisfied[w][b] for w in wants)
    as_cheap = all(costs[c][a] <= costs[c][b] for c in prices)
    better = any(satisfied[w][a] > satisfied[w][b] for w in wants)
    cheaper = any(costs[c][a] < costs[c][b] for c in prices)
    return as_good and as_cheap and (better or cheaper)


# Few different values, so that many are equal.
levels = st.sampled_from([0.0, 0.2, 0.5, 1.0])


@st.composite
def tables(draw):
    count = draw(st.integers(1, 9))
    satisfied = draw(arrays(float, (draw(st.integers(1, 4)), count), elements=levels))
    costs = draw(arrays(float, (draw(st.integers(1, 2)), count), elements=levels))
    eligible = draw(arrays(bool, count))
    return satisfied, costs, eligible


@settings(max_examples=150)
@given(tables())
def test_by_definition(table):
    satisfied, costs, eligible = table
    found = dominator(*table)
    everyone = range(eligible.size)
    for b in everyone:
        who = [a for a in everyone if eligible[a] and dominates(satisfied, costs, a, b)]
        assert (found[b] == NOBODY) == (not who)
        if who:
            assert found[b] in who
            assert found[found[b]] == NOBODY


@settings(max_examples=60)
@given(tables(), st.floats(0.1, 50))
def test_units_of_a_cost_do_not_matter(table, factor):
    satisfied, costs, eligible = table
    np.testing.assert_array_equal(
        dominator(satisfied, costs, eligible), dominator(satisfied, costs * factor, eligible)
    )


def test_equal_set_ups_do_not_dominate_each_other():
    same = np.ones((3, 4))
    assert dominator(same, np.zeros((1, 4)), np.ones(4, bool)).tolist() == [NOBODY] * 4


def test_the_cheaper_of_two_equal_ones_dominates():
    costs = np.array([[20.0, 10.0]])
    assert dominator(np.ones((2, 2)), costs, np.ones(2, bool)).tolist() == [1, NOBODY]


def test_what_cannot_be_built_dominates_nobody():
    satisfied = np.array([[1.0, 0.5, 0.2]])
    found = dominator(satisfied, np.zeros((1, 3)), np.array([False, True, True]))
    assert found.tolist() == [NOBODY, NOBODY, 1]


def test_without_wants_only_cost_counts():
    found = dominator(np.zeros((0, 3)), np.array([[0.0, 3.0, 3.0]]), np.ones(3, bool))
    assert found.tolist() == [NOBODY, 0, 0]
