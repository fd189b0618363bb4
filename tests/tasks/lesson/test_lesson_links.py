"""The lesson's link: it reopens what is shown, and nothing in it breaks the page."""

import re
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from explorer.records.lessons.class_results import entries
from explorer.records.lessons.quiz import LARGEST_SEED
from explorer.tasks.bench.page import GearingPage
from explorer.tasks.lesson.lesson import DEMONSTRATION, FASTEST, OPENING, SLOWEST, Place
from explorer.tasks.lesson.link import decode_place, encode_place
from explorer.tasks.lesson.page import LessonPage
from explorer.tasks.lesson.steps import STEPS
from tests.tasks.lesson.lesson_widgets import named, shown

LAST = len(STEPS)
BEYOND = LAST + 1


def test_the_link_reopens_the_step_the_bike_and_the_quiz(page):
    page.state.pick_bike("sleet-450")
    page.state.change(units="imperial")
    page.state.go(7)
    page.state.quiz(77)
    page.state.move(large=False)
    query = named(page, "Link to this step").value
    other = LessonPage(query)
    assert other.state.lesson.place == Place(7, 77, False) == page.state.lesson.place
    assert other.state.lesson.setup == page.state.lesson.setup
    assert "Not accepted" not in shown(other) and "ge-fault-line" not in shown(other)
    assert LessonPage("?step=4&bike=marram-250").state.lesson.bike.name == "Marram 250"


def test_the_link_reopens_the_fitted_pair(page):
    """As do links from before this: only where no pair is named the lesson begins with a change."""
    page = LessonPage("?bike=bracken-125&front=13&rear=50")
    reopened = LessonPage(named(page, "Link to this step").value).state.lesson.setup
    assert (reopened.front, reopened.rear) == (13, 50)
    for query in ("?step=3&bike=bracken-125&front=13&rear=50", "?bike=bracken-125&rear=50"):
        setup = LessonPage(query).state.lesson.setup
        assert (setup.front, setup.rear) == (13, 50)
    begun = LessonPage("?step=3&bike=bracken-125").state.lesson.setup
    assert (begun.front, begun.rear) == (13, 54)


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_the_link_reopens_how_the_demonstrations_are_set(page, units):
    page.state.change(units=units)
    metric = units == "metric"
    for step, control, value in (
        (6, "Road speed [km/h]" if metric else "Road speed [mph]", 60 if metric else 37),
        (
            9,
            "Wheel travel used [mm]" if metric else "Wheel travel used [in]",
            85 if metric else 3.4,
        ),
        (5, "The other bike", "wagtail-85"),
    ):
        page.state.go(step)
        page.state.open(DEMONSTRATION)
        named(page, control).value = value
    assert page.state.lesson.place.other_bike == "wagtail-85"
    other = LessonPage(named(page, "Link to this step").value)
    assert "ge-fault-line" not in shown(other)
    here, there = page.state.lesson.place, other.state.lesson.place
    assert there.other_bike == here.other_bike
    # Written with ten digits.
    assert there.road_speed == pytest.approx(here.road_speed, rel=1e-9)
    assert there.travel == pytest.approx(here.travel, rel=1e-9)
    assert there.road_speed != Place.road_speed and there.travel
    for step in STEPS:
        assert step.ask(other.result) == step.ask(page.result)
    # What it writes in turn is the same link; no other page stumbles over it.
    assert named(other, "Link to this step").value == named(page, "Link to this step").value
    assert "ge-fault-line" not in shown(GearingPage(named(page, "Link to this step").value))


def test_every_step_has_its_link_and_the_set_up_goes_on_to_the_other_pages(page):
    text = shown(page)
    for step in STEPS:
        assert f'href="lesson?step={step.number}&amp;' in text
    address = re.search(r'href="gearing(\?[^"]*)"', text)[1].replace("&amp;", "&")
    assert GearingPage(address).state.setup == page.state.lesson.setup
    # The row of pages above carries the whole link along: nobody else stumbles over the step.
    gearing = GearingPage(named(page, "Link to this step").value)
    assert gearing.state.setup == page.state.lesson.setup
    assert "ge-fault-line" not in shown(gearing)


@pytest.mark.parametrize(
    ("query", "word"),
    [
        (f"?step={BEYOND}", f"1 to {LAST}"), ("?step=%3Cscript%3E", f"1 to {LAST}"),
        ("?quiz=-1", "from 0 to"),
        ("?letters=huge", "usual, large"), ("?step=2&step=3", "more than once"),
        ("?step=2;speed+900+km/h", "10 km/h to 160 km/h"), ("?step=2;speed+9", "no unit"),
        ("?step=2;travel+2+m", "0 mm to 450 mm"), ("?step=2;travel+nan+mm", "40 mm"),
        ("?step=2;other+%3Cscript%3E", "not in the library"),
        ("?step=2;other+fogbank-650", "of this lesson itself"),
        ("?step=2;huh;speed+40+mph;speed+50+mph;;" + "x;" * 900, "not known here, or stands twice"),
        ("?nonsense=1", "not known"), ("?class=1;9;;;", "no step with its guesses"),
        ("?class=1;0;0x41;;", "at most 40"), ("?class=1;0;<x>;;", "at most 40"),
        (f"?class={BEYOND};0;;;", f"1 to {LAST}"),
        ("?class=1;1;;;%7C1;1;;;", "no step with its guesses"),
        ("?class=walk;10%7Cwalk;12", "no results"), ("?class=sprint;10;11", "no results"),
        (f"?class=walk{';10.4' * 200}", "no results"),
        ("?step=2;found+%3Cscript%3E", "finds out here"),
    ],
)  # fmt: skip
def test_a_bad_link_is_one_sentence_and_the_rest_stands(query, word):
    page = LessonPage(f"{query}&bike=fogbank-650")
    text = shown(page)
    faults = re.findall('<p class="ge-fault-line">', text)
    assert len(faults) == 1 and word in text and "<script>" not in text
    assert page.state.lesson.setup.bike_id == "fogbank-650"
    assert page.state.lesson.step == (2 if "step=2" in query else OPENING)


