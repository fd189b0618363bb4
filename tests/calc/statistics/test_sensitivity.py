"""Which input matters most, where physics says so."""

import numpy as np

from explorer.calc.example import example_conditions, example_vehicle
from explorer.calc.motion.measures import walking_pull
from explorer.calc.statistics.sensitivity import shares_of_variance
from explorer.calc.statistics.spreads import USUAL_SPREADS, rollout_spreads, surface_spreads
from explorer.calc.statistics.uncertainty import difference, propagate

SPREADS = (
    *USUAL_SPREADS,
    *surface_spreads((0.02, 0.03, 0.04), (0.5, 0.6, 0.7)),
    *rollout_spreads(np.array([True, True]), np.array([0, 0])),
)


def estimates(ratios):
    return propagate(
        example_vehicle(),
        example_conditions(),
        np.array(ratios),
        2.0,
        SPREADS,
        lambda drive, shifts: walking_pull(drive, 1.4),
    )


def shares(estimate):
    return shares_of_variance(
        estimate.contributions[:, 0], estimate.curvatures[:, 0], estimate.correlation
    )


def names(found):
    return [SPREADS[index].input for index in found.order]


def test_rev_limited_top_speed_depends_on_the_rollout_alone():
    top = estimates([5.5, 5.4]).top_speed
    found = shares(top)
    assert names(found)[0] == "rollout"
    np.testing.assert_allclose(found.share, [1, 0, 0, 0, 0, 0], atol=1e-9)


def test_pull_held_back_by_grip_depends_on_grip_most():
    pull = estimates([4.5, 4.4]).value
    found = shares(pull)
    assert names(found)[0] == "grip"
    np.testing.assert_allclose(found.share.sum(), 1.0)
    assert (np.diff(found.share) <= 0).all()


def test_power_and_resistance_decide_a_power_limited_top_speed():
    top = estimates([3.0, 3.1]).top_speed
    found = shares(top)
    assert set(names(found)[:3]) == {"drag_area", "rolling_coefficient", "power_factor"}
    by_name = dict(zip(names(found), found.contribution, strict=True))
    assert by_name["power_factor"] > 0 > by_name["drag_area"]


def test_of_a_difference():
    top = estimates([5.5, 5.4]).top_speed
    change = difference(top, 0, 1)
    assert names(shares_of_variance(*change[2:], top.correlation))[0] == "rollout"


def test_a_result_without_spread():
    found = shares_of_variance(np.zeros(3), np.zeros(3), np.eye(3))
    assert found.share.tolist() == [0.0, 0.0, 0.0]


def test_correlated_shares_add_up_and_may_be_negative():
    correlation = np.array([[1.0, -0.8], [-0.8, 1.0]])
    found = shares_of_variance(np.array([3.0, 1.0]), np.zeros(2), correlation)
    np.testing.assert_allclose(found.share.sum(), 1.0)
    assert found.share[1] < 0
