"""A ride over a course: an independent solver, closed forms, limits, and what must add up."""

import dataclasses
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from explorer.calc.course.course_braking import BrakingLimit
from explorer.calc.course.course_ground import course_grounds, cut_course, shift_speeds
from explorer.calc.course.course_rider import RIDERS
from explorer.calc.course.course_shifting import distance_to_brakes
from explorer.calc.course.fastest import BRAKING_SHARE, Course, ride_course
from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.top_speed import top_speed
from explorer.calc.example import example_drive
from explorer.calc.motion.measures import time_over_distance
from explorer.calc.motion.run import full_throttle, time_to_distance
from explorer.calc.motion.shift_points import shift_points
from tests.calc.course.random_courses import random_course
from tests.calc.course.reference_course import CourseReference
from tests.calc.random_setups import random_setup
from tests.calc.simple_vehicles import constant_force

REQUIRED_AGREEMENT = 5e-3
NOTHING_BRAKES_HARDER = 1e7
"""Braking share that stops within a millimetre, with a centre of gravity on the ground."""


def straight(length, drive, corner_speed=np.inf):
    """One segment, or several, on the ground of the drive's own conditions."""
    length = np.atleast_1d(np.asarray(length, float))
    here, ones = drive.conditions, np.ones(length.size)
    return Course(
        length=length,
        corner_speed=corner_speed * ones,
        slope=here.slope * ones,
        rolling_coefficient=here.rolling_coefficient * ones,
        grip=here.grip * ones,
    )


def setup(seed, final_ratio=None, **changes):
    vehicle, conditions, ratio, rollout = random_setup(np.random.default_rng(seed))
    vehicle = dataclasses.replace(vehicle, **changes)
    return Drive(vehicle, conditions, ratio if final_ratio is None else final_ratio, rollout)


class TestAgainstIndependentSolver:
    """scipy's `solve_ivp` in time, one motorcycle at a time
    (tests/calc/course/reference_course.py)."""

    # Measured over seeds 0 to 39: median 0.013 % of the time, worst 0.16 %. On a decision near
    # break-even the two may differ in one shift, which is why more than that is allowed.
    @pytest.mark.parametrize("seed", range(12))
    def test_random_course_and_setup(self, seed):
        self.compare(seed, RIDERS["race"])

    @pytest.mark.parametrize("seed", range(6))
    @pytest.mark.parametrize("rider", ["easy", "brisk"])
    def test_a_rider_who_holds_back(self, seed, rider):
        self.compare(seed, RIDERS[rider])

    def compare(self, seed, rider):
        rng = np.random.default_rng(seed)
        vehicle, conditions, ratio, rollout = random_setup(rng)
        course = random_course(rng, rng.integers(2, 5), longest=100.0)
        ride = ride_course(Drive(vehicle, conditions, ratio, rollout), course, rider=rider)
        reference = CourseReference(
            vehicle, conditions, ratio, rollout, course, BRAKING_SHARE, *rider
        )
        time = reference.ride()
        np.testing.assert_allclose(
            np.nan_to_num(ride.time[0], nan=np.inf), time, rtol=REQUIRED_AGREEMENT
        )
        if np.isfinite(time):
            np.testing.assert_allclose(ride.time_braking[0], reference.braked, atol=0.05)

    def test_shift_speeds_are_those_of_a_single_ground(self):
        """The crossing of two accelerations, found by two different ways of calculating it."""
        for seed in range(10):
            drive = setup(seed)
            here = straight(1.0, drive)
            grounds = course_grounds(drive, here.slope, here.rolling_coefficient, here.grip)
            shifts = shift_points(drive, top_speed(drive))
            found = shift_speeds(drive, grounds, None)[0]
            taken = shifts.shifts_up
            np.testing.assert_allclose(found[taken], shifts.exit_speed[taken], rtol=5e-3)


