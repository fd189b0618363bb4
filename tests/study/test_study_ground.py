"""The ground page's computation against the formulas written out again, and against calc."""

import numpy as np
import pytest

from explorer.calc.drivetrain.top_speed import Limit, top_speed
from explorer.calc.motion.measures import time_over_distance, time_to_speed
from explorer.calc.motion.shift_points import shift_points
from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.setups.setup import Setup
from explorer.study.study import CHOSEN, FITTED, Study

BIKES = demo_bikes()


def result_of(bike_id: str = "bracken-125", **changes):
    bike = BIKES[bike_id]
    return Study.of(bike, Setup.for_bike(bike_id, bike).changed(**changes))


def test_slowest_clutch_out_speed_follows_from_idle_and_ratio():
    """v = 1.2 · n_idle · U / i, written out with the bike file's own numbers."""
    result = result_of(rear=52)
    bike = result.bike
    turns_per_second = 1.2 * bike.engine.idle.si / (2 * np.pi)
    ratios = np.array([each.si for each in bike.gearbox.ratios])
    overall = bike.gearbox.primary.si * ratios * 52 / bike.sprockets.front
    expected = turns_per_second * result.rollouts[CHOSEN].value / overall
    np.testing.assert_allclose(result.clutch_out[CHOSEN], expected, rtol=1e-12)


def test_the_speed_held_on_the_set_slope_is_the_top_speed_there():
    level, steep = result_of(), result_of(slope=0.12)
    assert np.all(steep.top.by_gear <= level.top.by_gear + 1e-9)
    assert steep.top.speed[CHOSEN] < level.top.speed[CHOSEN]
    # The steepest slope that a gear holds does not depend on the slope that is set.
    np.testing.assert_allclose(steep.steepest_slope, level.steepest_slope, rtol=1e-12)


@pytest.mark.parametrize("measure", ["time_to_speed", "time_over_distance"])
def test_strategies_and_certainty_are_for_the_goal(measure):
    result = result_of(measure=measure, rear=52, distance=150.0, target_speed=50 / 3.6)
    shifts = shift_points(result.drive, top_speed(result.drive))
    expected = (
        time_to_speed(result.drive, shifts, 50 / 3.6)
        if measure == "time_to_speed"
        else time_over_distance(result.drive, shifts, 150.0)
    )
    # A shift that does not pay before the goal is left out, so the best is never slower.
    assert np.all(result.strategies.best <= expected * (1 + 1e-12))
    np.testing.assert_allclose(result.strategies.best, expected, rtol=0.01)
    # How sure it is, is said of the best.
    best = result.strategies.best
    np.testing.assert_allclose(result.estimate("goal").value, best, rtol=1e-9)
    assert result.change("goal").value == pytest.approx(best[CHOSEN] - best[FITTED])


def test_a_measure_without_a_goal_of_its_own_stands_for_the_speed_to_reach():
    other = result_of(measure="steepest_slope")
    np.testing.assert_array_equal(other.strategies.best, result_of().strategies.best)


def test_changing_up_starts_at_peak_power_and_stops_at_the_rev_limit():
    bike = BIKES["bracken-125"]
    setup = Setup.for_bike("bracken-125", bike)
    limit = bike.engine.rev_limit.si
    assert 0.5 * limit < Study.of(bike, setup).shift_at <= limit
    assert Study.of(bike, setup.changed(shift_at=1.5 * limit)).shift_at == limit


def test_engine_braking_is_estimated_with_bounds_where_the_bike_has_no_curve():
    guessed = result_of("bracken-125")
    gear = np.flatnonzero(np.isfinite(guessed.braking.deceleration[CHOSEN, :, 0]))[0]
    low, high = (each.deceleration[CHOSEN, gear, 0] for each in guessed.braking_bounds)
    assert low < guessed.braking.deceleration[CHOSEN, gear, 0] < high
    assert result_of("fogbank-650").braking_bounds is None
    known = result_of("fogbank-650", cruise_speed=50 / 3.6).braking
    values = known.deceleration[CHOSEN, :, 0]
    values = values[np.isfinite(values)]
    # A lower gear turns the engine faster, which holds back more.
    assert values.size > 1 and np.all(np.diff(values) < 0)


def test_the_stretches_of_each_gear_run_from_rest_to_the_rev_limit():
    result = result_of(rear=53)
    rows = result.stretches
    limiter = (result.drive.limiter_speed * result.drive.radius / result.drive.overall)[..., 0]
    for case in (FITTED, CHOSEN):
        for gear in range(result.drive.gears):
            mine = (rows.case == case) & (rows.gear == gear)
            assert rows.start[mine][0] == 0.0
            np.testing.assert_allclose(rows.end[mine][-1], limiter[case, gear], rtol=1e-9)
            assert set(rows.limit[mine]) <= {Limit.POWER, Limit.GRIP, Limit.FRONT_WHEEL_LIFT}


def test_the_difference_is_surer_than_the_level_when_only_a_sprocket_changes():
    result = result_of(rear=51, measure="time_over_distance", distance=60.0)
    for figure in ("goal", "top"):
        level = result.estimate(figure).standard_uncertainty[CHOSEN]
        assert result.change(figure).standard_uncertainty < level
