"""Broken bike files: each gives sentences that say what is wrong, and nothing else happens."""

import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.records.bikes.bike import Bike
from explorer.records.errors import RecordError

FOLDER = Path(__file__).parent / "broken_bikes"

# What the one fault of each file must be called, at least.
FAULTS = {
    "absurd-wheelbase": "1340 m.* outside 800 mm to 1900 mm",
    "binary": "not text",
    "cg-beyond-front-axle": "1390 mm .* not between the axles",
    "curve-csv-not-there": "nowhere.csv.* not there",
    "curve-csv-outside-folder": "plain name of a CSV file",
    "curve-csv-with-a-gap": "Line 3 .*gap.csv",
    "curve-csv-without-units": r"engine speed \[rpm\],torque \[N\*m\]",
    "curve-goes-back": "from 1400 rpm to 1200 rpm",
    "curve-of-one-point": "2 to 200 points",
    "curve-short-of-limit": "ends at 9000 rpm, below the rev limit 9500 rpm",
    "curve-starts-above-idle": "begins at 2500 rpm, above the idle speed",
    "decimal-comma": "1,340 m.* comma",
    "eight-gears": "8 gear ratios; give 1 to 7",
    "empty": "is empty",
    "fitted-outside-sold": "18 teeth, outside the 10 to 17",
    "front-and-rear-swapped": "perhaps they are swapped",
    "gears-not-falling": r"gear 4 \(1.52\) is not taller than gear 3 \(1.42\)",
    "idle-above-limit": "idle speed 3500 rpm is not below the rev limit 3000 rpm",
    "latin-1": r"not UTF-8 text \(line 1\)",
    "links-odd": "125 is an odd number of links",
    "missing-section": "mass.bike.* is missing",
    "negative-mass": "-118 kg.* outside 30 kg to 400 kg",
    "nested-lists": "lists within lists",
    "no-unit": '"1.34" has no unit; write for example "1380 mm"',
    "no-rev-limit": r"Rev limit \(engine.rev_limit\) is missing",
    "no-torque": "Neither a torque curve nor a peak is given",
    "torque-too-large": "110 N·m is very large for a bike of 100 kg",
    "not-a-section": '"engine" is a section',
    "provenance-unheard-of": '"factory" is not one of "invented", "measured"',
    "quotation-mark-missing": "Line 31 .*cannot be read as TOML",
    "same-field-twice": "Line 19 .*given before",
    "teeth-with-decimals": '"50.5" is not a whole number of teeth',
    "tyre-without-rim": "100/90.* has no rim diameter",
    "unit-of-another-kind": "is a torque, not a mass",
    "unit-unknown": "accepted are kg, g and lb",
    "unknown-field": '"chassis.wheelbse" is not a field .* "chassis.wheelbase"',
    "utf-16": "UTF-16",
}
WHOLE = (FOLDER.parent / "whole_bike.toml").read_bytes()

JARGON = re.compile(
    r"Traceback|pydantic|validat|Error\b|NoneType|\bdict\b|\bstr\b|\bint\b|tuple|input_value|object"
)


def read(data: bytes) -> Bike:
    return Bike.from_toml(data, lambda name: (FOLDER / name).read_bytes())


def assert_plain(error: RecordError) -> None:
    """Every sentence is plain English with a full stop, and short enough to read."""
    assert error.sentences
    for sentence in error.sentences:
        assert sentence.isprintable() and sentence.endswith("."), sentence
        assert len(sentence) < 300, sentence
        assert not JARGON.search(sentence), sentence


def test_the_file_that_the_broken_ones_were_made_from_is_whole():
    assert read(WHOLE).name == "Broken on purpose"


def test_there_are_at_least_30_broken_files():
    names = {file.stem for file in FOLDER.glob("*.toml")}
    assert names == {*FAULTS, "many-faults-at-once"}
    assert len(names) >= 30


@pytest.mark.parametrize("name", FAULTS)
def test_one_fault_is_said_in_plain_words(name):
    with pytest.raises(RecordError) as caught:
        read((FOLDER / f"{name}.toml").read_bytes())
    assert_plain(caught.value)
    assert any(re.search(FAULTS[name], sentence) for sentence in caught.value.sentences)
    assert len(caught.value.sentences) <= 2, "one fault must not be said many times"


def test_all_faults_of_a_file_are_said_at_once():
    with pytest.raises(RecordError) as caught:
        read((FOLDER / "many-faults-at-once.toml").read_bytes())
    assert_plain(caught.value)
    said = " ".join(caught.value.sentences)
    for path in (
        "engine.idle",
        "chain.size",
        "sprockets.front",
        "tyre.rear",
        "mass.bike",
    ):
        assert f"({path})" in said
    assert len(caught.value.sentences) == 5


def test_a_wrong_field_does_not_hide_a_contradiction_elsewhere():
    text = WHOLE.decode().replace('"1340 mm"', '"1340"').replace("front = 13\n", "front = 18\n")
    with pytest.raises(RecordError) as caught:
        read(text.encode())
    assert len(caught.value.sentences) == 2
    assert "no unit" in str(caught.value) and "18 teeth, outside" in str(caught.value)


def test_a_file_over_1_mb_is_refused_unread():
    with pytest.raises(RecordError, match="larger than 1 MB"):
        read(WHOLE + b"#" * 1_000_000)


def test_byte_order_mark_and_windows_line_ends_are_welcome():
    windows = b"\xef\xbb\xbf" + WHOLE.replace(b"\n", b"\r\n")
    assert read(windows) == read(WHOLE)


def test_an_upload_without_its_curve_says_how_to_bring_it():
    text = WHOLE.decode()
    start, end = text.index("torque_curve"), text.index("\n\n[gearbox]")
    with pytest.raises(RecordError, match="put it beside the bike file, or write"):
        Bike.from_toml((text[:start] + 'torque_curve_file = "a.csv"' + text[end:]).encode())


@pytest.mark.parametrize(
    "hostile",
    [
        "\n".join(f'"a{row}"' + '."a"' * 1200 + " = 1" for row in range(190)),
        "\n".join(f"a{row} = 1" for row in range(50_000)),
        "[engine]\nidle = 0x" + "f" * 4900,
        "engine = 0x" + "f" * 4900,
        "[engine]\ntorque_curve_file = 0x" + "f" * 4900,
        "[engine]\nidle = 1979-05-27T07:32:00Z\nrev_limit = nan\ntorque_curve = {a = 1}",
        "[[engine]]\nidle = '1400 rpm'",
        "[gearbox]\nratios = [true, [1], {}]\nprimary = '3/0'",
        "name = '<script>alert(1)</script>'\nprovenance = '<b>'",
        "[sprockets]\nfront_sold = [1, 2, 3]\nrear_sold = []\nfront = true",
    ],
    ids=range(10),
)
def test_hostile_files_give_sentences_too(hostile):
    with pytest.raises(RecordError) as caught:
        read(hostile.encode())
    assert_plain(caught.value)
    assert len(caught.value.sentences) < 100


@given(st.binary(max_size=200))
def test_any_bytes_give_sentences(data):
    with pytest.raises(RecordError) as caught:
        read(data)
    assert_plain(caught.value)


@given(
    st.integers(0, len(WHOLE)),
    st.integers(0, 30),
    st.sampled_from([b"", b'"', b"=", b"[", b"9", b"\n", b",", b"\xff", b"1e9", b"mm", b"#"]),
)
def test_a_damaged_file_gives_a_bike_or_sentences(start, length, inserted):
    try:
        read(WHOLE[:start] + inserted + WHOLE[start + length :])
    except RecordError as error:
        assert_plain(error)
