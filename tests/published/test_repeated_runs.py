"""Student's t against the printed table, and the statistics of few runs against scipy.stats.

Table: B. N. Taylor and C. E. Kuyatt, NIST Technical Note 1297, Table B.1, column 95 %.
"""

import numpy as np
import pytest
from scipy import stats

from explorer.calc.statistics.repeated_runs import (
    coverage_factor,
    effective_degrees_of_freedom,
    mean_both_ways,
    mean_of_runs,
)

TABLE_B1 = {
    1: 12.71,
    2: 4.30,
    3: 3.18,
    4: 2.78,
    5: 2.57,
    6: 2.45,
    7: 2.36,
    8: 2.31,
    9: 2.26,
    10: 2.23,
    15: 2.13,
    20: 2.09,
    30: 2.04,
    50: 2.01,
    100: 1.984,
    np.inf: 1.960,
}


@pytest.mark.parametrize(("freedom", "printed"), TABLE_B1.items())
def test_coverage_factor_as_printed(freedom, printed):
    """Tolerance: half of the last printed digit, two decimals, three from 100 on."""
    digit = 0.0005 if freedom >= 100 else 0.005
    assert abs(coverage_factor(freedom) - printed) <= digit * 1.01


@pytest.mark.parametrize(("percent", "printed"), [(90, 2.13), (99, 4.60)])
def test_other_levels_with_four_degrees_of_freedom(percent, printed):
    assert abs(coverage_factor(4, percent / 100) - printed) <= 0.00505


def test_mean_and_interval_as_scipy_gives_them():
    runs = np.array([5.42, 5.31, 5.58])
    mean = mean_of_runs(runs)
    low, high = stats.t.interval(0.95, 2, runs.mean(), stats.sem(runs))
    np.testing.assert_allclose(
        [mean.value - mean.expanded, mean.value + mean.expanded], [low, high]
    )


def test_both_ways_has_the_freedom_of_welch():
    """Half the sum of two means scatters as half their difference: scipy's Welch interval."""
    there, back = np.array([5.9, 6.2, 6.0]), np.array([4.9, 5.6, 5.1, 5.3])
    mean = mean_both_ways(there, back)
    welch = stats.ttest_ind(there, -back, equal_var=False)
    interval = welch.confidence_interval(0.95)
    np.testing.assert_allclose(mean.degrees_of_freedom, welch.df, rtol=1e-12)
    np.testing.assert_allclose(mean.expanded, (interval.high - interval.low) / 4, rtol=1e-9)


def test_equal_parts_add_their_freedom():
    assert effective_degrees_of_freedom([2.0, 2.0, 2.0], [3, 3, 3]) == pytest.approx(9)
    assert effective_degrees_of_freedom([0.0, 0.0], [3, 3]) == np.inf
