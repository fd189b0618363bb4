"""Tyre sizes: what is read, what is refused, which roll-out is used."""

import math

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from explorer.records.errors import RecordError
from explorer.records.prose import read_table
from explorer.records.tyre import (
    ROLLING_FACTOR,
    ROLLOUT_RANGE,
    common_sizes,
    parse_size,
    rollout,
)

EN_DASH = "\N{EN DASH}"


@pytest.mark.parametrize(
    "text",
    [
        "100/90-19",
        " 100/90 R 19 ",
        "100/90R19",
        "100/90ZR19",
        "100/90-19 M/C 57P",
        "100/90-19M/C 57P TT",
        "100/90 - 19 57M TT",
        "100/90 - 19 m/c (57p) nhs",
        f"100/90{EN_DASH}19",
        "100/90\N{NON-BREAKING HYPHEN}19",
        "100\N{NO-BREAK SPACE}/90-19",
    ],
)
def test_metric_spellings_mean_one_size(text):
    size = parse_size(text)
    assert (size.text, size.kind) == ("100/90-19", "metric")
    assert (size.section_width, size.aspect_ratio) == (0.100, 0.90)
    assert size.rim_diameter == pytest.approx(0.4826, rel=1e-12)
    assert size.circumference == pytest.approx(math.pi * size.overall_diameter, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "plain", "aspect"),
    [
        ("3.00 - 21", "3.00-21", 1.0),
        ("2.75-21 45P", "2.75-21", 1.0),
        ("2,75-21", "2.75-21", 1.0),
        ("3.50 x 18", "3.50-18", 1.0),
        ("4.10-18", "4.10-18", 0.9),
        ("4.10 R18", "4.10-18", 0.9),
        ("4.1-18", "4.10-18", 0.9),
        ("4.10/100-18", "4.10/100-18", 1.0),
        ("4.25/85-18", "4.25/85-18", 0.85),
        ("4.00-18 4PR TT", "4.00-18", 1.0),
    ],
)
def test_inch_code(text, plain, aspect):
    size = parse_size(text)
    assert (size.text, size.aspect_ratio, size.kind) == (plain, aspect, "inch")
    assert "several per cent" in size.note


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("", "No tyre size"),
        ("   ", "No tyre size"),
        ("100/90", "no rim"),
        ("4.10", "no rim"),
        ("100-90/18", "wrong way round"),
        ("100 90 18", "needs a slash"),
        ("100-90-18", "needs a slash"),
        ("10/90-18", "width 10 mm"),
        ("300/90-18", "width 300 mm"),
        ("9.50-18", "width 9.5 in"),
        ("100/9-18", "aspect ratio 9"),
        ("100/90-180", "rim 180"),
        ("100/90-1", "rim 1 inches"),
        ("100/90-19 KNOBBLY", '"KNOBBLY"'),
        ("MT90-16", "letter code"),
        ("100/90-19\0", "cannot be read|marking"),
        ("<script>alert(1)</script>", "cannot be read"),
        ("\N{ARABIC-INDIC DIGIT ONE}00/90-19", "cannot be read"),
        ("1" * 41, "too long"),
        ("100/90-19 " + "RF" * 15 + "!", "too long|marking"),
    ],
)
def test_refused_with_one_sentence(text, word):
    with pytest.raises(RecordError, match=word) as caught:
        parse_size(text)
    (sentence,) = caught.value.sentences
    assert sentence.endswith(".")
    assert "\0" not in sentence


@given(st.text(max_size=60) | st.from_regex(r"[0-9./ RBMCx-]{1,30}", fullmatch=True))
@example("0.00-0")
@example("100/90-19RFRFRFRFRFRFRFRFRFRFRFRFRFRFRF!")
def test_any_text_gives_a_size_or_one_sentence(text):
    try:
        size = parse_size(text)
    except RecordError as error:
        assert len(error.sentences) == 1
        assert len(str(error)) < 220
    else:
        assert 0.25 < size.overall_diameter < 1.2
        assert parse_size(size.text) == size


def test_measured_rollout_wins_and_is_said():
    assert rollout("100/90-19", 2.05).value == 2.05
    assert rollout("100/90-19", 2.05).source == "measured"
    assert "as measured" in rollout("100/90-19", 2.05).sentence
    computed = rollout("100/90-19")
    assert computed.source == "computed from size"
    assert computed.value == parse_size("100/90-19").circumference * ROLLING_FACTOR
    assert "not measured" in computed.sentence


@pytest.mark.parametrize("measured", [0.0, -2.0, 0.79, 2.81, 205.0, math.nan, math.inf])
def test_rollout_that_no_wheel_has_is_refused(measured):
    with pytest.raises(RecordError, match="outside"):
        rollout("100/90-19", measured)


def test_every_row_of_the_table_follows_from_its_size():
    rows = read_table("tyres")
    assert len(rows) >= 20
    for row in rows:
        size = parse_size(row["size"])
        turn = float(row["nominal_circumference_mm"]) / 1000
        # The file prints 0.1 mm.
        diameter = pytest.approx(size.overall_diameter * 1000, abs=0.05001)
        assert float(row["nominal_diameter_mm"]) == diameter
        assert turn == pytest.approx(size.circumference, abs=0.05001e-3)
        assert row["use"]
        assert row["source"]
        assert ROLLOUT_RANGE[0] < turn < ROLLOUT_RANGE[1]
    names = [row["size"] for row in rows]
    assert len(set(names)) == len(names)
    assert sorted([*common_sizes("front"), *common_sizes("rear")]) == sorted(names)
