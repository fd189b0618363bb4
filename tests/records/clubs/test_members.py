"""The table of members' set-ups: what is read, and what every kind of bad cell is told."""

import csv
import io
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.records.clubs.members import COLUMNS, LARGEST, MOST_ROWS, read_members
from explorer.records.errors import RecordError

ROW = {
    "class": "125 trail",
    "gearbox": "5 wide",
    "front": "12",
    "rear": "52",
    "links": "124",
    "axle position [mm]": "14.5",
    "tyre": "4.10-18",
    "roll-out [mm]": "2015",
    "terrain": "woods, hills",
    "verdict": "right",
    "riding [h]": "21.5",
    "month": "2026-05",
    "checked": "checked by GPS",
}
SCRIPT = "<script>alert(1)</script>"


def table(*rows: dict[str, str]) -> bytes:
    written = io.StringIO()
    writer = csv.DictWriter(written, COLUMNS, lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return written.getvalue().encode(errors="replace")


def problems_of(data: bytes) -> tuple[str, ...]:
    with pytest.raises(RecordError) as caught:
        read_members(data)
    return caught.value.sentences


def test_a_row_is_read_in_si_units():
    [setup] = read_members(table(ROW))
    assert (setup.bike_class, setup.gearbox, setup.tyre) == ("125 trail", "5 wide", "4.10-18")
    assert (setup.front, setup.rear, setup.links) == (12, 52, 124)
    # Exactly the digits of the table, in metres.
    assert setup.axle_position == pytest.approx(0.0145, abs=1e-12)
    assert setup.rollout == pytest.approx(2.015, abs=1e-12)
    assert setup.hours == 21.5
    assert setup.month == date(2026, 5, 1)
    assert (setup.verdict, setup.checked) == ("right", "checked by GPS")


def test_what_is_not_known_stays_empty():
    empty = dict.fromkeys(("links", "axle position [mm]", "roll-out [mm]", "riding [h]"), "")
    [setup] = read_members(table(ROW | empty))
    assert setup.links is setup.axle_position is setup.rollout is setup.hours is None


def test_order_of_columns_notes_and_a_mark_at_the_front_do_not_matter():
    columns = sorted(COLUMNS)
    text = "\N{BYTE ORDER MARK}# A note.\n\n" + ",".join(columns) + "\r\n"
    cells = [f'"{ROW[column]}"' for column in columns]
    text += ",".join(cells) + "\r\n  # Another.\r\n"
    assert read_members(text.encode()) == read_members(table(ROW))


def test_a_table_without_rows_is_a_table():
    assert read_members(table()) == ()


@pytest.mark.parametrize(
    ("column", "text"),
    [
        ("class", ""),
        ("class", SCRIPT),
        ("class", "x" * 41),
        ("class", "=1+1"),
        ("gearbox", "8"),
        ("gearbox", "five"),
        ("front", "0"),
        ("front", "12.5"),
        ("front", "-12"),
        ("front", "٣"),
        ("rear", "99999"),
        ("links", "5"),
        ("links", "1e3"),
        ("axle position [mm]", "-1"),
        ("axle position [mm]", "101"),
        ("axle position [mm]", "inf"),
        ("tyre", "large"),
        ("tyre", SCRIPT),
        ("roll-out [mm]", "2.015"),
        ("roll-out [mm]", "nan"),
        ("terrain", ""),
        ("terrain", SCRIPT),
        ("terrain", "at 12 High Street"),
        ("terrain", "a b c d e f g h i"),
        ("verdict", "great"),
        ("riding [h]", "-3"),
        ("month", "2026"),
        ("month", "2026-13"),
        ("month", "2026-05-17"),
        ("month", "1026-05"),
        ("month", "2099-12"),
        ("checked", "yes"),
        ("checked", ""),
    ],
)
def test_each_bad_cell_is_one_sentence_with_its_line(column, text):
    [sentence] = problems_of(table(ROW, ROW | {column: text}))
    assert sentence.startswith(f"line 3, {column}: ")
    assert "write " in sentence
    assert sentence.endswith(".")
    assert len(sentence) < 300


def test_few_but_long_words_are_told_both_limits():
    [sentence] = problems_of(table(ROW | {"terrain": " ".join(["mountainside"] * 5)}))
    assert "at most 8 words and 60 characters" in sentence


@pytest.mark.parametrize("terrain", ["farmer's field", "woods/sand", "woods & hills", "dry (hot)"])
def test_other_signs_in_the_terrain_are_told_to_be_the_matter(terrain):
    [sentence] = problems_of(table(ROW | {"terrain": terrain}))
    assert "nothing but letters with blanks, commas or dashes" in sentence


@pytest.mark.parametrize(("text", "metres"), [("800", 0.8), ("2800", 2.8)])
def test_the_ends_of_a_range_are_accepted(text, metres):
    [setup] = read_members(table(ROW | {"roll-out [mm]": text}))
    assert setup.rollout == pytest.approx(metres)


@pytest.mark.parametrize("column", ["name", "number plate", SCRIPT])
def test_a_column_for_a_person_is_refused(column):
    data = table(ROW).decode().splitlines()
    said = problems_of(f"{data[0]},{column}\n{data[1]},x".encode())
    assert "is not known here; take it out" in said[0]
    assert "no names" in said[0]


def test_a_column_that_is_missing_or_there_twice_is_told():
    said = problems_of(",".join(COLUMNS[1:]).encode())
    assert 'the column "class" is missing.' in said
    said = problems_of(",".join([*COLUMNS, "tyre"]).encode())
    assert any("twice" in sentence for sentence in said)


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "the file is empty"),
        (b"# a note only", "the file is empty"),
        (b"\xff\xfe\x00", "not UTF-8"),
        (b"class\x00", "not text"),
        (b"x" * (LARGEST + 1), "larger than 200 kB"),
        (b'"' + b"x" * 140_000, "is not known here"),
        (";".join(COLUMNS).encode(), "semicolons stand between the cells; save the table as CSV"),
        ("\t".join(COLUMNS).encode(), "tabs stand between the cells"),
        (table(*[ROW] * (MOST_ROWS + 1)), f"keep at most {MOST_ROWS}"),
        (table(ROW)[:-1] + b",one more", "line 2 has 14 cells, the header 13"),
        (table(ROW) + b"12", "line 3 has 1 cells, the header 13"),
    ],
)
def test_a_file_that_is_no_such_table(data, says):
    assert says in problems_of(data)[0]


def test_many_problems_are_told_in_part():
    said = problems_of(table(*[ROW | {"front": "0", "rear": "0"}] * 20))
    assert len(said) == 21
    assert said[-1] == "there are 20 more problems; correct these first."


@given(st.binary(max_size=300))
def test_bytes_never_give_anything_but_sentences(data):
    try:
        read_members(data)
    except RecordError as error:
        assert error.sentences
        assert all(sentence.isprintable() for sentence in error.sentences)


@given(
    st.dictionaries(
        st.sampled_from(COLUMNS),
        st.one_of(
            st.text(max_size=30), st.sampled_from(["1", "9999", "2026-05", "a,b", '"', "\r"])
        ),
        max_size=5,
    )
)
def test_cells_of_any_kind_never_give_anything_but_sentences(cells):
    try:
        found = read_members(table(ROW | cells))
    except RecordError as error:
        assert error.sentences
        assert all(sentence.isprintable() for sentence in error.sentences)
    else:
        for setup in found:
            # What a page shows as text has no room for markup.
            assert not set("<>&=\"'") & set(setup.bike_class + setup.terrain + setup.gearbox)
