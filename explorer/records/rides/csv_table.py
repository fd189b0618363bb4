"""A table as a logger writes it: which character divides its cells, where it begins, its units.

The dialects of the standard library's Sniffer know neither decimal commas nor lines before the
header, so a few rules of our own look at the first lines.
"""

import csv
import io
import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice

from explorer.records.errors import RecordError
from explorer.records.rides.csv_columns import known_unit, named

MOST_COLUMNS = 100
_LONGEST_LINE = 10_000
_LOOKED_AT = 80
"""Lines that the form of a table is told from."""
_DELIMITERS = ";\t,|"
_COMMA_NUMBER = re.compile(r"[+-]?[0-9]{1,9}(?:\.[0-9]{3})*,[0-9]{1,12}")
_NUMBERS = re.compile(r"[-+0-9.,:eETZ/ ]*[0-9][-+0-9.,:eETZ/ ]*")
_CONTROLS = re.compile(r"[\x00-\x08\x0e-\x1f]")


@dataclass(frozen=True)
class CsvTable:
    """The form of a table.

    Attributes:
        delimiter: Between two cells.
        decimal_comma: Whether numbers have a decimal comma.
        headings: One for each column; "column 1" and so on where the file has none.
        unit_row: The cells of a second row with units; empty for none.
        first: Number of the first line of data, from 1.
        before: Lines before the header that are no comments [count].
    """

    delimiter: str
    decimal_comma: bool
    headings: tuple[str, ...]
    unit_row: tuple[str, ...]
    first: int
    before: int


def text_of(content: bytes) -> str:
    """The text of a file: UTF-8, UTF-16 by its mark, else the western single-byte code."""
    codes = ["utf-8-sig", "cp1252"]
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        codes = ["utf-16"]
    for code in codes:
        try:
            text = content.decode(code)
        except UnicodeDecodeError:
            continue
        if not _CONTROLS.search(text) and not text.lstrip().startswith("<"):
            return text
        break
    raise RecordError(
        "The file is neither GPX nor FIT, and no text with a table either; export the ride as "
        "GPX, FIT or CSV."
    )


def lines_of(text: str) -> Iterator[tuple[int, str]]:
    """Number and text of each line, one at a time."""
    # Not all lines at once: a file of nothing but line ends would take half a gigabyte.
    return ((n, line.rstrip("\n")) for n, line in enumerate(io.StringIO(text, newline=None), 1))


def cells_of(number: int, line: str, delimiter: str) -> list[str]:
    """The cells of one line."""
    if len(line) > _LONGEST_LINE:
        raise RecordError(f"Line {number} is longer than {_LONGEST_LINE} characters; shorten it.")
    try:
        return [cell.strip() for cell in next(csv.reader([line], delimiter=delimiter, strict=True))]
    except csv.Error:
        raise RecordError(
            f"Line {number} has a quotation mark that is not closed; take it out."
        ) from None


def is_blank(line: str) -> bool:
    """Whether a line has no cell with anything in it."""
    return not line.strip(" \t,;|")


def form_of(text: str) -> tuple[CsvTable, list[list[str]]]:
    """The form of a table, and the cells of its first rows."""
    filled = ((number, line) for number, line in lines_of(text) if not is_blank(line))
    first = list(islice(filled, _LOOKED_AT))
    if not first:
        raise RecordError("The file is empty; choose a GPX, FIT or CSV file of a ride.")
    delimiter = _delimiter([line for _, line in first if line[0] != "#"] or [first[0][1]])
    rows = [(number, line[0] == "#", _loose(line, delimiter)) for number, line in first]
    place, headings = _header(rows)
    body = [row for row in rows[place + 1 :] if not row[1]]
    unit_row: tuple[str, ...] = ()
    if body and _is_unit_row(body[0][2]):
        unit_row = tuple(body.pop(0)[2])
    data = [cells for _, _, cells in body]
    commas = Counter(bool(_COMMA_NUMBER.fullmatch(c)) for row in data for c in row if "," in c)
    points = sum(
        "." in c and "," not in c and _NUMBERS.fullmatch(c) is not None for r in data for c in r
    )
    decimal_comma = commas[True] > 0 and commas[True] >= min(points, commas[True] + commas[False])
    if delimiter == "," and headings and data:
        widths = Counter(len(row) for row in data)
        if widths.most_common(1)[0][0] >= 2 * len(headings) > 2:
            raise RecordError(
                "Decimal commas and commas between the columns cannot be told apart; export with "
                "semicolons between the columns, or with decimal points."
            )
    width = max((len(row) for row in data), default=0)
    if place < 0:
        headings = [f"column {n + 1}" for n in range(min(width, MOST_COLUMNS))]
    after = body[0][0] if body else first[-1][0] + 1
    before = sum(not comment for _, comment, _ in rows[: max(place, 0)])
    headings = tuple(headings[:MOST_COLUMNS])
    return CsvTable(delimiter, decimal_comma, headings, unit_row, after, before), data


def _loose(line: str, delimiter: str) -> list[str]:
    """Cells of a line that is only looked at; quotation marks may be wrong."""
    line = line.lstrip("# ") if line[:1] == "#" else line
    try:
        cells = next(csv.reader([line[:_LONGEST_LINE]], delimiter=delimiter))
        return [cell.strip() for cell in cells]
    except (csv.Error, StopIteration):
        return [line]


def _delimiter(lines: Sequence[str]) -> str:
    """What divides most lines into the same number of cells."""

    def alike(delimiter: str) -> int:
        counts = Counter(line.count(delimiter) for line in lines)
        counts.pop(0, None)
        return max(counts.values(), default=0)

    best = max(alike(each) for each in _DELIMITERS)
    # Nearly as good counts: commas are decimal ones as often as they divide.
    return next((each for each in _DELIMITERS if best and alike(each) >= 0.8 * best), ",")


def _header(rows: Sequence[tuple[int, bool, list[str]]]) -> tuple[int, list[str]]:
    """Place of the line with the headings and its cells; -1 if the table has none."""
    known = [sum(_names_a_field(cell) for cell in cells[:MOST_COLUMNS]) for _, _, cells in rows]
    # A comment is a header only if it says more than any other line.
    ranks = [(count - 0.5 * comment) for count, (_, comment, _) in zip(known, rows, strict=True)]
    best = max(range(len(rows)), key=lambda row: (ranks[row], -row))
    if ranks[best] > 0 and not (rows[best][1] and known[best] < 2):
        return best, rows[best][2]
    widest = Counter(len(cells) for _, comment, cells in rows if not comment)
    usual = widest.most_common(1)[0][0] if widest else 0
    for place, (_, comment, cells) in enumerate(rows):
        if comment or len(cells) < max(usual, 2):
            continue
        numeric = sum(_NUMBERS.fullmatch(cell) is not None for cell in cells if cell)
        return (place, cells) if numeric == 0 else (-1, [])
    return -1, []


def _names_a_field(cell: str) -> bool:
    # Headings begin with a letter; looking closer at every number would take most of the time.
    return cell.strip("\"' ")[:1].isalpha() and bool(named(cell)[0])


def _is_unit_row(cells: Sequence[str]) -> bool:
    filled = [cell for cell in cells if cell]
    known = sum(known_unit(cell) is not None for cell in filled)
    return (
        bool(filled)
        and not any(cell[0].isdigit() and cell[-1].isdigit() for cell in filled)
        and (known >= 0.5 * len(filled))
    )
