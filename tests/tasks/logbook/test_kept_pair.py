"""A pair that is kept is the fitted one from then on: the logbook leads to the bike as it is."""

import html
import re

import pytest

from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.bikes.own_bike import read_own_bike
from explorer.records.logbook.entry import Kept, LogEntry
from explorer.records.setups.link import MINE, decode, encode
from explorer.records.setups.setup import Setup
from explorer.tasks.logbook.words import table_rows
from tests.records.bikes.test_own_bike import MEADOW


def links_of(query, **texts):
    entry = LogEntry.of(
        {"date": "2026-05-01", "bike": "Trail bike", "front": "12", "rear": "51", "setup": query}
        | texts
    )
    [row] = table_rows([Kept("0" * 32, 1, entry)])
    return [html.unescape(each) for each in re.findall(r'href="gearing(\?[^"]*)"', str(row[-1]))]


def own_query():
    counted = {"chain.links": "112", "fit.centre_distance": "610 mm"}
    bike = read_own_bike(MEADOW).bike.with_changes(counted)
    setup = Setup.for_bike(MINE, bike).changed(front=12, rear=51, surface="loose-sand")
    return bike, encode(setup, bike, bike)


@pytest.mark.parametrize(("counted", "links"), [("", None), ("114", "114")])
def test_a_kept_pair_is_fitted_and_what_was_counted_for_the_other_is_gone(counted, links):
    bike, query = own_query()
    opened, refitted = links_of(query, decision="keep", links=counted)
    setup, now, slips = decode(refitted, dict(demo_bikes()))
    assert opened == query and not slips
    assert (now.sprockets.front, now.sprockets.rear) == (12, 51) == (setup.front, setup.rear)
    assert (bike.sprockets.front, bike.sprockets.rear) != (12, 51)
    changed = {
        path
        for path in {*bike.flat(), *now.flat()}
        if bike.flat().get(path) != now.flat().get(path)
    }
    gone = {"sprockets.front", "sprockets.rear", "fit.centre_distance", "chain.links"}
    assert changed == gone and now.flat().get("chain.links") == links
    assert setup.surface == "loose-sand" and now.name == bike.name


def test_what_is_not_kept_or_fitted_already_is_opened_as_it_was():
    bike, query = own_query()
    for decision in ("", "change again", "go back", "undecided"):
        assert links_of(query, decision=decision) == [query]
    fitted = encode(Setup.for_bike(MINE, bike), bike, bike)
    teeth = {"front": str(bike.sprockets.front), "rear": str(bike.sprockets.rear)}
    assert links_of(fitted, decision="keep", **teeth) == [fitted]
    assert links_of("", decision="keep") == []
