"""What each column of a ride's table means: by its name, by its unit, and by its values.

Loggers agree on nothing: units stand in brackets, behind the name, in a second row or nowhere, and
times count from the start, from 1970, or are those of a clock. What is recognised is said with how,
so that a rider can put it right.
"""

import math
import re
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import UTC, datetime

import numpy as np

from explorer.records.prose import read_prose
from explorer.records.typed_text import tidy
from explorer.units import KMH, MPH, RPM

CLOCK, MOMENT = "h:min:s", "date and time"
SINCE_1970 = {"s since 1970": 1.0, "ms since 1970": 1e-3}
MOST_GEARS = 10

UNITS: dict[str, dict[str, float]] = {
    "time": {"s": 1.0, "ms": 1e-3, "min": 60.0, "us": 1e-6, **SINCE_1970, CLOCK: 1.0, MOMENT: 1.0},
    "date": {"": 86400.0},
    "speed": {"km/h": KMH, "mph": MPH, "m/s": 1.0, "kn": 1852 / 3600},
    "engine_speed": {"rpm": RPM, "rad/s": 1.0, "rev/s": 2 * math.pi},
    "gear": {"": 1.0},
    "altitude": {"m": 1.0, "ft": 0.3048},
    "latitude": {"deg": 1.0, "1e-7 deg": 1e-7},
    "longitude": {"deg": 1.0, "1e-7 deg": 1e-7},
}
"""Units that a field may come in, and one of each in SI (positions in degrees). Mile, knot and foot
are exact by definition (NIST Special Publication 811, appendix B, from memory)."""

LABELS = {field: field.replace("_", " ") for field in UNITS}

_HEADINGS = read_prose("ride_columns")
_UNIT_OF = {
    each: unit for unit, spellings in _HEADINGS["units"].items() for each in spellings.split()
}
_UNIT_OF |= {unit.replace(" ", ""): unit for units in UNITS.values() for unit in units if unit}

_FIELD_OF = {name: field for field, names in _HEADINGS["names"].items() for name in names.split()}
_ITS_OWN_UNIT = _HEADINGS["unit_in_name"]
_FILLERS = set(_HEADINGS["fillers"]["words"].split())
_BRACKETED = re.compile(r"(.{0,80}?)[ _]*[\[(<{] ?([^\[\](){}<>]{0,20}?) ?[\])>}][ .:]*")
_MISSING = {"", "-", "--", "---", "n/a", "na", "null", "none", "nan", "?", "#n/a"}
_TIME = re.compile(r"(?:(\d{1,3}):)?(\d{1,2}):(\d{1,2}(?:[.,]\d{1,9})?)")
_DAY = re.compile(r"(\d{1,4})[./-](\d{1,2})[./-](\d{1,4})")
_NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d{1,3})?")
_SOME = 0.8
_LATEST, _EARLIEST = 5e9, 3e8
"""Seconds since 1970 of any log of a ride: 1979 to 2128."""


@dataclass(frozen=True)
class CsvColumn:
    """One column of a table, and what it is taken for.

    Attributes:
        place: From 0.
        heading: As it stands in the file.
        field: One of `UNITS`; empty if the column is left aside.
        unit: One of the field's units.
        how: "name", "values" or "rider": where the meaning is from.
        guessed: Whether the unit stands nowhere and is a guess.
        example: A cell of it.
    """

    place: int
    heading: str
    field: str = ""
    unit: str = ""
    how: str = ""
    guessed: bool = False
    example: str = ""

    @property
    def is_moment(self) -> bool:
        """Whether its times are those of a calendar."""
        return self.unit == MOMENT or self.unit in SINCE_1970

    def read(self, cell: str, decimal_comma: bool) -> float:
        """Value of a cell in SI; NaN for an empty one; ValueError if it cannot be read."""
        if cell.lower() in _MISSING:
            return math.nan
        if self.field == "date":
            return day_of(cell)
        if self.unit == MOMENT:
            return moment_of(cell)
        if self.unit == CLOCK:
            return clock_of(cell)
        value = number_of(cell, decimal_comma) * UNITS[self.field][self.unit]
        if self.field == "gear" and not (value.is_integer() and 0 <= value <= MOST_GEARS):
            raise ValueError
        return value if math.isfinite(value) else math.nan


