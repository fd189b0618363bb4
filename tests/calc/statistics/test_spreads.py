"""Standard uncertainties of inputs and the cases built from them."""

import dataclasses

import numpy as np
import pytest

from explorer.calc.example import example_conditions, example_vehicle
from explorer.calc.statistics.sampling import drawn
from explorer.calc.statistics.spreads import (
    ROLLOUT,
    USUAL_SPREADS,
    Spread,
    rollout_spreads,
    standard_uncertainty,
    surface_spreads,
)


def cases(spreads, ratios=(3.0, 3.5), rollout=2.0, vehicle=None):
    vehicle = example_vehicle() if vehicle is None else vehicle
    return drawn(vehicle, example_conditions(), np.array(ratios), rollout, spreads)


def test_standard_deviation_of_a_rectangular_distribution():
    """Against a sample of a million evenly spread values: (b - a)/√12."""
    sample = np.linspace(0.04, 0.08, 1_000_001)
    np.testing.assert_allclose(standard_uncertainty(0.04, 0.08), sample.std(), rtol=1e-5)


def filled(values, low, high):
    """Whether draws lie between two bounds and come near both."""
    near = 0.03 * (high - low)
    return low <= values.min() <= low + near and high - near <= values.max() <= high


def test_order_of_the_cases():
    """As they are, then each input drawn between its bounds, all set-ups alike each time."""
    third = 1 / np.sqrt(3)
    found = cases([Spread("mass", 2 * third, False, ""), Spread(ROLLOUT, third / 100, True, "")])
    draws = found.final_ratio.size // 2
    np.testing.assert_allclose(found.final_ratio, [3.0, 3.5] * draws)
    mass, turn = found.vehicle.mass.reshape(-1, 2), found.rollout.reshape(-1, 2)
    assert mass[0].tolist() == [185, 185] and turn[0].tolist() == [2, 2]
    assert (mass[:, 0] == mass[:, 1]).all() and (turn[:, 0] == turn[:, 1]).all()
    assert filled(mass, 183, 187) and filled(turn, 1.98, 2.02)
    assert found.conditions.grip == example_conditions().grip


def test_set_ups_may_differ():
    vehicle = dataclasses.replace(example_vehicle(), mass=np.array([180.0, 190.0]))
    found = cases(
        [Spread("drag_area", 0.1 / np.sqrt(3), True, "")], vehicle=vehicle, rollout=[2.0, 2.1]
    )
    draws = found.final_ratio.size // 2
    np.testing.assert_allclose(found.vehicle.mass, [180, 190] * draws)
    np.testing.assert_allclose(found.rollout, [2.0, 2.1] * draws)
    assert filled(found.vehicle.drag_area, 0.54, 0.66)


def test_two_spreads_of_one_input_for_two_tyres():
    spreads = rollout_spreads(np.array([True, False]), np.array([0, 1]))
    found = cases(spreads, rollout=np.array([2.0, 2.0])).rollout.reshape(-1, 2)
    assert found[0].tolist() == [2.0, 2.0]
    assert filled(found[:, 0], 1.994, 2.006) and filled(found[:, 1], 1.94, 2.06)
    assert "0.3 %" in spreads[0].reason and "3 %" in spreads[1].reason


def test_one_tyre_is_one_input():
    assert len(rollout_spreads(np.array([True, True]), np.array([4, 4]))) == 1


def test_what_cannot_be_negative_stops_at_zero():
    found = cases([Spread("rolling_coefficient", 0.05, False, "")], ratios=(3.0,))
    rolling = found.conditions.rolling_coefficient
    assert filled(rolling, 0.0, 0.03 + 0.05 * np.sqrt(3)) and (rolling == 0).sum() > 1
    wind = cases([Spread("head_wind", 2.0, False, "")], ratios=(3.0,)).conditions.head_wind
    assert filled(wind, -2 * np.sqrt(3), 2 * np.sqrt(3))


def test_every_usual_spread_says_where_it_comes_from():
    spreads = (*USUAL_SPREADS, *surface_spreads((0.01, 0.015, 0.02), (0.35, 0.6, 0.7)))
    assert all(len(spread.reason) > 10 for spread in spreads)
    cases(spreads)


@pytest.mark.parametrize(
    ("spread", "message"),
    [
        (Spread("colour", 1.0, False, ""), "There is no input called 'colour'"),
        (Spread("gears", 1.0, False, ""), "There is no input called 'gears'"),
        (Spread("mass", -1.0, False, ""), "must be a number of zero or more"),
        (Spread("mass", np.nan, False, ""), "must be a number of zero or more"),
        (Spread("mass", np.inf, False, ""), "must be a number of zero or more"),
        (Spread(ROLLOUT, 0.58, True, ""), "would take it to zero"),
    ],
)
def test_a_spread_that_cannot_be(spread, message):
    with pytest.raises(ValueError, match=message):
        cases([spread])
