"""Prediction against measurement on the page, without a browser: typed, answered, kept.

Expected road speeds and the direction of each verdict are worked out by hand in the tests.
"""

import dataclasses

import ipywidgets as widgets
import numpy as np
import pytest

from explorer.app.state import State
from explorer.calc.statistics.verdict import Outcome
from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.fitting.fit import Measurements
from explorer.records.rides.typed_runs import HillRun, MarkedSpeed, TimedRuns
from explorer.records.setups.setup import Setup
from explorer.study.check.compare_result import Compared, Predictions, measured_time
from explorer.study.choice import PageChoice
from explorer.study.study import CHOSEN, FITTED, Study
from explorer.tasks.check.compare import CompareCards
from explorer.tasks.check.compare_words import between
from explorer.tasks.check.outing import outing

BIKE = demo_bikes()["bracken-125"]
SETUP = Setup.for_bike("bracken-125", BIKE).changed(rear=BIKE.sprockets.rear + 4, rollout=2.0)


def all_of(root, kind):
    found = [root] if isinstance(root, kind) else []
    return found + [each for child in getattr(root, "children", ()) for each in all_of(child, kind)]


@pytest.fixture
def cards():
    state = State(dict(demo_bikes()), PageChoice(BIKE, SETUP, Measurements.for_bike(BIKE)))
    return CompareCards(state)


def type_in(cards, card, **texts):
    place = cards._cards[card].widget
    for label, text in texts.items():
        wanted = label.replace("_", " ")
        for field in all_of(place, (widgets.Text, widgets.Dropdown)):
            if field.description == wanted:
                field.value = text


def said(cards):
    return " ".join(str(each.value) for each in all_of(cards.widget, widgets.HTML))


def test_road_speed_at_a_marked_engine_speed():
    """v = rpm/60 · roll-out / (primary · gear · final): 5000 rpm, third gear of the trail bike."""
    row = MarkedSpeed(3, 5000 * np.pi / 30, None, 0.0)
    [found] = Predictions(Study.of(BIKE, SETUP)).marked_speeds([(CHOSEN, row)])
    final = SETUP.rear / SETUP.front
    by_hand = 5000 / 60 * 2.0 / (3.35 * 27 / 19 * final)
    assert found.predicted.value == pytest.approx(by_hand)
    for off, outcome in ((1.0, Outcome.AS_PREDICTED), (1.1, Outcome.NOT_AS_PREDICTED)):
        seen = dataclasses.replace(row, gps=by_hand * off)
        [found] = Predictions(Study.of(BIKE, SETUP)).marked_speeds([(CHOSEN, seen)])
        assert found.verdict.outcome is outcome


def runs_about(centre, scatter=0.03, gear=3):
    spread = (-scatter, 0.0, scatter)
    there, back = (tuple(centre + way * 0.2 + each for each in spread) for way in (1, -1))
    return TimedRuns(gear, 30 / 3.6, 50 / 3.6, there, back, 0.01)


def test_roll_ons_before_and_after():
    predictions = Predictions(Study.of(BIKE, SETUP))
    first, _ = predictions.roll_ons([(FITTED, runs_about(4.0)), (CHOSEN, runs_about(4.0))])
    before, after = (each.predicted.value for each in first)
    assert after < before, "four more rear teeth pull harder"
    alone, [change] = predictions.roll_ons(
        [(FITTED, runs_about(before, 0.01)), (CHOSEN, runs_about(after, 0.01))]
    )
    assert [each.verdict.outcome for each in alone].count(Outcome.NOT_AS_PREDICTED) == 0
    assert change.verdict.outcome is Outcome.AS_PREDICTED
    assert change.predicted.standard_uncertainty < alone[0].predicted.standard_uncertainty
    _, [nothing] = predictions.roll_ons(
        [(FITTED, runs_about(before, 0.01)), (CHOSEN, runs_about(before, 0.01))]
    )
    assert nothing.verdict.outcome is Outcome.NOT_AS_PREDICTED
    noisy, [unsure] = predictions.roll_ons(
        [(FITTED, runs_about(before, 0.6)), (CHOSEN, runs_about(after, 0.6))]
    )
    assert unsure.verdict.outcome is Outcome.TOO_NOISY
    assert noisy[0].more_runs > 3


def test_the_logbook_is_given_a_verdict_only_where_all_lines_say_it():
    """A change as predicted, of times that alone are too noisy to tell: the rider decides."""
    predictions = Predictions(Study.of(BIKE, SETUP))
    first, _ = predictions.roll_ons([(FITTED, runs_about(4.0)), (CHOSEN, runs_about(4.0))])
    before, after = (each.predicted.value for each in first)
    given = {}
    for scatter in (0.01, 0.6):
        timed = [(FITTED, runs_about(before, scatter)), (CHOSEN, runs_about(after, scatter))]
        runs, changes = map(tuple, predictions.roll_ons(timed))
        for compared in (Compared(runs=runs, changes=changes), Compared(changes=changes)):
            gave = outing(None, compared, None, BIKE, "metric")
            words = [line.rpartition(", ")[2] for line in gave.measured]
            assert gave.verdict == (words[0] if len(set(words)) == 1 else "")
            given[tuple(words)] = gave.verdict
    noisy = "too noisy to tell"
    assert given["as predicted", noisy, noisy] == "" and given[("as predicted",)] == "as predicted"
    assert given[noisy, noisy, noisy] == noisy


def test_one_run_each_way_still_has_a_mean():
    mean, scatter = measured_time(TimedRuns(3, 10.0, 15.0, (5.2,), (4.8,), 0.1))
    assert mean.value == pytest.approx(5.0)
    assert mean.standard_uncertainty == pytest.approx(np.hypot(0.2, 0.1 / np.sqrt(12)))
    assert mean.degrees_of_freedom == pytest.approx(1.0, rel=0.1)
    assert scatter == pytest.approx(0.4 / np.sqrt(2))