def number_of(cell: str, decimal_comma: bool = False) -> float:
    """A number with a decimal point or comma; ValueError if it is none, here and below.

    >>> number_of("1.234,5", decimal_comma=True), number_of("-1e-3")
    (1234.5, -0.001)
    """
    if decimal_comma and "," in cell:
        cell = cell.replace(".", "").replace(",", ".")
    if not _NUMBER.fullmatch(cell):
        raise ValueError
    return float(cell)


def clock_of(cell: str) -> float:
    """Seconds of a time such as 9:30:00.5 or 30:00.5.

    >>> clock_of("9:30:00.5"), clock_of("30:00,5")
    (34200.5, 1800.5)
    """
    match = _TIME.fullmatch(cell.strip())
    if match is None:
        raise ValueError
    hours, minutes, seconds = match.groups()
    return 3600.0 * int(hours or 0) + 60.0 * int(minutes) + float(seconds.replace(",", "."))


def day_of(cell: str) -> float:
    """Seconds from 1970 to the begin of a day; day before month unless it cannot be so.

    >>> day_of("2031-05-04") == day_of("04.05.2031")
    True
    """
    match = _DAY.fullmatch(cell.strip())
    if match is None:
        raise ValueError
    first, second, third = (int(each) for each in match.groups())
    if first > 31:
        year, month, day = first, second, third
    else:
        year, month, day = third, second, first
        if month > 12:
            month, day = day, month
    return datetime(year + 2000 * (year < 100), month, day, tzinfo=UTC).timestamp()


def moment_of(cell: str) -> float:
    """Seconds from 1970 to a date with a time; without a zone it is taken for UTC.

    >>> moment_of("2031-05-04T09:30:00Z") == moment_of("04.05.2031 9:30:00")
    True
    """
    try:
        moment = datetime.fromisoformat(cell)
        return (moment if moment.tzinfo else moment.replace(tzinfo=UTC)).timestamp()
    except ValueError:
        day, _, clock = cell.replace("T", " ").replace(", ", " ").partition(" ")
        return day_of(day) + clock_of(clock.removesuffix("Z").removesuffix(" UTC"))


def known_unit(text: str) -> str | None:
    """The unit that a text spells, None for none.

    >>> known_unit("1/min"), known_unit("HH:MM:SS"), known_unit("colour")
    ('rpm', 'h:min:s', None)
    """
    return _UNIT_OF.get(tidy(text).lower().replace(" ", "").strip("[]()<>"))


def named(heading: str) -> tuple[str, str | None]:
    """Field and unit that a heading names; an empty field for none, None for no unit.

    >>> named("Speed (km/h)"), named("gps_speed_kmh"), named("RPM"), named("Remarks")
    (('speed', 'km/h'), ('speed', 'km/h'), ('engine_speed', 'rpm'), ('', None))
    """
    text = tidy(heading)[:100].lower()
    unit = None
    match = _BRACKETED.fullmatch(text)
    if match is not None:
        unit = known_unit(match[2])
        text = match[1] if unit is not None or not match[2] else f"{match[1]} {match[2]}"
    field = _field_of(text)
    if field:
        own = _ITS_OWN_UNIT.get(re.sub("[^a-z]", "", text))
        return field, _fitting(unit, field) or own
    # The unit behind the name: "speed km/h", "speed_kmh".
    name, _, last = re.sub("[ _]+", " ", text).rpartition(" ")
    field, unit = _field_of(name), known_unit(last)
    if field and _fitting(unit, field):
        return field, unit
    return "", None


def _fitting(unit: str | None, field: str) -> str | None:
    return unit if unit is not None and unit in UNITS[field] else None


def _field_of(text: str) -> str:
    words = [word for word in re.split("[^a-z0-9]+", text) if word]
    whole = "".join(words)
    plain = "".join(word for word in words if word not in _FILLERS)
    return _FIELD_OF.get(whole) or _FIELD_OF.get(plain) or ""


