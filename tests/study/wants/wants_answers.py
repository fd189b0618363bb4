"""What the wants page answers a rider, and all that it says of it."""

from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.fitting.fit import Measurements
from explorer.records.setups.setup import Setup
from explorer.study.wants.kinds import read_want
from explorer.study.wants.wants_link import Wishes
from explorer.study.wants.wants_result import compute
from explorer.study.wants.wants_short_list import short_list
from explorer.study.wants.wants_why_not import why_not
from explorer.tasks.wants import honest as wants_honest
from explorer.tasks.wants import table as wants_table
from explorer.tasks.wants import words as wants_words


def answer(name, *wants, shares=(), altered=None, measured=None, prices=None, **changes):
    """Short list of a demo bike for wants given as (kind, {text}), each of weight 3.

    `altered` are texts of its bike file, `measured` answers of the rider, `changes` the set-up's.
    """
    bike = demo_bikes()[name].with_changes(altered or {})
    setup = Setup.for_bike(name, bike).changed(**changes)
    wishes = Wishes(tuple(read_want(kind, texts, 3) for kind, texts in wants), tuple(shares))
    answers = Measurements.for_bike(bike).changed(measured or {})
    return short_list(compute(bike, setup, answers, wishes, prices))


def reasons(listing):
    return [cannot.why.reason for cannot in listing.result.cannot]


def everything_said(listing):
    """Every sentence that the page could show about a short list."""
    result = listing.result
    said = [*wants_honest.list_words(listing), *wants_honest.honest_words(result)]
    for entry in listing.entries:
        said += wants_words.listed_words(listing, entry)
    for index in range(0, result.ratio.size, 19):
        said += wants_words.why_not_words(listing, why_not(listing, *result.pair(index)))
    said += wants_table.short_list_table(listing).to_numpy().ravel().tolist()
    return said
