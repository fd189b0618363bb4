"""The ground page without a browser: controls, state, charts and course hang together."""

import re

import numpy as np
import pytest

from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.ground.course import courses, write_course
from explorer.study import course, driven
from explorer.study.study import CHOSEN, FITTED, Study
from explorer.tasks.bench.page import GearingPage
from explorer.tasks.ground.course_card import CourseCard
from explorer.tasks.ground.page import GroundPage


def widgets_of(root):
    yield root
    for child in getattr(root, "children", ()):
        yield from widgets_of(child)


def named(page, name):
    found = [each for each in widgets_of(page.widget) if getattr(each, "description", None) == name]
    assert len(found) == 1, (name, len(found))
    return found[0]


def first_named(page, name):
    return next(
        each for each in widgets_of(page.widget) if getattr(each, "description", None) == name
    )


def shown(page):
    return " ".join(
        str(each.value) for each in widgets_of(page.widget) if type(each).__name__ == "HTML"
    )


def open_file(page, data):
    named(page, "Open a course file").value = (
        {
            "name": "mine.csv",
            "type": "text/csv",
            "size": len(data),
            "content": memoryview(data),
            "last_modified": __import__("datetime").datetime(2026, 1, 1),
        },
    )


def link_of(page):
    return named(page, "Link to this set-up").value


@pytest.fixture
def page():
    return GroundPage("")


def test_a_slider_writes_the_state_and_everything_follows(page):
    named(page, "Rear sprocket").value = 53
    text = shown(page)
    assert page.state.setup.rear == 53 and "rear=53" in link_of(page)
    assert "chosen 13/53" in text and "less heat into the clutch" in text
    # The course was ridden again too.
    assert page.part(CourseCard).result.study.setup.rear == 53


def test_one_computation_and_one_ride_for_one_move(page, monkeypatch):
    calls = []
    for module, name in ((driven, "top_speed"), (course, "ride_course")):
        work = getattr(module, name)
        monkeypatch.setattr(
            module, name, lambda *a, n=name, w=work, **k: calls.append(n) or w(*a, **k)
        )
    named(page, "Rear sprocket").value = 52
    # The set-ups as given, with all inputs drawn, and with each input varied by itself.
    assert sorted(calls) == ["ride_course", "top_speed", "top_speed", "top_speed"]
    calls.clear()
    named(page, "Speed to reach [km/h]").value = 70
    assert "ride_course" not in calls, "a goal does not change the ride over a course"


def test_the_gearing_page_opens_with_the_same_set_up_and_back(page):
    named(page, "Rear sprocket").value = 53
    named(page, "Change up at [rpm]").value = 8000
    query = link_of(page)
    assert f'href="gearing{query}"'.replace("&", "&amp;") in shown(page)
    gearing = GearingPage(query)
    assert gearing.state.setup == page.state.setup
    assert f'href="ground{query}'.replace("&", "&amp;") in shown(gearing)
    assert GroundPage(query).state.setup == page.state.setup


def test_the_goal_shows_only_its_own_number(page):
    speed, distance = named(page, "Speed to reach [km/h]"), named(page, "Distance [m]")

    def hidden(control):
        box = next(
            each for each in widgets_of(page.widget) if control in getattr(each, "children", ())
        )
        return box.layout.display == "none"

    assert hidden(distance) and not hidden(speed)
    named(page, "From rest at full throttle").value = "time_over_distance"
    assert hidden(speed) and not hidden(distance)
    assert "from rest" in shown(page)


def test_another_bike_brings_its_own_shift_speed_and_gears(page):
    named(page, "Change up at [rpm]").value = 8000
    named(page, "Bike").value = "fogbank-650"
    assert page.state.setup.shift_at is None
    limit = demo_bikes()["fogbank-650"].engine.rev_limit.si * 30 / np.pi
    assert named(page, "Change up at [rpm]").max <= round(limit)
    assert "this page does not know:" not in shown(page)


def test_units_switch_everything_and_leave_the_state_alone(page):
    before = page.state.setup
    named(page, "Units").value = "imperial"
    # A value that is round in the other units stays so in the link.
    text = re.sub(r'href="[^"]*"', "", shown(page))
    assert "mph" in text and "km/h" not in text
    named(page, "Units").value = "metric"
    assert page.state.setup == before


def test_a_fault_of_ours_is_said_and_the_last_state_stays(page, monkeypatch, caplog):
    monkeypatch.setattr(Study, "of", lambda *_: 1 / 0)
    named(page, "Rear sprocket").value = 53
    assert re.search(r"error [0-9a-f]{6}", shown(page)) and "ZeroDivisionError" in caplog.text
    assert page.state.setup.rear == 50 and named(page, "Rear sprocket").value == 50


