"""A course as rows of typed text, each cell with its own unit, and back."""

import re
from collections.abc import Sequence
from typing import NamedTuple

from explorer import units
from explorer.records.errors import Problems, RecordError
from explorer.records.ground.course import Course, Segment, printable, read_course, write_course
from explorer.records.typed_text import tidy

NO_CORNER = "-"

_MOST_SENTENCES = 8
_CELLS = {
    "length": ("distance", '"80 m" or "260 ft"'),
    "corner speed": ("speed", '"25 km/h" or "15 mph", or "-" where there is no corner'),
    "slope": ("slope", '"5 %", uphill positive'),
}
# Name and header of the course come before its rows.
_LINES_ABOVE = 2


class CourseRow(NamedTuple):
    """One segment of a course as typed.

    Attributes:
        name: What the rider calls it; may be empty.
        length, corner_speed, slope: With their units; "-" for no corner at the end of the segment.
        surface: Id of a surface of data/surfaces.csv.
    """

    name: str
    length: str
    corner_speed: str
    slope: str
    surface: str


def rows_of(course: Course, system: str) -> tuple[CourseRow, ...]:
    """Write a course as rows in the reader's units, five digits at most.

    >>> course = Course("Short", (), (Segment("start", 80.0, None, 0.04, "forest-soil"),))
    >>> rows_of(course, "metric")[0][1:4]
    ('80 m', '-', '4 %')
    """

    def said(value: float, kind: str) -> str:
        number, unit = units.display(value, kind, system)
        return f"{number:.5g} {unit}"

    return tuple(
        CourseRow(
            segment.name,
            said(segment.length, "distance"),
            NO_CORNER if segment.corner_speed is None else said(segment.corner_speed, "speed"),
            said(segment.slope, "slope"),
            segment.surface,
        )
        for segment in course.segments
    )


def course_of(rows: Sequence[CourseRow], label: str) -> Course:
    """Read a course from typed rows, at least one, checked as a course file is.

    >>> course_of([CourseRow("start", "80 m", "-", "4 %", "forest-soil")], "Short").length
    80.0
    """
    problems, segments = Problems(), []
    for number, row in enumerate(rows, start=1):
        with problems.of(f"Row {number}, "):
            segments.append(_segment(row))
    problems.shorten(_MOST_SENTENCES)
    problems.refuse()
    try:
        # What a course may be is decided in one place: where course files are read.
        return read_course(write_course(Course(tidy(label), (), tuple(segments))))
    except RecordError as error:
        problems += [_by_row(each) for each in error.sentences]
        problems.shorten(_MOST_SENTENCES)
        raise RecordError(*problems) from None


def _segment(row: CourseRow) -> Segment:
    values: dict[str, float | None] = {}
    problems = Problems()
    for (name, (kind, example)), text in zip(_CELLS.items(), row[1:4], strict=True):
        if name == "corner speed" and tidy(text) in ("", NO_CORNER):
            values[name] = None
            continue
        try:
            values[name] = units.to_si(text, kind, example=example)
        except units.UnitError as error:
            problems.append(f"{name}: {error}")
    problems.refuse()
    length, corner_speed, slope = values.values()
    return Segment(printable(tidy(row.name)), length, corner_speed, slope, row.surface)


def _by_row(sentence: str) -> str:
    def row(match: re.Match[str]) -> str:
        return f"Row {int(match[1]) - _LINES_ABOVE}, "

    return re.sub(r"^Line (\d+): ", row, sentence)
