"""The lesson page without a browser: links, guesses, hide and reveal, results, quiz, reset."""

import html
import re
import shutil
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from explorer.charts.lesson.lesson_results import ResultsChart, ResultsView, describe
from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.clubs.club import CLUB_VARIABLE, club_here
from explorer.records.errors import RecordError
from explorer.records.lessons.class_results import read_results
from explorer.records.lessons.quiz import LARGEST_SEED, LENGTH, quiz
from explorer.study.study import FITTED
from explorer.tasks.bench.page import GearingPage
from explorer.tasks.lesson import page as lesson_module
from explorer.tasks.lesson.class_card import MEASURED, WALK, ClassCard
from explorer.tasks.lesson.experiments import EXPERIMENTS
from explorer.tasks.lesson.link import (
    BICYCLE,
    CLASS,
    FASTEST,
    OPENING,
    PLANS,
    SLOWEST,
    Place,
    decode_place,
    encode_place,
)
from explorer.tasks.lesson.misconceptions import MISCONCEPTIONS
from explorer.tasks.lesson.page import LessonPage
from explorer.tasks.lesson.stage import Notes, Stage
from explorer.tasks.lesson.state import ANSWER, DEMONSTRATION, QUESTION
from explorer.tasks.lesson.steps import STEPS


def widgets_of(root):
    yield root
    for child in getattr(root, "children", ()):
        yield from widgets_of(child)


def all_named(page, name):
    return [each for each in widgets_of(page.widget) if getattr(each, "description", None) == name]


def seen(root):
    """The widgets that are not hidden."""
    if root.layout.display != "none":
        yield root
        for child in getattr(root, "children", ()):
            yield from seen(child)


def named(page, name):
    found = [each for each in seen(page.widget) if getattr(each, "description", None) == name]
    assert len(found) == 1, (name, len(found))
    return found[0]


def visible(root):
    """Texts of everything that is not hidden, as a reader sees the page."""
    return (str(each.value) for each in seen(root) if type(each).__name__ == "HTML")


def shown(page):
    return " ".join(visible(page.widget))


def step_card(page):
    return " ".join(visible(page.part(Stage).widget))


@pytest.fixture
def page():
    return LessonPage("step=1")


def bars(page):
    """Length of each bar that is seen, over the longest."""
    found = re.findall(r'<progress value="(\d+)" max="(\d+)"', step_card(page))
    return [int(count) / int(most) for count, most in found]


def test_predict_observe_explain(page):
    """Guesses, demonstration, vote again, answer; numbers of guesses only with the answer."""
    assert "Step 1:" in step_card(page)
    for _ in range(3):
        named(page, "harder than the chain").click()
    named(page, "less hard than the chain").click()
    assert bars(page) == [1.0, 0.0, pytest.approx(1 / 3)]
    assert not re.search(r"chain: \d", step_card(page))
    named(page, "because …").value = "the wheel is larger"
    named(page, "Demonstration").click()
    assert "the chain pulls with" in step_card(page)
    named(page, "Vote again").click()
    assert bars(page) == [0.0, 0.0, 0.0]
    named(page, "less hard than the chain").click()
    named(page, "Answer").click()
    text = step_card(page)
    assert "<h3>less hard than the chain</h3>" in text
    assert "harder than the chain: 3 → 0" in text and "less hard than the chain ✓: 1 → 1" in text
    named(page, "Next step").click()
    assert page.state.lesson.step == BICYCLE and "Bicycle: " in step_card(page)
    named(page, "Next step").click()
    assert page.state.lesson.step == 2 and "Step 2:" in step_card(page)
    # All of it comes back with the address: after a reload, Back, or another page in between.
    again = LessonPage(named(page, "Link to this step").value).state.lesson.place
    assert again == page.state.lesson.place
    assert again.because == {1: "the wheel is larger"}


def loud(page):
    return [
        each.description
        for each in seen(page.part(Stage).widget)
        if getattr(each, "button_style", "") == "primary"
    ]


def test_the_loud_button_is_what_comes_next_and_never_the_answer_before_a_guess(page):
    assert loud(page) == []
    named(page, "just as hard").click()
    assert loud(page) == ["Demonstration"]
    named(page, "Demonstration").click()
    assert loud(page) == ["Vote again"]
    named(page, "Vote again").click()
    assert loud(page) == ["Answer"]
    named(page, "Answer").click()
    assert loud(page) == ["Next step"]
    named(page, "Question").click()
    named(page, "Take one back").click()
    assert loud(page) == []


