"""The default measure tells the pairs apart on every demo bike and ground."""

import numpy as np
import pytest

from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.ground.surfaces import surfaces
from explorer.records.setups.setup import Setup
from explorer.records.setups.setup_fields import MEASURES
from explorer.study.study import Study
from tests.bench.measures_tell_apart import told_apart


@pytest.mark.parametrize("surface", surfaces())
@pytest.mark.parametrize("name", demo_bikes())
def test_default_measure(name, surface):
    """At least 20 distinct values, and a front of 8 pairs or more that can be built."""
    distinct, front, rank = told_apart(name, MEASURES[0], surface)
    assert distinct >= 20
    assert abs(rank) > 0.99
    assert front >= 8


@pytest.mark.parametrize("surface", surfaces())
@pytest.mark.parametrize("name", demo_bikes())
def test_what_it_is_set_against(name, surface):
    """Top speed; where the shortest pair is as fast as any, the speed at the rev limit in top
    gear, by its definition: revs over the overall ratio, times the roll-out."""
    bike = demo_bikes()[name]
    study = Study.of(bike, Setup.for_bike(name, bike).changed(surface=surface))
    pairs, drive = study.pairs.tradeoff, study.drive
    shortest = np.argmax(pairs.rear / pairs.front)
    if pairs.top_speed.ravel()[shortest] >= pairs.top_speed.max() / 1.015:
        turns = bike.engine.rev_limit.si / (2 * np.pi)
        vehicle = drive.vehicle
        ratio = float(vehicle.primary) * vehicle.gears[-1] * pairs.rear / pairs.front
        expected = turns / ratio * study.rollouts[1].value
    else:
        expected = pairs.top_speed
    np.testing.assert_allclose(pairs.speed, expected, rtol=1e-9)
