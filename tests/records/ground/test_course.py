"""Course files: units, round trips, and a sentence for everything that can be wrong."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from explorer.calc.course.fastest import ride_course
from explorer.calc.drivetrain.drive import Drive
from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.errors import RecordError
from explorer.records.ground.course import (
    MOST_SEGMENTS,
    Course,
    Segment,
    courses,
    read_course,
    write_course,
)
from explorer.records.ground.surfaces import surfaces

HEADER = "length [m],corner speed [km/h],slope [%],surface\n"


def faults(content):
    with pytest.raises(RecordError) as caught:
        read_course(content)
    for sentence in caught.value.sentences:
        assert sentence.endswith(".") and "Traceback" not in sentence
        assert sentence.isprintable()
    return caught.value.sentences


def test_metric_and_imperial():
    """1 ft = 0.3048 m and 1 mi = 1609.344 m exactly (international yard, 1959)."""
    imperial = "length [ft],corner speed [mph],slope [%],surface\n100,10,5,loose-sand"
    segment = read_course(imperial).segments[0]
    assert segment.length == pytest.approx(30.48, rel=1e-12)
    assert segment.corner_speed == pytest.approx(1609.344 / 360, rel=1e-12)
    far = read_course("Length [mi],Corner Speed [km/h],Slope [%],Surface\n0.5,36,-5,Loose-Sand")
    assert far.segments[0].length == pytest.approx(804.672, rel=1e-12)
    assert far.segments[0].corner_speed == pytest.approx(10.0, rel=1e-12)
    assert far.segments[0].slope == pytest.approx(-0.05, rel=1e-12)


def test_blank_cells_columns_in_any_order_and_comments():
    text = (
        "\N{ZERO WIDTH NO-BREAK SPACE}# My loop\n#\n# Drawn by hand\n"
        "surface,name,slope [%],length [km],corner speed [km/h]\r\n"
        'forest-soil,"over, and down",,0.1,\r\n\r\n# between\nforest-soil,stop,-3,0.05,0\n'
    )
    course = read_course(text.encode())
    assert (course.label, course.notes[0]) == ("My loop", "Drawn by hand")
    assert course.segments[0] == Segment("over, and down", 100.0, None, 0.0, "forest-soil")
    assert course.segments[1].corner_speed == 0.0
    assert course.length == pytest.approx(150.0)


def test_arrays_for_the_calculation():
    arrays = read_course(f"{HEADER}80,18,100e-1,wet-dirt\n20,,,firm-sand").arrays()
    np.testing.assert_allclose(arrays.length, [80.0, 20.0])
    np.testing.assert_allclose(arrays.corner_speed, [5.0, np.inf])
    np.testing.assert_allclose(np.tan(arrays.slope), [0.1, 0.0])
    np.testing.assert_allclose(arrays.grip[0], surfaces()["wet-dirt"].grip_typical)
    np.testing.assert_allclose(
        arrays.rolling_coefficient[1], surfaces()["firm-sand"].rolling_typical
    )


NAMES = st.text(st.characters(codec="utf-8", exclude_categories=("C", "Z")), max_size=20)
SEGMENTS = st.builds(
    Segment,
    NAMES,
    st.floats(1.0, 20_000.0),
    st.none() | st.floats(0.0, 83.3),
    st.floats(-0.5, 0.5),
    st.sampled_from(sorted(surfaces())),
)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(SEGMENTS, min_size=1, max_size=20),
    st.sampled_from(["m", "km", "ft", "mi"]),
    st.sampled_from(["km/h", "mph"]),
)
def test_round_trip(segments, length_unit, speed_unit):
    course = Course("Loop", ("A note",), tuple(segments))
    again = read_course(write_course(course, length_unit, speed_unit).encode())
    assert (again.label, again.notes) == (course.label, course.notes)
    assert len(again.segments) == len(segments)
    for found, given_ in zip(again.segments, segments, strict=True):
        assert found.surface == given_.surface
        assert (found.corner_speed is None) == (given_.corner_speed is None)
        assert math.isclose(found.length, given_.length, rel_tol=1e-11)
        assert math.isclose(found.slope, given_.slope, rel_tol=1e-11, abs_tol=1e-15)
        if given_.corner_speed:
            assert math.isclose(found.corner_speed, given_.corner_speed, rel_tol=1e-11)


def test_a_name_that_looks_like_a_comment_survives():
    course = Course("Loop", (), (Segment('#1 "short"', 50.0, None, 0.0, "forest-soil"),))
    assert read_course(write_course(course)) == course


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "is empty"),
        ("# only a name\n", "is empty"),
        (HEADER, "no segments"),
        (b"\xff\xfe\x00l", "UTF-8"),
        (b"x" * 200_001, "200 kB"),
        ("length [m],corner speed [km/h],surface\n1,2,forest-soil", '"slope" is missing'),
        ("length,corner speed [km/h],slope [%],surface\n1,2,3,forest-soil", "write [m]"),
        (HEADER.replace("[m]", "[inch]") + "1,2,3,forest-soil", "write [m], [km], [ft] or [mi]"),
        (HEADER.replace("[km/h]", "[m]") + "1,2,3,forest-soil", "write [km/h] or [mph]"),
        ("surface," + HEADER + "forest-soil,1,2,3,forest-soil", "comes twice"),
        ("weather," + HEADER + "dry,1,2,3,forest-soil", '"weather" is not known'),
        ('length [m],corner speed [km/h],slope [%],surface\n"80,2,3,forest-soil', "quotation mark"),
        (HEADER + "80;25;4;forest-soil", "Line 2"),
        (HEADER + "1" * 300 + ",25,4,forest-soil", "Line 2: length"),
        (HEADER + "80,25,4,moon-dust", '"moon-dust" is not known; give one of'),
        (HEADER + "80,25,4", "Line 2: the surface"),
        (HEADER + ",25,4,forest-soil", "Line 2: length: Nothing was given"),
        (HEADER + "0.5,25,4,forest-soil", "1 m to 20 km"),
        (HEADER + "1e9,25,4,forest-soil", "1 m to 20 km"),
        (HEADER + "80,301,4,forest-soil", "0 km/h to 300 km/h"),
        (HEADER + "80,-5,4,forest-soil", "0 km/h to 300 km/h"),
        (HEADER + "80,25,95,forest-soil", "-50 % to 50 %"),
        (HEADER + "nan,25,4,forest-soil", "does not begin with a number"),
        (HEADER + "inf,25,4,forest-soil", "does not begin with a number"),
        (HEADER + "80,25 mph,4,forest-soil", "Line 2: corner speed"),
        (HEADER + "80,5,25,4,forest-soil", "more cells than the header"),
        ("name," + HEADER + "n" * 61 + ",80,25,4,forest-soil", "more than 60 characters"),
        (HEADER + "80,25,4,forest-soil\n" * (MOST_SEGMENTS + 1), "at most 500"),
    ],
)
def test_bad_files_are_answered_in_sentences(content, words):
    assert words in " ".join(faults(content))


def test_everything_wrong_is_said_at_once_with_its_line():
    content = f"# Loop\n{HEADER}80,25,4,moon\n80,25,4,forest-soil\n-1,900,80,forest-soil\n"
    said = faults(content)
    assert [sentence.split(":")[0] for sentence in said] == ["Line 3"] + ["Line 5"] * 3


def test_a_file_full_of_faults_gets_a_short_answer():
    said = faults(HEADER + "-1,900,80,moon\n" * 400)
    assert len(said) == 21 and "1580 more" in said[-1]


@settings(max_examples=200, deadline=None)
@given(
    st.binary(max_size=300) | st.text(max_size=300) | st.text(',\n#"-0123456789.[]%mkh/ surface')
)
def test_any_content_is_a_course_or_sentences(content):
    try:
        course = read_course(content)
    except RecordError as error:
        assert all(sentence.isprintable() for sentence in error.sentences)
    else:
        assert course.segments


class TestDemoCourses:
    def test_there_are_four_and_they_say_that_they_are_invented(self):
        assert len(courses()) == 4
        for course in courses().values():
            assert "Invented for the demo" in " ".join(course.notes)

    def test_files_are_as_they_would_be_written(self):
        for course in courses().values():
            assert read_course(write_course(course)) == course

    @pytest.mark.parametrize("course_id", sorted(courses()))
    def test_every_demo_bike_gets_through(self, course_id):
        from explorer.calc.example import example_conditions

        for bike in demo_bikes().values():
            ratio = bike.sprockets.rear / bike.sprockets.front
            drive = Drive(bike.vehicle(), example_conditions(), ratio, 2.0)
            ride = ride_course(drive, courses()[course_id].arrays())
            assert np.isfinite(ride.time).all()