def test_hills():
    predictions = Predictions(Study.of(BIKE, SETUP))
    [gentle, steep] = predictions.hills(
        [(CHOSEN, HillRun(2, 0.05, True)), (CHOSEN, HillRun(2, 0.8, True))]
    )
    assert gentle.verdict.outcome is Outcome.AS_PREDICTED
    assert steep.verdict.outcome is Outcome.NOT_AS_PREDICTED


def test_typed_roll_ons_are_compared_and_follow_the_state(cards):
    type_in(
        cards,
        1,
        Gear="3",
        From="30 km/h",
        To="50 km/h",
        There="4.1, 4.2, 4.0 s",
        Back="3.9, 3.8, 4.0 s",
    )
    text = said(cards)
    assert "<td>4.00 ± 0.11 s</td>" in text and "<td>chosen</td>" in text
    cards._state.change(units="imperial")
    cards.show()
    assert "19 mph to 31 mph" in said(cards)


def test_a_speed_out_of_the_gear_s_reach_is_said(cards):
    type_in(cards, 1, Gear="1", From="40 km/h", To="90 km/h", There="4 s", Back="4 s")
    assert "not possible by the computation" in said(cards)
    assert "check the gear and the speeds" in said(cards)


def test_a_slip_is_answered_beside_the_table_and_the_text_stays(cards):
    type_in(cards, 1, Gear="3", From="40 kg", To="60 km/h", There="4 s", Back="4 s")
    assert "Row 1: From: &#34;40 kg&#34; is a mass, not a speed" in said(cards)
    field = next(each for each in all_of(cards.widget, widgets.Text) if each.description == "From")
    assert field.value == "40 kg"


@pytest.mark.parametrize(
    ("system", "speed", "outcome"),
    [("metric", "40 km/h", 40 / 3.6), ("imperial", "40 mph", 17.8816)],
)
def test_a_bare_number_is_taken_and_said_back_with_its_unit(cards, system, speed, outcome):
    """A mile an hour is 0.44704 m/s; what was taken stays what it is when the units change."""
    cards._state.change(units=system)
    # An example says no unit that is not the reader's.
    assert not any("km/h" in each.placeholder for each in all_of(cards.widget, widgets.Text))
    type_in(cards, 0, Gear="3", Engine_speed="6000", Speedometer="42,5", GPS="40")
    [row] = cards._cards[0]._table.rows
    assert (row["engine_speed"], row["gps"]) == ("6000 rpm", speed)
    assert row["indicated"] == f"42,5 {speed[3:]}"
    [found] = cards.found.speeds
    assert found.row.engine_speed == pytest.approx(6000 * np.pi / 30)
    assert found.row.gps == pytest.approx(outcome)
    type_in(cards, 1, Gear="3", From="20", To="30", There="3,1, 3,2", Back="3.0/3.3")
    [row] = cards._cards[1]._table.rows
    assert (row["from"], row["there"], row["back"]) == (
        f"20 {speed[3:]}",
        "3,1, 3,2 s",
        "3.0/3.3 s",
    )
    assert [each.row.there for each in cards.found.runs] == [(3.1, 3.2)]
    type_in(cards, 2, Gear="2", Slope="18")
    assert [each.row.slope for each in cards.found.hills] == [0.18]
    cards._state.change(units="metric" if system == "imperial" else "imperial")
    cards.show()
    assert cards.found.speeds[0].row.gps == pytest.approx(outcome)


def test_a_refused_row_leaves_no_old_comparison(cards):
    runs = {"Gear": "3", "From": "30 km/h", "To": "50 km/h", "There": "4,1, 4,2 s", "Back": "3,9 s"}
    type_in(cards, 1, **runs)
    assert len(cards.found.runs) == 1 and "<table" in said(cards)
    type_in(cards, 1, There="soon")
    assert "<table" not in said(cards) and cards.found.runs == ()
    type_in(cards, 1, There="4,1, 4,2 s")
    assert len(cards.found.runs) == 1 and "<table" in said(cards)


def test_markup_typed_is_escaped(cards):
    type_in(cards, 2, Gear="<img src=x>", Slope="18 %")
    assert "<img" not in said(cards)
    assert "&lt;img" in said(cards)


def test_three_readings_calibrate_the_speedometer(cards):
    place = cards._cards[0]
    place._table.show(
        [
            {"with": str(CHOSEN), "indicated": f"{shown} km/h", "gps": f"{true} km/h"}
            for shown, true in ((33, 30), (54, 50), (75, 70), (96, 90))
        ]
    )
    place.show()
    # Two more readings than a line needs; 1.05 and 1.5 by hand.
    assert "shows 1.050" in said(cards) and "+ 1.5 " in said(cards)
    assert "within the range" in said(cards)


def test_a_bike_with_fewer_gears_answers_instead_of_failing(cards):
    type_in(cards, 1, Gear="5", From="40 km/h", To="60 km/h", There="4 s", Back="4 s")
    before = said(cards)
    cards._state.pick_bike("fogbank-650")
    cards.show()
    assert "our side" not in before + said(cards)


@pytest.mark.parametrize(
    ("value", "expanded", "text"),
    [
        (12.5, 0.14, "45.0 ± 0.5 km/h"),
        (12.5, 20.0, "40 ± 70 km/h"),
        (12.5, 0.0, "45 km/h"),
        (float("nan"), 1.0, "no value"),
    ],
)
def test_no_more_digits_than_are_sure(value, expanded, text):
    assert between(value, expanded, "speed", "metric") == text
