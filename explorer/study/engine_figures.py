"""Peaks and bands of a bike's torque curve, which no gearing changes: kept from study to study."""

from dataclasses import dataclass
from functools import lru_cache

from explorer.calc.engine import curve as engine
from explorer.records.bikes.bike import Bike

PULLS_SHARE = 0.5
"""An engine pulls from the speed at which it gives this share of its power. Our choice."""


@dataclass(frozen=True)
class EngineFigures:
    """Engine speeds [rad/s] and values [N·m], [W] of the torque curve as given: its peaks, the band
    with 90 % of the power, and the speed from which the engine pulls."""

    peak_torque: engine.Peak
    peak_power: engine.Peak
    power_band: engine.PowerBand
    pulls: float


@lru_cache(maxsize=16)
def engine_figures(bike: Bike) -> EngineFigures:
    """The figures of a bike."""
    vehicle = bike.vehicle()
    curve = (vehicle.torque_speeds, vehicle.torques)
    return EngineFigures(
        engine.peak_torque(*curve),
        engine.peak_power(*curve),
        engine.power_band(*curve),
        engine.power_band(*curve, PULLS_SHARE).low,
    )
