"""Gears found in rides of random motorcycles, the causes named, inference and replay."""

import dataclasses
from functools import cache

import numpy as np
import pytest

from explorer.calc.drivetrain.drive import Drive
from explorer.calc.example import example_vehicle
from explorer.calc.ride.gear_inference import infer_gears
from explorer.calc.ride.ratio_cause import Cause, likely_causes
from explorer.calc.ride.ride_gears import (
    find_ratios,
    match_gears,
    slip_when_pulling,
    steady_moments,
)
from explorer.calc.ride.ride_replay import gears_by_rule, replay
from explorer.calc.ride.simulated_ride import NEUTRAL, simulate_ride
from tests.calc.random_setups import random_setup
from tests.lengths import quick_first

RPM = np.pi / 30


@cache
def ridden(seed):
    """A ride of a random motorcycle on level ground, with what is expected of its gears."""
    vehicle, conditions, ratio, rollout = random_setup(np.random.default_rng(seed))
    level = dataclasses.replace(conditions, slope=0.0, head_wind=0.0, grip=0.8)
    drive = Drive(vehicle, level, np.array([ratio]), rollout)
    quotient = (drive.overall / drive.radius)[0, :, 0]
    return simulate_ride(drive), quotient, float(vehicle.idle_speed)


def logged(seed, interval=0.2, factor=1.0):
    """The same with noise: true gears, time, speed, engine speed, expected quotients, idle."""
    truth, quotient, idle = ridden(seed)
    rng = np.random.default_rng(1000 + seed)
    step = round(interval / 0.1)
    time, speed = truth.time[::step], truth.speed[::step]
    engine = truth.engine_speed[::step]
    noisy = np.maximum(speed + rng.normal(0, 0.15, len(speed)), 0.0)
    revs = np.round((engine * factor + rng.normal(0, 2.0, len(engine))) / RPM, -1) * RPM
    return truth.gear[::step], time, noisy, revs, quotient, idle


def found_in(time, speed, engine, idle):
    rows = steady_moments(time, speed, engine, 1.2 * idle)
    return find_ratios(speed[rows], engine[rows])


@pytest.mark.parametrize("seed", quick_first(30, range(100)))
def test_ratios_of_a_random_motorcycle_are_recovered(seed):
    """Every gear that the match keeps is within half a per cent of the truth."""
    gear, time, speed, engine, quotient, idle = logged(seed)
    found = found_in(time, speed, engine, idle)
    matched = match_gears(found, quotient)
    rows = np.flatnonzero(matched.gear >= 0)
    assert found.quotient[rows] / quotient[matched.gear[rows]] - 1 == pytest.approx(0, abs=0.005)
    assert matched.factor == pytest.approx(1, abs=0.005)
    assert abs(matched.factor - 1) < 3 * matched.uncertainty
    # All gears but the lowest, whose speeds are the noisiest, and those hardly used.
    held = {g for g in np.unique(gear) if g > 0 and np.sum((gear == g) & (speed > 6)) > 60}
    assert held - set(matched.gear[rows].tolist()) == set()


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize(
    ("factor", "cause", "value"),
    [
        (13 / 12, Cause.FRONT, 12),
        (13 / 14, Cause.FRONT, 14),
        (49 / 48, Cause.REAR, 49),
        (1.11, Cause.PRIMARY, 3.33),
        (1.0, Cause.NOTHING, 1.0),
    ],
)
def test_the_likely_cause_is_named(seed, factor, cause, value):
    _, time, speed, engine, quotient, idle = logged(seed, factor=factor)
    matched = match_gears(found_in(time, speed, engine, idle), quotient)
    assert matched.factor == pytest.approx(factor, rel=0.006)
    causes = likely_causes(matched.factor, matched.uncertainty, 13, 48, 2.0, 3.0)
    named = {each.cause: each.value for each in causes}
    assert cause in named
    if cause in (Cause.FRONT, Cause.NOTHING, Cause.PRIMARY):
        assert causes[0].cause is cause
    assert named[cause] == pytest.approx(value, rel=0.006)


def test_what_cannot_be_told_apart_is_said():
    """Two per cent: one rear tooth of 48 or a roll-out two per cent smaller."""
    named = [each.cause for each in likely_causes(49 / 48, 0.003, 13, 48, 2.0, 3.0)]
    assert set(named) == {Cause.REAR, Cause.ROLLOUT}
    measured = likely_causes(49 / 48, 0.003, 13, 48, 2.0, 3.0, rollout_measured=True)
    assert measured[0].cause is Cause.REAR


def test_a_measured_rollout_is_not_blamed_for_much():
    causes = likely_causes(13 / 12, 0.002, 13, 48, 2.0, 3.0, rollout_measured=True)
    assert Cause.ROLLOUT not in {each.cause for each in causes}


