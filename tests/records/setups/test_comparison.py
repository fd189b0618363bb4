"""Set-ups to compare: link and file bring back exactly what was saved, and refuse in sentences."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.errors import RecordError
from explorer.records.setups.comparison import (
    LARGEST,
    MOST,
    Fitment,
    checked,
    decode_also,
    encode_also,
    read_file,
    with_one_fitted_tyre,
    write_file,
)
from explorer.records.setups.link import decode, encode
from explorer.records.setups.setup import LIMITS, Setup

LIBRARY = demo_bikes()
BIKE = LIBRARY["bracken-125"]
FITTED = Fitment.fitted_to(BIKE)

fitments = st.lists(
    st.builds(
        Fitment,
        st.integers(*BIKE.sprockets.front_sold),
        st.integers(*BIKE.sprockets.rear_sold),
        st.sampled_from([BIKE.tyre.rear, "100/90-19", "110/100-18 64m tt"]),
        st.none() | st.floats(LIMITS["rollout"].low, LIMITS["rollout"].high),
    ),
    min_size=1,
    max_size=MOST,
).map(tuple)


@given(fitments, st.sampled_from(["metric", "imperial"]))
def test_link_brings_back_exactly_the_same(others, system):
    assert decode_also("?bike=x" + encode_also(others, BIKE, system), BIKE) == (others, [])


@given(fitments)
def test_file_brings_back_exactly_the_same(others):
    assert read_file(write_file(others, BIKE.name).encode(), BIKE) == others


def test_link_can_be_read_by_a_person_and_other_pages_pass_it_over():
    others = (Fitment(12, 48, FITTED.tyre, FITTED.rollout), Fitment(12, 48, "100/90-19", 2.02))
    text = encode_also(others, BIKE, "metric")
    assert text == "&also.1=12/48&also.2=12/48;tyre%20100/90-19;rollout%202.02m"
    setup = Setup.for_bike("bracken-125", BIKE)
    assert decode(encode(setup, BIKE, BIKE) + text, LIBRARY) == (setup, BIKE, [])


def test_either_order_of_the_teeth_is_read():
    assert decode_also("also.1=48:12", BIKE)[0] == (Fitment(12, 48, FITTED.tyre, FITTED.rollout),)


@pytest.mark.parametrize(
    "query",
    [
        "also.1=",
        "also.1=fast",
        "also.1=99/48",
        "also.1=8/48",
        "also.1=12/48;tyre%20round",
        "also.1=12/48;rollout%202.02",
        "also.1=12/48;rollout%2020m",
        "also.1=12/48;colour%20red",
        "also.1=12%00/48",
        "also.1=%FF",
        "also.0=12/48",
        "also.4=12/48",
        "also.%C2%B2=12/48",
        "also.=12/48",
        "also.1=<script>alert(1)</script>",
    ],
)
def test_a_bad_link_gives_one_sentence_and_leaves_it_out(query):
    others, sentences = decode_also(query, BIKE)
    assert others == () and len(sentences) == 1 and sentences[0].endswith(".")


def test_a_repeated_place_counts_once():
    others, sentences = decode_also("also.1=12/48&also.1=14/48", BIKE)
    assert [each.pair for each in others] == ["12/48"] and len(sentences) == 1


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "no set-ups"),
        (b"\xff\xfe\x00", "TOML"),
        (b"[[setup]", "TOML"),
        (b"setup = 3", "no set-ups"),
        (b"[[setup]]\nfront = 12\nrear = 48", "tyre"),
        (b'[[setup]]\nfront = true\nrear = 48\ntyre = "4.10-18"', "front"),
        (b'[[setup]]\nfront = 12\nrear = 4800\ntyre = "4.10-18"', "4800"),
        (b'[[setup]]\nfront = 12\nrear = 48\ntyre = "4.10-18"\nrollout = 2.02', "rollout"),
        (b'[[setup]]\nfront = 12\nrear = 48\ntyre = "4.10-18"\nrollout = "9 m"', "roll-out"),
        (b'[[setup]]\nfront = 12\nrear = 48\ntyre = "4.10-18"\ncolour = "red"', "colour"),
        (b"#" * (LARGEST + 1), "1 MB"),
        (b"a = " + b"[" * 5000, "TOML"),
        (write_file([FITTED] * (MOST + 1), "x").encode(), "at most"),
    ],
)
def test_a_bad_file_is_answered_in_sentences(content, said):
    with pytest.raises(RecordError, match=said) as caught:
        read_file(content, BIKE)
    assert all(sentence.endswith(".") for sentence in caught.value.sentences)


def test_all_that_is_wrong_with_a_file_is_said_at_once():
    file = write_file([Fitment(99, 48, "4.10-18"), Fitment(12, 200, "round")], "x")
    with pytest.raises(RecordError) as caught:
        read_file(file.encode(), BIKE)
    assert len(caught.value.sentences) == 3


@given(fitments, st.floats(LIMITS["rollout"].low, LIMITS["rollout"].high))
def test_the_fitted_tyre_has_one_roll_out_unless_the_bike_file_gives_it(others, turn):
    shared = with_one_fitted_tyre(others, BIKE, turn)
    for before, after in zip(others, shared, strict=True):
        on_it = before.tyre == BIKE.tyre.rear
        assert after == (replace(before, rollout=turn) if on_it else before)
    fitted = Fitment.fitted_to(BIKE, *shared)
    assert fitted.rollout == (turn if any(each.tyre == fitted.tyre for each in shared) else None)
    own = BIKE.with_changes({"tyre.rollout": "2.000 m"})
    assert with_one_fitted_tyre(others, own, turn) == others
    assert Fitment.fitted_to(own, *others).rollout == 2.0


def test_a_fitted_pair_outside_the_sold_ones_may_stay():
    bike = BIKE.with_changes({"sprockets.front": "17"})
    assert checked(Fitment.fitted_to(bike), bike).front == 17
