"""The worksheet and its answers: complete, escaped, needing nothing from elsewhere."""

import re
from datetime import date
from html.parser import HTMLParser
from urllib.parse import unquote

import pytest
from markupsafe import escape

from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.errors import RecordError
from explorer.records.fitting.fit import Measurements
from explorer.records.lessons.quiz import quiz
from explorer.records.setups.setup import Setup
from explorer.tasks.lesson.class_card import MEASURED
from explorer.tasks.lesson.experiments import EXPERIMENTS
from explorer.tasks.lesson.facts import Facts
from explorer.tasks.lesson.lesson import Lesson, Place, starting_pair
from explorer.tasks.lesson.page import LessonPage, Sheets
from explorer.tasks.lesson.plans import PLANS
from explorer.tasks.lesson.sheet import (
    Worksheet,
    download_link,
    file_name,
    render,
    speeds_at_a_round_engine_speed,
)
from explorer.tasks.lesson.steps import STEPS
from tests.tasks.lesson.lesson_widgets import shown

BIKES = dict(demo_bikes())
UNITS = "units are km/h, kW and N·m for everybody"


def sheet_of(bike_id="bracken-125", bike=None, address="", plan=90, units="metric"):
    bike = bike or BIKES[bike_id]
    setup = Setup.for_bike(bike_id, bike).changed(**starting_pair(bike), units=units)
    facts = Facts(Lesson(bike, setup, Place(plan=plan)), BIKES, Measurements.for_bike(bike))
    return Worksheet(facts, date(2026, 5, 1), "?step=1&quiz=1", address)


class Elements(HTMLParser):
    """Collects what a browser would fetch or run."""

    def __init__(self, text):
        super().__init__()
        self.tags, self.fetched = [], []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        self.fetched += [value for name, value in attrs if name in ("src", "href", "onload")]


def text_of(html):
    return html.replace("&#39;", "'").replace("&#34;", '"').replace("&amp;", "&")


@pytest.mark.parametrize("bike_id", BIKES)
def test_questions_without_answers_and_answers_on_the_second_sheet(bike_id):
    sheet = sheet_of(bike_id)
    pupil, coach = (text_of(render(sheet, reader)) for reader in ("pupil", "coach"))
    for step in STEPS:
        asked = step.ask(sheet.facts)
        assert asked.text in pupil and asked.text in coach
        answer = step.answer(sheet.facts)
        assert all(sentence in coach for sentence in answer)
        assert not any(sentence in pupil for sentence in answer)
    for question in quiz(1):
        assert question.text in pupil and question.working in coach
        assert question.working not in pupil
    assert f"<b>{quiz(1)[0].right}</b>" in coach and "Often heard" not in pupil


@pytest.mark.parametrize("plan", PLANS)
def test_the_guide_prints_its_plan_with_an_answer_for_every_question(plan):
    """What to say, common answers, what to bring and cautions stand with it."""
    sheet = sheet_of(plan=plan)
    pupil, coach = (text_of(render(sheet, reader)) for reader in ("pupil", "coach"))
    assert f"Plan of {plan} minutes" in coach
    sections = re.findall(r'<section class="step">(.*?)</section>', coach, re.S)
    for number, minutes in PLANS[plan].items():
        step = STEPS[number - 1]
        asked = step.ask(sheet.facts)
        [section] = [each for each in sections if f" {step.title} ({minutes} min)" in each]
        assert asked.text in section and step.take_away in section
        assert all(sentence in section for sentence in step.answer(sheet.facts))
        assert not asked.guessed or f"<b>{asked.right}</b>" in section
        assert all(each in section for each in step.coach) and step.coach
    assert not any(step.title in coach for step in STEPS if step.number not in PLANS[plan])
    experiments = [each for each in EXPERIMENTS if each.step in PLANS[plan]]
    for each in experiments:
        assert each.need in coach.split("<h2>")[0] and each.how in coach
        assert all(caution in coach for caution in each.cautions)
    assert "Common answer" in coach and "Common answer" not in pupil


def test_what_an_experiment_finds_stands_on_the_coachs_sheet_only():
    pupil, coach = (text_of(render(sheet_of(), reader)) for reader in ("pupil", "coach"))
    found = [each.found for each in EXPERIMENTS if each.found]
    # A question of an experiment has its answer, too.
    assert all(each.found for each in EXPERIMENTS if "?" in each.how)
    assert len(found) >= 8 and all(each in coach for each in found)
    assert not any(each in pupil for each in found)
    # The answers of steps 2 and 9, in whatever words.
    assert "(front − 1)" not in pupil and "in line" not in pupil
    assert "(front − 1)" in coach and "in line" in coach


def test_own_bike_and_class_results_have_their_lines():
    pupil = render(sheet_of(), "pupil")
    for label in ("Front teeth", "Rear teeth", "Primary reduction", "Roll-out", "5th, speed"):
        assert f'aria-label="{label}"' in pupil
    assert "rider seated" in pupil and "What we measured" in pupil


def test_speeds_on_the_answers_are_those_of_the_ratios():
    sheet = sheet_of("sleet-450")
    bike = sheet.facts.bike
    said, speeds = speeds_at_a_round_engine_speed(sheet.facts)
    rpm = float(re.sub(r"\D", "", said))
    assert rpm % 500 == 0
    rollout = sheet.facts.result.rollouts[0].value
    for ratio, speed in zip(bike.gearbox.ratios, speeds, strict=True):
        turns = rpm / (bike.gearbox.primary.si * ratio.si * 48 / 13)
        assert speed == pytest.approx(turns * rollout / 60, rel=1e-12)


