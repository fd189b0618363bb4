"""Rides from tables in text: commas, semicolons or tabs, as loggers and spreadsheets write them.

What the columns are called and which units they have is recognised (`csv_columns`), said with the
ride, and may be put right by the rider. Lines that begin with "#" are comments. An empty line
begins a new segment: nothing is computed across it.
"""

import math
from collections.abc import Mapping

from explorer.records.errors import RecordError
from explorer.records.rides.csv_columns import CLOCK, LABELS, CsvColumn, recognise
from explorer.records.rides.csv_table import (
    CsvTable,
    cells_of,
    form_of,
    is_blank,
    lines_of,
    text_of,
)
from explorer.records.rides.ride import Ride
from explorer.records.rides.ride_segments import Recording, check_count, ride_of
from explorer.records.typed_text import quote

EXAMPLE = "time [s],speed [km/h],engine speed [rpm],gear,altitude [m]"

Chosen = Mapping[int, tuple[str, str]]
"""Field and unit that a rider said, by the column's place."""

_MOST_SENTENCES = 5
_MOST_UNREAD = 0.2
"""Share of a column's cells that may be unreadable."""
_DAY = 86400.0


class ColumnsUnclear(RecordError):
    """A table whose columns are not told by names and values; a rider can say them.

    Attributes:
        columns: All of them, with what was recognised.
    """

    def __init__(self, columns: tuple[CsvColumn, ...], *sentences: str) -> None:
        super().__init__(*sentences)
        self.columns = columns


def read_csv_ride(
    label: str, content: bytes, said: Mapping[tuple[str, ...], Chosen] | None = None
) -> Ride:
    r"""Read a ride from a table in text.

    Args:
        said: What a rider said of columns earlier, by the headings of the table.

    Returns: A segment for each block of lines, divided further where the log is silent.

    >>> ride = read_csv_ride("a.csv", b"Time (s);Speed\n;km/h\n0,0;36\n1,0;36\n2,0;36\n")
    >>> ride.segments[0].speed, ride.length
    (array([10., 10., 10.]), 20.0)
    """
    recordings, columns, notes = recordings_of(content, said)
    fields = {each.field for each in columns}
    with_clock = "date" in fields or any(each.is_moment for each in columns)
    return ride_of(label, "CSV", recordings, with_clock, notes, columns)


def recordings_of(
    content: bytes, said: Mapping[tuple[str, ...], Chosen] | None = None
) -> tuple[list[Recording], tuple[CsvColumn, ...], list[str]]:
    """What a table holds, its columns, and what there is to say of it; see `read_csv_ride`."""
    text = text_of(content)
    table, sample = form_of(text)
    chosen = (said or {}).get(table.headings)
    columns = recognise(table.headings, table.unit_row, sample, table.decimal_comma, chosen)
    _check(columns)
    blocks, unread = _blocks(text, table, [each for each in columns if each.field])
    recordings = [_recording(rows, columns) for rows in blocks if rows]
    if not recordings:
        raise RecordError("The file has a header but no points; write one line for each moment.")
    if len(recordings) > 2 and sum(map(len, blocks)) < 1.5 * len(recordings):
        # A blank behind every line divides nothing.
        recordings = [_recording([row for rows in blocks for row in rows], columns)]
    return recordings, columns, [*_notes(columns, table), *unread]


def _check(columns: tuple[CsvColumn, ...]) -> None:
    fields = {column.field for column in columns}
    lacking = []
    if "time" not in fields:
        lacking.append("the time")
    if "speed" not in fields and not {"latitude", "longitude"} <= fields:
        lacking.append("the speed, or latitude and longitude")
    if lacking:
        raise ColumnsUnclear(
            columns,
            f"No column was recognised as {' and none as '.join(lacking)}: name the columns for "
            f'example "{EXAMPLE}", or say which they are.',
        )


def _blocks(
    text: str, table: CsvTable, columns: list[CsvColumn]
) -> tuple[list[list[tuple[float, ...]]], list[str]]:
    """The points between empty lines, and sentences on cells that cannot be read."""
    blocks: list[list[tuple[float, ...]]] = [[]]
    unread: dict[CsvColumn, tuple[int, int, str]] = {}
    points = 0
    for number, line in lines_of(text):
        if number < table.first:
            continue
        if is_blank(line):
            if blocks[-1]:
                blocks.append([])
        elif line[0] != "#":
            points += 1
            check_count(points)
            cells = cells_of(number, line, table.delimiter)
            row = []
            for column in columns:
                cell = cells[column.place] if column.place < len(cells) else ""
                try:
                    row.append(column.read(cell, table.decimal_comma))
                except (ValueError, OverflowError):
                    count, line_number, first = unread.get(column, (0, number, cell))
                    unread[column] = count + 1, line_number, first
                    row.append(math.nan)
            blocks[-1].append(tuple(row))
    return blocks, _unread_sentences(unread, points)


def _unread_sentences(unread: dict[CsvColumn, tuple[int, int, str]], points: int) -> list[str]:
    faults, notes = [], []
    for column, (count, number, cell) in unread.items():
        start = f"Line {number}: the {LABELS[column.field]} {quote(cell)} cannot be read"
        if count > _MOST_UNREAD * points:
            wanted = {CLOCK: "a time such as 9:30:00"}.get(column.unit, "a number")
            if column.is_moment and column.unit:
                wanted = "a moment such as 2031-05-04T09:30:00Z"
            faults.append(
                f"{start}, and {count} of {points} lines are like that; it should be {wanted}."
            )
        else:
            more = f", and {count - 1} more like it" if count > 1 else ""
            notes.append(f"{start}{more}: left out.")
    if faults:
        raise RecordError(*faults[:_MOST_SENTENCES])
    return notes[:_MOST_SENTENCES]


def _recording(rows: list[tuple[float, ...]], columns: tuple[CsvColumn, ...]) -> Recording:
    names = [column.field for column in columns if column.field]
    values = dict(zip(names, map(list, zip(*rows, strict=True)), strict=True))
    days = values.pop("date", None)
    time = next(column for column in columns if column.field == "time")
    if days is not None and not time.is_moment:
        values["time"] = [day + clock for day, clock in zip(days, values["time"], strict=True)]
    elif time.unit == CLOCK:
        values["time"] = _over_midnight(values["time"])
    return Recording.of(**values)


def _over_midnight(times: list[float]) -> list[float]:
    """Times of a clock that run on past midnight."""
    found, days, before = [], 0, -math.inf
    for time in times:
        days += before - time > _DAY / 2
        before = before if math.isnan(time) else time
        found.append(time + _DAY * days)
    return found


def _notes(columns: tuple[CsvColumn, ...], table: CsvTable) -> list[str]:
    notes = []
    aside = [
        column.heading or f"column {column.place + 1}" for column in columns if not column.field
    ]
    if aside:
        named = ", ".join(quote(cell) for cell in aside[:5])
        notes.append(f"Not read: the columns {named}{' and others' if len(aside) > 5 else ''}.")
    if table.before:
        lines = "line" if table.before == 1 else "lines"
        notes.append(f"{table.before} {lines} before the header were passed over.")
    notes += [
        f"The file gives no unit for {quote(column.heading)}; it was read as {column.unit}. Put it "
        "right below the ride if that is wrong."
        for column in columns
        if column.field and column.guessed
    ]
    return notes
