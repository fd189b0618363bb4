"""Numbers of the set-up in a link: with their unit, and exact when they are read back."""

from functools import lru_cache
from typing import NamedTuple

from explorer import units
from explorer.records.setups.setup_fields import SETUP_FIELDS


class LinkUnits(NamedTuple):
    """Units in which the link writes a kind of quantity."""

    metric: str
    imperial: str
    si: str


# "m/m" is rise over run, for slopes that no percentage hits.
_UNITS = {
    "length": LinkUnits("m", "in", "m"),
    "slope": LinkUnits("%", "%", "m/m"),
    "speed": LinkUnits("km/h", "mph", "m/s"),
    "altitude": LinkUnits("m", "ft", "m"),
    "distance": LinkUnits("m", "ft", "m"),
    "temperature": LinkUnits("C", "F", "K"),
    "mass": LinkUnits("kg", "lb", "kg"),
    "engine speed": LinkUnits("rpm", "rpm", "rad/s"),
}

QUANTITIES = {each.link or each.name: each for each in SETUP_FIELDS if each.kind in _UNITS}
"""Parameter of the link: field of the set-up."""


def read_quantity(text: str, name: str) -> float:
    """A number with its unit in SI, not yet checked against the limits of the set-up; UnitError if
    it is none of the parameter's kind.

    >>> read_quantity("90km/h", "cruise"), read_quantity("0.081m/m", "slope")
    (25.0, 0.081)
    """
    kind = QUANTITIES[name].kind
    if kind == "slope" and text.endswith("m/m"):
        # Rise over run is the percentage over 100; the registry has no such unit to type.
        try:
            return float(text.removesuffix("m/m"))
        except ValueError:
            raise units.UnitError("The slope is not a number.") from None
    return units.to_si(text, kind)


@lru_cache(maxsize=512)
def write_quantity(value: float | None, name: str, system: str) -> str:
    """Write a value shortly, so that reading gives exactly the same number again.

    Args:
        value: None for the parameter's word for no value.
        system: What the reader chose; the other one or SI is used where only that is exact.

    >>> write_quantity(25.0, "cruise", "metric"), write_quantity(None, "temperature", "metric")
    ('90km/h', 'standard')
    """
    field = QUANTITIES[name]
    if value is None:
        return field.absent
    written = _UNITS[field.kind]
    shown = {unit: _shown(value, unit, field.kind) for unit in written[:2]}
    in_order = sorted(shown, key=lambda unit: (unit == written.metric) != (system == "metric"))
    for digits in (6, 10, 13):
        for unit in in_order:
            text = f"{shown[unit]:.{digits}g}{unit}"
            if read_quantity(text, name) == value:
                return text
    return f"{float(value)!r}{written.si}"


def _shown(value: float, unit: str, kind: str) -> float:
    zero, one = (units.to_si(f"{number}{unit}", kind) for number in (0, 1))
    return (value - zero) / (one - zero)
