"""The set-up record: ranges, sentences, copies."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.errors import RecordError
from explorer.records.ground.surfaces import surfaces
from explorer.records.setups.setup import LIMITS, Setup, both_rollouts, fitted_rollout
from explorer.records.setups.setup_fields import MEASURES, SETUP_FIELDS
from explorer.records.typed_text import tidy

PLAIN = {"bike_id": "trail", "front": 13, "rear": 48, "tyre": "4.10-18", "rider_mass": 75.0}


def test_a_new_set_up_begins_with_these():
    setup = Setup.of(**PLAIN)
    kmh = 1 / 3.6
    assert (setup.target_speed, setup.cruise_speed) == (60 * kmh, 70 * kmh)
    assert (setup.roll_from, setup.roll_to, setup.roll_gear) == (30 * kmh, 60 * kmh, 3)
    assert (setup.distance, setup.measure, setup.units) == (100, "clutch_out", "metric")
    assert (setup.slope, setup.head_wind, setup.altitude) == (0, 0, 0)
    assert (setup.rollout, setup.temperature, setup.shift_at) == (None, None, None)
    assert {field.name for field in SETUP_FIELDS} == set(Setup.model_fields) - {"bike_id"}


@pytest.mark.parametrize("field", LIMITS)
def test_both_ends_are_accepted_and_the_step_beyond_is_refused(field):
    limit = LIMITS[field]
    # Ends of the roll-on that stay below and above their partner.
    partner = {"roll_from": {"roll_to": 200 / 3.6}, "roll_to": {"roll_from": 5 / 3.6}}
    fields = PLAIN | partner.get(field, {})
    for end in (limit.low, limit.high):
        assert getattr(Setup.of(**fields | {field: end}), field) == end
    step = max(0.001 * (limit.high - limit.low), isinstance(limit.low, int))
    for beyond in (limit.low - step, limit.high + step):
        with pytest.raises(RecordError, match=limit.label) as caught:
            Setup.of(**fields | {field: beyond})
        assert limit.accepted in str(caught.value)


def test_an_end_survives_the_last_bit_of_a_unit_conversion():
    high = LIMITS["target_speed"].high
    assert Setup.of(**PLAIN, target_speed=math.nextafter(high, math.inf))


@pytest.mark.parametrize(
    "wrong",
    [
        {"front": "13"},
        {"front": 13.5},
        {"front": True},
        {"slope": math.nan},
        {"slope": math.inf},
        {"slope": None},
        {"rider_mass": "heavy"},
        {"tyre": "100/90"},
        {"tyre": 100},
        {"surface": "moon"},
        {"surface": ["wet-grass"]},
        {"measure": "beauty"},
        {"units": "furlongs"},
        {"bike_id": "../../etc/passwd"},
        {"bike_id": ""},
        {"roll_from": 20.0, "roll_to": 20.0},
        {"colour": "<script>"},
    ],
)
def test_wrong_field_gives_one_sentence(wrong):
    with pytest.raises(RecordError) as caught:
        Setup.of(**PLAIN | wrong)
    (sentence,) = caught.value.sentences
    assert sentence[0].isupper() or sentence[0] == '"'
    assert sentence.endswith(".")
    assert "pydantic" not in sentence


def test_tyre_is_kept_as_typed_apart_from_blanks_and_dashes():
    typed = " 100/90\N{NO-BREAK SPACE}\N{EN DASH} 19  57m"
    assert Setup.of(**PLAIN | {"tyre": typed}).tyre == "100/90 - 19 57m"


def test_all_wrong_fields_are_said_at_once():
    with pytest.raises(RecordError) as caught:
        Setup.of(**PLAIN | {"front": 99, "tyre": "", "surface": "moon"})
    assert len(caught.value.sentences) == 3


def test_missing_field_is_named():
    with pytest.raises(RecordError, match='"rider_mass"'):
        Setup.of(**{name: value for name, value in PLAIN.items() if name != "rider_mass"})


def test_change_makes_a_checked_copy():
    setup = Setup.of(**PLAIN)
    changed = setup.changed(front=14, surface="wet-grass")
    assert (setup.front, changed.front, changed.surface) == (13, 14, "wet-grass")
    assert changed.changed(front=13, surface=setup.surface) == setup
    with pytest.raises(RecordError, match="Front sprocket"):
        setup.changed(front=4)
    with pytest.raises(ValidationError):
        setup.front = 14


def test_every_surface_and_measure_can_be_chosen():
    for surface in surfaces():
        assert Setup.of(**PLAIN, surface=surface).surface == surface
    for measure in MEASURES:
        assert Setup.of(**PLAIN, measure=measure).measure == measure


@given(
    st.sampled_from(sorted(Setup.model_fields)),
    st.none() | st.booleans() | st.integers() | st.floats() | st.text() | st.lists(st.text()),
)
def test_any_value_gives_a_set_up_or_sentences(field, value):
    try:
        setup = Setup.of(**PLAIN | {field: value})
    except RecordError as error:
        assert error.sentences
    else:
        assert getattr(setup, field) == (tidy(value) if field == "tyre" else value)


def test_a_measurement_on_the_fitted_size_is_that_of_the_fitted_tyre():
    bike = demo_bikes()["bracken-125"]
    by_size = Setup.for_bike("bracken-125", bike)
    other = by_size.changed(tyre="110/100-18", rollout=2.1)
    measured = by_size.changed(tyre="4.10 - 18 59P", rollout=1.96)
    assert fitted_rollout(bike) is fitted_rollout(bike, by_size, other) is None
    assert fitted_rollout(bike, by_size, other, measured) == 1.96
    own = bike.with_changes({"tyre.rollout": "2.000 m"})
    assert fitted_rollout(own, measured) == 2.0
    assert [each.value for each in both_rollouts(bike, measured)] == [1.96, 1.96]
    fitted, chosen = both_rollouts(bike, other)
    assert (fitted.source, chosen.source) == ("computed from size", "measured")
