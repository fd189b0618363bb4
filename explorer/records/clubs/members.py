"""What a club's members ride: a table that the club keeps, without names of people or plates."""

import csv
import re
from dataclasses import dataclass
from datetime import date
from functools import partial

from explorer import units
from explorer.records.errors import Problems, RecordError
from explorer.records.setups.setup_fields import LIMITS
from explorer.records.typed_text import quote, tidy
from explorer.records.tyre import parse_size

LARGEST = 200_000
"""Bytes of the largest file that is read [count]."""

MOST_ROWS = 1000

VERDICTS = ("right", "too short", "too tall", "mixed")
CHECKS = ("reported", "checked by GPS")

_MAY_BE_EMPTY = ("links", "axle position [mm]", "roll-out [mm]", "riding [h]")
_MOST_SENTENCES = 20
_ROUNDING = 1e-9
_CLASS = re.compile(r"[A-Za-z0-9][A-Za-z0-9 .-]{0,39}")
_GEARBOX = re.compile(r"[1-7](?: (?:close|wide))?")
_TERRAIN = re.compile(r"[^\W\d_][^\W\d_]*(?:[ ,-]{1,2}[^\W\d_]+){0,7}")
_WHOLE = re.compile(r"[0-9]{1,4}")
_DECIMAL = re.compile(r"[0-9]{1,4}(?:\.[0-9]{1,2})?")
_MONTH = re.compile(r"20[0-9]{2}-(?:0[1-9]|1[0-2])")


@dataclass(frozen=True)
class MemberSetup:
    """One row: what somebody rides and what came of it.

    Attributes:
        bike_class: The id of a bike of the club, or a class in words, for example "125 trail".
        gearbox: Number of gears, and "close" or "wide" if known.
        links: Of the chain [-].
        axle_position: Of the axle behind the foremost place of the adjusters [m].
        rollout: Measured roll-out [m].
        verdict, checked: One of `VERDICTS` and of `CHECKS`.
        hours: Ridden with it [h].
        month: First day of the month of the report.
    """

    bike_class: str
    gearbox: str
    front: int
    rear: int
    links: int | None
    axle_position: float | None
    tyre: str
    rollout: float | None
    terrain: str
    verdict: str
    hours: float | None
    month: date
    checked: str


def read_members(data: bytes) -> tuple[MemberSetup, ...]:
    """The rows of the CSV file, in their order; lines that begin with # are notes.

    >>> row = "125 trail,5 wide,12,52,,,4.10-18,,woods,right,8,2026-05,reported"
    >>> read_members(f"{','.join(COLUMNS)}\\n{row}".encode())[0].rear
    52
    """
    lines = _lines(data)
    if not lines:
        raise RecordError(f"the file is empty; begin with the line {','.join(COLUMNS)}.")
    for sign, name in ((";", "semicolons"), ("\t", "tabs")):
        if sign in lines[0][1]:
            raise RecordError(
                f"{name} stand between the cells; save the table as CSV with commas between them, "
                "and with points for decimals."
            )
    heads = [" ".join(head.split()) for head in _cells(lines[0][1])]
    while heads and not heads[-1]:
        heads.pop()
    _check_heads([head for head in heads if head])
    if len(lines) - 1 > MOST_ROWS:
        raise RecordError(f"the file has {len(lines) - 1} rows; keep at most {MOST_ROWS}.")
    problems, found = Problems(), []
    for number, line in lines[1:]:
        with problems.of(f"line {number}"):
            found.append(_row(heads, [tidy(cell) for cell in _cells(line)]))
    if (left := len(problems) - _MOST_SENTENCES) > 0:
        problems[_MOST_SENTENCES:] = [f"there are {left} more problems; correct these first."]
    problems.refuse()
    return tuple(found)


def _lines(data: bytes) -> list[tuple[int, str]]:
    """Numbered lines that are neither empty nor notes."""
    if len(data) > LARGEST:
        raise RecordError("the file is larger than 200 kB; keep the rows that still help.")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise RecordError("the file is not UTF-8 text; save it as CSV in UTF-8.") from None
    if "\0" in text:
        raise RecordError("the file is not text; save it as CSV in UTF-8.")
    return [
        (number, line)
        for number, line in enumerate(text.splitlines(), start=1)
        if line.strip(", \t") and not line.lstrip().startswith("#")
    ]


def _cells(line: str) -> list[str]:
    """What stands between the commas of a line."""
    try:
        return next(csv.reader([line]))
    except csv.Error:  # a cell of more than 131072 characters
        return [line]


