"""Entries and files of the logbook: round trips, hostile files, no formula in a spreadsheet."""

import csv
import io
import json
import string
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from explorer.records.errors import RecordError
from explorer.records.logbook.entry import Kept, LogEntry, read_field
from explorer.records.logbook.logbook_fields import LOG_FIELD, LOG_FIELDS
from explorer.records.logbook.logbook_file import LARGEST, read_file, write_csv, write_json

FULL = {field.name: field.example for field in LOG_FIELDS} | {"slack": "40 mm"}

words = st.text(
    alphabet=st.one_of(
        st.sampled_from("=+-@'\";,＝＋－＠ \n"),
        st.characters(codec="utf-8", exclude_categories=["C", "Z"]),
    ),
    max_size=80,
)
entries = st.fixed_dictionaries(
    {
        "date": st.dates(min_value=date(1950, 1, 1), max_value=date(2199, 12, 31)).map(str),
        "bike": words.map("{}x".format),
        "front": st.integers(8, 19).map(str),
        "rear": st.integers(20, 80).map(str),
    },
    optional={
        "note": words,
        "results": words,
        "weather": words,
        "slack": st.integers(0, 200).map("{} mm".format),
        "hours": st.integers(0, 9999).map("{}.5 h".format),
        "verdict": st.sampled_from(LOG_FIELD["verdict"].choices),
    },
)


def made(texts):
    """An entry, or None where the words cannot be kept."""
    try:
        return LogEntry.of(texts)
    except RecordError:
        return None


def test_every_example_is_accepted_and_kept():
    assert dict(LogEntry.of(FULL).texts) == FULL


@settings(max_examples=150)
@given(st.lists(entries, max_size=4))
def test_files_round_trip(given_texts):
    kept = [
        Kept(f"{number:032x}", 1, entry)
        for number, entry in enumerate(filter(None, map(made, given_texts)))
    ]
    expected = [(each.entry_id, each.entry) for each in kept]
    assert read_file(write_json(kept).encode()) == expected
    assert read_file(write_csv(kept).encode()) == expected


@settings(max_examples=100)
@given(entries)
def test_reading_an_entry_again_changes_nothing(texts):
    entry = made(texts)
    if entry is not None:
        assert LogEntry.of(entry.texts) == entry


@settings(max_examples=150)
@given(words)
def test_no_cell_is_a_formula(text):
    """OWASP, CSV Injection: cells beginning with = + - @, tab or line break, full width too."""
    entry = made({**FULL, "note": text})
    if entry is None:
        return
    rows = csv.reader(io.StringIO(write_csv([Kept("a" * 32, 1, entry)]), newline=""))
    for row in list(rows)[1:]:
        assert not any(cell[:1] in tuple("=+-@\t\r\n＝＋－＠") and cell for cell in row)


def test_a_spreadsheet_may_save_with_semicolons_and_a_byte_order_mark():
    kept = [Kept("a" * 32, 1, LogEntry.of(FULL))]
    table = list(csv.reader(io.StringIO(write_csv(kept))))
    text = io.StringIO()
    csv.writer(text, delimiter=";").writerows(table)
    assert read_file(text.getvalue().encode("utf-8-sig")) == [("a" * 32, kept[0].entry)]


def test_a_handmade_csv_needs_few_columns():
    data = b"date,bike,front,rear\n2026-05-01,Trail bike,13,50\n\n2026-06-01,Trail bike,14,50\n"
    assert [entry["front"] for _, entry in read_file(data)] == ["13", "14"]


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "empty"),
        (b"  \n ", "empty"),
        (b"PK\x03\x04\0\0\0", "not text"),
        ("date,bike\n2026-05-01,Gel\xe4nde".encode("latin-1"), "not UTF-8"),
        (b"x" * (LARGEST + 1), "larger than 5 MB"),
        (b"[" * 200_000, "JSON"),
        (b'{"format": "gearing-explorer-logbook", "version": 1, "entries": [[1]]}', "not texts"),
        (b'{"format": "gearing-explorer-logbook", "version": 2, "entries": []}', "another version"),
        (b'{"format": "recipes"}', "no logbook"),
        (b'{"a": NaN', "JSON"),
        (b"one,two\n1,2\n", "columns"),
        (b"date,date\n1,2\n", "columns"),
        (b'date,bike,front,rear\n2026-05-01,"Trail\n', "CSV"),
        (b"date,bike,front,rear\n2026-05-01,a,13,50,60\n", "more cells"),
        (b"date,bike,front,rear\nyesterday,a,13,50\n", "Entry 1: Date"),
        (b"date,bike,front,rear\n" + b"x,a,1,5\n" * 4000, "more problems"),
        (b"date,bike,front,rear\n" + b"2026-05-01,a,13,50\n" * 5001, "at most 5000"),
        (b"<?xml version='1.0'?><gpx/>", "columns"),
        (b"date,bike,note\n2026-05-01,a," + b"y" * 200_000, "CSV|characters"),
    ],
)
def test_hostile_files_get_sentences(data, words):
    with pytest.raises(RecordError, match=words) as refused:
        read_file(data)
    assert len(refused.value.sentences) <= 22
    assert all(len(sentence) < 300 for sentence in refused.value.sentences)


@settings(max_examples=200)
@given(st.one_of(st.binary(max_size=300), st.text(string.printable, max_size=300).map(str.encode)))
def test_any_bytes_are_read_or_refused(data):
    try:
        read_file(data)
    except RecordError as error:
        assert all(sentence.endswith(".") for sentence in error.sentences)


@pytest.mark.parametrize(
    ("name", "text", "words"),
    [
        ("date", "01.05.2026", "not a date"),
        ("date", "2026-02-30", "not a date"),
        ("date", "0001-01-01", "not a date"),
        ("front", "13.5", "whole number"),
        ("front", "130", "whole number"),
        ("front", "١٣", "whole number"),
        ("slack", "40", "no unit"),
        ("slack", "banana", 'write for example "… mm" or "… in"'),
        ("slack", "4 m", "outside"),
        ("verdict", "great", "not one of"),
        ("hours", "many", "hours"),
        ("setup", "javascript:alert(1)", "not a link"),
        ("setup", '?a="onload="x', "not a link"),
        ("setup", "//elsewhere.example/?x", "not a link"),
        ("bike", "a" * 121, "at most 120"),
        ("note", "a\x00b", "control characters"),
    ],
)
def test_what_a_field_refuses(name, text, words):
    with pytest.raises(RecordError, match=words):
        read_field(LOG_FIELD[name], text)


def test_everything_wrong_is_said_at_once():
    with pytest.raises(RecordError) as refused:
        LogEntry.of({"front": "50", "rear": "20", "plate": "x", "slack": "40"})
    assert len(refused.value.sentences) == 5


def test_swapped_teeth_are_said():
    with pytest.raises(RecordError, match="swapped"):
        LogEntry.of({**FULL, "front": "24", "rear": "22"})


def test_json_keeps_everything_readable():
    document = json.loads(write_json([Kept("a" * 32, 3, LogEntry.of(FULL))]))
    assert document["entries"][0] == {"entry": "a" * 32, **FULL}