@pytest.mark.parametrize("seed", range(6))
def test_a_slipping_clutch_shows_and_a_sound_one_does_not(seed):
    gear, time, speed, engine, quotient, idle = logged(seed)
    acceleration = np.gradient(np.convolve(speed, np.full(5, 0.2), mode="same"), time)
    rows = (speed > 4) & (engine > 1.2 * idle) & (gear != NEUTRAL)
    sound = slip_when_pulling(engine[rows] / speed[rows], acceleration[rows], speed[rows], quotient)
    slipping = np.where(acceleration > 1.0, engine * 1.12, engine)
    slips = slip_when_pulling(
        slipping[rows] / speed[rows], acceleration[rows], speed[rows], quotient
    )
    assert sound.pulling < 0.1
    assert slips.pulling > 0.25
    assert slips.otherwise < 0.1


def test_nothing_found_is_nothing_said():
    empty = find_ratios(np.empty(0), np.empty(0))
    assert len(empty.quotient) == 0
    assert np.isnan(match_gears(empty, np.array([40.0, 30.0])).factor)
    rng = np.random.default_rng(1)
    scattered = match_gears(
        find_ratios(rng.uniform(5, 20, 5), rng.uniform(200, 900, 5)), np.array([40.0, 30.0])
    )
    assert len(scattered.gear) == 0


def test_inferred_gears_agree_with_a_rider_who_shifts_as_said():
    """Where the rider follows the assumed habits the inference must be right and know it."""
    agreed, sure = [], []
    for seed in range(10):
        _, time, speed, _, quotient, _ = logged(seed, interval=1.0)
        limiter = float(example_vehicle().limiter_speed)
        up = 0.9 * limiter
        rode = gears_by_rule(time, speed, quotient, up)
        found = infer_gears(time, speed, quotient, up, limiter)
        moving = speed > 3
        agreed.append(np.mean(np.abs(found.gear - rode)[moving] <= 1))
        sure.append(found.confidence[moving].mean())
        assert np.all(speed * quotient[found.gear] <= 1.04 * limiter + 20)
        assert np.all((found.confidence > 0) & (found.confidence <= 1 + 1e-9))
    assert np.mean(agreed) > 0.95
    assert 0.5 < np.mean(sure) < 1.0


def test_confidence_is_high_only_where_few_gears_are_possible():
    quotient = np.array([60.0, 40.0, 28.0])
    time = np.arange(30.0)
    fast = infer_gears(time, np.full(30, 30.0), quotient, 850.0, 900.0)
    middling = infer_gears(time, np.full(30, 14.0), quotient, 850.0, 900.0)
    assert fast.confidence.min() > 0.95
    assert middling.confidence.mean() < 0.8


def test_replay_against_a_ride_counted_by_hand():
    """One pull through two gears: change up at 800 rad/s, that is at 20 m/s in first."""
    time = np.arange(0, 21.0)
    speed = np.interp(time, [0, 10, 20], [0, 30, 30])
    again = replay(time, speed, np.array([40.0, 25.0]), 800.0, 900.0, 60.0)
    # 20 m/s is passed between 6 and 7 s: seven steps in first gear, thirteen in second.
    assert again.time_in_gear.tolist() == [7.0, 13.0]
    assert (again.upshifts, again.downshifts) == (1, 0)
    # The first step, 0 to 3 m/s, has a mean of 1.5 m/s and 60 rad/s: not below 60 rad/s.
    assert again.below_clutch_out == 0.0
    # The last step in first gear, 18 to 21 m/s, has a mean of 19.5 m/s.
    assert again.fastest_engine == pytest.approx(19.5 * 40)
    slower = replay(time, speed, np.array([40.0, 25.0]), 800.0, 700.0, 70.0)
    assert slower.below_clutch_out == 1.0
    # Top gear reaches the limiter at 28 m/s: the step from 27 to 30 m/s and the ten at 30 m/s. In
    # the step from 18 to 21 m/s first gear turns beyond it, and second does not.
    assert slower.on_limiter == pytest.approx(11.0)


def test_a_long_step_across_a_change_up_is_no_time_on_the_limiter():
    """Three seconds from 18 to 26 m/s: 22 m/s in first gear would be 880 rad/s, it is in second."""
    again = replay(
        np.array([0.0, 3.0, 6.0]),
        np.array([18.0, 26.0, 26.0]),
        np.array([40.0, 25.0]),
        800.0,
        850.0,
        60.0,
    )
    assert again.on_limiter == 0.0
    assert again.time_in_gear.tolist() == [0.0, 6.0]
    assert again.fastest_engine == 26.0 * 25.0


@pytest.mark.parametrize("seed", range(10))
def test_shorter_gearing_turns_faster_and_the_times_add_up(seed):
    _, time, speed, _, quotient, idle = logged(seed, interval=1.0)
    plain = replay(time, speed, quotient, 800.0, 950.0, 1.2 * idle)
    shorter = replay(time, speed, 1.08 * quotient, 800.0, 950.0, 1.2 * idle)
    assert plain.time_in_gear.sum() == pytest.approx(plain.moving)
    assert shorter.moving == pytest.approx(plain.moving)
    middle = 0.5 * (speed[1:] + speed[:-1])
    for again, turning in ((plain, quotient), (shorter, 1.08 * quotient)):
        # Where top gear turns beyond the limiter no gear helps, and nowhere else.
        no_gear_left = middle * turning[-1] >= 950.0
        assert again.on_limiter == pytest.approx(np.diff(time)[no_gear_left].sum())
    assert shorter.below_clutch_out <= plain.below_clutch_out
