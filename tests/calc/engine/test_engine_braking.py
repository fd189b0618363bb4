"""Slowing down with the throttle closed, from the definitions of each stage."""

import dataclasses
import math

import numpy as np
import pytest
from scipy.integrate import quad

from explorer.calc.drivetrain.drive import Drive
from explorer.calc.engine.engine_braking import coasting_deceleration, engine_braking
from explorer.calc.example import example_conditions, example_vehicle
from tests.calc.simple_vehicles import one_gear

MOTORING = (np.array([100.0, 1000.0]), np.array([2.0, 6.0]))


def example(slope=0.0, grip=0.6):
    conditions = dataclasses.replace(example_conditions(), slope=slope, grip=grip)
    return Drive(example_vehicle(), conditions, 48 / 14, 2.0)


def test_coast_down_time():
    """t = ∫ dv/(a + b v²): the atan form for 20 to 10 m/s with a = 0.03 g, evaluated once in
    double precision and confirmed with scipy to 1e-8."""
    b = 0.5 * 1.225 * 0.5 / 200
    drive = one_gear(
        engine_speeds=[1.0, 100.0], torques=[0.0, 0.0], mass=200.0, drag=b * 200.0, rolling=0.03
    )
    time, _ = quad(lambda v: 1 / coasting_deceleration(drive, np.array([v])).item(), 10.0, 20.0)
    np.testing.assert_allclose(time, 16.008315, rtol=1e-7)


def test_torque_balance_of_every_stage():
    """Solve wheel, gearbox and engine as three equations and compare."""
    drive, speed = example(), 15.0
    slowing = engine_braking(drive, *MOTORING, speed)
    vehicle = drive.vehicle
    efficiency, radius = drive.efficiency.item(), drive.radius.item()
    for gear, ratio in enumerate(drive.overall[0, :, 0]):
        engine_speed = speed * ratio / radius
        if not vehicle.idle_speed <= engine_speed <= vehicle.limiter_speed:
            assert np.isnan(slowing.deceleration[0, gear, 0])
            continue
        # Unknowns: deceleration d, tyre force X, torque at the crankshaft from the gearbox T.
        torque = np.interp(engine_speed, *MOTORING)
        wheel = vehicle.rear_wheel_inertia
        front = vehicle.front_wheel_inertia / vehicle.front_wheel_radius**2
        matrix = np.array(
            [
                [vehicle.mass + front, -1.0, 0.0],
                # Tyre force turns the wheel, the wheel's own inertia helps, η is lost on the way.
                [wheel / radius * efficiency / ratio, radius * efficiency / ratio, -1.0],
                [vehicle.engine_inertia * ratio / radius, 0.0, 1.0],
            ]
        )
        right = np.array([drive.resistance(speed).item(), 0.0, torque])
        deceleration, tyre, through_gearbox = np.linalg.solve(matrix, right)
        assert through_gearbox > 0
        np.testing.assert_allclose(slowing.deceleration[0, gear, 0], deceleration, rtol=1e-9)
        np.testing.assert_allclose(slowing.holding_back[0, gear, 0], tyre, rtol=1e-9)


def test_an_engine_that_pushes():
    """Without motoring torque the turning engine pushes on through η, not through 1/η."""
    drive = example()
    slowing = engine_braking(drive, np.array([100.0, 1000.0]), np.zeros(2), 10.0)
    resistance = drive.resistance(10.0).item()
    gear = 2
    mass = drive.effective_mass(drive.overall, True)[0, gear, 0]
    np.testing.assert_allclose(slowing.deceleration[0, gear, 0], resistance / mass, rtol=1e-9)
    clutch_in = coasting_deceleration(drive, np.array([10.0])).item()
    assert slowing.deceleration[0, gear, 0] < clutch_in


def test_lower_gears_hold_back_more():
    slowing = engine_braking(example(), *MOTORING, 15.0)
    held = slowing.deceleration[0, :, 0]
    assert (np.diff(held[np.isfinite(held)]) < 0).all()


@pytest.mark.parametrize(("grip", "slides"), [(0.6, False), (0.1, True)])
def test_the_rear_wheel_slides_on_slick_ground(grip, slides):
    """Balance of moments about the front contact with the rear tyre holding back X = μ N."""
    drive = example(slope=math.atan(-0.1), grip=grip)
    slowing = engine_braking(drive, *MOTORING, 9.0)
    vehicle = drive.vehicle
    normal = vehicle.mass * 9.80665 * math.cos(math.atan(-0.1))
    rolling = drive.rolling.item()
    lever = vehicle.wheelbase - vehicle.cg_ahead
    # N L = normal (L - x) - (X + rolling) h
    load = (normal * lever - rolling * vehicle.cg_height) / (
        vehicle.wheelbase + grip * vehicle.cg_height
    )
    expected = slowing.holding_back[0, :, 0] > grip * load
    np.testing.assert_array_equal(slowing.rear_slides[0, :, 0], expected)
    assert slowing.rear_slides[0, 1, 0] == slides


def test_a_steep_descent_wins():
    slowing = engine_braking(example(slope=-0.4), *MOTORING, 15.0)
    finite = np.isfinite(slowing.deceleration)
    assert (slowing.deceleration[finite] < 0).all()
