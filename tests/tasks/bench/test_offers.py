"""Prices on the cards of the bench: those that the rider typed, and never another."""

from decimal import Decimal

import pytest

from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.errors import RecordError
from explorer.records.fitting.fit import Measurements, decode_fit, encode_fit
from explorer.study.wants.wants_chain import parts_of_pair
from explorer.tasks.bench.state import BenchState
from explorer.tasks.bench.table import table_of

BIKES = dict(demo_bikes())
GIVEN = {"front-sprocket": Decimal("24.50"), "chain": Decimal(60)}


def cards(bike_id, prices):
    """State, teeth and lines of every card."""
    state, slips = BenchState.from_link(f"?bike={bike_id}&fit.prices={prices}", BIKES)
    assert not slips
    for wish in table_of(state.choice).meta["offers"].values():
        for card in wish:
            yield state, card, dict(card["lines"])


@pytest.mark.parametrize("bike_id", BIKES)
def test_without_a_price_given_no_card_has_one(bike_id):
    found = list(cards(bike_id, ""))
    assert found and not any(lines["Price"] for _, _, lines in found)


@pytest.mark.parametrize("bike_id", BIKES)
def test_a_card_adds_up_what_was_given_and_counts_what_is_missing(bike_id):
    priced = 0
    for state, card, lines in cards(bike_id, "EUR:front-sprocket+24.50,+chain+60"):
        if not lines["To buy"]:
            assert not lines["Price"]
            continue
        new_chain = "chain" in lines["To buy"]
        links = state.measured.links
        if " links" in lines["Fit"]:
            links = int(lines["Fit"].partition(" of ")[2].split()[0])
        choice = 2 if new_chain else 0 if links == state.measured.links else 1
        pair = card["front"], card["rear"]
        needs = parts_of_pair(state.bike, state.measured, *pair, choice, links)
        needed = [part for part in needs.buy if not part.optional]
        missing = [part.name for part in needed if part.id not in GIVEN]
        if len(missing) == len(needed):
            assert not lines["Price"]
            continue
        priced += 1
        total = sum((GIVEN.get(part.id, 0) * part.quantity for part in needed), Decimal(0))
        said, _, rest = lines["Price"].partition(" + ")
        assert said == f"{total} EUR"
        parts = "parts" if len(missing) > 1 else "part"
        assert rest == (f"{len(missing)} {parts} without a price" if missing else "")
    assert priced


def test_prices_go_along_in_a_link_and_come_back():
    bike = BIKES["bracken-125"]
    measured = Measurements.for_bike(bike).with_price("chain", "60,5").with_currency("£")
    back, slips = decode_fit(encode_fit(measured, bike), bike)
    assert not slips and back == measured and back.prices == ({"chain": Decimal("60.5")}, "£")
    assert encode_fit(back.with_price("chain", "").with_currency(""), bike) == ""


@pytest.mark.parametrize("text", ["chain", "<b> 3", "chain 1e5", "chain -3", "1: chain 3"])
def test_prices_that_cannot_be_read_are_said(text):
    with pytest.raises(RecordError):
        Measurements({}).changed({"prices": text})
