"""A quantity of a bike file: what was typed, and the same in SI."""

import re
from dataclasses import dataclass, field

from explorer import units
from explorer.records.errors import RecordError
from explorer.records.typed_text import quote

_LONGEST = 40
_RATIO = re.compile(
    r"(?P<driven>[0-9]{1,3}|[0-9]{0,3}\.[0-9]{1,8})(?: ?[/:] ?(?P<driving>[0-9]{1,3}))?"
)


@dataclass(frozen=True)
class Quantity:
    """A typed quantity. Two are equal if they were typed alike.

    Attributes:
        text: As typed, for example "54 in".
        si: The same in the SI unit of its kind.
    """

    text: str
    si: float = field(compare=False)


def read_quantity(
    text: str, kind: str, within: tuple[str, str] | None = None, example: str | None = None
) -> Quantity:
    """Read a quantity with its unit.

    Args:
        kind: A kind of `explorer.units`.
        within: Lowest and highest value accepted, with units.
        example: What to type, in quotation marks, for the sentence.

    >>> read_quantity("54 in", "length")
    Quantity(text='54 in', si=1.3716)
    """
    try:
        return Quantity(" ".join(text.split()), units.to_si(text, kind, within, example))
    except units.UnitError as error:
        raise RecordError(str(error)) from None


def read_ratio(text: str, low: float, high: float, example: str) -> Quantity:
    """Read a gear ratio, as a number or as the teeth of the two gears.

    Args:
        text: For example "3.35" or "67/20", driven over driving.
        low, high: Range that is not absurd [-].
        example: What to type, in quotation marks.

    >>> read_ratio("67/20", 1, 6, '"3.35"'), read_ratio(".96", 0.3, 6, '"3.35"')
    (Quantity(text='67/20', si=3.35), Quantity(text='0.96', si=0.96))
    """
    entry = " ".join(text.split())
    match = _RATIO.fullmatch(entry) if len(entry) <= _LONGEST else None
    if match is None or (match["driving"] and not int(match["driving"])):
        raise RecordError(
            f"{quote(entry)} is not a ratio; give the ratio as a number or as teeth, driven over "
            f"driving, for example {example}."
        )
    value = float(match["driven"]) / int(match["driving"] or 1)
    if not low <= value <= high:
        raise RecordError(
            f"{quote(entry)} is a ratio of {value:.4g}, outside {low:g} to {high:g}; check it "
            f"(driven over driving), for example {example}."
        )
    return Quantity(f"0{entry}" if entry.startswith(".") else entry, value)
