"""The default measure tells the pairs apart on every demo bike and ground."""

import pytest

from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.ground.surfaces import surfaces
from explorer.records.setups.setup_fields import MEASURES
from explorer.study.noticed import NOTICED_SPEED
from tests.bench.measures_tell_apart import told_apart


@pytest.mark.parametrize("surface", surfaces())
@pytest.mark.parametrize("name", demo_bikes())
def test_default_measure(name, surface):
    """At least 20 distinct values, and a front of 8 pairs or more wherever shorter gearing costs
    top speed. Where it costs none, as on ground that sets the top speed, there is nothing to
    trade, and the page says so."""
    distinct, front, rank, loss = told_apart(name, MEASURES[0], surface)
    assert distinct >= 20
    assert abs(rank) > 0.99
    assert front >= 8 or loss < 4 * NOTICED_SPEED
