"""Typed tables: values in SI by hand, a sentence for each slip. No source: our own rules."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.records.errors import RecordError
from explorer.records.rides.typed_runs import (
    MOST_ROWS,
    HillRun,
    read_hill,
    read_marked_speed,
    read_rows,
    read_timed_runs,
    read_times,
)

ROLL_ON = {
    "gear": "3",
    "from": "30 km/h",
    "to": "60 km/h",
    "there": "5.2 s, 5.4 s",
    "back": "4.9, 5.1 s",
}


def test_a_marked_speed_in_si():
    read = read_marked_speed(
        {"gear": "4", "engine_speed": "6000 rpm", "indicated": "40 mph", "gps": "60 km/h"}, 5
    )
    assert read.gear == 4
    assert read.engine_speed == pytest.approx(6000 * math.pi / 30)
    assert read.indicated == pytest.approx(40 * 1609.344 / 3600)
    assert read.gps == pytest.approx(60 / 3.6)


def test_a_coast_down_needs_no_gear_and_falls():
    row = {"from": "80 km/h", "to": "40 km/h", "there": "12 s", "back": "13.5 s"}
    runs = read_timed_runs(row, 5, coasting=True)
    assert (runs.gear, runs.there, runs.back, runs.resolution) == (None, (12.0,), (13.5,), 0.1)


@pytest.mark.parametrize(
    ("text", "times", "step"),
    [
        ("5 s", (5.0,), 1.0),
        ("5,1 s", (5.1,), 0.1),
        ("3,1 s, 3,2 s, 3,0 s", (3.1, 3.2, 3.0), 0.1),
        ("5,1/5,25 s", (5.1, 5.25), 0.01),
        ("5.1,5.3 s", (5.1, 5.3), 0.1),
        ("12, 13 s", (12.0, 13.0), 1.0),
        ("5.20; 5.4; 5.31 s", (5.2, 5.4, 5.31), 0.01),
        ("5200 ms", (5.2,), 0.001),
        ("0.1 min", (6.0,), 6.0),
        ("3,9 4,1 4.0 s", (3.9, 4.1, 4.0), 0.1),
        ("3,9; 4,1 s", (3.9, 4.1), 0.1),
        ("3.9 4.1 4 s", (3.9, 4.1, 4.0), 0.1),
        ("3,9 s,4,1 s", (3.9, 4.1), 0.1),
    ],
)
def test_times_and_their_resolution(text, times, step):
    read, resolution = read_times("There", text)
    assert read == pytest.approx(times)
    assert resolution == pytest.approx(step)


@pytest.mark.parametrize(
    ("text", "unclear"),
    [
        ("5,1,5,3 s", "5,1,5,3 s"),
        ("12,13,14 s", "12,13,14 s"),
        ("5.1, 5,5 s", "5,5 s"),
        ("5.1,5.3 6,1 s", "6,1 s"),
    ],
)
def test_commas_that_can_be_read_in_two_ways_are_asked_back(text, unclear):
    with pytest.raises(RecordError, match=f'"{unclear}" can be read in two ways; put a semicolon'):
        read_times("There", text)


def test_a_half_is_no_two_runs_and_minutes_with_seconds_are_no_two_either():
    for text in ("5 1/2 s", "2 min 30 s"):
        with pytest.raises(RecordError):
            read_times("There", text)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"gear": "6"}, "one of the 5 gears"),
        ({"gear": "third"}, "one of the 5 gears"),
        ({"from": "30"}, "From: .*has no unit"),
        ({"to": "20 km/h"}, "swap its two speeds"),
        ({"there": ""}, "There: no time"),
        ({"there": "fast"}, "There: "),
        ({"there": "5.2, 5.3"}, "There: .*no unit"),
        ({"back": "0 s"}, "Back: .*outside"),
        ({"back": "nan s"}, "Back: "),
        ({"back": ", ".join(["5 s"] * 13)}, "at most 12"),
    ],
)
def test_what_a_roll_on_refuses(change, words):
    with pytest.raises(RecordError, match=words):
        read_timed_runs({**ROLL_ON, **change}, 5)


def test_all_slips_of_a_table_are_said_with_their_rows():
    rows = [ROLL_ON, dict.fromkeys(ROLL_ON, " "), {**ROLL_ON, "gear": "9", "from": "slow"}]
    with pytest.raises(RecordError) as refused:
        read_rows(rows, lambda row: read_timed_runs(row, 5))
    assert [sentence.split(":")[0] for sentence in refused.value.sentences] == ["Row 3", "Row 3"]
    assert len(read_rows(rows[:2], lambda row: read_timed_runs(row, 5))) == 1
    with pytest.raises(RecordError, match=f"at most {MOST_ROWS}"):
        read_rows([ROLL_ON] * 31, lambda row: read_timed_runs(row, 5))


def test_hills():
    assert read_hill({"gear": "2", "slope": "18 %", "held": "Yes"}, 5) == HillRun(2, 0.18, True)
    with pytest.raises(RecordError) as refused:
        read_hill({"gear": "0", "slope": "18", "held": "nearly"}, 5)
    assert len(refused.value.sentences) == 3


@given(st.dictionaries(st.sampled_from(list(ROLL_ON)), st.text(max_size=60)))
def test_any_text_is_read_or_answered(texts):
    for coasting in (False, True):
        try:
            read_timed_runs({**ROLL_ON, **texts}, 5, coasting)
        except RecordError as error:
            assert all(sentence.endswith(".") for sentence in error.sentences)
