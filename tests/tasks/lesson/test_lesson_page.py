"""The lesson page without a browser: guesses, hide and reveal, plans, quiz, reset."""

import html
import re
import shutil

import pytest

from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.clubs.club import CLUB_VARIABLE, club_here
from explorer.records.lessons.quiz import LENGTH, quiz
from explorer.tasks.lesson import page as lesson_module
from explorer.tasks.lesson.experiments import EXPERIMENTS
from explorer.tasks.lesson.lesson import (
    ANSWER,
    CLASS,
    DEMONSTRATION,
    OPENING,
    QUESTION,
)
from explorer.tasks.lesson.misconceptions import MISCONCEPTIONS
from explorer.tasks.lesson.page import LessonPage
from explorer.tasks.lesson.plans import PLANS
from explorer.tasks.lesson.stage import Notes, Stage
from explorer.tasks.lesson.steps import STEPS
from explorer.tasks.lesson.steps.bicycle import Bicycle
from tests.tasks.lesson.lesson_widgets import all_named, named, seen, shown, step_card


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
    assert page.state.lesson.step == Bicycle.number and "Bicycle: " in step_card(page)
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
    # That of the step which is shown, where it has one.
    assert sum(each.comm is not None for each in kept) == (STEPS[-1].figure is not None)
    page.state.open(QUESTION)
    assert page.part(Stage)._figure_widget is None and page.part(Stage)._figure_box.children == ()


def test_reset_for_the_next_group(page):
    page.state.pick_bike("sleet-450")
    page.state.go(3)
    page.state.vote("9")
    page.state.open(ANSWER)
    page.state.change(rear=46, slope=0.2, measure="steepest_slope")
    page.state.found("walk", "10 11")
    page.state.put(picked={0: quiz(1)[0].right}, solved=frozenset({0}))
    page.state.move(large=False)
    named(page, "Reset for the next group").click()
    lesson = page.state.lesson
    assert (
        lesson.step == OPENING
        and not lesson.place.votes
        and not lesson.place.opened
        and not lesson.place.results
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
        assert page.result.other is not bike
        # Its bars are as many as it has gears, and its swingarm is its own.
        for step in (4, 9):
            page.state.go(step)
            page.state.open(ANSWER)
            assert f"Step {step}:" in step_card(page)
        assert page.result.bike is bike
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
