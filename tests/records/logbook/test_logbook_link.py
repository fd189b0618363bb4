"""What a ride gave, through a link: readable, the same when it comes back, and safe from anyone."""

from urllib.parse import parse_qsl

import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.fitting.fit import decode_fit
from explorer.records.logbook.entry import LogEntry
from explorer.records.logbook.logbook_fields import LOG_FIELD
from explorer.records.logbook.logbook_link import LONGEST_TEXT, Outing, decode_outing, encode_outing
from explorer.records.setups.link import LONGEST, decode
from explorer.study.wants.wants_link import decode_wants

OUTING = Outing(
    ("top speed 92 km/h, both ways 90 km/h", "gear 3, 30 to 60 km/h: 5.2 ± 0.3 s"),
    ("gear 3, 30 to 60 km/h: 5.1 ± 0.4 s",),
    "as predicted",
)
HEAD = {"date": "2026-05-01", "bike": "B", "front": "13", "rear": "50"}


def test_it_comes_back_as_it_was_written_and_can_be_read_by_eye():
    query = encode_outing(OUTING)
    assert decode_outing(query) == (OUTING, [])
    assert "log.verdict=as+predicted" in query and "top+speed+92+km/h" in query


@pytest.mark.parametrize("bike", ["bracken-125", "marram-250"])
def test_every_other_reader_of_a_link_passes_it_over(bike):
    query = f"?bike={bike}{encode_outing(OUTING)}"
    setup, own, said = decode(query, demo_bikes())
    assert said == [] and setup.bike_id == bike
    assert decode_fit(query, own)[1] == [] and decode_wants(query)[1] == []


LINES = st.lists(st.text(max_size=80), max_size=12).map(tuple)


@given(LINES, LINES, st.sampled_from(["", *LOG_FIELD["verdict"].choices]), st.integers(0, 3000))
def test_anything_is_written_within_its_room_and_read_without_complaint(
    measured, predicted, verdict, room
):
    query = encode_outing(Outing(measured, predicted, verdict), room)
    assert len(query) <= room
    found, said = decode_outing("?bike=x" + query)
    assert said == []
    assert found.verdict in ("", verdict)
    # What arrives is an entry's text as it stands.
    LogEntry.of(HEAD | found.texts)
    assert decode_outing(encode_outing(found))[0] == found


@given(st.text(max_size=300).map(lambda text: "log." + text) | st.text(max_size=300))
def test_anything_is_read_with_sentences_and_never_an_error(query):
    found, said = decode_outing(query)
    assert all(each.endswith(".") for each in said)
    LogEntry.of(HEAD | found.texts)


@pytest.mark.parametrize(
    ("query", "sentence"),
    [
        ("log.verdict=great", "is not one of as predicted"),
        ("log.measured=" + "x" * (LONGEST_TEXT + 1), "At most 700 characters"),
        ("log.decision=keep", "no place here"),
        ("log.=1", "no place here"),
    ],
)
def test_what_cannot_be_used_is_said(query, sentence):
    found, [said] = decode_outing("?" + query)
    assert found == Outing() and sentence in said


def test_what_is_unreadable_twice_or_too_long_is_said_once_by_the_set_ups_reader():
    for query in ("log.measured=%00", "log.measured=%ff", "log.measured=a&log.measured=b"):
        assert decode_outing(query)[1] == []
        assert len(decode(query, demo_bikes())[2]) == 1
    assert decode_outing("log.measured=a&log.measured=b")[0].measured == ("a",)
    assert decode_outing("log.measured=" + "x" * LONGEST) == (Outing(), [])


def test_what_does_not_fit_says_so():
    many = Outing(tuple(f"line {number} of a long day" for number in range(60)))
    text = dict(parse_qsl(encode_outing(many)))["log.measured"]
    assert text.startswith("line 0 of a long day; line 1")
    assert text.endswith("and more, not carried by the link")
    assert len(text) <= LONGEST_TEXT