@given(query=st.text(max_size=80) | st.binary(max_size=40).map(lambda b: b.decode("latin-1")))
@settings(max_examples=80, deadline=None)
def test_no_link_breaks_the_place(query):
    place, rest, sentences = decode_place(query)
    assert OPENING <= place.step <= len(STEPS) and 0 <= place.seed <= LARGEST_SEED
    assert isinstance(rest, str) and all(sentences)


@given(
    step=st.integers(OPENING, len(STEPS)),
    seed=st.integers(0, LARGEST_SEED),
    large=st.booleans(),
    other=st.sampled_from(["", "sleet-450", "a & b;c=d"]),
    speed=st.floats(SLOWEST, FASTEST),
    travel=st.floats(0.0, 0.45),
    turned=st.integers(0, 40).map(lambda each: each / 20),
    own=st.tuples(st.integers(9, 20), st.integers(28, 75)),
    system=st.sampled_from(["metric", "imperial"]),
)
@settings(max_examples=80, deadline=None)
def test_a_place_comes_back(step, seed, large, other, speed, travel, turned, own, system):
    other = other.partition(";")[0]
    place = Place(step, seed, large, other, speed, travel, turned, own)
    read, rest, sentences = decode_place(f"?{encode_place(place, system)}&bike=x")
    assert (rest, sentences) == ("bike=x", [])
    assert read.road_speed == pytest.approx(speed, rel=1e-9)
    assert read.travel == pytest.approx(travel, rel=1e-9, abs=1e-12)
    assert replace(read, road_speed=speed, travel=travel) == place


def test_class_results_come_back_under_what_they_were_typed_for(page):
    choice, field = named(page, "What the class found out"), "Results, one after the other"
    choice.value = "roll-out"
    named(page, field).value = "2030; 2.05 m\n2040 mm"
    choice.value = "guesses"
    named(page, field).value = "3 4 5 3"
    page.state.pass_on(1)
    reopened = LessonPage(named(page, "Link to this step").value)
    assert named(reopened, "What the class found out").value == "guesses"
    assert named(reopened, field).value == "3 4 5 3"
    # Mean of the four, beside the same computed number; and nothing of a time.
    assert "4 results of the class, mean 3.8" in shown(reopened)
    assert "Time over" not in shown(reopened)
    named(reopened, "What the class found out").value = "roll-out"
    assert "3 results of the class, mean 2040 mm" in shown(reopened)
    assert named(reopened, "Link to this step").value == page.state.link.replace(
        "found%20guesses", "found%20roll-out"
    )
    # Other pages carry it along and do not stumble over it.
    assert "ge-fault-line" not in shown(GearingPage(page.state.link))
    # Nothing of another bike's class, nor of the group before.
    reopened.state.pick_bike("sleet-450")
    assert "roll-out;" not in reopened.state.link
    page.state.reset()
    assert "class=" not in page.state.link and "found" not in page.state.link


def test_what_a_class_typed_wrong_comes_back_too_and_breaks_no_guess(page):
    page.state.vote("1")
    page.state.reason("so | so")
    for text in ("ten | eleven", "10,5 <i>"):
        named(page, "Results, one after the other").value = text
        reopened = LessonPage(page.state.link)
        assert "ge-fault-line" not in shown(reopened)
        assert reopened.state.lesson.votes(0) == ("1",)
        assert named(reopened, "Results, one after the other").value == text.replace("|", "/")
    named(page, "Results, one after the other").value = "1 " * 400
    assert LessonPage(page.state.link).state.lesson.place.results == {}
    assert "At most 600 characters" in shown(page)


ENTRIES = st.lists(
    st.tuples(st.sampled_from(["", "-"]), st.integers(1, 9999), st.sampled_from(["", " m", " mm"])),
    min_size=1,
    max_size=60,
)


@given(found=ENTRIES, between=st.sampled_from([" ", "; ", ", ", "\n", ";"]))
@settings(max_examples=80, deadline=None)
def test_results_as_typed_are_read_alike_after_the_link(found, between):
    text = between.join(f"{sign}{number}{unit}" for sign, number, unit in found)
    place = Place(results={"roll-out": text}, experiment="roll-out")
    read, _, sentences = decode_place(encode_place(place))
    assert not sentences and read.experiment == "roll-out"
    assert entries(read.results["roll-out"]) == entries(text)
