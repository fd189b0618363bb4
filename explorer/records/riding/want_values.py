"""What a want asks and how its answers are read; the kinds of wants are in explorer.study.wants.

Values are kept as typed, beside their value in SI, so that a form shows and a link carries exactly
what somebody wrote.
"""

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, ClassVar, Self

from explorer.records.bikes.quantity import Quantity, read_quantity
from explorer.records.errors import Problems, RecordError
from explorer.records.fitting.prices import read_currency, read_price
from explorer.records.ground.course_ids import course_ids
from explorer.records.typed_text import quote, tidy

MOST_WEIGHT = 10.0
"""Greatest weight of a want; 0 leaves it out of the score and still shows it."""

ANY_GEAR = 0

Value = Quantity | int | str | Decimal


@dataclass(frozen=True)
class Ask:
    """One question of a want.

    Attributes:
        name: Of the field; with dashes for underscores in the link.
        help: How to know it.
        kind: A kind of `explorer.units`, or one of "gear", "any gear", "count", "course", "money",
            "currency".
        example: What a new want starts with, and what to type.
        within: Lowest and highest value accepted.
    """

    name: str
    label: str
    help: str
    kind: str
    example: str
    within: Sequence[str] | Sequence[int] | None = None


@dataclass(frozen=True, kw_only=True)
class AskedFor:
    """What a rider asks for, with its weight; a kind of want adds what it measures.

    Attributes:
        weight: How much it counts against the others, 0 to `MOST_WEIGHT` [-].
    """

    kind: ClassVar[str]
    """Short name, as in the link."""
    label: ClassVar[str]
    """For the reader."""
    help: ClassVar[str]
    """What is measured, in one sentence."""
    margin_kind: ClassVar[str]
    """Kind of `explorer.units` in which the margin is given; "count", "money" otherwise."""
    asks: ClassVar[tuple[Ask, ...]] = ()

    weight: float = 1.0

    @classmethod
    def of(cls, texts: Mapping[str, str] | None = None, weight: object = 1.0) -> Self:
        """Read a want with its weight, 0 to 10; a blank or missing text takes the example.

        Example: see :func:`explorer.study.wants.kinds.read_want`.
        """
        texts = dict(texts or {})
        problems = Problems()
        values: dict[str, Any] = {}
        for ask in cls.asks:
            text = texts.pop(ask.name, "") or ""
            with problems.of(f"{cls.label}, {ask.label}: "):
                values[ask.name] = _read(ask, text if text.strip() else ask.example)
        problems += [
            f"{quote(name)} is not a question of the want {quote(cls.label)}; leave it out."
            for name in texts
        ]
        with problems.of(f"{cls.label}: "):
            values["weight"] = read_weight(weight)
        problems.refuse()
        want = cls(**values)
        want.check()
        return want

    def check(self) -> None:
        """Refuse values that contradict each other; RecordError says which."""

    def changed(self, texts: Mapping[str, str], weight: object | None = None) -> Self:
        """Copy with some texts typed anew, checked like a new want."""
        return self.of(self.texts | dict(texts), self.weight if weight is None else weight)

    @property
    def texts(self) -> dict[str, str]:
        """The values as typed, by the name of the question."""
        return {ask.name: _text(ask, getattr(self, ask.name)) for ask in self.asks}

    def si(self, name: str) -> float:
        """A value as a number [SI]."""
        value = getattr(self, name)
        return value.si if isinstance(value, Quantity) else float(value)


def read_weight(weight: object) -> float:
    """Read a weight, 0 to 10.

    >>> read_weight("2.5")
    2.5
    """
    text = tidy(str(weight)).replace(",", ".")
    number = float(text) if re.fullmatch(r"[0-9]{1,3}(\.[0-9]{1,4})?", text) else math.nan
    if not 0 <= number <= MOST_WEIGHT:
        raise RecordError(
            f"The weight {quote(text)} cannot be used; give a number from 0 to {MOST_WEIGHT:g}."
        )
    return number


def _read(ask: Ask, text: str) -> Value:
    match ask.kind:
        case "gear" | "any gear" | "count":
            return _whole(ask, text)
        case "course":
            course = tidy(text)
            if course not in course_ids():
                raise RecordError(
                    f"{quote(course)} is not known; choose one of {', '.join(course_ids())}."
                )
            return course
        case "money":
            price = read_price(text)
            assert price is not None  # a blank text was replaced by the example
            return price
        case "currency":
            if ";" in text:
                raise RecordError(f"{quote(text)} holds a semicolon; leave it out.")
            return read_currency(text)
        case _:
            return read_quantity(text, ask.kind, ask.within, f'"{ask.example}"')


def _whole(ask: Ask, text: str) -> int:
    entry = tidy(text).lower()
    if ask.kind == "any gear" and entry == "any":
        return ANY_GEAR
    low, high = ask.within
    also = ' or "any"' if ask.kind == "any gear" else ""
    if not (re.fullmatch("[0-9]{1,4}", entry) and low <= int(entry) <= high):
        raise RecordError(
            f"{quote(text)} cannot be used; give a whole number from {low} to {high}{also}."
        )
    return int(entry)


def _text(ask: Ask, value: Value) -> str:
    if isinstance(value, Quantity):
        return value.text
    return "any" if ask.kind == "any gear" and value == ANY_GEAR else str(value)