def test_a_demonstration_moves_no_question(page):
    """Nor does what it moved go along into the next step."""
    for step in STEPS:
        page.state.go(step.number)
        text = step.ask(page.part(Stage).frozen(page.result))
        page.state.open(DEMONSTRATION)
        page.state.change(front=12, rear=46, slope=0.1)
        page.state.move(road_speed=15.0)
        page.state.open(ANSWER)
        assert step.ask(page.part(Stage).frozen(page.result)) == text
        assert (text.right or "Nothing can be computed") in step_card(page)
    page.state.go(1)
    assert page.state.setup == page.state.lesson.asked and page.state.setup.rear == 54


def test_typed_guesses_are_counted_and_nonsense_stays_in_its_field(page):
    page.state.go(2)
    field = named(page, "Add a guess")
    field.value = "<b>many</b>"
    text = step_card(page)
    assert "&lt;b&gt;many" in text and "<b>many" not in text
    assert field.value == "<b>many</b>" and not page.state.lesson.votes(0)
    for field.value in ("4,2", "4.2 teeth", "3; 3 ;about 1"):
        assert field.value == ""
    assert page.state.lesson.votes(0) == ("4.2", "4.2", "3", "3", "1")
    page.state.open(ANSWER)
    assert "4.2 ✓: 2" in step_card(page) and "3: 2" in step_card(page)


def test_no_more_than_forty_guess(page):
    for _ in range(60):
        named(page, "just as hard").click()
    assert len(page.state.lesson.votes(0)) == CLASS == 40


@pytest.mark.parametrize("plan", PLANS)
def test_a_class_of_twelve_goes_through_a_plan(page, plan):
    """Everybody guesses in each step, sees the demonstration, guesses again, gets the answer."""
    page.state.go(OPENING)
    named(page, f"{plan} minutes").click()
    assert all(f"<b>{minutes} min</b>" in step_card(page) for minutes in PLANS[plan].values())
    named(page, "Next step").click()
    gone = []
    while True:
        gone.append(page.state.lesson.step)
        asked = STEPS[gone[-1] - 1].ask(page.part(Stage).frozen(page.result))
        for stage in ("Question", "Vote again") if asked.guessed else ():
            named(page, stage).click()
            for pupil in range(12):
                if asked.options:
                    named(page, asked.options[pupil % len(asked.options)]).click()
                else:
                    named(page, "Add a guess").value = f"{pupil + 1} {asked.unit}"
            assert len(page.state.lesson.votes(page.state.lesson.round)) == 12
            named(page, "Demonstration").click()
        named(page, "Answer").click()
        assert (asked.right or "Nothing can be computed") in html.unescape(step_card(page))
        if named(page, "Next step").disabled:
            break
        named(page, "Next step").click()
    assert gone == list(PLANS[plan]) and "ge-fault-line" not in shown(page)
    again = LessonPage(named(page, "Link to this step").value).state.lesson.place
    assert again.plan == plan and again.opened == page.state.lesson.place.opened
    assert {key: sorted(each) for key, each in again.votes.items()} == {
        key: sorted(each) for key, each in page.state.lesson.place.votes.items()
    }


def words_of(text):
    return re.findall(r"\S*\w\S*", re.sub("<[^>]+>", " ", text))


@pytest.mark.parametrize("bike_id", demo_bikes())
def test_a_step_has_at_most_120_words_on_the_screen_and_twelve_to_remember(page, bike_id):
    page.state.pick_bike(bike_id)
    for step in STEPS:
        page.state.go(step.number)
        assert len(words_of(step.take_away)) <= 12
        shown_words = 0
        for stage in (QUESTION, DEMONSTRATION, ANSWER):
            page.state.open(stage)
            # Help and the long form are there for a screen reader, and not shown on the stage.
            text = " ".join(
                str(each.value)
                for each in seen(page.part(Stage).widget)
                if type(each).__name__ == "HTML"
                and not {"ge-help", "ge-unseen"} & set(each._dom_classes)
            )
            labels = [
                each.description
                for each in seen(
                    page.part(Stage)._ask if stage == QUESTION else page.part(Stage)._row
                )
                if getattr(each, "description", "")
            ]
            shown_words += len(words_of(text + " " + " ".join(labels)))
            # Its title stands all the time and is read once.
            shown_words -= len(words_of(page.part(Stage)._title.value)) if stage else 0
        assert shown_words <= 120, (step.number, shown_words)


def test_each_step_shows_its_misconceptions_in_the_notes(page):
    for step in STEPS:
        page.state.go(step.number)
        text = str(page.part(Notes).widget.value)
        for each in MISCONCEPTIONS.values():
            if each.step == step.number:
                assert each.true.split(".")[0] in html.unescape(text)
            else:
                assert each.heard not in html.unescape(text)


