"""Numbers of the set-up in a link: with their unit, and exact when they are read back."""

from functools import lru_cache
from typing import NamedTuple

from explorer import units


class LinkQuantity(NamedTuple):
    """A number of the set-up in the link.

    Attributes
    ----------
    field, kind : str
        Field of the set-up, and kind of quantity.
    metric, imperial, si : str
        Units in which it is written.
    absent : str or None
        Word that stands for a field without a value.
    """

    field: str
    kind: str
    metric: str
    imperial: str
    si: str
    absent: str | None = None


# Parameter of the link: quantity. "m/m" is rise over run, for slopes that no percentage hits.
QUANTITIES = {
    "rollout": LinkQuantity("rollout", "length", "m", "in", "m", "from-size"),
    "slope": LinkQuantity("slope", "slope", "%", "%", "m/m"),
    "wind": LinkQuantity("head_wind", "speed", "km/h", "mph", "m/s"),
    "altitude": LinkQuantity("altitude", "altitude", "m", "ft", "m"),
    "temperature": LinkQuantity("temperature", "temperature", "C", "F", "K", "standard"),
    "rider": LinkQuantity("rider_mass", "mass", "kg", "lb", "kg"),
    "to": LinkQuantity("target_speed", "speed", "km/h", "mph", "m/s"),
    "over": LinkQuantity("distance", "distance", "m", "ft", "m"),
    "roll-from": LinkQuantity("roll_from", "speed", "km/h", "mph", "m/s"),
    "roll-to": LinkQuantity("roll_to", "speed", "km/h", "mph", "m/s"),
    "cruise": LinkQuantity("cruise_speed", "speed", "km/h", "mph", "m/s"),
    "shift-at": LinkQuantity("shift_at", "engine speed", "rpm", "rpm", "rad/s", "peak-power"),
}


def read_quantity(text: str, name: str) -> float:
    """Read a number with its unit.

    Parameters
    ----------
    text : str
        What the link says.
    name : str
        Parameter of the link, a key of `QUANTITIES`.

    Returns
    -------
    float
        The value, not yet checked against the limits of the set-up [SI].

    Raises
    ------
    UnitError
        One sentence, if this is not a number with a fitting unit.

    Examples
    --------
    >>> read_quantity("90km/h", "cruise"), read_quantity("0.081m/m", "slope")
    (25.0, 0.081)
    """
    quantity = QUANTITIES[name]
    if quantity.kind == "slope" and text.endswith("m/m"):
        # Rise over run is the percentage over 100; the registry has no such unit to type.
        try:
            return float(text.removesuffix("m/m"))
        except ValueError:
            raise units.UnitError("The slope is not a number.") from None
    return units.to_si(text, quantity.kind)


@lru_cache(maxsize=512)
def write_quantity(value: float | None, name: str, system: str) -> str:
    """Write a value shortly, so that reading gives exactly the same number again.

    Parameters
    ----------
    value : float or None
        Value of the field [SI].
    name : str
        Parameter of the link, a key of `QUANTITIES`.
    system : {"metric", "imperial"}
        What the reader chose; the other system or SI is used where only that is exact.

    Returns
    -------
    str
        Number and unit, or the word for no value.

    Examples
    --------
    >>> write_quantity(25.0, "cruise", "metric"), write_quantity(None, "temperature", "metric")
    ('90km/h', 'standard')
    """
    quantity = QUANTITIES[name]
    if value is None:
        return quantity.absent or ""
    shown = {unit: _shown(value, unit, quantity.kind) for unit in quantity[2:4]}
    in_order = sorted(shown, key=lambda unit: (unit == quantity.metric) != (system == "metric"))
    for digits in (6, 10, 13):
        for unit in in_order:
            text = f"{shown[unit]:.{digits}g}{unit}"
            if read_quantity(text, name) == value:
                return text
    return f"{float(value)!r}{quantity.si}"


def _shown(value: float, unit: str, kind: str) -> float:
    zero, one = (units.to_si(f"{number}{unit}", kind) for number in (0, 1))
    return (value - zero) / (one - zero)
