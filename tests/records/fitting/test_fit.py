"""What a rider types on the fit page: accepted, refused with a sentence, carried by a link."""

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.errors import RecordError
from explorer.records.fitting.fit import (
    Measurements,
    check_pair,
    completed,
    decode_fit,
    encode_fit,
    read_answer,
)
from explorer.records.fitting.fit_fields import FIT_FIELD, FIT_FIELDS
from explorer.records.setups.link import LONGEST, decode, encode
from explorer.records.setups.setup import Setup
from explorer.records.setups.sprocket_pair import parse_pair

LIBRARY = demo_bikes()
BIKE_ID = "marram-250"
BIKE = LIBRARY[BIKE_ID]


def refusal(name, text):
    with pytest.raises(RecordError) as caught:
        Measurements.of({name: text})
    (sentence,) = caught.value.sentences
    return sentence


def test_a_length_without_unit_names_the_likely_one():
    sentence = refusal("centre_distance", "515")
    assert 'Perhaps "515 mm" is meant.' in sentence
    assert sentence.startswith("Output shaft to rear axle: ")


@pytest.mark.parametrize(
    ("name", "text", "meant"),
    [
        ("centre_distance", "515 m", "515 mm"),
        ("centre_distance", "0.515 mm", "0.515 m"),
        ("centre_distance", "24.9 mm", "24.9 in"),
        ("swingarm_length", "56 mm", "56 cm"),
        ("room_forward", "12 m", '12 mm" or "12 cm'),
    ],
)
def test_a_slip_of_the_unit_names_the_likely_one(name, text, meant):
    assert f'Perhaps "{meant}" is meant.' in refusal(name, text)


@pytest.mark.parametrize(
    ("system", "typed", "read"),
    [
        ("metric", "515", "515 mm"),
        ("metric", "51.5", "51.5 cm"),
        ("metric", "51,5", "51,5 cm"),
        ("metric", "0.515", "0.515 m"),
        ("metric", "24", "24 in"),
        ("metric", "25.5", "25.5"),  # inches or centimetres: asked back
        ("metric", "51.5 kg", "51.5 kg"),
        ("imperial", "24", "24 in"),
        ("imperial", "25.5", "25.5 in"),
        ("imperial", "600", "600 mm"),
    ],
)
def test_a_bare_distance_takes_the_only_unit_that_makes_one_possible(system, typed, read):
    """Between 250 and 900 mm: 51.5 inches are 1308 mm, 24 inches 610 mm, 24 cm are 240 mm."""
    assert completed(FIT_FIELD["centre_distance"], typed, system) == read


@pytest.mark.parametrize("name", ["room_forward", "room_back", "tyre_gap"])
def test_negative_room_is_refused_with_what_zero_means(name):
    assert "cannot be negative: 0 mm means that nothing is left" in refusal(name, "-5 mm")


@pytest.mark.parametrize("text", ["0", "9999", "-112", "112.5", "many"])
def test_impossible_link_counts_are_refused(text):
    sentence = refusal("links", text)
    assert "links" in sentence.lower()
    assert "count again" in sentence or "whole number" in sentence


@pytest.mark.parametrize("text", ["99999999", "9" * 5000])
def test_a_number_that_is_too_large_is_not_said_to_be_none(text):
    assert "is outside 60 to 180; count again" in refusal("links", text)


def test_an_odd_link_count_is_kept_for_the_diagnosis():
    assert Measurements.of({"links": "113"}).links == 113


@pytest.mark.parametrize("text", ["35-45 mm", "35 to 45 mm", "35 mm – 45 mm", "1.4-1.8 in"])
def test_a_range_is_told_to_be_one_and_nothing_is_read_into_it(text):
    sentence = refusal("manual_slack", text)
    assert "is a range; write one number with its unit" in sentence
    assert "Perhaps" not in sentence and "1380" not in sentence


@pytest.mark.parametrize("name", ["manual_slack", "wear_limit", "wear_pitches", "rear_nuts"])
def test_an_example_is_never_one_that_is_refused(name):
    for example in re.findall(r'for example "([^"]+)"', refusal(name, "much")):
        assert "…" in example or read_answer(FIT_FIELD[name], example) is not None


