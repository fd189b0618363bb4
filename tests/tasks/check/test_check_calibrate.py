"""Calibration on the page, without a browser: runs typed or picked from a ride, words, bike file.

The runs come from closed-form coast-downs and from `simulated_measurements`, not from the fit.
"""

import math
from datetime import UTC, date, datetime
from urllib.parse import unquote

import ipywidgets as widgets
import numpy as np
import pytest

from explorer.app.state import State
from explorer.calc.ride.calibration import DAY_TO_DAY
from explorer.calc.ride.calibration_model import BACK, COASTING, THERE
from explorer.records.bikes.bike import Bike
from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.fitting.fit import Measurements
from explorer.records.rides.ride import Ride, Segment
from explorer.records.rides.typed_runs import TimedRuns
from explorer.records.setups.setup import Setup
from explorer.study.check.calibrate_result import (
    DRAG,
    GUESSED,
    MASS_SHARE,
    POWER,
    ROLLING,
    STATED,
    WEIGHED,
    fit_runs,
    observations_of,
)
from explorer.study.check.runs import ride_runs, traces_of
from explorer.study.choice import PageChoice
from explorer.study.question import conditions_of
from explorer.tasks.check import calibrate_words as words
from explorer.tasks.check.calibrate import CalibrateCards
from tests.calc.ride.coastdown import (
    coast_speed,
    coast_time,
    constant_deceleration,
    drag_deceleration,
)

BIKE = demo_bikes()["bracken-125"]
SETUP = Setup.for_bike("bracken-125", BIKE).changed(rollout=2.0)
VEHICLE = BIKE.vehicle(SETUP.rider_mass)
CONDITIONS, _ = conditions_of(SETUP)
TRUE_DRAG, TRUE_ROLLING = 0.48, 1.1 * CONDITIONS.rolling_coefficient
_RADIUS = 2.0 / (2 * math.pi)
WHEELS = (
    VEHICLE.front_wheel_inertia / VEHICLE.front_wheel_radius**2
    + VEHICLE.rear_wheel_inertia / _RADIUS**2
)
A = float(constant_deceleration(TRUE_ROLLING, 0.0, VEHICLE.mass, WHEELS))
B = float(drag_deceleration(TRUE_DRAG, CONDITIONS.air_density, VEHICLE.mass, WHEELS))


def all_of(root, kind):
    found = [root] if isinstance(root, kind) else []
    return found + [each for child in getattr(root, "children", ()) for each in all_of(child, kind)]


def said(cards):
    return " ".join(str(each.value) for each in all_of(cards.widget, widgets.HTML))


@pytest.fixture
def cards():
    return CalibrateCards(
        State(dict(demo_bikes()), PageChoice(BIKE, SETUP, Measurements.for_bike(BIKE)))
    )


def coast(start, end, wobble=(0.0, 0.2)):
    time = float(coast_time(start / 3.6, end / 3.6, A, B))
    there = ", ".join(f"{time + off:.1f} s" for off in wobble)
    back = ", ".join(f"{time - off:.1f} s" for off in wobble)
    return {"from": f"{start} km/h", "to": f"{end} km/h", "there": there, "back": back}


COASTS = [coast(90, 60), coast(60, 30), coast(30, 10)]


def press(cards, name):
    next(b for b in all_of(cards.widget, widgets.Button) if b.description == name).click()


FIT = "Fit drag, rolling resistance and power"


def test_typed_coast_downs_tell_drag_and_rolling_resistance(cards):
    cards._tables["coasts"].show(COASTS)
    press(cards, FIT)
    fit = cards.result.fit
    assert abs(fit.value[DRAG] - TRUE_DRAG) <= 2 * fit.standard_uncertainty[DRAG]
    assert abs(fit.value[ROLLING] - TRUE_ROLLING) <= 2 * fit.standard_uncertainty[ROLLING]
    text = said(cards)
    assert "tells drag area and rolling resistance" in text or "tells rolling resistance" in text
    assert "Coast-downs say nothing about power" in text


