"""Courses to ride: a table of segments in a CSV file, read, checked and written.

The first lines may be comments that begin with "#"; the first of them is the course's name. The
header gives the units, for example

    name,length [m],corner speed [km/h],slope [%],surface

and each row is one segment. The corner speed is that at the segment's END; a blank one means no
corner, 0 a stop. A blank slope is level ground. The name may be blank, its column left out.
"""

import csv
import io
import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

import numpy as np

from explorer import units
from explorer.calc.course.fastest import Course as SegmentArrays
from explorer.data_folder import DATA
from explorer.records.errors import Problems, RecordError
from explorer.records.ground.surfaces import DEFAULT_TYRE_KIND, TyreKind, surfaces
from explorer.records.typed_text import quote, tidy

MOST_SEGMENTS = 500
MOST_BYTES = 200_000
LENGTHS = ("m", "km", "ft", "mi")
SPEEDS = ("km/h", "mph")

_MOST_SENTENCES = 20
_LENGTH = ("1 m", "20 km")
_SPEED = ("0 km/h", "300 km/h")
_SLOPE = ("-50 %", "50 %")
_LONGEST_NAME = 60
_HEADER = re.compile(r"(name|length|corner speed|slope|surface)(?: ?\[(.*)\])?")
_UNITS = {"length": LENGTHS, "corner speed": SPEEDS, "slope": ("%",)}
_EXAMPLE = "name,length [m],corner speed [km/h],slope [%],surface"


@dataclass(frozen=True)
class Segment:
    """One part of a course with one slope and one surface.

    Attributes:
        name: What the reader calls it; may be empty.
        length: Along the ground [m].
        corner_speed: Greatest speed at the END of the segment; None where there is no corner [m/s].
        slope: Rise over run, uphill positive [-].
        surface: Id of a surface of data/surfaces.csv.
    """

    name: str
    length: float
    corner_speed: float | None
    slope: float
    surface: str


@dataclass(frozen=True)
class Course:
    """A course as a row of segments.

    Attributes:
        notes: Further comment lines of the file, such as where the course comes from.
        segments: 1 to 500 segments, in the order in which they are ridden.
    """

    label: str
    notes: tuple[str, ...]
    segments: tuple[Segment, ...]

    @property
    def length(self) -> float:
        """Length of the whole course [m]."""
        return math.fsum(segment.length for segment in self.segments)

    def arrays(self, tyre_kind: TyreKind = DEFAULT_TYRE_KIND) -> SegmentArrays:
        """The segments as the calculation takes them, with the typical figures of each surface
        under a kind of rear tyre."""
        ground = [surfaces(tyre_kind)[segment.surface] for segment in self.segments]
        corners = [segment.corner_speed for segment in self.segments]
        return SegmentArrays(
            length=np.array([segment.length for segment in self.segments]),
            corner_speed=np.array([np.inf if v is None else v for v in corners]),
            slope=np.arctan([segment.slope for segment in self.segments]),
            rolling_coefficient=np.array([surface.rolling_typical for surface in ground]),
            grip=np.array([surface.grip_typical for surface in ground]),
        )


@cache
def courses() -> Mapping[str, Course]:
    """All courses of data/courses by their id, the name of the file; cannot be changed.

    >>> courses()["woods-loop"].label
    'Tight woods loop'
    """
    folder = DATA / "courses"
    files = sorted(folder.glob("*.csv"))
    return MappingProxyType({file.stem: read_course(file.read_bytes()) for file in files})


def read_course(content: bytes | str) -> Course:
    """Read a course from the content of a CSV file, at most 200 kB of UTF-8.

    >>> header = "length [m],corner speed [km/h],slope [%],surface"
    >>> course = read_course(header + chr(10) + "80,25,4,forest-soil")
    >>> course.segments[0].length, course.segments[0].slope
    (80.0, 0.04)
    """
    lines = _text(content).splitlines()
    comments = [tidy(line.lstrip()[1:]) for line in lines if line.lstrip().startswith("#")]
    comments = [printable(comment) for comment in comments if comment]
    rows = [
        (f"Line {number}", _cells(number, line))
        for number, line in enumerate(lines, 1)
        if line.strip(" \t,;") and not line.lstrip().startswith("#")
    ]
    if not rows:
        raise RecordError(f"The course file is empty; begin it with the header {quote(_EXAMPLE)}.")
    columns = _columns(rows[0][1])
    if len(rows) == 1:
        raise RecordError("The course has no segments; add a row for each below the header.")
    if len(rows) - 1 > MOST_SEGMENTS:
        raise RecordError(
            f"The course has {len(rows) - 1} segments; at most {MOST_SEGMENTS} are accepted, so "
            "join neighbours of the same slope and surface."
        )
    faults, segments = Problems(), []
    for where, cells in rows[1:]:
        with faults.of(f"{where}: "):
            segments.append(_segment(cells, columns))
    faults.shorten(_MOST_SENTENCES)
    faults.refuse()
    label = comments[0][:_LONGEST_NAME] if comments else "Course"
    return Course(label, tuple(comments[1:]), tuple(segments))