def _check_heads(heads: list[str]) -> None:
    problems = Problems(
        f"the column {quote(head)} is not known here; take it out. The table holds no names, no "
        "plates and nothing else of a person."
        for head in heads
        if head not in COLUMNS
    )
    problems += [f"the column {quote(head)} is missing." for head in COLUMNS if head not in heads]
    if len(set(heads)) < len(heads):
        problems.append("a column stands twice in the header; keep one.")
    problems.refuse(f"The columns are {','.join(COLUMNS)}.")


def _row(heads: list[str], cells: list[str]) -> MemberSetup:
    """One row; the sentences go on behind the number of its line."""
    # Columns that a spreadsheet adds without a head.
    while len(cells) > len(heads) and not cells[-1]:
        cells.pop()
    if len(cells) != len(heads):
        raise RecordError(
            f" has {len(cells)} cells, the header {len(heads)}; give each column a cell, empty "
            "where nothing is known."
        )
    texts = dict(zip(heads, cells, strict=True))
    if any(cell for head, cell in zip(heads, cells, strict=True) if not head):
        raise RecordError(" has a cell in a column without a head; take it out.")
    values, problems = {}, Problems()
    for column, (name, reader, accepted) in _READERS.items():
        text = texts[column]
        try:
            values[name] = reader(text) if text or column not in _MAY_BE_EMPTY else None
        except ValueError:  # a RecordError, too
            problems.append(f", {column}: {quote(text)} cannot be used; write {accepted}.")
    problems.refuse()
    return MemberSetup(**values)


def _matching(pattern: re.Pattern[str], text: str) -> str:
    if not pattern.fullmatch(text):
        raise ValueError(text)
    return text


def _among(choices: tuple[str, ...], text: str) -> str:
    if text not in choices:
        raise ValueError(text)
    return text


def _within(low: float, high: float, value: float) -> float:
    # 2800 mm are 2.8 m, though not to the last binary digit.
    if not low - _ROUNDING <= value <= high + _ROUNDING:
        raise ValueError(value)
    return value


def _teeth(field: str, text: str) -> int:
    limit = LIMITS[field]
    return int(_within(limit.low, limit.high, int(_matching(_WHOLE, text))))


def _length(low: float, high: float, text: str) -> float:
    return _within(low, high, units.to_si(f"{_matching(_DECIMAL, text)} mm", "length"))


def _tyre(text: str) -> str:
    parse_size(text)
    return text


def _terrain(text: str) -> str:
    _within(1, 60, len(text))
    return _matching(_TERRAIN, text)


def _month(text: str) -> date:
    year, month = _matching(_MONTH, text).split("-")
    first = date(int(year), int(month), 1)
    if first > date.today():
        raise ValueError(text)
    return first


# Column: field, reader, and what is accepted, in words.
_READERS = {
    "class": (
        "bike_class",
        partial(_matching, _CLASS),
        "the name of a bike file, or a class of at most 40 letters from a to z, digits, blanks, "
        'dots and dashes, such as "125 trail"',
    ),
    "gearbox": (
        "gearbox",
        partial(_matching, _GEARBOX),
        'the number of gears, such as "5", "5 close" or "6 wide"',
    ),
    "front": ("front", partial(_teeth, "front"), LIMITS["front"].accepted),
    "rear": ("rear", partial(_teeth, "rear"), LIMITS["rear"].accepted),
    "links": (
        "links",
        lambda text: int(_within(60, 200, int(_matching(_WHOLE, text)))),
        "a number of links from 60 to 200, or nothing",
    ),
    "axle position [mm]": (
        "axle_position",
        partial(_length, 0.0, 0.1),
        "millimetres from 0 to 100 behind the foremost place of the axle, or nothing",
    ),
    "tyre": ("tyre", _tyre, 'a tyre size such as "4.10-18" or "100/90-19"'),
    "roll-out [mm]": (
        "rollout",
        partial(_length, LIMITS["rollout"].low, LIMITS["rollout"].high),
        f"the measured way of one turn of the wheel, {LIMITS['rollout'].accepted}, in millimetres, "
        "or nothing",
    ),
    "terrain": (
        "terrain",
        _terrain,
        "at most 8 words and 60 characters, nothing but letters with blanks, commas or dashes "
        "between the words, such as woods, sand",
    ),
    "verdict": ("verdict", partial(_among, VERDICTS), f"one of {', '.join(VERDICTS)}"),
    "riding [h]": (
        "hours",
        lambda text: float(_matching(_DECIMAL, text)),
        "the hours ridden with it, such as 12 or 2.5, or nothing",
    ),
    "month": ("month", _month, "year and month, such as 2026-05, of a month that has begun"),
    "checked": ("checked", partial(_among, CHECKS), " or ".join(CHECKS)),
}

COLUMNS = tuple(_READERS)
"""Header of the file; columns may stand in any order, and there are no others."""