def test_the_bike_file_says_from_which_ride_and_round_trips(cards):
    cards._tables["coasts"].show(COASTS)
    press(cards, FIT)
    html = next(h.value for h in all_of(cards.widget, widgets.HTML) if "calibrated-bike" in h.value)
    data = unquote(html.split('href="')[1].split('"')[0].partition(",")[2]).replace("&amp;", "&")
    bike = Bike.from_toml(data.encode())
    assert bike.calibration.ride == "12 runs, typed"
    assert bike.calibration.date == date.today().isoformat()
    assert bike.vehicle().drag_area == pytest.approx(cards.result.fit.value[DRAG], rel=0.01)
    assert bike.vehicle().torques.tolist() == BIKE.vehicle().torques.tolist(), "power was not told"
    press(cards, "Use the calibrated bike")
    assert cards._state.bike == bike


def test_roll_ons_alone_ask_for_a_coast_down():
    run = TimedRuns(3, 30 / 3.6, 50 / 3.6, (3.1, 3.0), (3.0, 3.1), 0.1)
    result = fit_runs(BIKE, SETUP, observations_of([run]))
    text = " ".join(words.identifiability(result))
    assert "can't separate drag from power: do a coast-down" in text
    assert "tells" in text
    said = " ".join(words.said(result, "metric"))
    assert f"about {100 * DAY_TO_DAY:.1f} % from day to day (our choice" in said
    assert f"{100 * result.fit.learned[POWER]:.0f} %" == words.value_rows(result, "metric")[2][-1]


def test_one_way_is_said():
    runs = [
        seen
        for seen in observations_of([TimedRuns(None, 25.0, 10.0, (20.0,), (20.0,), 0.1)])
        if seen.way == THERE
    ]
    said = " ".join(words.said(fit_runs(BIKE, SETUP, runs), "metric"))
    assert "the other way too" in said
    assert "day to day" not in said  # no run tells power


def logged_ride(seed=0):
    """A pull, a coast-down, the turn, and the same back; heading east, then west."""
    rng = np.random.default_rng(seed)
    coasting = coast_speed(np.arange(30.0), 25.0, A, B)
    pulling = np.linspace(8.0, 16.0, 9)
    one_way = np.concatenate(
        [np.full(8, 8.0), pulling, np.linspace(16.5, 25.0, 25), np.full(5, 25.0), coasting]
    )
    stop = np.linspace(one_way[-1], 8.0, 4)
    speed = np.concatenate([one_way, stop, np.full(6, 8.0), one_way])
    course = np.concatenate(
        [
            np.full(len(one_way) + len(stop) + 3, math.pi / 2),
            np.full(len(one_way) + 3, -math.pi / 2),
        ]
    )
    noisy = np.maximum(speed + rng.normal(0.0, 0.1, speed.size), 0.0)
    time = np.arange(float(speed.size))
    segment = Segment(time, noisy, np.gradient(time), course=course)
    return Ride("evening.gpx", "GPX 1.1", (segment,), True, start=datetime(2026, 4, 3, tzinfo=UTC))


def test_coast_downs_are_found_in_a_ride_and_fitted(cards):
    cards.use_ride(logged_ride())
    pick = cards._picks["coasts"]
    assert len(pick.options) == 2, pick.options
    assert ", 90°" in pick.options[0][0] and ", 270°" in pick.options[1][0]
    pick.value = [place for _, place in pick.options]
    press(cards, FIT)
    assert {seen.way for seen in cards.result.observations} == {THERE, BACK}
    fit = cards.result.fit
    assert abs(fit.value[DRAG] - TRUE_DRAG) <= 2 * fit.standard_uncertainty[DRAG]
    assert abs(fit.value[ROLLING] - TRUE_ROLLING) <= 2 * fit.standard_uncertainty[ROLLING]
    bike = cards._calibrated()
    assert (bike.calibration.ride, bike.calibration.date) == ("2 runs, evening.gpx", "2026-04-03")
    assert "scatter by" in said(cards)


def test_a_ride_taken_away_takes_its_runs_away(cards):
    cards.use_ride(logged_ride())
    assert cards._from_ride.layout.display is None
    cards.use_ride(None)
    assert cards._picks["coasts"].options == ()
    assert cards._from_ride.layout.display == "none"


def test_the_gear_of_a_pull_by_its_engine_speed():
    time = np.arange(20.0)
    speed = np.interp(time, [0, 3, 15, 20], [8.0, 8.0, 16.0, 16.0])
    overall = [30.0, 20.0, 14.0]
    turning = speed / 2.0 * 20.0 * 2 * math.pi
    ride = Ride("r", "CSV", (Segment(time, speed, np.gradient(time), engine_speed=turning),), True)
    [run] = ride_runs(ride, overall, 2.0)
    assert (run.coasting, run.gear) == (False, 2)
    [trace] = traces_of([run], 3)
    assert trace.gear == 1
    plain = Ride("r", "CSV", (Segment(time, speed, np.gradient(time)),), True)
    assert [seen.gear for seen in traces_of(ride_runs(plain, overall, 2.0), 3)] == [2]