def test_a_control_moves_the_demonstration(page):
    page.state.go(3)
    page.state.open(DEMONSTRATION)
    named(page, "Front sprocket").value = 12
    assert "to 12/54" in step_card(page) and "+17.0 %" in step_card(page)
    # What the questions are about stays in the link.
    assert "front=13&rear=54" in named(page, "Link to this step").value


def test_the_slack_at_the_travel_under_the_slider_is_told_in_words(page):
    page.state.go(9)
    page.state.open(DEMONSTRATION)
    travel = named(page, "Wheel travel used [mm]")
    said = set()
    for travel.value in (0, 40, 200):
        text = step_card(page)
        assert f"where the slider stands ({travel.value:.0f} mm of travel)" in text
        said.add(text.split(" where the slider stands")[0].rpartition(": ")[2])
    assert len(said) == 3 and all(each.endswith(" mm") for each in said)


def test_only_the_controls_that_matter_and_one_chart_at_a_time(page):
    kept = []
    for step in STEPS:
        page.state.go(step.number)
        page.state.open(DEMONSTRATION)
        assert len(page.part(Stage)._row.children) == len(step.controls) <= 3
        kept.append(page.part(Stage)._figure_widget)
    kept = [each for each in kept if each is not None]
    assert sum(each.comm is not None for each in kept) == 1
    page.state.open(QUESTION)
    assert page.part(Stage)._figure_widget is None and page.part(Stage)._figure_box.children == ()


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
        assert step.ask(other.part(ClassCard)._facts) == step.ask(page.part(ClassCard)._facts)
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
        ("?step=16", "1 to 15"), ("?step=%3Cscript%3E", "1 to 15"), ("?quiz=-1", "from 0 to"),
        ("?letters=huge", "usual, large"), ("?step=2&step=3", "more than once"),
        ("?step=2;speed+900+km/h", "10 km/h to 160 km/h"), ("?step=2;speed+9", "no unit"),
        ("?step=2;travel+2+m", "0 mm to 450 mm"), ("?step=2;travel+nan+mm", "40 mm"),
        ("?step=2;other+%3Cscript%3E", "not in the library"),
        ("?step=2;other+fogbank-650", "of this lesson itself"),
        ("?step=2;huh;speed+40+mph;speed+50+mph;;" + "x;" * 900, "not known here, or stands twice"),
        ("?nonsense=1", "not known"), ("?class=1;9;;;", "no step with its guesses"),
        ("?class=1;0;0x41;;", "at most 40"), ("?class=1;0;<x>;;", "at most 40"),
        ("?class=16;0;;;", "1 to 15"), ("?class=1;1;;;%7C1;1;;;", "no step with its guesses"),
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


def test_reset_for_the_next_group(page):
    page.state.pick_bike("sleet-450")
    page.state.go(3)
    page.state.vote("9")
    page.state.open(ANSWER)
    page.state.change(rear=46, slope=0.2, measure="steepest_slope")
    page.state.put(results={"walk": "10 11"})
    page.state.put(picked={0: quiz(1)[0].right}, solved=frozenset({0}))
    page.state.move(large=False)
    named(page, "Reset for the next group").click()
    lesson = page.state.lesson
    assert (
        lesson.step == OPENING
        and not lesson.place.votes
        and not lesson.place.opened
        and not lesson.results
    )
    assert not lesson.picked and not lesson.solved and lesson.place.seed == 2
    assert lesson.setup.slope == 0 and lesson.setup.measure == "clutch_out"
    # What belongs to the room stays.
    assert lesson.setup.bike_id == "sleet-450" and not lesson.place.large
    assert all_named(page, "Results, one after the other")[0].value == ""
    assert "Computed: " not in step_card(page)


def test_another_bike_begins_with_a_change_of_its_own(page):
    for bike_id, bike in demo_bikes().items():
        page.state.pick_bike(bike_id)
        pair = (page.state.lesson.setup.front, page.state.lesson.setup.rear)
        assert pair != (bike.sprockets.front, bike.sprockets.rear)
        assert page.part(ClassCard)._facts.other is not bike
        # Its bars are as many as it has gears, and its swingarm is its own.
        for step in (4, 9):
            page.state.go(step)
            page.state.open(ANSWER)
            assert f"Step {step}:" in step_card(page)
        assert page.part(ClassCard)._facts.bike is bike
    assert "ge-fault-line" not in shown(page)


