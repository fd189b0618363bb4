"""Bands for all pairs against propagating every pair in full."""

from functools import partial

import numpy as np
import pytest

from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.top_speed import top_speed
from explorer.calc.example import example_conditions, example_vehicle
from explorer.calc.motion.measures import (
    roll_on,
    steepest_slope_by_gear,
    time_over_distance,
    time_to_speed,
    walking_pull,
)
from explorer.calc.statistics.pair_bands import (
    interpolated_uncertainty,
    ratio_nodes,
    top_speed_estimate,
)
from explorer.calc.statistics.spreads import USUAL_SPREADS, rollout_spreads, surface_spreads
from explorer.calc.statistics.uncertainty import propagate

FRONTS, REARS = np.arange(11, 19), np.arange(36, 67)
PAIRS = (REARS / FRONTS[:, np.newaxis]).ravel()
BIKE = example_vehicle(), example_conditions()


def spreads(measured):
    return (
        *USUAL_SPREADS,
        *surface_spreads((0.02, 0.03, 0.04), (0.5, 0.6, 0.7)),
        *rollout_spreads(np.array([measured]), np.array([0])),
    )


@pytest.mark.parametrize("measured", [True, False])
def test_top_speed_of_every_pair(measured):
    """Newton's steps against the full search in every varied case; bisection leaves 3e-4 m/s."""
    whole = propagate(
        *BIKE, PAIRS, 2.0, spreads(measured), lambda drive, shifts: walking_pull(drive, 1.4)
    ).top_speed
    known = top_speed(Drive(*BIKE, PAIRS, 2.0)).by_gear
    quick = top_speed_estimate(*BIKE, PAIRS, 2.0, spreads(measured), known)
    np.testing.assert_allclose(quick.value, whole.value, atol=5e-4)
    np.testing.assert_allclose(quick.standard_uncertainty, whole.standard_uncertainty, rtol=5e-3)


def test_a_bike_that_holds_no_speed():
    none = np.zeros((PAIRS.size, 5))
    quick = top_speed_estimate(*BIKE, PAIRS, 2.0, spreads(True), none)
    assert (quick.value == 0).all()
    assert (quick.standard_uncertainty == 0).all()


@pytest.mark.parametrize("measured", [True, False])
@pytest.mark.parametrize(
    "measure",
    [
        partial(time_to_speed, speed=50 / 3.6),
        partial(time_over_distance, distance=100.0),
        lambda drive, shifts: walking_pull(drive, 1.4),
        partial(roll_on, from_speed=6.0, to_speed=12.0, gear=1),
        lambda drive, shifts: steepest_slope_by_gear(drive).max(axis=1),
    ],
)
def test_interpolated_bands(measure, measured):
    """What interpolation costs, as a share of the band: half of the pairs within 3 %, nine of ten
    within 12 %, the worst, next to a change of the number of shifts or of the limit, 30 %."""
    whole = propagate(*BIKE, PAIRS, 2.0, spreads(measured), measure).value.standard_uncertainty
    nodes = ratio_nodes(PAIRS)
    at_nodes = propagate(*BIKE, nodes, 2.0, spreads(measured), measure).value
    bands = interpolated_uncertainty(nodes, at_nodes.standard_uncertainty, PAIRS)
    assert np.isfinite(bands).all()
    reached = np.isfinite(whole)
    off = np.abs(bands[reached] / whole[reached] - 1)
    assert np.median(off) < 0.03
    assert np.quantile(off, 0.9) < 0.12
    assert off.max() < 0.30


def test_no_band_where_no_node_reaches_the_measure():
    nodes = ratio_nodes(PAIRS)
    nowhere = interpolated_uncertainty(nodes, np.full(nodes.size, np.nan), PAIRS)
    assert np.isnan(nowhere).all()
