"""Calibration with a wrong mass: three plans of runs, three ways of being wrong, three values.

Power and drag follow the mass. A half-width h that holds in 90 of 100 rides which are always off
by the limit a, beside noise of standard deviation n, is a + 1.28 n; where the mass is off by
anything up to a, the same h holds in 1 - 0.047 n/a of them (the normal law, integrated), and for
two runs of each kind each way n/a is 0.36: 98.3 of 100. So no interval keeps all 27 cases within
90 and 98 %. Ours is held to come as near as any, within what chance does to so many rides.
"""

import numpy as np
import pytest

from tests.bench.bench_mass import PLANS, Held, coverage, fits

LOWEST, HIGHEST = 0.90, 0.98


def outside(held: Held) -> float:
    """By how much a share lies outside."""
    return max(LOWEST - held.share, held.share - HIGHEST, 0.0)


@pytest.mark.parametrize(
    ("count", "errors"), [(30, 3), pytest.param(400, 2, marks=pytest.mark.long)]
)
def test_the_stated_intervals_hold_in_all_27_cases(count, errors):
    """Rides a plan, and how many standard errors of its share each case may lie outside."""
    found = {name: fits(plan, seed, count) for seed, (name, plan) in enumerate(PLANS.items())}
    cases = {
        (name, *case): held for name, each in found.items() for case, held in coverage(each).items()
    }
    assert len(cases) == 27
    far = {case: held for case, held in cases.items() if outside(held) > errors * held.error}
    assert not far

    def worst(wider):
        return max(
            outside(held) for each in found.values() for held in coverage(each, wider).values()
        )

    # Neither wider nor narrower intervals would do better by more than chance.
    chance = max(held.error for held in cases.values())
    assert worst(1.0) <= min(map(worst, np.linspace(0.9, 1.2, 13))) + errors * chance / 2


def test_other_errors_of_the_mass_follow_from_the_same_rides():
    """What a fit with the mass right gives is what the linear shift says."""
    off, right = (fits(PLANS["one of each"], 4, 8, share) for share in (0.05, 0.0))
    assert (np.abs(off.error - right.error) / right.half).max() < 0.15


def test_with_the_mass_taken_for_weighed_the_interval_is_far_too_narrow():
    weighed = fits(PLANS["one of each"], 21, 20, known=1.2)
    assert coverage(weighed)["always 5 %", "power"].share < 0.8
