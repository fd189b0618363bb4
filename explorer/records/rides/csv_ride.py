"""Rides from CSV files: named columns with their units in the header, for example

    time [s],speed [km/h],engine speed [rpm],gear,altitude [m]

Lines that begin with "#" are comments. An empty line begins a new segment: nothing is computed
across it. A column "time [UTC]" holds dates with times as ISO 8601 writes them. Positions stand in
"latitude [deg]" and "longitude [deg]"; a log without speeds needs them. Columns of other names are
left aside, and that is said.
"""

import csv
import io
import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime

from explorer import units
from explorer.records.errors import RecordError
from explorer.records.rides.ride import Ride
from explorer.records.rides.ride_segments import Recording, check_count, ride_of
from explorer.records.typed_text import quote, tidy

EXAMPLE = "time [s],speed [km/h],engine speed [rpm],gear,altitude [m]"

_UTC = "UTC"
_COLUMNS = {
    "time": ("time", "time", ("s", "ms", "min", _UTC)),
    "speed": ("speed", "speed", ("km/h", "mph", "m/s")),
    "engine speed": ("engine_speed", "engine speed", ("rpm", "rad/s")),
    "gear": ("gear", "", ("",)),
    "altitude": ("altitude", "altitude", ("m", "ft")),
    "latitude": ("latitude", "", ("deg",)),
    "longitude": ("longitude", "", ("deg",)),
}
"""Name in the header: field of a recording, kind of quantity, units that are read."""

_HEADER = re.compile(r"([^\[\]]{1,60}?) ?(?:\[ ?([^\[\]]{0,20}?) ?\])?")
_MOST_SENTENCES = 5
_MOST_COLUMNS = 100
_LONGEST_LINE = 10_000
_MOST_GEARS = 10


@dataclass(frozen=True)
class _Column:
    """One column that is read: its place, its field, and what a number there means in SI."""

    place: int
    field: str
    factor: float
    heading: str
    is_clock: bool

    def read(self, cell: str) -> float:
        """Value of a cell in SI; NaN for an empty one; ValueError if it cannot be read."""
        if not cell:
            return math.nan
        if self.is_clock:
            moment = datetime.fromisoformat(cell)
            return (moment if moment.tzinfo else moment.replace(tzinfo=UTC)).timestamp()
        value = float(cell) * self.factor
        if self.field == "gear" and not (value.is_integer() and 0 <= value <= _MOST_GEARS):
            raise ValueError
        return value if math.isfinite(value) else math.nan


def read_csv_ride(label: str, content: bytes) -> Ride:
    """Read a ride from a CSV file.

    Args:
        label: Name of the file for the reader.
        content: What is in it, UTF-8.

    Returns:
        A segment for each block of lines, divided further where the log is silent.

    Raises:
        RecordError: One sentence for each thing that is wrong, with the number of its line.

    >>> ride = read_csv_ride("a.csv", b"time [s],speed [km/h]\\n0,36\\n1,36\\n2,36\\n")
    >>> ride.segments[0].speed, ride.length
    (array([10., 10., 10.]), 20.0)
    """
    lines = _lines(content)
    header = next(((n, line) for n, line in lines if line.strip(" \t,;") and line[:1] != "#"), None)
    if header is None:
        raise RecordError(f'The file is empty; begin it with a header such as "{EXAMPLE}".')
    delimiter = ";" if header[1].count(";") > header[1].count(",") else ","
    columns, notes = _columns(_cells(*header, delimiter))
    blocks: list[list[tuple[float, ...]]] = [[]]
    faults: list[str] = []
    points = 0
    for number, line in lines:
        if not line.strip(" \t,;"):
            if blocks[-1]:
                blocks.append([])
        elif line[0] != "#":
            points += 1
            check_count(points)
            blocks[-1].append(_row(number, _cells(number, line, delimiter), columns, faults))
            if len(faults) >= _MOST_SENTENCES:
                raise RecordError(*faults)
    if faults:
        raise RecordError(*faults)
    names = [column.field for column in columns]
    recordings = [
        Recording.of(**dict(zip(names, zip(*rows, strict=True), strict=True)))
        for rows in blocks
        if rows
    ]
    if not recordings:
        raise RecordError("The file has a header but no points; write one line for each moment.")
    with_clock = any(column.is_clock for column in columns)
    return ride_of(label, "CSV", recordings, with_clock, notes)


