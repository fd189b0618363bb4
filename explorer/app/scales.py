"""Ranges of the sliders in the reader's units, and numbers to and from SI."""

from dataclasses import dataclass

from explorer import units
from explorer.panels.number_control import Scale
from explorer.records.setups.setup import LIMITS


@dataclass(frozen=True)
class Shown:
    """How a field of the set-up appears on its slider.

    Attributes
    ----------
    kind : str
        Kind of quantity, as explorer.units names it.
    metric_step, imperial_step : float
        Step of the slider in the reader's unit; a whole step makes a control for whole numbers.
    """

    kind: str
    metric_step: float
    imperial_step: float


SHOWN = {
    "rollout": Shown("length", 5, 0.2),
    "slope": Shown("slope", 1, 1),
    "head_wind": Shown("speed", 1, 1),
    "altitude": Shown("altitude", 50, 100),
    "temperature": Shown("temperature", 1, 1),
    "rider_mass": Shown("mass", 1, 1),
    "target_speed": Shown("speed", 5, 5),
    "roll_from": Shown("speed", 5, 5),
    "roll_to": Shown("speed", 5, 5),
    "cruise_speed": Shown("speed", 5, 5),
    "distance": Shown("distance", 5, 10),
}


def scale(field: str, system: str) -> Scale:
    """Range, step and unit of a field's slider."""
    shown, limit = SHOWN[field], LIMITS[field]
    step = shown.metric_step if system == "metric" else shown.imperial_step
    low, unit = units.display(limit.low, shown.kind, system)
    high, _ = units.display(limit.high, shown.kind, system)
    # Ends on whole steps inside the range, so that every place of the slider is accepted.
    low, high = -(-(low - 1e-6) // step) * step, (high + 1e-6) // step * step
    as_number = int if isinstance(step, int) else float
    return Scale(as_number(low), as_number(high), step, unit)


def number(field: str, value: float, system: str) -> float:
    """A value of a field as its slider shows it, rounded to what the box can hold."""
    shown = SHOWN[field]
    in_units, _ = units.display(value, shown.kind, system)
    step = shown.metric_step if system == "metric" else shown.imperial_step
    return round(in_units) if isinstance(step, int) else round(in_units, 1)


def from_number(field: str, in_units: float, system: str) -> float:
    """SI value of a number on a field's slider, the same as if it had been typed with its unit."""
    kind = SHOWN[field].kind
    _, unit = units.display(0.0, kind, system)
    return units.to_si(f"{in_units} {unit}", kind)