def test_a_club_with_one_bike_compares_it_with_one_of_the_demo(tmp_path, repository, monkeypatch):
    (tmp_path / "club.toml").write_text('title = "Ours"\npages = ["lesson"]')
    (tmp_path / "bikes").mkdir()
    for name in ("club-trail-200.toml", "club-trail-200-torque.csv"):
        shutil.copy(repository / "data" / "club" / "bikes" / name, tmp_path / "bikes")
    monkeypatch.setenv(CLUB_VARIABLE, str(tmp_path))
    club_here.cache_clear()
    try:
        page = LessonPage("?step=5;other+bracken-125")
        page.state.open(DEMONSTRATION)
        other = named(page, "The other bike")
        assert len(other.options) == 5 and all("(invented)" in name for name, _ in other.options)
        page.state.open(QUESTION)
        assert "Club trail 200 and Bracken 125 (invented) both get" in step_card(page)
        # Nor does it speak of pages that this club does not show.
        assert "gearing page" not in str([each.tooltip for each in all_named(page, "Bike")])
        page.state.go(9)
        assert "fit page" not in step_card(page)
    finally:
        club_here.cache_clear()


def test_units_of_the_reader_everywhere(page):
    page.state.change(units="imperial")
    for step in STEPS:
        page.state.go(step.number)
        page.state.open(ANSWER)
        text = step_card(page)
        assert "km/h" not in text and " mm" not in text


def test_class_results_against_the_prediction(page):
    named(page, "Results, one after the other").value = "10 12; 14"
    text = shown(page)
    bike = page.state.lesson.bike
    idle = bike.engine.idle.si
    overall = (
        bike.gearbox.primary.si
        * bike.gearbox.ratios[0].si
        * bike.sprockets.rear
        / bike.sprockets.front
    )
    rollout = page.part(ClassCard)._facts.result.rollouts[0].value
    speed = 1.2 * idle / overall * rollout / (2 * np.pi)
    assert f"Computed: {WALK / speed:.1f} s" in text
    assert "3 results of the class, mean 12.0 s" in text
    # Standard deviation of 10, 12, 14 is 2 (definition).
    assert "spread by 2.0 s" in text and "within the spread" in text


def test_class_results_in_the_readers_units_or_with_their_own(page):
    all_named(page, "What the class found out")[0].value = "roll-out"
    named(page, "Results, one after the other").value = "2030 2.05 m 2040 mm"
    assert "3 results of the class, mean 2040 mm" in shown(page)
    page.state.change(units="imperial")
    # 2030 without a unit now counts in inches, which no roll-out has: the class is asked.
    assert "outside" in shown(page)


def test_results_that_cannot_be_read_stay_and_are_answered(page):
    field = named(page, "Results, one after the other")
    for text in ("ten", "10,5", "-3", "1e400", "<i>10</i>", "1 " * 61, "x" * 2000):
        field.value = text
        assert field.value == text
        said = page.part(ClassCard)._answer.value
        assert said and "<i>" not in said


def test_no_chart_of_other_results_stays_under_results_that_cannot_be_read(page):
    choice = all_named(page, "What the class found out")[0]
    choice.value = "guesses"
    named(page, "Results, one after the other").value = "abc"
    choice.value = "walk"
    named(page, "Results, one after the other").value = "10 12 14"
    assert "3 results of the class" in shown(page)
    drawn = page.part(ClassCard)._figure_widget
    choice.value = "guesses"
    assert named(page, "Results, one after the other").value == "abc"
    assert "not a number" in shown(page) or "abc" in page.part(ClassCard)._answer.value
    assert "results of the class" not in shown(page) and page.part(ClassCard)._said.value == ""
    assert page.part(ClassCard)._figure_widget is None and drawn.comm is None
    choice.value = "walk"
    assert (
        "3 results of the class" in shown(page) and page.part(ClassCard)._figure_widget is not None
    )
    # Nor that of another bike, which the class has not been out with.
    page.state.pick_bike("sleet-450")
    assert page.part(ClassCard)._figure_widget is None and not page.state.lesson.results
    assert "No results of the class yet" in page.part(ClassCard)._said.value


