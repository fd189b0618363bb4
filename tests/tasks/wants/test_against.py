"""What a newcomer met on the wants page: a small bike of one's own, first gear called too tall."""

import re

import numpy as np
import pytest

from explorer.calc.chain.chain_choice import Choice
from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.bikes.own_bike import read_own_bike
from explorer.records.fitting.fit import Measurements
from explorer.records.setups.setup import Setup
from explorer.study import fit_result
from explorer.study.choice import PageChoice
from explorer.study.wants.complaints import COMPLAINTS
from explorer.study.wants.wants_link import Wishes
from explorer.study.wants.wants_result import compute
from explorer.study.wants.wants_short_list import BEST, short_list
from explorer.tasks.fit import words as fit_words
from explorer.tasks.wants.honest import list_words
from explorer.tasks.wants.page import WantsPage, _in_short
from explorer.tasks.wants.views import list_table
from explorer.tasks.wants.words import listed_words, recommendation, role_words
from tests.tasks.wants.test_wants_page import named

PUDDLE = {
    "name": "Puddle",
    "pair": "12/47",
    "gears": "2,9/2,1/1,6/1,3/1,1",
    "primary": "3,4",
    "tyre": "4.10-18",
    "chain": "428 x 120",
    "weight": "98",
    "peak": "8 kW at 8500",
    "limit": "9500",
}
BIKE = read_own_bike(PUDDLE).bike


GOAT = {
    **{"name": "Goat", "pair": "14/44", "gears": "2.77/1.88/1.40/1.14/0.96", "primary": "3.35"},
    **{"tyre": "4.60-17", "chain": "428 x 126", "weight": "112", "peak": "11 kW at 8000"},
    "limit": "9000",
}


HERON = {
    **{"name": "Heron", "pair": "14/46", "gears": "2.77/1.91/1.44/1.14/0.95/0.83"},
    **{"primary": "3.05", "tyre": "4.00-18", "chain": "520 x 108", "weight": "108"},
    **{"peak": "15 kW at 8200", "limit": "9200"},
}


def of_heron(**measured):
    """Rows of its short list by their name, each with the cells by pair; and the list."""
    bike = read_own_bike(HERON).bike
    ticked = ("first-too-tall", "third-wont-pull")
    wants = tuple(want for each in ticked for want in COMPLAINTS[each].wants())
    wishes = Wishes(wants, (("woods", 60.0), ("road", 40.0)), ticked)
    known = Measurements.for_bike(bike).changed(measured)
    listing = short_list(compute(bike, Setup.for_bike("mine", bike), known, wishes))
    rows = [
        [re.sub("<[^>]+>", "", cell) for cell in re.findall("<t[hd].*?</t[hd]>", row)]
        for row in re.findall("<tr>.*?</tr>", list_table(listing), re.DOTALL)
    ]
    pairs = rows[0][1:]
    return {row[0]: dict(zip(pairs, row[1:], strict=True)) for row in rows[1:]}, listing


def listed(at_most=None, woods=1.0):
    """The short list for a first gear that is too tall, in tight woods."""
    complaint = next(each for each in COMPLAINTS.values() if each.says == "First is too tall")
    wants = complaint.wants()
    if at_most:
        wants = [w.changed({"speed": at_most}) if w.kind == "clutch-out" else w for w in wants]
    mix = (("woods", woods),) if woods else ()
    wishes = Wishes(tuple(wants), mix)
    return short_list(
        compute(BIKE, Setup.for_bike("mine", BIKE), Measurements.for_bike(BIKE), wishes)
    )


@pytest.mark.parametrize("at_most", [None, "5 km/h", "4 km/h", "7 km/h"])
def test_nothing_taller_is_worth_buying_where_first_is_called_too_tall(at_most):
    listing = listed(at_most)
    for each in listing.entries:
        if BEST in each.roles:
            assert each.rear / each.front > 47 / 12 or at_most == "7 km/h", (each.front, each.rear)
            own = listing.result.judged[0].satisfaction
            assert own[each.index] >= own[listing.result.now] - 0.01
    what, _ = recommendation(listing)
    if at_most is None:
        assert what == "Keep 12/47"


def of_demo(name, ticked, shares=()):
    """The short list of a demo bike for what is ticked."""
    bike = demo_bikes()[name]
    wants = tuple(want for each in ticked for want in COMPLAINTS[each].wants())
    wishes = Wishes(wants, shares, ticked)
    return short_list(
        compute(bike, Setup.for_bike(name, bike), Measurements.for_bike(bike), wishes)
    )


