"""Sampled intervals against closed forms, and what set-ups of one motorcycle share."""

from functools import partial

import numpy as np

from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.top_speed import top_speed
from explorer.calc.example import example_conditions, example_vehicle
from explorer.calc.motion.measures import time_over_distance, time_to_speed
from explorer.calc.motion.shift_points import shift_points
from explorer.calc.statistics.sampling import Sampled, drawn
from explorer.calc.statistics.spreads import (
    USUAL_SPREADS,
    Spread,
    rollout_spreads,
    surface_spreads,
)
from tests.calc.simple_vehicles import constant_power

RATIOS = np.array([48 / 14, 50 / 14])
SPREADS = (
    *USUAL_SPREADS,
    *surface_spreads((0.02, 0.03, 0.04), (0.5, 0.6, 0.7)),
    *rollout_spreads(np.array([True, True]), np.array([0, 0])),
)


def sampled(measure, ratios=RATIOS, spreads=SPREADS):
    drive = Drive(*drawn(example_vehicle(), example_conditions(), ratios, 2.0, spreads))
    return Sampled.of(measure(drive, shift_points(drive, top_speed(drive))), ratios.size)


def top(drive, shifts):
    return top_speed(drive).speed


def test_power_against_drag():
    """0.5 rho CdA v³ = P with P evenly within ±12 %: v lies between ∛0.886 and ∛1.114 of itself
    in 95 of 100 draws."""
    drive = constant_power(15e3, 200.0, drag=0.5 * 1.225 * 0.6)
    power = Spread("power_factor", 0.12 / np.sqrt(3), True, "")
    cases = Drive(*drawn(drive.vehicle, drive.conditions, np.ones(1), 2 * np.pi, [power]))
    found = Sampled.of(top_speed(cases).speed, 1)
    low, high = found.value - found.band.below, found.value + found.band.above
    np.testing.assert_allclose(low / found.value, 0.886 ** (1 / 3), rtol=2e-3)
    np.testing.assert_allclose(high / found.value, 1.114 ** (1 / 3), rtol=2e-3)


def test_rev_limited_top_speed_knows_only_the_rollout():
    """v = ω U/(2π i), U evenly within ±0.3 %."""
    found = sampled(top, np.array([5.5, 5.4]))
    for side in found.band:
        np.testing.assert_allclose(side / found.value, 0.95 * 0.003, rtol=0.05)


def test_another_tyre_shares_no_error():
    """Two measured tyres: a sum of two even errors of ±0.3 %, a triangle, of which 95 % lie within
    2 × 0.3 % × (1 - √0.05)."""
    spreads = rollout_spreads(np.array([True, True]), np.array([0, 1]))
    found = sampled(top, np.array([5.5, 5.5]), spreads)
    band = found.change(0, 1).band
    expected = 2 * 0.003 * (1 - np.sqrt(0.05))
    np.testing.assert_allclose(np.array(band) / found.value[0], expected, rtol=0.12)


def test_the_difference_is_surer_than_the_levels():
    found = sampled(partial(time_over_distance, distance=100.0))
    assert found.change(0, 1).band.widest < min(found.band.widest) / 5
    same = sampled(partial(time_over_distance, distance=100.0), np.array([3.4, 3.4]))
    assert same.change(0, 1).value == 0 and same.change(0, 1).band.widest == 0


def test_a_speed_that_is_just_reached_may_not_be():
    least = sampled(top).value.min()
    found = sampled(partial(time_to_speed, speed=0.995 * least))
    assert np.isfinite(found.value).all() and found.may_fail.any()
    assert np.isfinite(found.band.widest).all()


def test_a_speed_out_of_reach_has_no_value_and_no_band():
    found = sampled(partial(time_to_speed, speed=90.0))
    assert np.isnan(found.value).all() and not found.may_fail.any()
    assert np.isnan(found.change(0, 1).value)
