"""Wants, mixes, complaints: read, refused in sentences, and back from a link or a file."""

import string

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.errors import RecordError
from explorer.records.ground.course_ids import course_ids
from explorer.records.ground.surfaces import surfaces
from explorer.records.setups.link import decode
from explorer.study.wants.complaints import COMPLAINTS
from explorer.study.wants.kinds import WANTS, read_want
from explorer.study.wants.mixes import TERRAIN_IDS, TERRAIN_WEIGHT, normalised, terrains
from explorer.study.wants.wants_link import (
    MOST_WANTS,
    Wishes,
    decode_wants,
    encode_wants,
    read_wants,
    write_wants,
)
from tests.study.wants.oracles import ORACLES

ALL = tuple(read_want(kind, {}, number / 2) for number, kind in enumerate(WANTS))


def test_every_kind_has_its_oracle():
    assert WANTS and WANTS.keys() == ORACLES.keys()


@pytest.mark.parametrize("kind", WANTS)
def test_every_kind_stands_on_its_examples(kind):
    want = read_want(kind)
    assert want.weight == 1
    assert want.label and want.help
    assert {ask.name for ask in want.asks} == set(want.texts)
    assert read_want(kind, want.texts) == want


def test_units_are_read():
    metric = read_want("cruise", {"speed": "80 km/h", "engine_speed": "6000 rpm"})
    imperial = read_want("cruise", {"speed": "49.7097 mph", "engine_speed": "6000 1/min"})
    # Four decimals of a mph are 0.00004 m/s.
    assert imperial.si("speed") == pytest.approx(metric.si("speed"), abs=5e-5)
    assert imperial.si("engine_speed") == metric.si("engine_speed")


@pytest.mark.parametrize(
    ("kind", "texts", "weight", "part"),
    [
        ("clutch-out", {"speed": "6"}, 1, "has no unit"),
        ("clutch-out", {"speed": "900 km/h"}, 1, "outside"),
        ("clutch-out", {"speed": "6 kg"}, 1, "kg"),
        ("slope", {"gear": "9"}, 1, "whole number from 1 to 7"),
        ("slope", {"gear": "second"}, 1, '"any"'),
        ("shift-out", {"corner_speed": "40 km/h", "exit_speed": "30 km/h"}, 1, "not faster"),
        ("shift-out", {"shifts": "-1"}, 1, "whole number"),
        ("few-shifts", {"course": "moon"}, 1, "choose one of"),
        ("spend", {"amount": "-4"}, 1, "negative"),
        ("spend", {"currency": "a;b"}, 1, "semicolon"),
        ("jump", {"change": "80 %"}, 1, "outside"),
        ("corner", {"colour": "red"}, 1, "leave it out"),
        ("corner", {}, "much", "from 0 to 10"),
        ("corner", {}, 11, "from 0 to 10"),
        ("corner", {}, float("nan"), "from 0 to 10"),
        ("tea", {}, 1, "is not known"),
    ],
)
def test_bad_input_gets_a_sentence(kind, texts, weight, part):
    with pytest.raises(RecordError) as error:
        read_want(kind, texts, weight)
    assert part in str(error.value)
    assert all(sentence.rstrip().endswith(".") for sentence in error.value.sentences)


def test_everything_wrong_is_said_at_once():
    with pytest.raises(RecordError) as error:
        read_want("cruise", {"speed": "fast", "engine_speed": "loud"}, "heavy")
    assert len(error.value.sentences) == 3


def test_changed_keeps_the_rest():
    want = read_want("slope", {"slope": "30 %", "gear": "2"}, 4).changed({"gear": "any"})
    assert (want.texts, want.weight) == ({"slope": "30 %", "gear": "any"}, 4)


def test_no_shift_is_a_number_and_not_any_gear():
    assert read_want("shift-out", {"shifts": "0"}).texts["shifts"] == "0"


wants = st.builds(
    lambda kind, weight: read_want(kind, {}, f"{weight:.2f}"),
    st.sampled_from(sorted(WANTS)),
    st.floats(0, 10),
)
wishes = st.builds(
    Wishes,
    st.lists(wants, max_size=12).map(tuple),
    st.dictionaries(st.sampled_from(TERRAIN_IDS), st.integers(0, 100)).map(
        lambda shares: tuple((name, float(share)) for name, share in shares.items())
    ),
)


@settings(max_examples=60, deadline=None)
@given(wishes)
def test_back_from_a_link_and_from_a_file(wanted):
    assert decode_wants("?bike=x" + encode_wants(wanted)) == (wanted, [])
    assert read_wants(write_wants(wanted)) == (wanted, [])


def test_the_set_ups_link_passes_wants_over():
    query = "?bike=bracken-125" + encode_wants(Wishes(ALL))
    assert decode(query, demo_bikes())[2] == []
    assert decode_wants(query)[0].wants == ALL


def test_typed_values_come_back_as_typed():
    want = read_want("spend", {"amount": "42,50", "currency": "& €"}, 2)
    back, complaints = decode_wants(encode_wants(Wishes((want,))))
    assert complaints == []
    assert back.wants[0].texts == {"amount": "42.50", "currency": "& €"}


@settings(max_examples=150, deadline=None)
@given(st.text(alphabet=string.printable + "é\x00\ufffd", max_size=200))
def test_a_link_never_raises(text):
    for query in (text, f"want.1={text}", f"want.mix={text}"):
        read, sentences = decode_wants(query)
        assert isinstance(read, Wishes)
        assert all(len(sentence) < 400 for sentence in sentences)
    read_wants(text)
    read_wants(text.encode())


@pytest.mark.parametrize(
    ("parameter", "part"),
    [
        ("want.1=tea", "is not known"),
        ("want.1=corner;weight 99;speed 25 km/h", "from 0 to 10"),
        ("want.1=corner", "lacks speed"),
        ("want.x=corner;speed 25 km/h", "no place"),
        ("want.mix=moon 40", "not a share"),
        ("want.mix=woods -1", "not a share"),
        ("want.mix=woods nan", "not a share"),
        ("want.1=corner%00;speed 25 km/h", "cannot be read"),
    ],
)
def test_what_a_link_gets_wrong_is_said(parameter, part):
    read, sentences = decode_wants("?front=13&" + parameter)
    assert read == Wishes()
    assert len(sentences) == 1
    assert part in sentences[0]


def test_too_many_wants_for_a_link():
    with pytest.raises(RecordError, match="file"):
        encode_wants(Wishes((read_want("corner"),) * (MOST_WANTS + 1)))


@pytest.mark.parametrize("name", TERRAIN_IDS)
def test_ready_mixes_stand(name):
    """Their weights add up alike, so that a share means what it says; ground and course exist."""
    terrain = terrains()[name]
    assert sum(want.weight for want in terrain.wants) == TERRAIN_WEIGHT
    assert terrain.surface in surfaces()
    assert terrain.course in course_ids()
    courses = [want.course for want in terrain.wants if want.kind == "few-shifts"]
    assert all(course == terrain.course for course in courses)


def test_shares_are_scaled_to_one():
    assert normalised({"road": 1, "woods": 3}) == {"woods": 0.75, "road": 0.25}
    assert normalised({"road": 0}) == {}
    for shares in ({"moon": 1}, {"woods": -1}, {"woods": float("nan")}):
        with pytest.raises(RecordError):
            normalised(shares)


@pytest.mark.parametrize("name", COMPLAINTS)
def test_every_complaint_leads_to_wants(name):
    complaint = COMPLAINTS[name]
    assert complaint.wants()
    for text in (complaint.measure, complaint.means, complaint.can, complaint.cannot):
        assert text.endswith(".")