def test_a_pull_through_the_gears_is_cut_to_one_of_them():
    time = np.arange(0.0, 12.0, 0.5)
    speed = np.interp(time, [0, 2, 12], [6.0, 6.0, 20.0])
    overall = np.where(speed < 10.0, 30.0, 20.0)
    turning = speed / 2.0 * overall * 2 * math.pi
    ride = Ride("r", "CSV", (Segment(time, speed, np.gradient(time), engine_speed=turning),), True)
    [run] = ride_runs(ride, [30.0, 20.0, 14.0], 2.0)
    assert run.gear == 2
    assert run.speed.min() >= 10.0


def test_an_empty_form_and_a_slip_are_answered(cards):
    press(cards, FIT)
    assert "nothing to fit" in said(cards)
    cards._tables["coasts"].show([{"from": "<b>", "to": "40 km/h", "there": "9 s", "back": "9 s"}])
    press(cards, FIT)
    assert "cannot be read" in said(cards) and "<b>&#34;" not in said(cards)
    assert "&lt;b&gt;" in said(cards)
    assert cards.result is None
    cards._tables["coasts"].show([{}])
    cards._tables["tops"].show([{"gps": "90 km/h"}])
    press(cards, FIT)
    assert "A top speed needs its gear" in said(cards)


def test_a_fit_belongs_to_its_set_up(cards):
    cards._tables["coasts"].show(COASTS)
    press(cards, FIT)
    cards._state.change(units="imperial")
    cards.show()
    assert cards.result is not None
    assert "ft²" in said(cards) or "in²" in said(cards)
    cards._state.change(rear=SETUP.rear + 2)
    cards.show()
    assert cards.result is None
    assert cards._results.layout.display == "none"


def test_a_run_that_does_not_fit_is_named():
    rows = [
        TimedRuns(None, start / 3.6, end / 3.6, (time,) * 3, (time,) * 3, 0.1)
        for start, end in ((90, 60), (60, 30), (30, 10))
        for time in [float(coast_time(start / 3.6, end / 3.6, A, B))]
    ]
    runs = observations_of(rows)
    runs[4] = runs[4]._replace(time=runs[4].time / 2)
    text = " ".join(words.said(fit_runs(BIKE, SETUP, runs), "metric"))
    assert "Run 5 " in text and "Leave it out" in text


def test_a_held_top_speed_counts_for_power(cards):
    cards._tables["coasts"].show(COASTS)
    cards._tables["tops"].show([{"gear": "5", "gps": "90 km/h"}])
    press(cards, FIT)
    assert cards.result.fit.learned[POWER] > 0.3
    assert all(seen.gear in (COASTING, 4) for seen in cards.result.observations)


def test_the_rider_marks_what_was_ridden_back(cards):
    cards.use_ride(logged_ride())
    pick = cards._picks["coasts"]
    pick.value = [place for _, place in pick.options]
    # Set by the compass: the second one goes west.
    assert [place in cards._back.value for place in sorted(pick.value)] == [False, True]
    cards._back.value = ()
    press(cards, FIT)
    assert {seen.way for seen in cards.result.observations} == {THERE}
    cards._back.value = (sorted(pick.value)[0],)
    press(cards, FIT)
    assert [seen.way for seen in cards.result.observations] == [BACK, THERE]


def test_a_weight_that_is_less_well_known_widens_drag_and_power(cards):
    cards.use_ride(logged_ride())
    pick = cards._picks["coasts"]
    pick.value = [place for _, place in pick.options]
    spreads = {}
    for weight in (WEIGHED, STATED, GUESSED):
        cards._weight.show(weight)
        press(cards, FIT)
        fit = cards.result.fit
        spreads[weight] = float(fit.standard_uncertainty[DRAG] / fit.value[DRAG])
    assert spreads[WEIGHED] < spreads[STATED] < spreads[GUESSED]
    # Coast-downs give forces over the mass: drag is known no better than by the mass and by what
    # was believed of it, 20 %.
    for weight in (STATED, GUESSED):
        assert spreads[weight] >= 1 / np.hypot(1 / MASS_SHARE[weight], 1 / 0.2)
