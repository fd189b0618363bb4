"""Ratios, speeds and the worth of a tooth against published figures and definitions."""

import numpy as np
import pytest

from explorer.calc import gearing


@pytest.mark.parametrize(("front", "rear", "ratio"), [(14, 49, 3.5), (14, 51, 3.64)])
def test_final_ratio(front, rear, ratio):
    """Hobby article on off-road machines (basicplanet); printed to two decimals."""
    assert gearing.final_ratio(front, rear) == pytest.approx(ratio, abs=0.005)


# front, rear: rear teeth for one front tooth fewer and one more, then the change of the ratio
# by one front tooth fewer and by one rear tooth more, in per cent. Derived from the definition.
EQUIVALENCE = {
    (13, 50): (4.1667, 3.5714, 8.3333, 2.0000),
    (13, 48): (4.0000, 3.4286, 8.3333, 2.0833),
    (14, 49): (3.7692, 3.2667, 7.6923, 2.0408),
    (15, 45): (3.2143, 2.8125, 7.1429, 2.2222),
}


@pytest.mark.parametrize(("front", "rear"), EQUIVALENCE)
def test_front_and_rear_teeth_derived_from_the_definition(front, rear):
    fewer, more, per_front, per_rear = EQUIVALENCE[front, rear]
    assert gearing.rear_teeth_per_front_tooth(front, rear) == pytest.approx((fewer, more), abs=5e-5)
    ratio = gearing.final_ratio(front, rear)
    smaller_front = gearing.final_ratio(front - 1, rear)
    larger_rear = gearing.final_ratio(front, rear + 1)
    assert 100 * gearing.pull_change(ratio, smaller_front) == pytest.approx(per_front, abs=5e-5)
    assert 100 * gearing.pull_change(ratio, larger_rear) == pytest.approx(per_rear, abs=5e-5)


@pytest.mark.parametrize("front", range(10, 18))
@pytest.mark.parametrize("rear", [38, 45, 52])
def test_a_front_tooth_acts_more_strongly_than_a_rear_tooth(front, rear):
    """American Motorcyclist Association magazine, on sprocket changes."""
    ratio = gearing.final_ratio(front, rear)
    by_front = abs(gearing.pull_change(ratio, gearing.final_ratio(front + 1, rear)))
    by_rear = abs(gearing.pull_change(ratio, gearing.final_ratio(front, rear + 1)))
    assert by_front > by_rear


@pytest.mark.parametrize(("front", "rear"), EQUIVALENCE)
def test_one_front_tooth_is_worth_three_to_four_rear_teeth(front, rear):
    """Common practice, no source."""
    worth = gearing.rear_teeth_per_front_tooth(front, rear)
    assert [round(teeth) in (3, 4) for teeth in worth] == [True, True]


def test_speed_in_the_units_of_the_workshop():
    """v [km/h] = n [rpm] x U [m] x 0.06 / i: the definition of the units."""
    rpm, rollout, overall = 7350.0, 2.081, 18.4
    speed = gearing.road_speed(rpm * np.pi / 30, overall, rollout)
    assert speed * 3.6 == pytest.approx(rpm * rollout * 0.06 / overall, rel=1e-12)