def write_course(course: Course, length_unit: str = "m", speed_unit: str = "km/h") -> str:
    """Write a course as CSV; reading it again gives the same course.

    >>> start = Segment("start", 80.0, 5.0, 0.04, "forest-soil")
    >>> print(write_course(Course("Short", (), (start,))))
    # Short
    name,length [m],corner speed [km/h],slope [%],surface
    start,80,18,4,forest-soil
    <BLANKLINE>
    """
    metres = units.to_si(f"1 {length_unit}", "distance")
    metres_per_second = units.to_si(f"1 {speed_unit}", "speed")
    file = io.StringIO()
    for line in (course.label, *course.notes):
        file.write(f"# {printable(line)}\n")
    table = csv.writer(file, lineterminator="\n")
    # In quotation marks a name that begins with "#" is no comment.
    quoted = csv.writer(file, lineterminator="\n", quoting=csv.QUOTE_ALL)
    header = f"name,length [{length_unit}],corner speed [{speed_unit}],slope [%],surface"
    table.writerow(header.split(","))
    for segment in course.segments:
        corner = segment.corner_speed
        corner_said = "" if corner is None else f"{corner / metres_per_second:.12g}"
        length, slope = f"{segment.length / metres:.12g}", f"{100 * segment.slope:.12g}"
        (quoted if segment.name.startswith("#") else table).writerow(
            [segment.name, length, corner_said, slope, segment.surface]
        )
    return file.getvalue()


def _text(content: bytes | str) -> str:
    data = content.encode("utf-8", "surrogatepass") if isinstance(content, str) else content
    if len(data) > MOST_BYTES:
        raise RecordError(
            f"The course file has {len(data) / 1000:.0f} kB; at most {MOST_BYTES // 1000} kB are "
            "accepted, so check that it is the right file."
        )
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise RecordError(
            "The course file is not UTF-8 text; save it as CSV with the encoding UTF-8."
        ) from None


def _cells(number: int, line: str) -> list[str]:
    try:
        return [tidy(cell) for cell in next(csv.reader([line], strict=True))]
    except csv.Error:
        raise RecordError(
            f"Line {number} of the course file has a quotation mark that is not closed; take it "
            "out, or close it on the same line."
        ) from None


def _columns(header: list[str]) -> dict[str, tuple[int, str]]:
    """Place and unit of each column by its name."""
    columns: dict[str, tuple[int, str]] = {}
    faults = Problems()
    for place, cell in enumerate(header):
        match = _HEADER.fullmatch(cell.lower())
        if match is None:
            faults.append(f"The column {quote(cell)} is not known; take it out of the file.")
        elif match[1] in columns:
            faults.append(f"The column {quote(match[1])} comes twice; keep one of them.")
        else:
            columns[match[1]] = place, (match[2] or "").strip()
    for name in (*_UNITS, "surface"):
        if name not in columns:
            faults.append(f"The column {quote(name)} is missing; write it into the header.")
        elif name in _UNITS and columns[name][1] not in _UNITS[name]:
            accepted = _listed(f"[{unit}]" for unit in _UNITS[name])
            faults.append(f"The column {quote(name)} needs its unit behind it: write {accepted}.")
    faults.refuse(f'The header of a course file is for example "{_EXAMPLE}".')
    return columns


def _segment(cells: list[str], columns: dict[str, tuple[int, str]]) -> Segment:
    faults = Problems()

    def cell(name: str) -> str:
        place, _ = columns.get(name, (len(cells), ""))
        return cells[place] if place < len(cells) else ""

    def number(name: str, kind: str, within: tuple[str, str], example: str) -> float:
        unit = columns[name][1]
        try:
            typed = f"{cell(name)} {unit}" if cell(name) else ""
            return units.to_si(typed, kind, within, f'"{example} {unit}"')
        except units.UnitError as error:
            faults.append(f"{name}: {error}")
            return math.nan

    if len(cells) > len(columns) and any(cells[len(columns) :]):
        faults.append(
            "it has more cells than the header; write decimals with a point, and put a name that "
            "has a comma in quotation marks."
        )
    name = printable(cell("name"))
    if len(name) > _LONGEST_NAME:
        faults.append(
            f"the name {quote(name)} has more than {_LONGEST_NAME} characters; shorten it."
        )
    length = number("length", "distance", _LENGTH, "80")
    corner = number("corner speed", "speed", _SPEED, "25") if cell("corner speed") else None
    slope = number("slope", "slope", _SLOPE, "4") if cell("slope") else 0.0
    surface = cell("surface").lower()
    if surface not in surfaces():
        faults.append(
            f"the surface {quote(surface)} is not known; give one of {_listed(surfaces())}."
        )
    faults.refuse()
    return Segment(name, length, corner, slope, surface)


def printable(text: str) -> str:
    """A text without control characters."""
    return "".join(character for character in text if character.isprintable())


def _listed(words: Iterable[str]) -> str:
    *first, last = words
    return f"{', '.join(first)} or {last}" if first else last
