"""Defaults that stand in for a measurement lie inside the ranges that are in print."""

from explorer.records.bike_library import demo_bikes

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
