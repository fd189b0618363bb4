"""Verdicts: how often they are wrong, and what they call too noisy. Simulated, seed fixed."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.calc.statistics.repeated_runs import Mean, mean_both_ways
from explorer.calc.statistics.verdict import Outcome, change, compare, compare_hill, runs_needed


def trial(rng, truth, predicted, predicted_u, matters):
    """Three runs each way, 0.15 s of scatter; a wind slows one way and helps the other."""
    wind = rng.normal(0.0, 0.3)
    there, back = (truth + sign * wind + rng.normal(0.0, 0.15, 3) for sign in (1, -1))
    measured = mean_both_ways(there, back)
    return compare(Mean(predicted, predicted_u, np.inf), measured, matters).outcome


def test_a_true_prediction_is_seldom_called_wrong():
    rng = np.random.default_rng(6)
    outcomes = [trial(rng, 5.0 + rng.normal(0.0, 0.05), 5.0, 0.05, 0.5) for _ in range(3000)]
    wrong = np.mean([outcome is Outcome.NOT_AS_PREDICTED for outcome in outcomes])
    # 5 % promised; the freedom of few runs is judged from the same few runs, which costs a little.
    assert 0.03 < wrong < 0.065


def test_a_prediction_wrong_by_what_matters_is_never_confirmed():
    """Confirmed means: had it been wrong by what matters, it would have shown."""
    rng = np.random.default_rng(7)
    outcomes = [trial(rng, 5.5, 5.0, 0.0, 0.5) for _ in range(3000)]
    confirmed = np.mean([outcome is Outcome.AS_PREDICTED for outcome in outcomes])
    assert confirmed < 0.05


def test_many_known_parts_give_the_usual_number():
    """E_n = (x - X)/sqrt(U² + U²) with k = 1.96 for both: by definition."""
    verdict = compare(Mean(10.0, 0.3, np.inf), Mean(10.5, 0.4, np.inf), 5.0)
    assert verdict.score == pytest.approx(0.5 / np.hypot(1.959964 * 0.3, 1.959964 * 0.4))


@given(
    predicted=st.floats(-50, 50),
    measured=st.floats(-50, 50),
    u=st.floats(0, 10),
    v=st.floats(0, 10),
    matters=st.floats(0.01, 20),
    correlation=st.floats(-1, 1),
)
def test_every_comparison_has_one_consistent_outcome(
    predicted, measured, u, v, matters, correlation
):
    verdict = compare(Mean(predicted, u, np.inf), Mean(measured, v, 4.0), matters, correlation)
    beyond = abs(verdict.difference) > verdict.expanded
    assert (verdict.outcome is Outcome.NOT_AS_PREDICTED) == beyond
    if verdict.outcome is Outcome.AS_PREDICTED:
        assert verdict.expanded < matters


def test_a_shared_error_cancels_from_a_change():
    before, after = Mean(5.4, 0.1, np.inf), Mean(5.1, 0.1, np.inf)
    assert change(before, after, 0.1).standard_uncertainty == 0.0
    assert change(before, after).standard_uncertainty == pytest.approx(np.sqrt(2) * 0.1)


def test_runs_needed_are_enough_and_not_one_too_many():
    rng = np.random.default_rng(8)
    predicted = Mean(5.0, 0.04, np.inf)
    runs = int(runs_needed(predicted, 0.2, 0.3))

    def usual_width(count):
        widths = [
            compare(
                predicted,
                mean_both_ways(rng.normal(5, 0.2, count), rng.normal(5, 0.2, count)),
                0.3,
            ).expanded
            for _ in range(2000)
        ]
        return np.median(widths)

    assert usual_width(runs) < 0.31
    assert usual_width(max(runs - 2, 2)) > 0.3


@pytest.mark.parametrize(
    ("slope", "held", "outcome"),
    [
        (0.20, True, Outcome.AS_PREDICTED),
        (0.20, False, Outcome.NOT_AS_PREDICTED),
        (0.40, False, Outcome.AS_PREDICTED),
        (0.40, True, Outcome.NOT_AS_PREDICTED),
        (0.30, True, Outcome.TOO_NOISY),
        (0.30, False, Outcome.TOO_NOISY),
    ],
)
def test_hills(slope, held, outcome):
    verdict = compare_hill(Mean(0.30, 0.02, np.inf), Mean(slope, 0.01, np.inf), held)
    assert verdict.outcome is outcome