def test_a_demo_whose_values_a_link_changes_is_not_passed_off_as_it_stands():
    def offered(query):
        return dict(named(GroundPage(query), "Bike").options)

    changed = offered("bike=bracken-125&own.mass.bike=99kg")
    assert "Bracken 125, values changed" in changed and "Sleet 450" in changed
    assert "Bracken 125" in offered("bike=bracken-125&rear=53")


def test_a_bad_link_opens_the_page_with_sentences():
    page = GroundPage("?front=<script>&course=moon&shift-at=fast&nonsense=1")
    text = shown(page)
    assert "<script>" not in text
    for part in ("nonsense", "moon", "fast"):
        assert part in text
    assert page.state.setup.front == 13


def test_a_demo_course_goes_into_the_link_by_its_name(page):
    other = list(courses())[-1]
    named(page, "Course").value = other
    assert f"course={other}" in link_of(page)
    assert page.part(CourseCard).result.course.length.size == len(courses()[other].segments)
    assert GroundPage(link_of(page)).part(CourseCard).course == courses()[other]


def test_a_course_is_ridden_by_both_gearings(page):
    named(page, "Rear sprocket").value = 54
    ride, time = page.part(CourseCard).result.ride, page.part(CourseCard).result.time.value
    assert np.all(np.isfinite(time)) and time[FITTED] != time[CHOSEN]
    np.testing.assert_allclose(ride.time_in_gear.sum(axis=1), ride.time, rtol=1e-9)
    text = shown(page)
    assert "Time on the limiter" in text and "Shifts up" in text


def test_a_course_typed_on_the_page_is_ridden_and_nonsense_is_kept_and_answered(page):
    named(page, "Edit this course").click()
    length = first_named(page, "Length")
    before = page.part(CourseCard).result.time.value[CHOSEN]
    length.value = "<b>far</b>"
    text = shown(page)
    assert "<b>far" not in text and "&lt;b&gt;far" in text
    assert "Until then the course is ridden as it was" in text
    assert (
        page.part(CourseCard).result.time.value[CHOSEN] == before and length.value == "<b>far</b>"
    )
    length.value = "400 m"
    assert page.part(CourseCard).result.course.length[0] == 400.0
    assert "kept in its file, not in the link" in shown(page)
    assert "Until then" not in shown(page)


def test_a_course_file_comes_back_as_it_was_downloaded(page):
    named(page, "Edit this course").click()
    first_named(page, "Length").value = "321 m"
    own = page.part(CourseCard).course
    data = write_course(own).encode()
    other = GroundPage("")
    open_file(other, data)
    np.testing.assert_array_equal(other.part(CourseCard).result.course.length, own.arrays().length)
    np.testing.assert_array_equal(other.part(CourseCard).result.course.grip, own.arrays().grip)


@pytest.mark.parametrize("data", [b"", b"\x00\xff\xfe", b"a,b\n1,2\n", b"x" * 2_000_000])
def test_a_broken_course_file_is_answered_and_the_course_stays(page, data):
    before = page.part(CourseCard).course
    open_file(page, data)
    faults = [each for each in widgets_of(page.widget) if "ge-fault" in each._dom_classes]
    assert len(faults) == 1 and str(faults[0].value).count(".") >= 1
    assert page.part(CourseCard).course is before


def test_all_pairs_of_the_bike_are_compared_on_request(page):
    assert "Place" not in shown(page)
    named(page, "Compare all pairs on this course").click()
    text = shown(page)
    assert "the fastest is" in text and "(fitted and chosen)" in text
    sprockets = page.state.bike.sprockets
    count = (sprockets.front_sold[1] - sprockets.front_sold[0] + 1) * (
        sprockets.rear_sold[1] - sprockets.rear_sold[0] + 1
    )
    assert f"Of {count} pairs" in text
    named(page, "Rear sprocket").value = 52
    assert "the fastest is" not in shown(page), "places of the ride before must not stay"


def test_every_bike_rides_every_course():
    page = GroundPage("")
    for bike_id in demo_bikes():
        page.state.pick_bike(bike_id)
        for course_id in courses():
            named(page, "Course").value = course_id
            assert not re.search(r"\b(nan|inf)\b", shown(page)), (bike_id, course_id)


def test_every_control_has_a_line_of_help(page):
    named(page, "Edit this course").click()
    for each in widgets_of(page.widget):
        if getattr(each, "description", "") and hasattr(each, "value"):
            helped = getattr(each, "tooltip", None)
            assert helped or each.description in ("Units", "From rest at full throttle")
