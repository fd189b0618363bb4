"""Which limit binds: the stretches against a dense scan and against closed forms."""

from dataclasses import replace

import numpy as np
import pytest

from explorer.calc.drivetrain.binding_limits import binding_limit, held_back, stretches
from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.top_speed import Limit
from tests.calc.random_setups import random_setup
from tests.calc.reference_ode import Ride
from tests.calc.simple_vehicles import constant_power, one_gear


def with_conditions(drive, **changes):
    return Drive(drive.vehicle, replace(drive.conditions, **changes), 1.0, 2 * np.pi)


def test_grip_gives_way_to_power():
    """Constant power without losses: P/v = μ m g (L - x)/(L - μ h) at the speed where it ends."""
    drive = with_conditions(constant_power(20e3, 200.0), grip=0.5)
    thrust = 0.5 * 200 * 9.80665 * 500 / (1000 - 0.5e-3)
    rows = stretches(drive)
    assert rows.limit.tolist() == [Limit.GRIP, Limit.POWER]
    # The clutch slips up to 0.02 m/s, the engine's lowest speed; grip binds from rest.
    np.testing.assert_allclose(rows.start, [0.0, 20e3 / thrust], rtol=1e-6)
    np.testing.assert_allclose(rows.end, [20e3 / thrust, 60.0], rtol=1e-6)
    grip = held_back(rows, Limit.GRIP)
    assert grip.start.tolist() == [0.0]
    np.testing.assert_allclose(grip.end, [20e3 / thrust], rtol=1e-6)
    assert held_back(rows, Limit.FRONT_WHEEL_LIFT).end.size == 0


def test_a_humped_curve_is_held_back_in_its_middle():
    """Torque in straight lines 50 - 150 - 50 over 10 - 20 - 30 rad/s; grip passes on 100 N.

    Two straight lines do without a bump, so the crossings are exact: 15 and 25 m/s.
    """
    engine_speeds = [10.0, 12.5, 15.0, 17.5, 20.0, 22.5, 25.0, 27.5, 30.0]
    torques = [50.0, 75.0, 100.0, 125.0, 150.0, 125.0, 100.0, 75.0, 50.0]
    base = one_gear(engine_speeds=engine_speeds, torques=torques, mass=100.0)
    grip = 100.0 / (100 * 9.80665 * 0.5)
    rows = stretches(with_conditions(base, grip=grip))
    assert rows.limit.tolist() == [Limit.POWER, Limit.GRIP, Limit.POWER]
    # grip × h / L moves the crossing by 1e-7.
    np.testing.assert_allclose(rows.end, [15.0, 25.0, 30.0], rtol=1e-6)
    # Below 15 m/s the engine binds: there shorter gearing does gain.
    grip = held_back(rows, Limit.GRIP)
    np.testing.assert_allclose([*grip.start, *grip.end], [15.0, 25.0], rtol=1e-6)


@pytest.mark.parametrize("seed", range(10))
def test_against_a_dense_scan_of_the_second_formulation(seed):
    vehicle, conditions, ratio, rollout = random_setup(np.random.default_rng(seed))
    drive = Drive(vehicle, conditions, ratio, rollout)
    ride = Ride(vehicle, conditions, ratio, rollout)
    rows = stretches(drive)
    for gear in range(len(vehicle.gears)):
        mine = rows.gear == gear
        for speed in np.linspace(0.0, ride.limiter(gear), 301)[1:-1]:
            if np.abs(rows.start[mine] - speed).min() < 1e-6:
                continue
            row = np.flatnonzero(mine)[np.searchsorted(rows.end[mine], speed)]
            held_back = np.isclose(ride.free(speed, gear), ride.limit(speed), rtol=1e-12)
            assert (rows.limit[row] != Limit.POWER) == held_back, (gear, speed)


def test_stretches_join_without_gaps():
    setups = [random_setup(np.random.default_rng(seed)) for seed in range(5)]
    for vehicle, conditions, ratio, rollout in setups:
        drive = Drive(vehicle, conditions, ratio * np.array([1.0, 0.9]), rollout)
        rows = stretches(drive)
        for case in range(2):
            for gear in range(drive.gears):
                mine = (rows.case == case) & (rows.gear == gear)
                assert rows.start[mine][0] == 0.0
                np.testing.assert_array_equal(rows.start[mine][1:], rows.end[mine][:-1])
                fastest = (drive.limiter_speed * drive.radius / drive.overall)[case, gear, 0]
                np.testing.assert_allclose(rows.end[mine][-1], fastest)
                assert (np.diff(rows.limit[mine]) != 0).all()
                middle = 0.5 * (rows.start + rows.end)[mine]
                points = np.broadcast_to(middle, (2, drive.gears, middle.size))
                np.testing.assert_array_equal(
                    binding_limit(drive, points)[case, gear], rows.limit[mine]
                )


def test_the_front_wheel_lifts_before_the_tyre_spins():
    vehicle, conditions, ratio, rollout = random_setup(np.random.default_rng(3))
    drive = Drive(
        replace(vehicle, torques=vehicle.torques * 3, cg_height=1.2),
        replace(conditions, grip=2.0),
        ratio,
        rollout,
    )
    rows = stretches(drive)
    assert rows.limit[0] == Limit.FRONT_WHEEL_LIFT
    assert Limit.GRIP not in rows.limit
    lifting = held_back(rows, Limit.FRONT_WHEEL_LIFT)
    assert lifting.gear[0] == 0 and lifting.end[0] > 0
