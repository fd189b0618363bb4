"""Defaults that stand in for a measurement lie inside the ranges that are in print."""

import pytest

from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.ground.surfaces import surfaces

BIKE = demo_bikes()["bracken-125"]
"""Leaves drag area and efficiencies to the defaults."""


def test_drag_area():
    """0.30-0.50 m², Katz, *Automotive Aerodynamics*, p. 302, for various motorcycles;
    0.18-0.70 m², Cossalter, *Motorcycle Dynamics*, second-hand. No figure for an upright rider."""
    assert 0.30 <= BIKE.vehicle().drag_area <= 0.70


def test_gearbox_efficiency():
    """92-97 %, car manual transmission with splash lubrication: Joachim, Börner and Kurz,
    *Gear Technology*, September 2012, Fig. 2."""
    assert 0.92 <= BIKE.vehicle().gearbox_efficiency <= 0.97


def test_primary_efficiency():
    """One gear pair 99.0-99.8 % in the same figure; bearings and oil take some more."""
    assert 0.97 <= BIKE.vehicle().primary_efficiency <= 0.998


def test_chain_efficiency():
    """Above 98 % when lubricated (engineering encyclopedia, article "Roller chain", a weak
    source); a dirty one is below, so the default must not exceed it."""
    assert 0.95 <= BIKE.vehicle().chain_efficiency <= 0.98


@pytest.mark.parametrize(
    ("pressure", "speed", "coefficient"),
    [(2.0, 100.0, 0.01475), (1.0, 50.0, 0.017375), (0.9, 0.0, 0.016111)],
)
def test_hard_ground_holds_the_formula_over_pressure_and_speed(pressure, speed, coefficient):
    """Engineering ToolBox, "Rolling resistance", eq. 3, bar and km/h:
    c = 0.005 + (1/p) (0.01 + 0.0095 (v/100)²), evaluated here, no figures printed.

    The page uses one coefficient for each surface; on asphalt its range must hold the formula's
    values for the pressures and speeds of off-road tyres.
    """
    formula = 0.005 + (0.01 + 0.0095 * (speed / 100) ** 2) / pressure
    assert formula == pytest.approx(coefficient, abs=5e-7)
    asphalt = surfaces()["dry-asphalt"]
    assert asphalt.rolling_low <= formula <= asphalt.rolling_high