def recognise(
    headings: Sequence[str],
    unit_row: Sequence[str],
    sample: Sequence[Sequence[str]],
    decimal_comma: bool,
    chosen: Mapping[int, tuple[str, str]] | None = None,
) -> tuple[CsvColumn, ...]:
    """What each column means.

    Args:
        headings: One for each column.
        unit_row: Units of a row of their own; may be shorter.
        sample: Cells of some rows.
        decimal_comma: Whether numbers have a decimal comma.
        chosen: Field and unit that a rider said, by the column's place.

    Returns: As many as headings; each field once.
    """
    columns = []
    for place, heading in enumerate(headings):
        cells = [row[place] for row in sample if place < len(row)]
        filled = [cell for cell in cells if cell.lower() not in _MISSING]
        column = CsvColumn(place, heading, example=filled[0][:40] if filled else "")
        if chosen and place in chosen:
            field, unit = chosen[place]
            columns.append(_with(column, field, unit, "rider"))
            continue
        field, unit = named(heading)
        if field:
            second = known_unit(unit_row[place]) if place < len(unit_row) else None
            columns.append(
                _by_values(column, field, unit or _fitting(second, field), filled, decimal_comma)
            )
        else:
            columns.append(column)
    columns = _each_once(columns)
    if not any(column.field == "time" for column in columns):
        columns = _time_by_values(columns, sample, decimal_comma)
    if not {"speed", "latitude", "longitude"} & {column.field for column in columns}:
        columns = _places_by_values(columns, sample, decimal_comma)
    return tuple(_speed_unit(column, columns, sample, decimal_comma) for column in columns)


def _with(
    column: CsvColumn, field: str, unit: str = "", how: str = "", guessed: bool = False
) -> CsvColumn:
    return replace(column, field=field, unit=unit, how=how, guessed=guessed)


def _values(read: Callable[[str], float], cells: Sequence[str]) -> np.ndarray:
    """What a reader makes of each cell; NaN where it cannot."""
    found = []
    for cell in cells:
        try:
            found.append(read(cell))
        except (ValueError, OverflowError):
            found.append(math.nan)
    return np.array(found)


def _share(read: Callable[[str], float], cells: Sequence[str]) -> float:
    """Share of cells that a reader can read."""
    return float(np.isfinite(_values(read, cells)).mean()) if cells else 0.0


def _numbers(cells: Sequence[str], decimal_comma: bool) -> np.ndarray:
    return _values(lambda cell: number_of(cell, decimal_comma), cells)


def _by_values(
    column: CsvColumn, field: str, unit: str | None, filled: list[str], decimal_comma: bool
) -> CsvColumn:
    """A column whose field is known by its name, and its unit by its name or its values."""
    guessed = unit is None
    if field == "time":
        told = _time_unit(filled, decimal_comma, unit)
        return _with(column, field, told, "name", guessed and told in ("s", "ms", "us"))
    if unit is None:
        unit = next(iter(UNITS[field]))
        guessed = field not in ("gear", "date", "latitude", "longitude")
    if field in ("latitude", "longitude"):
        values = _numbers(filled, decimal_comma)
        values = values[np.isfinite(values)]
        if values.size and np.abs(values).max() > 1e4:
            unit = "1e-7 deg"
    return _with(column, field, unit, "name", guessed)


def _time_unit(filled: list[str], decimal_comma: bool, unit: str | None) -> str:
    values = _numbers(filled, decimal_comma)
    if filled and np.isfinite(values).mean() < _SOME:
        clock, moment = _share(clock_of, filled), _share(moment_of, filled)
        if max(clock, moment) > 0:
            return CLOCK if clock >= moment else MOMENT
    values = values[np.isfinite(values)]
    if not values.size or (unit in UNITS["time"] and unit not in ("s", "ms", CLOCK, MOMENT)):
        return unit or "s"
    largest = float(np.abs(values).max())
    for name, factor in SINCE_1970.items():
        if _EARLIEST <= largest * factor <= _LATEST and unit in (None, name.split()[0], MOMENT):
            return name
    if unit in ("s", "ms"):
        return unit
    steps = np.diff(values)
    usual = float(np.median(steps[steps > 0])) if (steps > 0).any() else 1.0
    whole = bool(np.all(values == np.round(values)))
    if whole and usual >= 10_000:
        return "us"
    return "ms" if whole and usual >= 20 else "s"


