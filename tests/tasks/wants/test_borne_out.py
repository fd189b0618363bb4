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


def answered(fitted_front):
    """What stands above the list, and what to do, for a first gear that is called too tall."""
    bike = demo_bikes()["bracken-125"].with_changes({"sprockets.front": str(fitted_front)})
    complaint = next(each for each in COMPLAINTS.values() if each.says == "First is too tall")
    asked = Wishes(tuple(complaint.wants()), ())
    setup = Setup.for_bike("bracken-125", bike)
    listing = short_list(compute(bike, setup, Measurements.for_bike(bike), asked))
    return " ".join(list_words(listing)), recommendation(listing)[0]


def test_a_complaint_is_answered_by_what_the_bike_does():
    said, what = answered(13)
    assert "“First is too tall”: 13/50 should do this already." in said and what == "Keep 13/50"
    said, what = answered(16)
    assert "should do this already" not in said and what.startswith("Try ")
