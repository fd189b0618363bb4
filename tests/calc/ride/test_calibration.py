"""Calibration: what a ride hides is found again, as surely as it says.

The rides come from `simulated_measurements`, which shares no formula with the fit.
"""

import dataclasses

import numpy as np
import pytest

from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.top_speed import top_speed
from explorer.calc.example import example_conditions, example_vehicle
from explorer.calc.motion import measures
from explorer.calc.motion.shift_points import shift_points
from explorer.calc.ride.calibration import calibrate, usual_prior
from explorer.calc.ride.calibration_model import (
    BACK,
    BOTH_WAYS,
    COASTING,
    PARAMETERS,
    THERE,
    HeldSpeed,
    ObservationModel,
    TimedRun,
    Trace,
)
from tests.calc.random_setups import random_setup
from tests.calc.ride.coastdown import (
    coast_speed,
    coast_time,
    constant_deceleration,
    drag_deceleration,
)
from tests.calc.ride.simulated_measurements import GEAR, PLAN, rides, truths

VEHICLE, CONDITIONS = example_vehicle(), example_conditions()
PRIOR = usual_prior(VEHICLE, CONDITIONS, 0.0115)
DRAG, ROLLING, POWER, MASS = (PARAMETERS.index(name) for name in PARAMETERS[:4])

SHORT_PLAN = PLAN[::2]
"""One coast-down and one roll-on each way."""


def coverage(fits, truth):
    """Share of motorcycles whose 95 % interval holds the truth, by parameter."""
    inside = [
        np.abs(fit.value - truth.of(i)) <= 2 * fit.standard_uncertainty
        for i, fit in enumerate(fits)
    ]
    return np.mean(inside, axis=0)


def test_the_stated_interval_holds_at_its_stated_rate():
    """50 rides with receiver noise, truths drawn from what was believed; more in tests/bench."""
    rng = np.random.default_rng(12)
    truth = truths(rng, PRIOR, 50)
    fits = [
        calibrate(VEHICLE, CONDITIONS, 48 / 14, 2.0, ride, PRIOR)
        for ride in rides(rng, truth, SHORT_PLAN)
    ]
    held = coverage(fits, truth)
    assert held.min() >= 0.90, dict(zip(PARAMETERS, held, strict=True))
    # The interval is no empty promise: the ride decides, not what was believed.
    learned = np.mean([fit.learned for fit in fits], axis=0)
    assert learned[[DRAG, ROLLING, POWER]].min() > 0.75


def exact_ride(vehicle, conditions, final_ratio, rollout, rng):
    """Without noise: closed-form coast-downs, timed roll-ons from the motion of the explorer."""
    truth_drag = vehicle.drag_area * rng.uniform(0.75, 1.25)
    truth_rolling = conditions.rolling_coefficient * rng.uniform(0.7, 1.3)
    truth_power = rng.uniform(0.85, 1.15)
    true_vehicle = dataclasses.replace(vehicle, drag_area=truth_drag)
    true_conditions = dataclasses.replace(
        conditions, rolling_coefficient=truth_rolling, power_factor=truth_power
    )
    drive = Drive(true_vehicle, true_conditions, np.array([final_ratio]), rollout)
    wheels = float(drive.wheel_mass.item())
    a = constant_deceleration(truth_rolling, 0.0, vehicle.mass, wheels)
    b = drag_deceleration(truth_drag, conditions.air_density, vehicle.mass, wheels)
    times = np.arange(0.0, float(coast_time(26.0, 4.0, a, b)), 0.5)
    seen = [
        Trace(times, coast_speed(times, 26.0, a, b), COASTING, way, 0.05) for way in (THERE, BACK)
    ]
    fastest = top_speed(drive).by_gear[0]
    # Above the speed at which the clutch has stopped slipping, in the highest gear with room.
    lowest = (drive.launch_speed * drive.radius / drive.overall)[0, :, 0] * 1.02
    gear = int(np.flatnonzero(fastest > 1.3 * lowest)[-1])
    low = float(lowest[gear])
    high = float(low + 0.7 * (fastest[gear] - low))
    shifts = shift_points(drive, top_speed(drive))
    time = float(measures.roll_on(drive, shifts, low, high, gear)[0])
    seen.append(TimedRun(low, high, time, gear, BOTH_WAYS, 0.01))
    return seen, np.array([truth_drag, truth_rolling, truth_power])


def test_drag_rolling_and_power_of_100_random_bikes():
    """Noise-free, so only the prior's pull (mass, wind, slope) is left: within 1 %."""
    rng = np.random.default_rng(3)
    worst = np.zeros(3)
    for _ in range(100):
        vehicle, conditions, final_ratio, rollout = random_setup(rng)
        conditions = dataclasses.replace(conditions, slope=0.0, head_wind=0.0, grip=5.0)
        vehicle = dataclasses.replace(vehicle, cg_height=0.05)
        ride, truth = exact_ride(vehicle, conditions, final_ratio, rollout, rng)
        prior = usual_prior(vehicle, conditions, 0.3 * conditions.rolling_coefficient)
        fit = calibrate(vehicle, conditions, final_ratio, rollout, ride, prior)
        off = fit.value[[DRAG, ROLLING, POWER]] / truth - 1
        worst = np.maximum(worst, np.abs(off))
        assert np.all(np.abs(off * truth) <= 2 * fit.standard_uncertainty[:3])
    assert worst.max() < 0.01, worst


