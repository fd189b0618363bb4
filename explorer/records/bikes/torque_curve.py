"""A torque curve of a bike file: points typed in a line, listed in TOML or kept in a CSV file."""

import csv
import re
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from explorer.calc.vehicle import FloatArray
from explorer.records.bikes.quantity import Quantity, read_quantity
from explorer.records.errors import Problems, RecordError
from explorer.records.typed_text import quote

POINTS = (2, 200)
SPEEDS = ("100 rpm", "25000 rpm")
TORQUES = ("0 N*m", "300 N*m")
EXAMPLE = '"2000 rpm: 8 N*m; 3000 rpm: 9 N*m"'
CSV_HEADER = "engine speed [rpm],torque [N*m]"

_LARGEST_FILE = 100_000
# "3000 rpm: 9 N*m", also with a comma or a mere blank between speed and torque.
_POINT = re.compile(r"(?P<speed>[^:,]{1,40})[:,](?P<torque>[^:,]{1,40})")
_BLANK_POINT = re.compile(r"(?P<speed>[0-9.]{1,12} ?[^0-9 ]{1,12}) (?P<torque>[0-9.].{0,40})")
_HEADING = re.compile(r"(?P<name>[^\[\]]{1,40})\[(?P<unit>[^\[\]]{1,20})\]")


@dataclass(frozen=True)
class TorqueCurve:
    """Engine speed [rad/s] and torque [N·m] of each point, by rising engine speed."""

    points: tuple[tuple[Quantity, Quantity], ...]

    @property
    def speeds(self) -> FloatArray:
        """Engine speeds of the points [rad/s]."""
        return np.array([speed.si for speed, _ in self.points])

    @property
    def torques(self) -> FloatArray:
        """Torques of the points [N·m]."""
        return np.array([torque.si for _, torque in self.points])

    @property
    def text(self) -> str:
        """All points in a line, as typed."""
        return "; ".join(f"{speed.text}: {torque.text}" for speed, torque in self.points)

    @property
    def rows(self) -> list[list[str]]:
        """One pair of texts for each point, as in a bike file."""
        return [[speed.text, torque.text] for speed, torque in self.points]


def read_curve(given: object) -> TorqueCurve:
    """Read a torque curve from a line of text or from a list of pairs.

    >>> read_curve("2000 rpm: 8 N*m; 3000 rpm: 9 N*m").torques.tolist()
    [8.0, 9.0]
    """
    rows = _rows_of_text(given) if isinstance(given, str) else _rows_of_list(given)
    low, high = POINTS
    if not low <= len(rows) <= high:
        raise RecordError(
            f"the curve has {len(rows)} point{'' if len(rows) == 1 else 's'}; give {low} to {high} "
            f"points, for example {EXAMPLE}."
        )
    points, problems = [], Problems()
    for number, (typed, pull) in enumerate(rows, start=1):
        with problems.of(f"point {number}: "):
            speed = read_quantity(typed, "engine speed", SPEEDS, '"3000 rpm"')
            points.append((speed, read_quantity(pull, "torque", TORQUES, '"9 N*m"')))
    problems.refuse()
    curve = TorqueCurve(tuple(points))
    if not np.any(curve.torques > 0):
        raise RecordError(
            f"the torque is zero at every point; check the numbers, for example {EXAMPLE}."
        )
    for (before, _), (after, _) in pairwise(points):
        if after.si <= before.si:
            raise RecordError(
                f"the engine speed goes from {before.text} to {after.text}; list the points by "
                f"rising engine speed, each speed once, for example {EXAMPLE}."
            )
    return curve


def rows_of_csv(data: bytes, file_name: str) -> list[list[str]]:
    """Read the points of a CSV file whose header carries the units, as they stand in a bike file;
    lines that begin with # are notes.

    >>> rows_of_csv(b"engine speed [rpm],torque [N*m]\\n3000,9.5\\n", "curve.csv")
    [['3000 rpm', '9.5 N*m']]
    """
    said = f"The torque curve file {quote(file_name)}"
    if len(data) > _LARGEST_FILE:
        raise RecordError(f"{said} is larger than 100 kB; keep only the points of the curve.")
    try:
        lines = data.decode("utf-8-sig").splitlines()
    except UnicodeDecodeError:
        raise RecordError(f"{said} is not UTF-8 text; save it as CSV in UTF-8.") from None
    if any("\0" in line for line in lines):
        raise RecordError(f"{said} is not text; save it as CSV in UTF-8.")
    # Numbered before the notes are dropped, so that a sentence names the line of the file.
    numbered = [
        (number, line)
        for number, line in enumerate(lines, start=1)
        if line.strip(",; \t") and not line.lstrip().startswith("#")
    ]
    separator = _separator(numbered[0][1]) if numbered else ","
    headings = (
        [_HEADING.fullmatch(cell) for cell in _cells(numbered[0][1], separator)] if numbered else []
    )
    if len(headings) != 2 or not all(headings):
        raise RecordError(
            f'{said} does not begin with a header of two columns with units; write "{CSV_HEADER}".'
        )
    rows = []
    for number, line in numbered[1:]:
        cells = _cells(line, separator)
        if separator != ",":
            cells = [cell.replace(",", ".") for cell in cells]
        if len(cells) != 2 or not all(cells):
            raise RecordError(
                f"Line {number} of the torque curve file {quote(file_name)} does not hold two "
                "numbers; write an engine speed, a comma and a torque with a decimal point, for "
                'example "3000,9.5".'
            )
        rows.append(
            [f"{cell} {heading['unit']}" for cell, heading in zip(cells, headings, strict=True)]
        )
    return rows


def _separator(header: str) -> str:
    """What stands between the columns: spreadsheets that write decimal commas use semicolons."""
    return next((sign for sign in ";\t" if sign in header), ",")


def _cells(line: str, separator: str) -> list[str]:
    """The cells of a line, without blank ones that a spreadsheet adds at the end."""
    cells = [cell.strip() for cell in next(csv.reader([line], delimiter=separator), [])]
    while len(cells) > 2 and not cells[-1]:
        cells.pop()
    return cells


def _rows_of_text(text: str) -> list[tuple[str, str]]:
    rows = []
    for part in re.split("[;\n]", text):
        entry = " ".join(part.split())
        if not entry:
            continue
        match = _POINT.fullmatch(entry) or _BLANK_POINT.fullmatch(entry)
        if match is None:
            raise RecordError(
                f"{quote(entry)} is not a point of the curve; write an engine speed, a colon and a "
                f"torque, with a semicolon between points, for example {EXAMPLE}."
            )
        rows.append((match["speed"], match["torque"]))
    return rows


def _rows_of_list(given: object) -> list[tuple[str, str]]:
    pairs = given if isinstance(given, list) else [given]
    if all(isinstance(pair, list) and len(pair) == 2 for pair in pairs):
        plain = [tuple(str(item) for item in pair) for pair in pairs]
        if all(isinstance(item, str | int | float) for pair in pairs for item in pair):
            return plain
    raise RecordError(
        "the curve is not a list of pairs; write each point as an engine speed and a torque, for "
        'example [["2000 rpm", "8 N*m"], ["3000 rpm", "9 N*m"]].'
    )