def _each_once(columns: list[CsvColumn]) -> list[CsvColumn]:
    """Of several columns for one field the rider's, then one with its unit, then the first."""

    def rank(column: CsvColumn) -> tuple[bool, bool]:
        return column.how == "rider", not column.guessed and bool(column.example)

    best: dict[str, CsvColumn] = {}
    for column in columns:
        if column.field not in best or rank(column) > rank(best[column.field]):
            best[column.field] = column
    return [
        column if not column.field or best[column.field] is column else _with(column, "")
        for column in columns
    ]


def _time_by_values(
    columns: list[CsvColumn], sample: Sequence[Sequence[str]], decimal_comma: bool
) -> list[CsvColumn]:
    """Without a column named so: the first whose values run on like times."""
    for column in columns:
        if column.field or column.how == "rider":
            continue
        cells = [row[column.place] for row in sample if column.place < len(row)]
        if len(cells) < 3:
            continue
        values = _numbers(cells, decimal_comma)
        runs_on = np.isfinite(values).all() and np.all(np.diff(values) > 0)
        if runs_on or max(_share(clock_of, cells), _share(moment_of, cells)) >= _SOME:
            unit = _time_unit(cells, decimal_comma, None)
            found = _with(column, "time", unit, "values", unit in ("s", "ms", "us"))
            return [found if each is column else each for each in columns]
    return columns


def _places_by_values(
    columns: list[CsvColumn], sample: Sequence[Sequence[str]], decimal_comma: bool
) -> list[CsvColumn]:
    """Without speeds and named positions: two columns that run as positions in degrees do."""
    found = []
    for column in columns:
        cells = [row[column.place] for row in sample if column.place < len(row)]
        values = _numbers(cells, decimal_comma)
        fine = [len(cell.replace(",", ".").partition(".")[2]) >= 4 for cell in cells]
        if column.field or column.how == "rider" or len(cells) < 3 or np.mean(fine) < _SOME:
            continue
        near = np.isfinite(values).all() and np.abs(np.diff(values)).max() < 0.05
        if near and np.abs(values).max() <= (180 if found else 90):
            found.append(column)
    if len(found) != 2:
        return columns
    names = dict(zip(found, ("latitude", "longitude"), strict=True))
    return [
        _with(each, names[each], "deg", "values") if each in names else each for each in columns
    ]


def _speed_unit(
    column: CsvColumn,
    columns: Sequence[CsvColumn],
    sample: Sequence[Sequence[str]],
    decimal_comma: bool,
) -> CsvColumn:
    """A speed without a unit, by the positions beside it where there are any."""
    by_field = {each.field: each for each in columns if each.field}
    if not (
        column.field == "speed" and column.guessed and {"latitude", "longitude"} <= set(by_field)
    ):
        return column
    rows = []
    for row in sample:
        with suppress(KeyError, IndexError, ValueError, OverflowError):
            beside = [by_field[name] for name in ("time", "latitude", "longitude")]
            places = [each.read(row[each.place], decimal_comma) for each in beside]
            rows.append([*places, number_of(row[column.place], decimal_comma)])
    if len(rows) < 6:
        return column
    time, north, east, said = np.array(rows).T
    with np.errstate(all="ignore"):
        metre = 111_200.0  # of a degree of latitude, within half a per cent
        step = metre * np.hypot(np.diff(north), np.diff(east) * np.cos(np.deg2rad(north[1:])))
        ratio = said[1:] / (step / np.diff(time))
    ratio = ratio[np.isfinite(ratio) & (ratio > 0) & (step > 1.0)]
    if ratio.size < 5:
        return column
    usual = float(np.median(ratio))
    off = {unit: abs(math.log(usual * factor)) for unit, factor in UNITS["speed"].items()}
    unit = min(off, key=off.get)
    return _with(column, "speed", unit, "values") if off[unit] < 0.1 else column
