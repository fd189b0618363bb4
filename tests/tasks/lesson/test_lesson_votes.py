"""Guesses of a whole class: how they are read, counted, kept, and shown with the answer."""

import html
import re

import pytest

from explorer.records.bikes.own_bike import read_own_bike
from explorer.records.setups.link import MINE, encode
from explorer.records.setups.setup import Setup
from explorer.tasks.lesson.lesson import AGAIN, ANSWER, QUESTION
from explorer.tasks.lesson.page import LessonPage
from explorer.tasks.lesson.plans import PLANS
from explorer.tasks.lesson.question import read_number
from explorer.tasks.lesson.stage import Stage
from explorer.tasks.lesson.steps import STEPS
from explorer.tasks.lesson.steps.recap import Recap
from tests.records.bikes.test_own_bike import MEADOW
from tests.tasks.lesson.lesson_widgets import named, step_card


def tally(page):
    """Rows of the tally that is seen: name, guesses before and after."""
    rows = re.findall(r"<li><span>(.+?): (\d+)(?: → (\d+))?</span>", step_card(page))
    return [(html.unescape(name), int(before), int(after or 0)) for name, before, after in rows]


def guess(page, stage, texts):
    page.state.open(stage)
    named(page, "Add a guess").value = ";".join(texts)


def test_forty_guesses_with_ties_are_all_counted_and_the_right_ones_have_their_bar():
    """Twenty numbers, each said twice, then all forty agree on three of them."""
    page = LessonPage("bike=bracken-125&step=2")  # 50 ÷ 12 = 4.17: 4 to 4.3 are right
    first = [*map(str, range(1, 19)), "4,2", "4.3"]
    guess(page, QUESTION, first * 2)
    bars = re.findall("<progress", step_card(page))
    assert len(bars) == 5 and "✓" not in step_card(page)
    guess(page, AGAIN, ["4 teeth"] * 15 + ["3"] * 15 + ["about 4,2"] * 10)
    page.state.open(ANSWER)
    rows = tally(page)
    assert [sum(each) for each in list(zip(*rows, strict=True))[1:]] == [40, 40]
    assert ("4 to 4.3 ✓", 6, 25) in rows and ("3", 2, 15) in rows
    numbers = [float(name.split()[0]) for name, *_ in rows[:-1]]
    assert numbers == sorted(numbers) and rows[-1][0] == "others" and len(rows) == 5
    again = LessonPage(page.state.link)
    assert tally(again) == rows


def test_few_numbers_keep_their_own_bars():
    page = LessonPage("bike=bracken-125&step=2")
    guess(page, QUESTION, ["3", "3", "5", "4.1", "4,2"])
    page.state.open(ANSWER)
    assert tally(page) == [("3", 2, 0), ("4.1 ✓", 1, 0), ("4.2 ✓", 1, 0), ("5", 1, 0)]


@pytest.mark.parametrize(
    ("said", "shown"), [("999", "999"), ("123.45678", "123.45678"), ("0.0000001", "0")]
)
def test_whatever_number_was_guessed_comes_back_with_the_link(said, shown):
    page = LessonPage("bike=bracken-125&step=2")
    guess(page, QUESTION, [said, "4"])
    assert page.state.lesson.votes(0) == (shown, "4")
    again = LessonPage(page.state.link)
    assert again.state.lesson.place == page.state.lesson.place
    again.state.open(ANSWER)
    assert (shown, 1, 0) in tally(again)


def test_no_nonsense_is_shown_to_the_class():
    page = LessonPage("bike=bracken-125&step=2")
    guess(page, QUESTION, ["99999999"])
    assert page.state.lesson.votes(0) == () and "too much for anybody's guess" in html.unescape(
        step_card(page)
    )
    assert read_number("9 500", "rpm") == 9500
    named(page, "Add")  # a button beside the field says that it is one


@pytest.mark.parametrize(
    ("plan", "before"), [(20, {2}), (40, {1, 2, 11, 13}), (90, {1, 2, 11, 13})]
)
def test_a_step_says_its_minutes_of_the_plan_and_has_one_number(plan, before):
    page = LessonPage(f"bike=bracken-125&step=3;plan {plan}")
    begin = sum(PLANS[plan][each] for each in before)
    place = f"{begin} to {begin + PLANS[plan][3]}"
    assert "Step 3: Pull" in step_card(page) and f"invented, minutes {place}<" in step_card(page)


def test_a_pair_that_is_not_fitted_is_said_to_be_so():
    page = LessonPage("bike=bracken-125&step=6")
    assert "13/54 instead of 13/50, 40 km/h" in step_card(page)
    again = LessonPage("bike=bracken-125&front=13&rear=50&step=6")
    assert ">13/50, 40 km/h" in step_card(again)


@pytest.mark.parametrize("typed", ["the wheel is larger", "because the wheel is larger"])
def test_the_reason_of_the_class_stands_beside_the_answer(typed):
    page = LessonPage("bike=bracken-125&step=1")
    named(page, "less hard than the chain").click()
    named(page, "because …").value = typed
    page.state.open(ANSWER)
    text = step_card(page)
    assert text.count("because the wheel is larger") == 1
    assert text.index("✓: 1") < text.index("because the wheel") < text.index("ge-take-away")
    page.state.go(2)
    page.state.open(ANSWER)
    assert "because" not in step_card(page)


def test_a_bike_of_ones_own_goes_through_every_step():
    bike = read_own_bike(MEADOW).bike
    page = LessonPage(encode(Setup.for_bike(MINE, bike), bike, bike))
    for step in range(1, len(STEPS) + 1):
        page.state.go(step)
        for stage in range(ANSWER + 1):
            page.state.open(stage)
            assert "<small>Meadow" in step_card(page)
    assert page.part(Stage).widget is not None and "ge-fault" not in step_card(page)


@pytest.mark.parametrize("own", ["9/28", "9/75", "20/28", "20/75", "13/50"])
@pytest.mark.parametrize("bike_id", ["bracken-125", "fogbank-650"])
def test_every_own_pair_has_its_way_to_the_bench(own, bike_id):
    page = LessonPage(f"bike={bike_id}&step={Recap.number};own {own}")
    told = Recap().beside(page.result, page.state.base_bike)
    assert f"{own} on the bench" in told and "own.name" in told
