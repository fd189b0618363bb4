"""What a class found, typed beside what was computed."""

import numpy as np
import pytest

from explorer.charts.lesson.lesson_results import ResultsChart, ResultsView, describe
from explorer.records.errors import RecordError
from explorer.records.lessons.class_results import read_results
from explorer.study.study import FITTED
from explorer.tasks.lesson.class_card import MEASURED, WALK, ClassCard
from tests.tasks.lesson.lesson_widgets import all_named, named, shown


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
    rollout = page.result.result.rollouts[0].value
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
    assert page.part(ClassCard)._figure_widget is None and not page.state.lesson.place.results
    assert "No results of the class yet" in page.part(ClassCard)._said.value


def test_every_prediction_is_said_and_drawn_with_the_first_result(page):
    for name, measured in MEASURED.items():
        all_named(page, "What the class found out")[0].value = name
        assert "No results of the class yet" in shown(page)
        if name == "walk":
            # 1.2 × idle speed, from the definition of the overall ratio.
            facts = page.result
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
