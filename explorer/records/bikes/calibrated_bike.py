"""A bike file whose drag and power come from a ride, and that says so."""

from collections.abc import Mapping
from typing import NamedTuple

from explorer import units
from explorer.records.bikes.bike import Bike
from explorer.records.errors import RecordError
from explorer.records.typed_text import quote

POWER_RANGE = (0.5, 1.5)
DRAG_RANGE = (0.1, 2.0)
"""Fitted values outside these are no motorcycle but a faulty ride [-, m²]."""

_LONGEST_RIDE = 60


class Fitted(NamedTuple):
    """A fitted number with its standard uncertainty, in SI."""

    value: float
    standard_uncertainty: float

    def text(self, unit: str = "") -> str:
        """With its 95 % interval, no more digits than it carries.

        >>> Fitted(0.5236, 0.0171).text("m²")
        '0.52 ± 0.03 m²'
        """
        band = 2 * self.standard_uncertainty
        return units.with_band(self.value, band, band, unit, most=6)


def calibrated(
    bike: Bike, fitted: Mapping[str, Fitted], surface: str, ride: str, date: str
) -> Bike:
    """The same bike with what a ride said, and from which ride it comes.

    Args:
        fitted: Any of "drag_area" [m²], "power" (over that of the torque curve) [-] and
            "rolling_coefficient" [-]; the last belongs to the ground and is only noted.
        ride: What was ridden, in a few words; cut to what a bike file holds.
    """
    if not {"drag_area", "power"} & set(fitted):
        raise RecordError(
            "The ride says too little about drag and power, so the bike file stays as it is; do a "
            "coast-down both ways, and roll-ons."
        )
    changes: dict[str, str] = {}
    said: list[str] = []
    if "drag_area" in fitted:
        drag_area = fitted["drag_area"]
        _require("drag area", drag_area.value, DRAG_RANGE, " m²")
        changes["air.drag_area"] = f"{drag_area.value:.3g} m^2"
        said.append(f"drag area {drag_area.text('m²')}")
    if "power" in fitted:
        power = fitted["power"]
        _require("power over that of the torque curve", power.value, POWER_RANGE, "")
        changes["engine.torque_curve"] = "; ".join(
            f"{speed.text}: {torque.si * power.value:.3g} N*m"
            for speed, torque in bike.engine.torque_curve.points
        )
        said.append(f"torque {power.text()} times what the file said before")
    if "rolling_coefficient" in fitted:
        said.append(
            f"rolling resistance {fitted['rolling_coefficient'].text()} on {surface} (not kept in "
            "the file)"
        )
    changes |= {
        "calibration.date": date,
        "calibration.ride": ride if len(ride) <= _LONGEST_RIDE else f"{ride[:59]}…",
        "calibration.values": f"{', '.join(said)}. ± is about 95 %.",
    }
    return bike.with_changes(changes)


def _require(name: str, value: float, bounds: tuple[float, float], unit: str) -> None:
    low, high = bounds
    if not low <= value <= high:
        raise RecordError(
            f"The fitted {name} of {quote(f'{value:.3g}{unit}')} is outside {low:g} to {high:g}"
            f"{unit}; check the runs, their speeds and the gear."
        )
