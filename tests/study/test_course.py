"""A course ridden by both gearings: its bands, its words, and courses that cannot be ridden."""

import re

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from explorer.calc.course.course_rider import RIDERS
from explorer.calc.course.fastest import ride_course
from explorer.charts.gearing.course_chart import describe
from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.ground.course import Course, Segment, courses
from explorer.records.ground.surfaces import surfaces
from explorer.records.setups.setup import LIMITS, Setup
from explorer.study.course import ride_all, ride_pairs
from explorer.study.study import CHOSEN, FITTED, Study
from explorer.tasks.ground import course_words as words

BIKES = demo_bikes()


def setup_of(bike_id: str = "bracken-125", **changes) -> tuple:
    bike = BIKES[bike_id]
    return bike, Setup.for_bike(bike_id, bike).changed(**changes)


def all_words(result) -> list[str]:
    rows = words.course_rows(result)
    return [
        *words.course_sentences(result, "A course"),
        describe(words.course_view(result)),
        *(cell for row in rows for cell in row),
    ]


def test_the_bands_do_not_change_the_ride_itself():
    bike, setup = setup_of(rear=53)
    course = courses()["woods-loop"].arrays()
    drive = Study.of(bike, setup).drive
    for name, rider in RIDERS.items():
        ridden = ride_all(Study.of(bike, setup.changed(course_rider=name)), course).time.value
        np.testing.assert_allclose(ridden, ride_course(drive, course, rider=rider).time, rtol=1e-9)


def test_the_same_gearing_takes_the_same_time_for_sure():
    result = ride_all(Study.of(*setup_of()), courses()["sand-track"].arrays())
    assert result.change().value == 0 and result.change().band == (0, 0)
    assert "Both gearings take the same time here, within a tenth of a second." in all_words(result)


def test_the_pair_comparison_agrees_with_the_ride_of_the_chosen_pair():
    bike, setup = setup_of("sleet-450", front=14, rear=50)
    course = courses()["woods-loop"].arrays()
    pairs = ride_pairs(Study.of(bike, setup), course)
    place = np.flatnonzero((pairs.front == 14) & (pairs.rear == 50))[0]
    chosen = ride_all(Study.of(bike, setup), course).time.value[CHOSEN]
    assert pairs.time[place] == pytest.approx(chosen, rel=1e-9)
    assert np.all(np.diff(pairs.time) >= 0)


def test_a_hill_too_steep_is_said_with_its_place():
    """Wet grass grips 0.2 at most: no motorcycle climbs 40 % on it."""
    run_up = Segment("", 100.0, None, 0.0, "hard-packed-gravel")
    wall = Segment("", 500.0, None, 0.4, "wet-grass")
    study = Study.of(*setup_of())
    wall_course = Course("Wall", (), (run_up, wall)).arrays()
    result = ride_all(study, wall_course)
    assert np.isnan(result.time.value[FITTED])
    text = " ".join(all_words(result))
    assert "stops for good after" in text and "nan" not in text
    pairs = ride_pairs(study, wall_course)
    assert words.pair_sentences(pairs, result) == ["No pair gets through this course."]
    assert "does not get through" in {row[2] for row in words.pair_rows(pairs, result)}


def test_a_corner_at_a_crawl_comes_to_its_end():
    """Down a slope that the brakes cannot hold to it, the limit is met at once, not by rounding."""
    slope = Segment("", 220.0, 40.0, -0.42, "loose-gravel")
    crawl = Segment("", 290.0, 1e-5, -0.49, "wet-dirt")
    result = ride_all(
        Study.of(*setup_of("sleet-450")), Course("Crawl", (), (slope, crawl)).arrays()
    )
    assert np.all(result.time.value >= (220.0 + 290.0) / 40.0)


SEGMENTS = st.builds(
    Segment,
    st.just(""),
    st.floats(1.0, 300.0),
    st.none() | st.floats(0.0, 80.0),
    st.floats(-0.5, 0.5),
    st.sampled_from(sorted(surfaces())),
)


@settings(max_examples=25, deadline=None)
@given(
    bike_id=st.sampled_from(sorted(BIKES)),
    segments=st.lists(SEGMENTS, min_size=1, max_size=5),
    units=st.sampled_from(["metric", "imperial"]),
    numbers=st.fixed_dictionaries(
        {
            field: st.floats(LIMITS[field].low, LIMITS[field].high)
            for field in ("head_wind", "altitude", "temperature", "rider_mass", "rollout")
        }
    ),
)
def test_no_course_brings_nan_into_words_or_charts(bike_id, segments, units, numbers):
    bike, setup = setup_of(bike_id, units=units, **numbers)
    course = Course("Any", (), tuple(segments)).arrays()
    result = ride_all(Study.of(bike, setup), course)
    for text in all_words(result):
        assert not re.search(r"\b(nan|inf)\b", text), text
