"""Slip, chain losses and the rider's place, against integrals and balances worked out afresh."""

import dataclasses
import math

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq

from explorer.calc.drivetrain.chain_losses import chain_efficiency, with_sprockets
from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.rider_position import POSITIONS, in_position
from explorer.calc.drivetrain.wheel_slip import shear_share, slip_for, wheel_slip
from explorer.calc.example import example_conditions, example_vehicle


@pytest.mark.parametrize("modulus", [0.03, 0.13, 0.2])
@pytest.mark.parametrize("slip", [0.002, 0.05, 0.4, 1.0])
def test_shear_is_the_mean_along_the_patch(slip, modulus):
    """The soil's shear after a displacement j is 1 - exp(-j/K); j grows along the patch to i l."""
    mean, _ = quad(lambda place: 1 - math.exp(-slip * place / modulus), 0.0, 1.0, epsabs=1e-12)
    assert float(shear_share(slip, modulus)) == pytest.approx(mean, rel=1e-4)


@pytest.mark.parametrize("modulus", [0.03, 0.13, 0.2])
@pytest.mark.parametrize("share", [0.02, 0.3, 0.8, 0.999])
def test_slip_found_again(share, modulus):
    full = float(shear_share(1.0, modulus))
    root = brentq(lambda i: float(shear_share(i, modulus)) / full - share, 1e-9, 1.0)
    assert float(slip_for(share, modulus)) == pytest.approx(root, rel=1e-6)


def test_slip_is_a_matter_of_degree_and_its_heat_is_what_the_engine_loses():
    lost = wheel_slip(np.linspace(0.0, 900.0, 10), 1000.0, 8.0, 0.13)
    assert np.all(np.diff(lost.slip) > 0)
    assert lost.slip[0] == 0
    tread = 8.0 + lost.speed_lost
    np.testing.assert_allclose(1 - 8.0 / tread, lost.slip)
    np.testing.assert_allclose(lost.heat, np.linspace(0.0, 900.0, 10) * (tread - 8.0))
    assert np.isinf(wheel_slip(1200.0, 1000.0, 8.0, 0.13).speed_lost)


def test_chain_of_motorcycles_stays_within_the_published_range():
    """96 to 99 % below 75 mile/h: Burgess and Lodge (2004), abstract."""
    fronts, rears = np.meshgrid(np.arange(11, 18), np.arange(38, 57))
    efficiency = chain_efficiency(0.97, 13, 48, fronts, rears)
    assert 0.955 < efficiency.min() < efficiency.max() < 0.985
    assert np.all(np.diff(efficiency, axis=0) > 0)
    assert np.all(np.diff(efficiency, axis=1) > 0)


def test_friction_of_the_links_gives_losses_of_that_size():
    """Pin of 5.2 mm in a 520 chain, friction 0.1 to 0.3, tight strand only, by the work of the
    bending; geometry is common practice, no source."""
    bend = 2 * math.pi / 13 + 2 * math.pi / 48
    for friction, low, high in ((0.1, 0.005, 0.015), (0.3, 0.02, 0.04)):
        loss = friction * 0.0026 * bend / 0.015875
        assert low < loss < high


def test_larger_sprockets_of_the_same_ratio_pull_a_little_harder():
    vehicle = dataclasses.replace(example_vehicle(), chain_front=13, chain_rear=52)
    geared = with_sprockets(vehicle, np.array([11, 13]), np.array([44, 52]))
    drive = Drive(geared, example_conditions(), np.array([4.0, 4.0]), 2.0)
    small, large = drive.pull(drive.torque(np.full((1, 1, 1), 600.0)), drive.overall)[:, 0, 0]
    assert small / large == pytest.approx(1 - 0.03 * (13 / 11 - 1) / 0.97, rel=1e-6)


@pytest.mark.parametrize("position", POSITIONS)
def test_rider_moves_the_centre_of_gravity_by_moments(position):
    vehicle, rider = example_vehicle(), 80.0
    ahead, above = POSITIONS[position]
    rest = vehicle.mass - rider
    # The rider sits 0.45 m ahead of the axle and 1.05 m up; the motorcycle follows from both.
    bike = [
        (vehicle.mass * whole - rider * own) / rest
        for whole, own in ((vehicle.cg_ahead, 0.45), (vehicle.cg_height, 1.05))
    ]
    moved = in_position(vehicle, rider, ahead, above)
    expected = [
        (rest * part + rider * own) / vehicle.mass
        for part, own in zip(bike, (0.45 + ahead, 1.05 + above), strict=True)
    ]
    np.testing.assert_allclose([moved.cg_ahead, moved.cg_height], expected)