class TestLimits:
    @pytest.mark.parametrize("seed", range(8))
    @pytest.mark.parametrize("length", [20.0, 100.0, 700.0])
    def test_without_corners_it_is_a_run_over_a_distance(self, seed, length):
        """One segment and no corner: `time_over_distance`, within the 0.1 % asked for."""
        drive = setup(seed)
        run = time_over_distance(drive, shift_points(drive, top_speed(drive)), length)
        ride = ride_course(drive, straight(length, drive))
        np.testing.assert_allclose(ride.time, run, rtol=1e-3)

    def test_infinite_braking_is_two_runs(self):
        """The corner costs no distance: a run from rest, then one from the corner's speed.

        Shifts take no time, so that it does not matter which gears the two ways of riding pass.
        """
        drive = setup(3, cg_height=1e-6, shift_time=0.0)
        shifts = shift_points(drive, top_speed(drive))
        course = straight([150.0, 90.0], drive)
        course.corner_speed[0] = 5.0
        ride = ride_course(drive, course, braking_share=NOTHING_BRAKES_HARDER)
        again = time_to_distance(full_throttle(drive, shifts, start_speed=5.0), 90.0)
        expected = time_over_distance(drive, shifts, 150.0) + again
        np.testing.assert_allclose(ride.time, expected, rtol=1e-3)

    def test_a_stop_is_a_standing_start_again(self):
        drive = setup(5, cg_height=1e-6)
        run = time_over_distance(drive, shift_points(drive, top_speed(drive)), 60.0)
        course = straight([60.0, 60.0], drive, np.array([0.0, np.inf]))
        ride = ride_course(drive, course, braking_share=NOTHING_BRAKES_HARDER)
        np.testing.assert_allclose(ride.time, 2 * run, rtol=1e-3)

    @pytest.mark.parametrize("length", [30.0, 77.0, 300.0])
    def test_uniform_acceleration_and_braking(self, length):
        """From rest to rest with a and d: v² (1/a + 1/d) = 2 L and t = v (1/a + 1/d)."""
        drive = constant_force(400.0, 200.0)
        course = Course(
            np.array([length]), np.zeros(1), np.zeros(1), np.zeros(1), np.array([5.0 / 9.80665])
        )
        ride = ride_course(drive, course, braking_share=1.0)
        both = 1 / 2.0 + 1 / 5.0
        np.testing.assert_allclose(ride.time, math.sqrt(2 * length * both), rtol=1e-6)
        peak = math.sqrt(2 * length / both)
        np.testing.assert_allclose(ride.time_braking, peak / 5.0, rtol=1e-6)

    def test_held_at_the_rev_limit(self):
        """One gear: at the limiter for the rest of the way, at constant speed."""
        drive = constant_force(600.0, 200.0, fastest=15.0)
        course = straight(500.0, drive)
        course.grip[:] = 1.0
        ride = ride_course(drive, course)
        np.testing.assert_allclose(ride.time_on_limiter, (500 - 15**2 / 6) / 15, rtol=1e-6)
        np.testing.assert_allclose(ride.road_speed[0, -1], 15.0, rtol=1e-6)

    def test_a_slope_too_steep_ends_the_ride(self):
        drive = setup(0)
        course = straight([40.0, 200.0, 50.0], drive)
        course.slope[:] = [0.0, math.atan(1.2), 0.0]
        ride = ride_course(drive, course)
        assert np.isnan(ride.time[0])
        assert 40.0 < ride.distance_reached[0] < 200.0
        beyond = ride.distance > ride.distance_reached[0]
        assert (ride.road_speed[0, beyond] == 0).all() and np.isfinite(ride.road_speed).all()

    def test_a_descent_too_steep_to_brake_is_taken_at_the_speed_below(self):
        drive = setup(1)
        course = straight([60.0, 60.0, 60.0], drive)
        course.slope[1], course.corner_speed[1] = math.atan(-1.0), 4.0
        ride = ride_course(drive, course)
        descent = (ride.distance >= 60.0) & (ride.distance <= 120.0)
        assert (ride.road_speed[0, descent] <= 4.0 + 1e-9).all()
        assert np.isfinite(ride.time[0])


