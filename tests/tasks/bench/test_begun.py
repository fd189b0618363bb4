"""What the bench says of a bike that is only begun: what is known, and nothing that is not."""

import math
import re

import pytest

from explorer.records.bikes.own_bike import read_own_bike
from explorer.records.setups.link import MINE, encode
from explorer.records.setups.setup import Setup
from explorer.tasks.bench.state import BenchState
from explorer.tasks.bench.table import table_of
from explorer.tasks.ground.page import GroundPage
from explorer.tasks.lesson.page import LessonPage
from tests.records.bikes.test_begun_bike import GEARED, TEETH


def query_of(typed):
    bike = read_own_bike(typed, begun=True).bike
    setup = Setup.for_bike(MINE, bike).changed(front=13)
    return encode(setup, bike, bike)


def tiles(typed):
    state, complaints = BenchState.from_link(query_of(typed), {})
    assert not complaints
    table = table_of(state.choice)
    row = table.meta["picked"]
    return table.meta, dict(zip(table.meta["tiles"], table.meta["texts"][row], strict=True)), row


def test_from_the_teeth_pull_and_speed_in_per_cent():
    meta, said, row = tiles(TEETH)
    # By definition: 14/13 − 1 and 13/14 − 1.
    assert (said["pull"][0], said["speed"][0]) == ("+7.7 %", "−7.1 %")
    assert said["top"][0] == said["measure"][0] == "–"
    assert meta["asks"].keys() == {"shift", "pull", "tradeoff"} and not meta["tyre_known"]
    assert "Top speed" not in meta["verdicts"][row] and meta["said"][row] == ""


def test_with_tyre_and_gears_speeds_at_the_rev_limit():
    meta, said, row = tiles(GEARED)
    assert meta["asks"].keys() == {"pull", "tradeoff"} and meta["band"] is None
    turn = math.pi * (18 * 25.4 + 2 * 0.9 * 120) / 1000  # nominal size, ETRTO: section × aspect
    speeds = [
        8500 / 60 / (3.1 * gear * 45 / 13) * turn * 3.6 for gear in (2.9, 1.9, 1.4, 1.1, 0.92)
    ]
    assert float(said["top"][0].split()[0]) == pytest.approx(speeds[-1], rel=0.03)
    words = meta["said"][row].replace(" and ", ", ").split()
    shifts = [float(word) for word in words if word.isdigit()]
    assert shifts == pytest.approx(speeds[:-1], rel=0.03)


@pytest.mark.parametrize("typed", [TEETH, GEARED])
def test_a_page_that_needs_more_asks_for_it(typed):
    page = GroundPage(query_of(typed))
    assert "ge-lacking" in page.widget._dom_classes
    assert "needs more numbers of My bike" in page.faults.widget.value


@pytest.mark.parametrize("kind", [GroundPage, LessonPage])
def test_a_page_that_needs_more_has_a_way_to_the_bench_and_one_to_another_bike(kind):
    query = query_of(TEETH).replace("units=metric", "units=imperial")
    said = kind(query).faults.widget.value
    assert '<a href="gearing" data-carry>Add them on the bench</a>' in said
    [other] = re.findall(r'<a href="([^"]*)">Open this page with another bike</a>', said)
    page = kind(other)
    assert not page.state.bike.missing and page.state.setup.units == "imperial"
    assert "ge-lacking" not in page.widget._dom_classes and not page.faults.widget.value
