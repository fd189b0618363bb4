"""Sliders of the set-up in the reader's units: range, step and number, to and from SI."""

from explorer import units
from explorer.calc.atmosphere import standard_atmosphere
from explorer.panels.number_control import Scale
from explorer.records.bikes.bike import Bike
from explorer.records.fields import Field
from explorer.records.setups.setup import Setup
from explorer.records.setups.setup_fields import SETUP_FIELD
from explorer.records.tyre import rollout
from explorer.study.goals import shift_speed


def scale_of(name: str, bike: Bike, setup: Setup) -> Scale:
    """Range, step and unit of a field's slider on a bike."""
    field = SETUP_FIELD[name]
    if field.kind == "teeth":
        low, high = getattr(bike.sprockets, f"{name}_sold")
        return Scale(min(low, getattr(setup, name)), max(high, getattr(setup, name)), 1)
    if field.kind == "gear":
        return Scale(1, len(bike.gearbox.ratios), 1)
    low, high = field.low, field.high
    if name == "shift_at":
        low, high = bike.engine.launch_speed, bike.engine.rev_limit.si
    return _scale(field, low, high, setup.units)


def _scale(field: Field, low: float, high: float, system: str) -> Scale:
    step = _step(field, system)
    low, unit = units.display(low, field.kind, system)
    high, _ = units.display(high, field.kind, system)
    # Ends on whole steps inside the range, so that every place of the slider is accepted.
    low, high = -(-(low - 1e-6) // step) * step, (high + 1e-6) // step * step
    as_number = int if isinstance(step, int) else float
    return Scale(as_number(min(low, high - step)), as_number(high), step, unit)


def number_of(name: str, bike: Bike, setup: Setup) -> float:
    """The value of a field as its slider shows it, rounded to what the box can hold."""
    field = SETUP_FIELD[name]
    value = getattr(setup, name)
    if field.kind in ("teeth", "gear"):
        return value
    if name == "temperature" and value is None:
        value = standard_atmosphere(setup.altitude).temperature
    if name == "rollout":
        value = rollout(setup.tyre, value).value
    if name == "shift_at":
        value = shift_speed(bike, setup)
    shown, _ = units.display(value, field.kind, setup.units)
    shown = round(shown) if isinstance(_step(field, setup.units), int) else round(shown, 1)
    if name == "shift_at":
        scale = scale_of(name, bike, setup)
        shown = min(max(shown, scale.low), scale.high)
    return shown


def from_number(name: str, shown: float, system: str) -> float:
    """SI value of a number on a field's slider, the same as if it had been typed with its unit."""
    kind = SETUP_FIELD[name].kind
    if kind in ("teeth", "gear"):
        return shown
    _, unit = units.display(0.0, kind, system)
    return units.to_si(f"{shown} {unit}", kind)


def _step(field: Field, system: str) -> float:
    return field.steps[0 if system == "metric" else 1]
