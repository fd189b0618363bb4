"""Published and derived reference values, and what explorer.calc computes for the same inputs.

The method page shows them and tests/published/test_references.py holds explorer.calc to them.
"""

import pkgutil
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from explorer.records import worked_examples
from explorer.records.prose import read_prose
from explorer.units import registry

COUNTS = {"", "teeth", "links", "pitches"}
"""Units of plain numbers."""

_ROUNDING = 1e-12
"""Share of the value: keeps a value that is exact by the formula so after conversion of units."""


@dataclass(frozen=True)
class Reference:
    """One value to compare with.

    Attributes:
        subject, what: Heading under which it stands, and what the value is.
        function: Function of explorer.calc that computes it, such as "chain.links_for".
        inputs (mapping of str to (str or number)): Inputs with their units, by parameter.
        value: The reference value with the digits of its source, without the unit.
        unit: Unit of value and tolerance; may be empty.
        tolerance: How far a computed value may be from it.
        tolerance_from: Why so far.
        origin: "published", or "derived" if worked out from the definition outside this project.
        case: Name of the case, such as a tyre size.
        worked: Function of explorer.records.worked_examples that sets it up, if one is needed.
        part: Attribute of the result that is compared; empty if the result is one number.
    """

    subject: str
    what: str
    function: str
    inputs: Mapping[str, str | float]
    value: str
    unit: str
    tolerance: float
    tolerance_from: str
    origin: str
    source: str
    case: str = ""
    worked: str = ""
    part: str = ""

    @property
    def decimals(self) -> int:
        """Decimals that the reference value is given with."""
        return len(self.value.partition(".")[2])


@dataclass(frozen=True)
class Comparison:
    """A reference beside what was computed for it, in its unit and not rounded."""

    reference: Reference
    computed: float

    @property
    def difference(self) -> float:
        """Computed less reference, in the unit of the reference."""
        return self.computed - float(self.reference.value)

    @property
    def agrees(self) -> bool:
        """Whether the difference is within the tolerance; False where it is not a number."""
        slip = _ROUNDING * abs(float(self.reference.value))
        return abs(self.difference) <= self.reference.tolerance + slip


_WORDS = ("surface", "figure")
"""Inputs that are names, not quantities."""


@cache
def references() -> tuple[Reference, ...]:
    """All rows of data/references.toml, in its order.

    >>> first = references()[0]
    >>> first.what, first.value, first.unit
    ('Pitch diameter', '2.721', 'in')
    """
    found = []
    for group in read_prose("references")["group"]:
        for row in group.pop("rows"):
            value, _, unit = row["value"].partition(" ")
            found.append(Reference(**group, **row | {"value": value, "unit": unit}))
    return tuple(found)


def compare(reference: Reference) -> Comparison:
    """Compute what a reference asks for with the functions of explorer.calc.

    >>> pair = compare(references()[0])
    >>> round(pair.computed, 4), pair.agrees
    (2.7211, True)
    """
    inputs: dict[str, Any] = {
        name: value if name in _WORDS else in_si(value) for name, value in reference.inputs.items()
    }
    if reference.worked:
        result = getattr(worked_examples, reference.worked)(**inputs)
    else:
        result = pkgutil.resolve_name(f"explorer.calc.{reference.function}")(**inputs)
    if reference.part:
        result = getattr(result, reference.part)
    return Comparison(reference, float(result) / _factor(reference.unit))


def in_si(value: str | float) -> float:
    """An input of the file in SI: a number with its unit, or a plain number.

    >>> in_si("0.5 in"), in_si(17), round(in_si("60 degF"), 2)
    (0.0127, 17, 288.71)
    """
    if not isinstance(value, str):
        return value
    number, _, unit = value.partition(" ")
    if unit in COUNTS:
        return float(number)
    if unit.startswith("deg") and unit != "deg":
        return float(registry().Quantity(float(number), unit).to("kelvin").magnitude)
    return float(number) * _factor(unit)


@cache
def _factor(unit: str) -> float:
    """SI value of one of a unit."""
    if unit in COUNTS:
        return 1.0
    plain = unit.replace("·", "*").replace("²", "**2").replace("³", "**3").replace("%", "percent")
    return float(registry().Quantity(1.0, plain).to_base_units().magnitude)
