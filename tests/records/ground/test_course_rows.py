"""Courses as typed rows: read with any unit, written in the reader's, refused by row and cell."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from explorer.records.errors import RecordError
from explorer.records.ground.course import MOST_SEGMENTS, courses, read_course, write_course
from explorer.records.ground.course_ids import DEFAULT_COURSE, course_ids
from explorer.records.ground.course_rows import CourseRow, course_of, rows_of

ROW = CourseRow("start", "80 m", "25 km/h", "4 %", "forest-soil")


@pytest.mark.parametrize("course_id", course_ids())
def test_every_demo_course_comes_back_from_its_rows(course_id):
    course = courses()[course_id]
    assert course_of(rows_of(course, "metric"), course.label).segments == course.segments
    imperial = course_of(rows_of(course, "imperial"), course.label)
    # Five digits are shown.
    assert imperial.length == pytest.approx(course.length, rel=1e-4)


def test_the_ids_are_those_of_the_courses():
    assert list(course_ids()) == list(courses())
    assert DEFAULT_COURSE in courses()


def test_each_cell_may_have_its_own_unit():
    course = course_of([ROW._replace(length="100 ft", corner_speed="10 mph")], "Mine")
    # 1 ft = 0.3048 m and 1 mi = 1609.344 m, exact by definition (yard and pound agreement, 1959).
    assert course.segments[0].length == pytest.approx(30.48, rel=1e-12)
    assert course.segments[0].corner_speed == pytest.approx(16093.44 / 3600, rel=1e-12)


@pytest.mark.parametrize("text", ["-", "", " \N{EN DASH} "])
def test_a_dash_is_no_corner(text):
    assert course_of([ROW._replace(corner_speed=text)], "Mine").segments[0].corner_speed is None


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"length": "far"}, "Row 2, length: "),
        ({"length": "80"}, "Row 2, length: "),
        ({"length": "0 m"}, "Row 2, "),
        ({"length": "1e9 km"}, "Row 2, "),
        ({"corner_speed": "25 m"}, "Row 2, corner speed: "),
        ({"corner_speed": "-5 km/h"}, "Row 2, "),
        ({"slope": "90 %"}, "Row 2, "),
        ({"slope": "nan %"}, "Row 2, slope: "),
        ({"surface": "moon"}, "Row 2, "),
    ],
)
def test_what_cannot_be_used_is_said_with_its_row(changes, said):
    with pytest.raises(RecordError) as refused:
        course_of([ROW, ROW._replace(**changes)], "Mine")
    assert len(refused.value.sentences) == 1
    assert refused.value.sentences[0].startswith(said)


def test_too_many_rows_and_too_many_faults_are_said_shortly():
    with pytest.raises(RecordError, match=str(MOST_SEGMENTS)):
        course_of([ROW] * (MOST_SEGMENTS + 1), "Mine")
    with pytest.raises(RecordError) as refused:
        course_of([ROW._replace(length="far")] * 50, "Mine")
    assert len(refused.value.sentences) <= 10


@settings(max_examples=60)
@given(st.lists(st.tuples(*[st.text(max_size=20)] * 5), max_size=4))
def test_whatever_is_typed_is_read_or_refused_in_sentences(rows):
    try:
        course = course_of([CourseRow(*row) for row in rows], "Mine")
    except RecordError as error:
        assert error.sentences and all(each.endswith(".") for each in error.sentences)
    else:
        assert read_course(write_course(course)).segments == course.segments