@pytest.mark.parametrize("pair", [(48, 13), (13, 13)])
def test_front_not_smaller_than_rear_is_refused_with_the_likely_meaning(pair):
    with pytest.raises(RecordError, match="are swapped"):
        check_pair(*pair)


def test_nine_rear_teeth_are_refused():
    with pytest.raises(RecordError, match="is outside 20 to 80"):
        parse_pair("13/9")
    with pytest.raises(RecordError, match="20 to 80 teeth"):
        Setup.for_bike(BIKE_ID, BIKE).changed(rear=9)


def test_all_mistakes_are_said_at_once_and_nothing_is_guessed():
    with pytest.raises(RecordError) as caught:
        Measurements.of({"links": "0", "room_back": "-1 mm", "nonsense": "1"})
    assert len(caught.value.sentences) == 3


def test_no_slack_limit_or_clearance_is_built_in():
    """A bike's own values come from its manual or its owner, never from here."""
    own = {"manual_slack", "tight_slack", "wear_limit"}
    own |= {field.name for field in FIT_FIELDS if field.group in ("clearance", "steering")}
    assert all(FIT_FIELD[name].default == "" for name in own)
    assert all(math.isnan(Measurements.of({}).si(name)) for name in own)


def test_every_default_but_a_choice_says_why():
    assert all(field.why for field in FIT_FIELDS if field.default and field.kind != "choice")


def test_the_bike_file_answers_what_it_knows():
    measured = Measurements.for_bike(BIKE)
    assert measured.links == BIKE.chain.links
    assert measured.si("room_back") == BIKE.fit.adjuster_back.si
    assert measured.text("swingarm_length") == BIKE.fit.swingarm_length.text


def test_a_blank_text_takes_an_answer_away():
    assert Measurements.for_bike(BIKE).changed({"links": " "}).links is None


texts = st.fixed_dictionaries(
    {},
    optional={
        "links": st.integers(60, 180).map(str),
        "room_forward": st.floats(0, 150).map(lambda mm: f"{mm:.2f} mm"),
        "wear_limit": st.floats(0.4, 4.9).map(lambda share: f"{share:.2f} %"),
        "slack_place": st.text(
            st.characters(exclude_categories=["C", "Z"]), min_size=1, max_size=60
        ),
        "tick_pitch": st.sampled_from(FIT_FIELD["tick_pitch"].choices),
        "chain": st.sampled_from(FIT_FIELD["chain"].choices),
        "pickup": st.sampled_from(FIT_FIELD["pickup"].choices),
    },
)


@given(texts)
def test_a_link_carries_every_answer_exactly(answers):
    measured = Measurements.for_bike(BIKE).changed(answers)
    query = "?front=13" + encode_fit(measured, BIKE)
    again, sentences = decode_fit(query, BIKE)
    assert (again, sentences) == (measured, [])


def test_the_set_up_travels_beside_the_answers():
    setup = Setup.for_bike(BIKE_ID, BIKE).changed(rear=53)
    measured = Measurements.for_bike(BIKE).changed({"manual_slack": "40 mm"})
    query = encode(setup, BIKE, BIKE) + encode_fit(measured, BIKE)
    assert decode(query, LIBRARY) == (setup, BIKE, [])
    assert decode_fit(query, BIKE) == (measured, [])
    assert "fit.manual-slack=40%20mm" in query


def test_an_answer_taken_away_stays_away_in_the_link():
    measured = Measurements.for_bike(BIKE).changed({"links": ""})
    assert decode_fit(encode_fit(measured, BIKE), BIKE)[0].links is None


@given(st.text(max_size=300) | st.text(max_size=60).map(lambda text: f"fit.links={text}"))
def test_a_stranger_s_link_never_raises(query):
    measured, sentences = decode_fit(query, BIKE)
    assert isinstance(measured, Measurements)
    assert all(isinstance(sentence, str) for sentence in sentences)


@pytest.mark.parametrize(
    "query",
    ["fit.links=0", "fit.nothing=1", "fit.links=112&fit.links=114", "fit.slack-place=%00"],
)
def test_what_a_link_gets_wrong_is_said(query):
    assert len(decode_fit(query, BIKE)[1]) == 1


def test_a_link_that_is_too_long_is_left_alone():
    assert decode_fit("fit.links=114&" + "x" * LONGEST, BIKE) == (Measurements.for_bike(BIKE), [])