class TestRider:
    def test_a_shift_just_before_the_brakes_is_not_worth_it(self):
        """First gear is held at the rev limit on a short straight, and left on a long one."""
        drive = setup(2, shift_time=0.4)
        first = float((drive.limiter_speed * drive.radius / drive.overall)[0, 0, 0])
        shifts = shift_points(drive, top_speed(drive))
        to_limiter = full_throttle(drive, shifts, stop_speed=shifts.exit_speed[0, 0])
        length = float(to_limiter.distance[0, -1]) + first**2 / 2 / 4.0
        short = ride_course(drive, straight(length, drive, 2.0))
        assert short.upshifts[0] == 0 and short.time_in_gear[0, 1:].sum() == 0
        assert ride_course(drive, straight(10 * length, drive, 2.0)).upshifts[0] > 0

    def test_shifting_at_a_chosen_engine_speed(self):
        """At the rev limit at the latest; too early costs time."""
        drive = setup(5)
        course = straight(400.0, drive)
        best = ride_course(drive, course)
        late = ride_course(drive, course, at_engine_speed=1e6)
        limiter = ride_course(drive, course, at_engine_speed=drive.vehicle.limiter_speed)
        early = ride_course(drive, course, at_engine_speed=1.05 * drive.vehicle.launch_speed)
        np.testing.assert_array_equal(late.time, limiter.time)
        assert best.time[0] < early.time[0]
        # The best points look at speed, not at the way: over one they may lose a thousandth.
        assert best.time[0] <= limiter.time[0] * (1 + 1e-3)

    def test_changes_down_where_a_hill_slows_it(self):
        """9 kW and 185 kg hold some 45 km/h on 15 %, after a level straight in top gear."""
        drive, _ = example_drive()
        course = straight([400.0, 300.0], drive)
        course.slope[:] = [0.0, math.atan(0.15)]
        ride = ride_course(drive, course)
        level = ride_course(drive, straight(700.0, drive))
        assert ride.downshifts[0] > 0 and level.downshifts[0] == 0
        # Nothing is gained by staying in the tall gears: the hill is left at the speed that the
        # best gear holds there.
        hill = dataclasses.replace(drive.conditions, slope=math.atan(0.15))
        held = top_speed(Drive(drive.vehicle, hill, 48 / 14, 2.0)).speed[0]
        np.testing.assert_allclose(ride.road_speed[0, -1], held, rtol=0.02)

    def test_the_start_may_be_rolling_but_no_faster_than_the_brakes_allow(self):
        drive = setup(7)
        course = straight(100.0, drive, 3.0)
        rest, rolling = (ride_course(drive, course, start_speed=v) for v in (0.0, 8.0))
        assert rolling.time[0] < rest.time[0]
        np.testing.assert_allclose(rolling.road_speed[0, 0], 8.0, rtol=1e-12)
        fast = ride_course(drive, course, start_speed=200.0)
        assert fast.road_speed[0, 0] < 200.0 and fast.road_speed[0, -1] <= 3.0 * (1 + 1e-9)