def test_roll_ons_alone_cannot_separate_drag_from_power():
    run = TimedRun(20.0, 24.0, 5.0, 3, BOTH_WAYS, 0.05)
    fit = calibrate(VEHICLE, CONDITIONS, 48 / 14, 2.0, [run], PRIOR)
    assert fit.correlation[DRAG, POWER] > 0.5
    assert fit.learned[DRAG] < 0.5
    coasts = [TimedRun(24.0, 12.0, 14.0, COASTING, way, 0.2) for way in (THERE, BACK)]
    slow = [TimedRun(12.0, 8.0, 7.5, COASTING, way, 0.2) for way in (THERE, BACK)]
    better = calibrate(VEHICLE, CONDITIONS, 48 / 14, 2.0, [run, *coasts, *slow], PRIOR)
    assert better.learned[DRAG] > fit.learned[DRAG]
    assert better.learned[POWER] > fit.learned[POWER]


def test_one_direction_cannot_separate_wind_from_drag():
    rng = np.random.default_rng(4)
    truth = truths(rng, PRIOR, 1)
    plan = [part for part in PLAN if part[0] == COASTING]
    one_way = [part for part in plan if part[1] == THERE] * 2
    both = calibrate(VEHICLE, CONDITIONS, 48 / 14, 2.0, rides(rng, truth, plan)[0], PRIOR)
    single = calibrate(VEHICLE, CONDITIONS, 48 / 14, 2.0, rides(rng, truth, one_way)[0], PRIOR)
    assert single.standard_uncertainty[DRAG] > 1.3 * both.standard_uncertainty[DRAG]
    assert single.standard_uncertainty[ROLLING] > 1.3 * both.standard_uncertainty[ROLLING]


def test_a_held_speed_gives_the_power_that_holds_it():
    drive = Drive(VEHICLE, CONDITIONS, np.array([48 / 14]), 2.0)
    top = top_speed(drive)
    gear = int(top.gear[0])
    more = dataclasses.replace(CONDITIONS, power_factor=1.05)
    speed = float(top_speed(Drive(VEHICLE, more, np.array([48 / 14]), 2.0)).by_gear[0, gear])
    known = PRIOR._replace(
        standard_uncertainty=PRIOR.standard_uncertainty * [1e-3, 1e-3, 1, 1e-3, 1e-3, 1e-3]
    )
    seen = [HeldSpeed(speed, gear, BOTH_WAYS, 0.02)]
    fit = calibrate(VEHICLE, CONDITIONS, 48 / 14, 2.0, seen, known)
    assert fit.value[POWER] == pytest.approx(1.05, abs=2e-3)


def test_a_rev_limited_speed_says_nothing_about_power():
    drive = Drive(VEHICLE, CONDITIONS, np.array([48 / 14]), 2.0)
    seen = [HeldSpeed(float(top_speed(drive).by_gear[0, 0]), 0, BOTH_WAYS, 0.02)]
    fit = calibrate(VEHICLE, CONDITIONS, 48 / 14, 2.0, seen, PRIOR)
    assert fit.learned[POWER] < 1e-6


def test_noise_and_its_correlation_are_found():
    rng = np.random.default_rng(9)
    truth = truths(rng, PRIOR, 20)
    fits = [
        calibrate(VEHICLE, CONDITIONS, 48 / 14, 2.0, ride, PRIOR)
        for ride in rides(rng, truth, PLAN, deviation=0.2, correlation=0.6)
    ]
    assert np.mean([fit.noise for fit in fits]) == pytest.approx(0.2, rel=0.1)
    assert np.mean([fit.correlation_in_time for fit in fits]) == pytest.approx(0.6, abs=0.1)


def test_residuals_belong_to_their_observations():
    rng = np.random.default_rng(10)
    ride = rides(rng, truths(rng, PRIOR, 1), SHORT_PLAN)[0]
    ride.append(TimedRun(10.0, 15.0, 4.0, GEAR, BOTH_WAYS, 0.5))
    fit = calibrate(VEHICLE, CONDITIONS, 48 / 14, 2.0, ride, PRIOR)
    assert [each.observation for each in fit.residuals] == [0, 1, 2, 3, 4]
    assert [len(each.value) for each in fit.residuals[:4]] == [len(seen.time) for seen in ride[:4]]
    of_traces = np.concatenate([each.standardised for each in fit.residuals[:4]])
    assert of_traces.std() == pytest.approx(1.0, abs=0.15)


@pytest.mark.parametrize(
    ("seen", "words"),
    [
        ([], "nothing to fit"),
        ([Trace(np.arange(2.0), np.ones(2), COASTING, 1, 0.3)], "three"),
        ([TimedRun(20.0, 10.0, np.nan, COASTING, 1, 0.3)], "not a number"),
    ],
)
def test_nothing_to_fit_is_said(seen, words):
    with pytest.raises(ValueError, match=words):
        calibrate(VEHICLE, CONDITIONS, 48 / 14, 2.0, seen, PRIOR)


def test_few_speeds_make_the_interval_wider():
    """Student's factor: of one short run each way less is sure than its scatter alone says."""
    rng = np.random.default_rng(6)
    truth = truths(rng, PRIOR, 1)
    model, factor = {}, {}
    for name, plan in (("many", PLAN), ("few", SHORT_PLAN)):
        ride = tuple(rides(rng, truth, plan)[0])
        model[name] = ObservationModel(VEHICLE, CONDITIONS, 48 / 14, 2.0, ride, PRIOR)
        fitted = model[name].fit(model[name].start(), model[name].stated_uncertainty())
        _, in_time, less_sure = model[name].judge(fitted)
        # Variance of the mean of n values that err alike, over that of n independent ones.
        length = round(np.mean([len(run.time) for run in ride]))
        steps = np.arange(1, length)
        alike = 1 + 2 * np.sum((1 - steps / length) * in_time**steps)
        factor[name] = less_sure / np.sqrt(alike)
    assert 0.99 < factor["many"] < factor["few"] < 1.1