def test_every_prediction_is_said_and_drawn_with_the_first_result(page):
    for name, measured in MEASURED.items():
        all_named(page, "What the class found out")[0].value = name
        assert "No results of the class yet" in shown(page)
        if name == "walk":
            # 1.2 × idle speed, from the definition of the overall ratio.
            facts = page.part(ClassCard)._facts
            vehicle, turn = facts.bike.vehicle(), facts.result.rollouts[FITTED].value
            turns = 1.2 * vehicle.idle_speed / (2 * np.pi)
            overall = vehicle.primary * vehicle.gears[0] * facts.fitted_ratio
            assert f"at least {turns / overall * turn * 3.6:.0f} km/h in 1st" in shown(page)
        # Else it would be no guess any more.
        assert "Computed" not in page.part(ClassCard)._said.value
        assert page.part(ClassCard)._figure_widget is None
        named(page, "Results, one after the other").value = (
            "2 m" if measured.kind == "length" else "4"
        )
        assert "1 result of the class" in shown(page)
        assert page.part(ClassCard)._figure_widget is not None
        if name == "front-turns":
            assert "Computed: 3.85" in shown(page)  # 50 ÷ 13


def test_the_spread_is_that_of_the_results():
    values = np.array([3.0, 4.0, 5.0, 4.0])
    view = ResultsView("turns", "", values, 3.85, 2)
    # The textbook form of the sample standard deviation.
    by_hand = (sum((v - 4.0) ** 2 for v in values) / 3) ** 0.5
    assert view.spread == pytest.approx(by_hand, rel=1e-12)
    chart = ResultsChart(view)
    assert chart._band.left == pytest.approx(4.0 - by_hand) and chart._band.visible
    assert "has no spread" in describe(ResultsView("turns", "", values[:1], 3.85, 2))
    alike = ResultsView("turns", "", np.array([3.85, 3.85, 3.85]), 50 / 13, 2)
    assert "lies within the spread" in describe(alike)
    apart = ResultsView("turns", "", np.array([3.95, 3.95, 3.95]), 50 / 13, 2)
    assert "lies outside the spread" in describe(apart)
    chart.update(ResultsView("turns", "", values[:1], 3.85, 2))
    assert not chart._band.visible


def test_results_are_read_between_blanks_and_semicolons():
    expected = [2.03, 2.05, 2.1]
    read = read_results("2030 mm; 2.05 m\n2100", "length", "mm", ("0.5 m", "4 m"))
    np.testing.assert_allclose(read, expected, rtol=1e-12)
    with pytest.raises(RecordError) as refused:
        read_results("2030 apples; 2050; banana", "length", "mm", ("0.5 m", "4 m"))
    assert len(refused.value.sentences) == 2


def test_the_quiz_is_answered_with_worked_solutions(page):
    questions = quiz(1)
    for number, question in enumerate(questions, start=1):
        named(page, f"Answer {number}").value = question.right
        named(page, f"Show the solution of {number}").click()
    text = shown(page).replace("&#39;", "'")
    assert f"{LENGTH} of {LENGTH} right" in text
    for question in questions:
        assert question.working.split(":")[0] in text
    wrong = next(option for option in questions[0].options if option != questions[0].right)
    named(page, "Answer 1").value = wrong
    assert f"{LENGTH - 1} of {LENGTH} right" in shown(page)
    assert "is not right" in shown(page)


def test_other_numbers_and_a_typed_number_of_the_quiz(page):
    named(page, "Other numbers").click()
    assert page.state.lesson.place.seed == 2 and "quiz=2" in named(page, "Link to this step").value
    field = named(page, "Number of the quiz")
    field.value = "many"
    assert "from 0 to 999999" in shown(page) and page.state.lesson.place.seed == 2
    field.value = "4711"
    assert quiz(4711)[0].text.split(".")[0].replace("'", "&#39;") in shown(page)


def test_a_fault_of_ours_is_said_and_the_last_state_stays(page, monkeypatch, caplog):
    class Broken:
        def __init__(self, lesson, *_):
            if lesson.setup.rear == 53:
                raise ZeroDivisionError
            self._real = real(lesson, *_)

        def __getattr__(self, name):
            return getattr(self._real, name)

    real = lesson_module.Facts
    page.state.go(3)
    page.state.open(DEMONSTRATION)
    monkeypatch.setattr(lesson_module, "Facts", Broken)
    named(page, "Rear sprocket").value = 53
    assert re.search(r"error [0-9a-f]{6}", shown(page)) and "ZeroDivisionError" in caplog.text
    assert page.state.lesson.setup.rear == 54 and named(page, "Rear sprocket").value == 54


def test_cautions_stand_with_the_experiments_in_the_notes(page):
    for step in {each.step for each in EXPERIMENTS}:
        page.state.go(step)
        text = html.unescape(page.part(Notes).widget.value)
        for each in EXPERIMENTS:
            if each.step == step:
                assert each.title in text and all(caution in text for caution in each.cautions)
                assert each.found in text
                # It may give the answer away, and the class sees the stage.
                assert not each.found or each.found not in html.unescape(step_card(page))