def test_the_roll_out_has_one_unit_that_of_the_reader():
    coach = text_of(render(sheet_of("sleet-450", units="imperial"), "coach"))
    turn = sheet_of("sleet-450").facts.result.rollouts[0].value / 0.0254  # inch, by definition
    found = coach[coach.index("(computed)</h2>") : coach.index("<h2>Quiz")]
    assert f"Roll-out {turn:.1f} in, " in found and f"<td>{turn:.1f} in</td>" in found
    assert not re.search(r"\d m\b(?<!20 m)", found)


def test_a_reader_of_other_units_is_told_why_the_quiz_has_its_own():
    page = LessonPage("?quiz=25&units=imperial")
    assert "km/h" in shown(page) and UNITS in shown(page)
    page.state.change(units="metric")
    assert UNITS not in shown(page)
    for reader in ("pupil", "coach"):
        assert UNITS in render(sheet_of(units="imperial"), reader)
        assert UNITS not in render(sheet_of(), reader)


def test_the_coachs_list_has_room_for_what_is_measured():
    coach = render(sheet_of(), "coach")
    table = coach[coach.index("What the class should find") : coach.index("<h2>Quiz")]
    blanks = re.findall(
        r'<th scope="row">(.*?)</th><td>\s*<input[^>]*aria-label="\1, measured"', table
    )
    assert blanks == [str(escape(each.name)) for each in MEASURED.values()]
    assert '<th scope="col">measured by the class</th><th scope="col">computed</th>' in table


def test_a_plain_number_says_what_it_counts():
    pupil, coach = (" ".join(render(sheet_of(), reader).split()) for reader in ("pupil", "coach"))
    # 50 ÷ 12, from the definition.
    assert "<b>4.2</b> rear teeth" in coach
    section = pupil[pupil.index('aria-label="Step 2, guess"') :].partition("</section>")[0]
    assert section.count("> rear teeth") == 2 and "teeth %" not in pupil


def test_cautions_stand_on_both_sheets():
    for reader in ("pupil", "coach"):
        text = text_of(render(sheet_of(), reader))
        for each in EXPERIMENTS:
            assert all(caution in text for caution in each.cautions)
        assert "your bike's own manual" in text


@pytest.mark.parametrize("reader", ["pupil", "coach"])
def test_it_needs_nothing_and_runs_nothing(reader):
    seen = Elements(render(sheet_of(address="https://club.example/lesson"), reader))
    assert not {"script", "img", "link", "iframe", "object"} & set(seen.tags)
    assert seen.fetched == []


@pytest.mark.parametrize("name", ["<script>alert(1)</script>", 'Bike" onload="x', "{{ 7 * 7 }}"])
def test_a_bikes_name_is_escaped(name):
    bike = BIKES["bracken-125"].with_changes({"name": name})
    for reader in ("pupil", "coach"):
        html = render(sheet_of(bike=bike), reader)
        assert ("<script" not in html and name not in html.replace(name, "", 0)) or "{{" in name
        assert str(escape(name)) in html
        assert Elements(html).fetched == []


def test_the_code_opens_the_lesson_where_the_address_is_known():
    with_code = render(sheet_of(address="https://club.example/lesson"), "coach")
    assert "<svg" in with_code and "Opens this lesson" in with_code
    assert "https://club.example/lesson?step=1&amp;quiz=1" in with_code
    assert "<svg" not in render(sheet_of(), "coach")
    with pytest.raises(RecordError):
        sheet_of(address="javascript:alert(1)")


def test_both_sheets_are_downloaded_from_the_page():
    page = LessonPage("?bike=sleet-450&quiz=5")
    assert page.part(Sheets)._sheets.value == ""
    page.part(Sheets)._make()
    for reader in ("pupil", "coach"):
        assert f"gearing-lesson-{reader}-{date.today()}.html" in page.part(Sheets)._sheets.value
    # What the class finds is on no sheet, and would make its code too fine to read.
    page.state.move(experiment="guesses")
    page.state.found("guesses", "3 4 " * 30)
    assert page.part(Sheets)._sheets.value and "guesses" not in unquote(page.part(Sheets)._about)
    assert "guesses;3;4" in unquote(page.state.link)
    # What a demonstration moves is not what the questions are about; another quiz is.
    page.state.change(rear=46)
    assert page.part(Sheets)._sheets.value
    page.state.quiz(6)
    assert page.part(Sheets)._sheets.value == "", "sheets of the quiz before must not stay"
    page.part(Sheets)._make()
    page.state.go(6)
    page.state.move(road_speed=60 / 3.6)
    assert page.part(Sheets)._sheets.value == ""
    page.part(Sheets)._read_address("https://club.example/lesson")
    page.part(Sheets)._make()
    sheets = unquote(page.part(Sheets)._sheets.value)
    assert "40 km/h, full throttle" in sheets and "step=6;speed%2060%20km/h" in sheets
    page.part(Sheets)._read_address("nonsense here")
    assert "not the address" in page.part(Sheets)._field._answer.value


def test_names_of_the_files():
    sheet = sheet_of()
    assert file_name(sheet, "coach") == "gearing-lesson-coach-2026-05-01.html"
    assert 'download="gearing-lesson-pupil-2026-05-01.html"' in download_link(sheet, "pupil")
