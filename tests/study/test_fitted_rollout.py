"""Measuring the tyre on the motorcycle changes what is known of it, and no gearing, on any page."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.app.state import State
from explorer.calc.drivetrain.speedometer import Pickup
from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.errors import RecordError
from explorer.records.fitting.fit import Measurements
from explorer.records.rides.ride_file import read_ride
from explorer.records.rides.typed_runs import MarkedSpeed, TimedRuns
from explorer.records.setups.comparison import NAMES, Fitment, read_file, write_file
from explorer.records.setups.setup import LIMITS, Setup
from explorer.records.tyre import rollout
from explorer.study.check.compare_result import Predictions
from explorer.study.check.demo import PHONE, demo_file
from explorer.study.check.result import analyse
from explorer.study.fit_load import speedometer_of
from explorer.study.fit_result import compute as compute_fit
from explorer.study.study import CHOSEN, FITTED, Study
from explorer.study.wants.kinds import read_want
from explorer.study.wants.wants_link import Wishes
from explorer.study.wants.wants_result import compute as compute_wants
from explorer.tasks.bench import setup_words
from explorer.tasks.bench.page import GearingPage
from explorer.tasks.bench.state import BenchState
from explorer.tasks.check.calibrate import CalibrateCards
from explorer.tasks.fit.effect_words import speedometer_sentences
from explorer.tasks.fit.state import FitState
from explorer.tasks.gearing import words as gearing_words

BIKES = dict(demo_bikes())
BIKE = BIKES["bracken-125"]
MEASURED = Setup.for_bike("bracken-125", BIKE).changed(rollout=1.96)
"""Shipped bike, nothing moved but the slider of the roll-out."""

turns = st.floats(LIMITS["rollout"].low, LIMITS["rollout"].high)


def rollouts_spread(bike, setup):
    """How many roll-outs are uncertain on their own."""
    return sum(each.input == "rollout" for each in Study.of(bike, setup).spreads)


@given(bike_id=st.sampled_from(sorted(BIKES)), turn=turns, data=st.data())
def test_measuring_the_tyre_on_the_bike_changes_no_ratio_between_chosen_and_fitted(
    bike_id, turn, data
):
    bike = BIKES[bike_id]
    by_size = Setup.for_bike(bike_id, bike).changed(
        front=data.draw(st.integers(*bike.sprockets.front_sold)),
        rear=data.draw(st.integers(*bike.sprockets.rear_sold)),
    )
    measured = by_size.changed(rollout=turn)
    shortness = [
        (drive.overall / drive.radius)[..., 0]
        for drive in (Study.of(bike, by_size).drive, Study.of(bike, measured).drive)
    ]
    between = [each[CHOSEN] / each[FITTED] for each in shortness]
    np.testing.assert_allclose(between[1], between[0], rtol=1e-12)
    assert rollouts_spread(bike, measured) == rollouts_spread(bike, by_size) == 1


@given(bike_id=st.sampled_from(sorted(BIKES)), turn=turns)
def test_another_size_stays_a_change_measured_or_not(bike_id, turn):
    bike = BIKES[bike_id]
    for measured in (None, turn):
        setup = Setup.for_bike(bike_id, bike).changed(tyre="4.60-18", rollout=measured)
        fitted, chosen = Study.of(bike, setup).rollouts
        assert fitted == rollout(bike.tyre.rear)
        assert chosen == rollout("4.60-18", measured)
        assert rollouts_spread(bike, setup) == 2


def test_a_roll_out_in_the_bike_file_stands_and_another_on_the_size_is_another_tyre():
    bike = BIKE.with_changes({"tyre.rollout": "2.000 m"})
    as_it_is = Setup.for_bike("bracken-125", bike)
    worn = as_it_is.changed(rollout=1.96)
    assert rollouts_spread(bike, as_it_is) == 1 and rollouts_spread(bike, worn) == 2
    assert [each.value for each in Study.of(bike, worn).rollouts] == [2.0, 1.96]
    assert gearing_words.comparison(Study.of(bike, worn))[0].startswith("Shorter")


def test_the_gearing_page_says_that_nothing_changes():
    result = Study.of(BIKE, MEASURED)
    assert "do not change" in gearing_words.comparison(result)[0]
    assert "nothing changes" in gearing_words.speedometer_sentence(result, "gearbox")
    [said] = gearing_words.rollout_sentences(result)
    assert "1.960 m as measured" in said
    assert result.top.speed[CHOSEN] == result.top.speed[FITTED]


@pytest.mark.parametrize("pickup", ["gearbox", "rear wheel", "front wheel"])
def test_no_speedometer_is_put_out_by_a_measurement(pickup):
    said = gearing_words.speedometer_sentence(Study.of(BIKE, MEASURED), pickup)
    assert "over-reads" not in said and "under-reads" not in said and "%" not in said


@pytest.mark.parametrize("pickup", Pickup)
def test_the_fit_page_says_so_too(pickup):
    state, _ = FitState.from_link("?bike=bracken-125&rollout=1960%20mm", BIKES)
    state.answer(pickup=pickup.value)
    reading = speedometer_of(Study.of(state.bike, state.setup), state.measured)
    assert reading.factor == pytest.approx(1.0, abs=1e-12)
    result = compute_fit(state.choice)
    assert "the change does not alter what it shows" in speedometer_sentences(result)[0]
    assert result.load.tension[0] == result.load.tension[1]


def test_with_other_sprockets_the_speedometer_is_off_by_the_sprockets_alone():
    """Driven from the gearbox it shows new over old ratio: 54/13 over 50/13."""
    measured = Measurements.for_bike(BIKE)
    reading = speedometer_of(Study.of(BIKE, MEASURED.changed(rear=54)), measured)
    assert reading.factor == pytest.approx(54 / 50, rel=1e-12)


def test_the_ground_page_and_its_course_find_no_difference_and_no_doubt():
    result = Study.of(BIKE, MEASURED)
    course = result.on_course
    for change in (result.change("goal"), result.change("top"), course.change()):
        assert change.value == pytest.approx(0.0, abs=1e-9)
        assert change.band.widest == pytest.approx(0.0, abs=1e-9)


def test_predictions_of_the_fitted_gearing_use_the_measurement():
    predictions = Predictions(Study.of(BIKE, MEASURED))
    row = MarkedSpeed(3, 5000 * np.pi / 30, None, 12.0)
    fitted, chosen = predictions.marked_speeds([(FITTED, row), (CHOSEN, row)])
    assert fitted.predicted == chosen.predicted
    runs = TimedRuns(3, 20 / 3.6, 50 / 3.6, (5.0, 5.1, 5.2), (5.0, 5.1, 5.2), 0.1)
    _, [change] = predictions.roll_ons([(FITTED, runs), (CHOSEN, runs)])
    assert change.predicted.value == pytest.approx(0.0, abs=1e-9)


def test_a_ride_with_the_fitted_gearing_is_read_with_the_measurement():
    name, content, ridden = demo_file(BIKE, MEASURED, PHONE)
    ride = read_ride([(name, content)])
    result = analyse(ride, ride.cleaned(), BIKE, MEASURED, ridden)
    assert result.rollout_measured
    np.testing.assert_array_equal(result.quotient[FITTED], result.quotient[CHOSEN])


def test_runs_with_the_fitted_gearing_are_fitted_with_the_measurement():
    state, _ = State.from_link("?bike=bracken-125&rear=54&rollout=1960%20mm", BIKES)
    cards = CalibrateCards(state)
    cards._with.show(FITTED)
    ran = cards._run_setup()
    assert (ran.rear, ran.tyre, ran.rollout) == (BIKE.sprockets.rear, BIKE.tyre.rear, 1.96)


def test_the_jump_is_on_the_same_tyre_as_until_now():
    wishes = Wishes((read_want("jump", {"speed": "35 km/h", "gear": "3", "change": "2 %"}, 3),), ())
    result = compute_wants(BIKE, MEASURED, Measurements.for_bike(BIKE), wishes)
    [jump] = result.judged
    assert jump.value[result.now] == pytest.approx(0.0, abs=1e-12) and jump.met[result.now]


def state_of(query):
    state, complaints = BenchState.from_link(f"?bike=bracken-125{query}", BIKES)
    assert not complaints
    return state


def turns_of(state):
    return [
        each.rollout for each in Study.of_several(state.bike, state.setup, state.others).fitments
    ]


@pytest.mark.parametrize("also", ["", "&also.1=12/50&also.2=14/50"])
def test_every_set_up_that_is_compared_stands_on_the_measured_tyre(also):
    state = state_of(f"&rollout=1.96m{also}")
    assert [each.pair for each in state.others] == ["12/50", "14/50"]
    assert turns_of(state) == [1.96] * 3
    result = Study.of_several(state.bike, state.setup, state.others)
    by_size = Study.of_several(BIKE, Setup.for_bike("bracken-125", BIKE), state_of("").others)
    said, by_size_said = (setup_words.sentences(each, NAMES) for each in (result, by_size))
    assert said == by_size_said
    again, complaints = BenchState.from_link(state.link, BIKES)
    assert (again.others, again.setup, complaints) == (state.others, state.setup, [])


def test_measuring_under_the_sliders_measures_the_tyre_of_all_that_are_on_it():
    state = state_of("&front=12&also.1=14/50&also.2=13/54;tyre%20110/100-18;rollout%202.05m")
    state.select(1)
    state.change(rollout=1.96)
    assert turns_of(state) == [1.96, 1.96, 1.96, 2.05]
    state.select(2)
    assert state.setup.rollout == 2.05
    state.change(rollout=2.06)
    assert turns_of(state) == [1.96, 1.96, 1.96, 2.06]
    # Back on the fitted size, it is the measured tyre again.
    state.change(tyre=BIKE.tyre.rear, rollout=None)
    assert turns_of(state) == [1.96] * 4 and state.setup.rollout == 1.96
    state.change(rollout=None)
    assert turns_of(state) == [None] * 4


def test_one_tyre_cannot_have_two_roll_outs():
    query = "&front=12&rollout=1.96m&also.1=14/50;tyre%204.10-18;rollout%202.0m"
    state, [said] = BenchState.from_link(f"?bike=bracken-125{query}", BIKES)
    assert turns_of(state) == [1.96] * 3
    assert "more than one roll-out; the first one counts" in said and "This bike" in said
    two = (Fitment(12, 50, BIKE.tyre.rear, 1.96), Fitment(14, 50, BIKE.tyre.rear, 2.0))
    before = state.others
    with pytest.raises(RecordError, match="give it one"):
        state.take(two)
    assert state.others == before
    # With a roll-out of the fitted tyre in the bike file these are two other tyres.
    other = state_of(f"&own.tyre.rollout=2.03m{query}")
    assert turns_of(other) == [2.03, 1.96, 2.0]


def test_a_file_without_the_measurement_takes_it_from_the_set_up_that_has_it():
    page = GearingPage("?bike=bracken-125")
    file = write_file(
        (Fitment(12, 50, BIKE.tyre.rear), Fitment(14, 50, BIKE.tyre.rear, 1.96)), BIKE.name
    )
    page.state.take(read_file(file.encode(), BIKE))
    assert turns_of(page.state) == [1.96] * 3
    assert "rollout=1.96m" in page.state.link_of(Fitment.fitted_to(BIKE, *page.state.others))
