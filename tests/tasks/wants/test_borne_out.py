"""A complaint that the bike does not bear out is said so, and one that it does is not."""

from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.fitting.fit import Measurements
from explorer.records.setups.setup import Setup
from explorer.study.wants.complaints import COMPLAINTS
from explorer.study.wants.wants_link import Wishes
from explorer.study.wants.wants_result import compute
from explorer.study.wants.wants_short_list import short_list
from explorer.tasks.wants.honest import list_words
from explorer.tasks.wants.words import recommendation


def answered(fitted_front, *ticked):
    """What stands above the list, and what to do, for a first gear that is called too tall."""
    ticked = ticked or ("first-too-tall",)
    bike = demo_bikes()["bracken-125"].with_changes({"sprockets.front": str(fitted_front)})
    asked = Wishes(COMPLAINTS["first-too-tall"].wants(), (), ticked)
    setup = Setup.for_bike("bracken-125", bike)
    listing = short_list(compute(bike, setup, Measurements.for_bike(bike), asked))
    return " ".join(list_words(listing)), recommendation(listing)[0]


def test_a_complaint_is_answered_by_what_the_bike_does():
    said, what = answered(13)
    assert "“First is too tall”: 13/50 should be fine for that (walks at 5.6 km/h" in said
    assert what == "Keep 13/50"
    said, what = answered(16)
    assert "should be fine" not in said and what.startswith("Try ")


def test_two_complaints_that_ask_for_the_same_get_an_answer_each():
    said, _ = answered(13, "first-too-tall", "stalls")
    for each in ("first-too-tall", "stalls"):
        complaint = COMPLAINTS[each]
        assert f"“{complaint.says}”: 13/50 should be fine for that" in said
        assert complaint.cannot in said
    assert COMPLAINTS["stalls"].says not in answered(13)[0]
