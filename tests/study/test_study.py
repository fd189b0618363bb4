"""The page's one computation: wiring and bounds; the numbers themselves are tested in calc."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.calc.drivetrain.chain_losses import with_sprockets
from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.top_speed import top_speed
from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.ground.surfaces import surfaces
from explorer.records.setups.comparison import Fitment
from explorer.records.setups.setup import LIMITS, Setup
from explorer.records.setups.setup_fields import MEASURES
from explorer.study.goals import measure_of
from explorer.study.question import conditions_of
from explorer.study.study import CHOSEN, FITTED, Study

BIKES = dict(demo_bikes())


def setup_of(bike_id, **changes):
    return Setup.for_bike(bike_id, BIKES[bike_id]).changed(**changes)


@pytest.mark.parametrize("bike_id", BIKES)
def test_fitted_and_chosen_are_the_bike_and_the_sliders(bike_id):
    bike = BIKES[bike_id]
    setup = setup_of(bike_id, rear=bike.sprockets.rear + 2)
    result = Study.of(bike, setup)
    fitted = bike.sprockets.rear / bike.sprockets.front
    np.testing.assert_allclose(result.ratios[FITTED], fitted)
    np.testing.assert_allclose(result.ratios[CHOSEN], setup.rear / setup.front)
    conditions, _ = conditions_of(setup)
    alone = top_speed(
        Drive(
            with_sprockets(bike.vehicle(), setup.front, setup.rear),
            conditions,
            result.ratios[CHOSEN],
            result.rollouts[CHOSEN].value,
        )
    )
    np.testing.assert_allclose(result.top.by_gear[CHOSEN], alone.by_gear[0], rtol=1e-9)


def test_the_chosen_pair_stands_in_the_map_of_all_pairs():
    bike = BIKES["bracken-125"]
    setup = setup_of("bracken-125", front=14, rear=45)
    result = Study.of(bike, setup)
    there = (result.pairs.tradeoff.front == 14) & (result.pairs.tradeoff.rear == 45)
    assert there.sum() == 1 and result.pairs.tradeoff.front.size == 248
    np.testing.assert_allclose(
        result.pairs.tradeoff.top_speed[there][0], result.top.speed[CHOSEN], 1e-9
    )
    np.testing.assert_allclose(
        result.pairs.tradeoff.value[there][0], result.measure[CHOSEN], rtol=1e-6
    )


def test_moving_a_sprocket_reuses_the_map_and_changing_the_ground_does_not():
    bike = BIKES["bracken-125"]
    first = Study.of(bike, setup_of("bracken-125")).pairs
    assert Study.of(bike, setup_of("bracken-125", front=12, units="imperial")).pairs is first
    assert Study.of(bike, setup_of("bracken-125", surface="loose-sand")).pairs is not first


def test_measured_roll_out_wins_over_the_size():
    bike = BIKES["bracken-125"]
    by_size = Study.of(bike, setup_of("bracken-125"))
    measured = Study.of(bike, setup_of("bracken-125", rollout=1.95))
    assert by_size.rollouts[CHOSEN].source == "computed from size"
    assert measured.rollouts[CHOSEN].source == "measured"
    ratio = measured.road_speed[CHOSEN] / by_size.road_speed[CHOSEN]
    np.testing.assert_allclose(ratio, 1.95 / by_size.rollouts[CHOSEN].value)


def in_range(field):
    limit = LIMITS[field]
    return st.floats(limit.low, limit.high)


@given(
    bike_id=st.sampled_from(sorted(BIKES)),
    surface=st.sampled_from(sorted(surfaces())),
    measure=st.sampled_from(MEASURES),
    slope=in_range("slope"),
    head_wind=in_range("head_wind"),
    altitude=in_range("altitude"),
    temperature=st.none() | in_range("temperature"),
    rider_mass=in_range("rider_mass"),
    rollout=st.none() | in_range("rollout"),
    target_speed=in_range("target_speed"),
    distance=in_range("distance"),
)
def test_whatever_the_sliders_say_only_the_measure_may_be_missing(bike_id, **changes):
    result = Study.of(BIKES[bike_id], setup_of(bike_id, **changes))
    for name in ("road_speed", "engine_pull", "pull", "steepest_slope", "walking_pull", "ratios"):
        assert np.all(np.isfinite(getattr(result, name))), name
    assert np.all(np.isfinite(result.top.by_gear)) and np.all(result.top.by_gear >= 0)
    assert np.all(np.isfinite(result.shifts.exit_speed))
    assert np.all(np.isfinite(result.pairs.tradeoff.top_speed))
    assert all(np.all(np.isfinite(side)) for side in result.pairs.bands[0])
    assert np.all(np.isfinite(result.sure.top_speed.band.widest))
    usable = result.pairs.tradeoff.value[~np.isnan(result.pairs.tradeoff.value)]
    assert np.all(np.isfinite(usable))
    assert not np.any(result.pairs.tradeoff.best_compromise & np.isnan(result.pairs.tradeoff.value))


def test_every_measure_has_a_function():
    setup = setup_of("bracken-125")
    for measure in MEASURES:
        assert callable(measure_of(setup.changed(measure=measure)))


@pytest.mark.parametrize("measure", MEASURES)
def test_cases_worked_out_by_parts_are_those_worked_out_at_once(measure, monkeypatch):
    bike, setup = (
        BIKES["bracken-125"],
        setup_of("bracken-125", front=12, measure=measure, slope=0.1),
    )
    others = tuple(Fitment(front, 52, bike.tyre.rear) for front in (11, 13, 14))
    at_once = Study.of_several(bike, setup, others)
    monkeypatch.setattr("explorer.study.study._AT_ONCE", 100)
    by_parts = Study.of_several(bike, setup, others)
    assert 4 * 65 > 100 and at_once.count == 4
    for name in ("top", "measure", "steepest"):
        one, other = at_once.estimate(name), by_parts.estimate(name)
        np.testing.assert_allclose(one.draws, other.draws, rtol=1e-9, err_msg=name)
        np.testing.assert_allclose(one.value, other.value, rtol=1e-9, err_msg=name)
