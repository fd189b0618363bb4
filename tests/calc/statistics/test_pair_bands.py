"""Bands for all pairs against drawing every pair in full."""

from functools import partial

import numpy as np
import pytest

from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.launch import slowest_clutch_out_speed
from explorer.calc.drivetrain.top_speed import top_speed
from explorer.calc.example import example_conditions, example_vehicle
from explorer.calc.motion.measures import (
    roll_on,
    steepest_slope_by_gear,
    time_over_distance,
    time_to_speed,
    walking_pull,
)
from explorer.calc.motion.shift_points import shift_points
from explorer.calc.statistics.pair_bands import interpolated_band, ratio_nodes
from explorer.calc.statistics.sampling import Sampled, drawn
from explorer.calc.statistics.spreads import USUAL_SPREADS, rollout_spreads, surface_spreads

FRONTS, REARS = np.arange(11, 19, 2), np.arange(36, 67, 3)
PAIRS = np.sort((REARS / FRONTS[:, np.newaxis]).ravel())
BIKE = example_vehicle(), example_conditions()


def sampled(measure, ratios, measured=True):
    spreads = (
        *USUAL_SPREADS,
        *surface_spreads((0.02, 0.03, 0.04), (0.5, 0.6, 0.7)),
        *rollout_spreads(np.array([measured]), np.array([0])),
    )
    drive = Drive(*drawn(*BIKE, ratios, 2.0, spreads))
    top = top_speed(drive)
    values = top.speed if measure is None else measure(drive, shift_points(drive, top))
    return Sampled.of(values, ratios.size)


@pytest.mark.parametrize("measured", [True, False])
@pytest.mark.parametrize(
    ("measure", "most_off"),
    [
        (None, 0.35),
        (lambda drive, shifts: slowest_clutch_out_speed(drive)[:, 0], 0.05),
        (partial(time_to_speed, speed=50 / 3.6), 0.35),
        (partial(time_over_distance, distance=100.0), 0.2),
        (lambda drive, shifts: walking_pull(drive, 1.4), 0.2),
        (partial(roll_on, from_speed=6.0, to_speed=12.0, gear=1), 0.35),
        (lambda drive, shifts: steepest_slope_by_gear(drive).max(axis=1), 0.1),
    ],
)
def test_interpolated_bands(measure, most_off, measured):
    """What interpolation costs, as a share of the whole band: half of the pairs within 3 %, nine of
    ten within a quarter, the worst next to a change of the number of shifts or of the limit."""
    whole = sampled(measure, PAIRS, measured)
    nodes = ratio_nodes(PAIRS)
    bands = interpolated_band(nodes, sampled(measure, nodes, measured), PAIRS)
    reached = np.isfinite(whole.value)
    wide = (whole.band.below + whole.band.above)[reached]
    for quick, slow in zip(bands, whole.band, strict=True):
        assert np.isfinite(quick).all()
        off = np.abs(quick - slow)[reached] / wide
        assert np.median(off) < 0.03
        assert np.quantile(off, 0.9) < 0.25
        assert off.max() < most_off


def test_no_band_where_no_node_reaches_the_measure():
    nodes = ratio_nodes(PAIRS)
    nowhere = Sampled(np.full(nodes.size, np.nan), np.full((64, nodes.size), np.nan))
    for side in interpolated_band(nodes, nowhere, PAIRS):
        assert np.isnan(side).all()