def test_of_opposite_complaints_a_pair_that_serves_one_worse_is_a_compromise():
    """First stalls, and it lacks revs on the road: shorter helps the one and hurts the other."""
    seen = set()
    for ticked in (("stalls", "no-revs-on-road"), ("first-too-tall", "screams")):
        listing = of_demo("wagtail-85", ticked)
        result = listing.result
        for each in listing.entries:
            worse = [
                one.want.label
                for one in result.judged
                if one.want.kind != "keep-chain"
                and one.satisfaction[each.index] < one.satisfaction[result.now] - 0.01
            ]
            said = role_words(each)
            assert not ("worth buying" in said and worse), (said, worse)
            if "compromise" in said:
                assert worse
                seen.add(ticked)
                if each is listing.best:
                    assert f"Worse than now: {worse[0]}" in recommendation(listing)[1]
    assert len(seen) == 2


def test_a_want_that_the_mix_brings_too_stands_once_with_both_weights():
    both = of_demo("bracken-125", ("no-revs-on-road",), (("road", 1.0),)).result.judged
    names = [each.name for each in both]
    legal = [each for each in both if each.want.kind == "legal-road"]
    # 3 of the complaint and 6 of the road link; the top speeds are on two grounds.
    assert [each.weight for each in legal] == [9.0] and "road link" not in legal[0].name
    assert len(names) == len({*names}) == 3


def test_few_front_teeth_are_warned_of_beside_the_recommendation():
    listing = listed("4.5 km/h", woods=0.0)
    what, _ = recommendation(listing)
    assert what.startswith("Try 1") and listing.best.front < 12, what
    assert "do not go below what the maker lists" in _in_short(listing)


def test_the_fitted_column_says_of_its_chain_only_what_is_known():
    listing = listed("5 km/h")
    now = listing.entry(listing.result.now)
    assert ">as it is</td>" in list_table(listing)
    unknown = sum(bool(each.unknown) for each in listing.result.judged)
    wants = len(listing.result.judged)
    for each in listing.entries:
        # The fitted pair has its chain on it.
        known = f"of {wants} wants;" if each is now else f"of {wants - unknown} wants, 1 not known"
        assert unknown == 1 and known in " ".join(listed_words(listing, each))
    # The chain's links are counted, the adjuster is not measured.
    said = " ".join(" ".join(listed_words(listing, each)) for each in listing.entries)
    assert "Fit? Measure the adjuster." in said and "ount links" not in said


def test_the_fitted_pair_keeps_its_chain_whatever_was_measured():
    rows, _ = of_heron()
    for name, now in (("chain", "as it is"), ("2. Keep the chain", "✓ met")):
        others = dict.fromkeys(rows[name], "not known")
        assert rows[name] == others | {"14/46": now} and len(others) == 5
    # It has nothing to differ from.
    assert (rows["how sure"]["14/46"], rows["how sure"]["12/52"]) == ("–", "clearly different")


def test_the_row_of_the_chain_says_which_one_as_the_fit_page_does():
    """12/52 pulls the axle 9 mm beyond its end, by the fit page's own words; 12/50 up to it."""
    rows, listing = of_heron(room_forward="10 mm", room_back="25 mm")
    assert rows["chain"] == {
        "12/50": "close with your chain; fits with a new chain of 110 links",
        "12/46": "fits",
        "12/52": "fits only with a new chain of 110 links",
        "13/46": "fits",
        "14/46": "as it is",
    }
    result = listing.result
    for pair, said in (("12/50", "12/50 is close"), ("12/52", "12/52 does not fit")):
        front, rear = map(int, pair.split("/"))
        there = result.setup.changed(front=front, rear=rear)
        fit = fit_result.compute(PageChoice(result.bike, there, result.measured))
        assert fit_words.headline(fit).startswith(said)
        assert int(fit.options[Choice.SHORTEST].links) == 110


def test_who_comes_first_for_fewer_parts_is_not_said_to_score_best():
    bike = read_own_bike(GOAT).bike
    wants = [*COMPLAINTS["first-too-tall"].wants(), COMPLAINTS["third-wont-pull"].wants()[0]]
    wishes = Wishes(tuple(wants), (("woods", 1.0),))
    listing = short_list(
        compute(bike, Setup.for_bike("mine", bike), Measurements.for_bike(bike), wishes)
    )
    best, other = listing.best, listing.outscored_by
    assert other.score > best.score + 0.01 and other.index in best.equal_to
    parts = listing.result.costs.parts
    assert parts[best.index] < parts[other.index]
    said = " ".join([*list_words(listing), *listed_words(listing, best), list_table(listing)])
    assert f"{other.score:.2f}" in said and "comes first because it needs fewer parts" in said
    assert "first for its fewer parts" in said and "only just" not in said


def test_no_word_of_the_code_stands_on_the_list():
    table = list_table(listed())
    assert "woods-loop" not in table and "upshifts at most" not in table


def test_a_value_taken_away_is_asked_back_and_the_last_one_stays():
    page = WantsPage("?want.1=clutch-out;weight+3;speed+5+km/h")
    field = named(page, "At most")
    field.value = ""
    assert page.state.wishes.wants[0].texts["speed"] == "5 km/h"
    assert np.isclose(page.state.wishes.wants[0].speed.si, 5 / 3.6)