def _lines(content: bytes) -> Iterator[tuple[int, str]]:
    """Number and text of each line, one at a time."""
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise RecordError(
            "The file is neither GPX nor FIT, and not UTF-8 text either; export the ride as GPX, "
            "FIT or CSV in UTF-8."
        ) from None
    if "\x00" in text:
        raise RecordError("The file is no text but something else; bring a GPX, FIT or CSV file.")
    # Not all lines at once: a file of nothing but line ends would take half a gigabyte.
    return ((n, line.rstrip("\n")) for n, line in enumerate(io.StringIO(text, newline=None), 1))


def _cells(number: int, line: str, delimiter: str) -> list[str]:
    if len(line) > _LONGEST_LINE:
        raise RecordError(f"Line {number} is longer than {_LONGEST_LINE} characters; shorten it.")
    try:
        return [cell.strip() for cell in next(csv.reader([line], delimiter=delimiter, strict=True))]
    except csv.Error:
        raise RecordError(
            f"Line {number} has a quotation mark that is not closed; take it out."
        ) from None


def _columns(header: list[str]) -> tuple[list[_Column], list[str]]:
    """The columns that are read, and a note on the others."""
    columns: list[_Column] = []
    aside: list[str] = []
    faults: list[str] = []
    for place, cell in enumerate(header[:_MOST_COLUMNS]):
        match = _HEADER.fullmatch(tidy(cell))
        name = match[1].lower() if match else ""
        if name not in _COLUMNS:
            aside.append(cell)
            continue
        field, kind, accepted = _COLUMNS[name]
        unit = next((each for each in accepted if each.lower() == (match[2] or "").lower()), None)
        if unit is None:
            faults.append(
                f"The column {quote(name)} needs its unit behind it: write "
                f"{' or '.join(f'[{each}]' for each in accepted)}."
                if accepted != ("",)
                else f"The column {quote(name)} is a plain number; take its unit away."
            )
        elif any(column.field == field for column in columns):
            faults.append(f"The column {quote(name)} comes twice; keep one of them.")
        else:
            is_clock = unit == _UTC
            factor = units.to_si(f"1 {unit}", kind) if kind and not is_clock else 1.0
            columns.append(_Column(place, field, factor, name, is_clock))
    fields = {column.field for column in columns}
    if not faults and "time" not in fields:
        faults.append('The column "time [s]" is missing; every point needs its time.')
    if not faults and "speed" not in fields and not {"latitude", "longitude"} <= fields:
        faults.append(
            'The file has neither a column "speed [km/h]" nor "latitude [deg]" and '
            '"longitude [deg]"; add the one or the others.'
        )
    if faults:
        raise RecordError(*faults, f'The header of a ride is for example "{EXAMPLE}".')
    named = ", ".join(quote(cell) for cell in aside[:5])
    more = " and others" if len(aside) > 5 else ""
    notes = [f"Not read: the columns {named}{more}."] if aside else []
    return columns, notes


def _row(
    number: int, cells: list[str], columns: list[_Column], faults: list[str]
) -> tuple[float, ...]:
    """One point in SI; what cannot be read is added to the faults."""
    values = []
    for column in columns:
        cell = cells[column.place] if column.place < len(cells) else ""
        try:
            values.append(column.read(cell))
        except (ValueError, OverflowError):
            faults.append(
                f"Line {number}: the {column.heading} {quote(cell)} cannot be read; write a number "
                "with a decimal point."
                if not column.is_clock
                else f"Line {number}: the time {quote(cell)} cannot be read; write it like "
                "2031-05-04T09:30:00Z."
            )
            values.append(math.nan)
    return tuple(values)