class TestAddsUp:
    @settings(max_examples=25, deadline=None)
    @given(st.integers(0, 2**32 - 1), st.integers(1, 12))
    def test_any_course(self, seed, segments):
        """No NaN in the profile, no corner too fast, and the times of all gears are the time."""
        rng = np.random.default_rng(seed)
        vehicle, conditions, ratio, rollout = random_setup(rng)
        course = random_course(rng, segments)
        ratios = ratio * np.linspace(0.7, 1.3, 5)
        ride = ride_course(Drive(vehicle, conditions, ratios, rollout), course)
        through = np.isfinite(ride.time)
        np.testing.assert_allclose(
            ride.time_in_gear.sum(axis=1)[through], ride.time[through], rtol=1e-12
        )
        spent = ride.time_braking + ride.time_on_limiter + ride.time_slipping
        assert (spent[through] <= ride.time[through] * (1 + 1e-9)).all()
        assert np.isfinite(ride.road_speed).all() and (ride.road_speed >= 0).all()
        corners = np.searchsorted(ride.distance, np.cumsum(course.length) - 1e-6)
        assert (ride.road_speed[:, corners] <= course.corner_speed * (1 + 1e-9)).all()
        assert (ride.distance_reached[through] == ride.distance[-1]).all()
        assert (ride.distance_reached[~through] < ride.distance[-1]).all()

    def test_many_cases_are_those_of_each_alone(self):
        """Ratios, and masses, which make each case brake differently."""
        ratios, masses = np.linspace(2.6, 4.5, 7), np.linspace(150.0, 280.0, 7)
        course = random_course(np.random.default_rng(5), 12)
        together = ride_course(setup(9, ratios, mass=masses), course)
        for case, (ratio, mass) in enumerate(zip(ratios, masses, strict=True)):
            alone = ride_course(setup(9, ratio, mass=mass), course)
            np.testing.assert_allclose(together.time[case], alone.time[0], rtol=1e-9)
            np.testing.assert_allclose(together.road_speed[case], alone.road_speed[0], rtol=1e-9)
            assert together.upshifts[case] == alone.upshifts[0]

    def test_cutting_a_segment_in_two_changes_nothing(self):
        drive = setup(8)
        whole = ride_course(drive, straight([160.0, 90.0], drive, np.array([6.0, np.inf])))
        cut = straight([100.0, 60.0, 90.0], drive, np.array([np.inf, 6.0, np.inf]))
        np.testing.assert_allclose(ride_course(drive, cut).time, whole.time, rtol=1e-3)

    def test_pieces_end_where_segments_end(self):
        length = np.array([5.0, 33.0, 120.0])
        pieces = cut_course(length, np.array([2.0, np.inf, 3.0]))
        np.testing.assert_allclose(pieces.node[pieces.corner_speed < np.inf], [5.0, 158.0])
        assert pieces.length.max() <= 10.0
        assert cut_course(np.full(500, 20_000.0), np.full(500, 9.0)).length.size < 3001


class TestMonotone:
    """Shifts without loss of time: otherwise a stronger engine may need one shift more."""

    # The march is exact to about 0.05 %, so that much is no increase.
    SLACK = 1 + 5e-4

    def times(self, seed, **changes):
        rng = np.random.default_rng(seed)
        vehicle, conditions, ratio, rollout = random_setup(rng)
        course = random_course(rng, 5)
        power, grip = changes.get("power", 1.0), changes.get("grip", 1.0)
        vehicle = dataclasses.replace(vehicle, shift_time=0.0, torques=vehicle.torques * power)
        course = dataclasses.replace(course, grip=course.grip * grip)
        time = ride_course(Drive(vehicle, conditions, ratio, rollout), course).time[0]
        return np.nan_to_num(time, nan=np.inf)

    @settings(max_examples=25, deadline=None)
    @given(st.integers(0, 2**32 - 1), st.floats(1.02, 1.6))
    def test_more_power_is_never_slower(self, seed, factor):
        assert self.times(seed, power=factor) <= self.times(seed) * self.SLACK

    @settings(max_examples=25, deadline=None)
    @given(st.integers(0, 2**32 - 1), st.floats(1.02, 1.6))
    def test_more_grip_is_never_slower(self, seed, factor):
        assert self.times(seed, grip=factor) <= self.times(seed) * self.SLACK


def test_no_brakes_needed_before_the_end():
    limit = BrakingLimit(np.full((1, 4), 500.0), np.full((1, 3), 5.0), np.zeros((1, 3)))
    node, zero = np.arange(4.0), np.array([0])
    distance = distance_to_brakes(limit, node, zero, zero, np.array([0.2]), np.array([60.0]))
    assert np.isinf(distance).all()
