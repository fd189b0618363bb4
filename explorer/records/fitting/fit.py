"""What a rider measured, looked up and ticked to know whether a pair of sprockets fits.

Texts are kept as typed, beside their value in SI, so that a form shows and a link carries exactly
what somebody wrote.
"""

import re
from collections.abc import Mapping
from decimal import Decimal
from functools import cache, cached_property
from types import MappingProxyType
from typing import Self
from urllib.parse import quote as percent_encode

from explorer import units
from explorer.records.bikes.bike import Bike
from explorer.records.bikes.quantity import Quantity, read_quantity
from explorer.records.errors import Problems, RecordError
from explorer.records.fields import Field, Origin
from explorer.records.fitting.fit_fields import FIT_FIELD, FIT_FIELDS
from explorer.records.fitting.prices import read_currency, read_price, read_prices, write_prices
from explorer.records.setups.link import FIT, LONGEST, parameters
from explorer.records.typed_text import quote, tidy

Value = Quantity | int | str | None

_LONGEST_WORDS = 60
_UNITS = ("mm", "in", "cm", "m")
_RANGE = re.compile(r"[0-9.]+\s*[a-z\"%]*\s*(?:[-–]|to)\s*[0-9.]+", re.IGNORECASE)
_FORM = {"length": '"… mm" or "… in"', "ratio": '"… %"'}
"""For a field without an example, as any number there could be read as the bike's own."""

_NUMBER = re.compile(r"[-+]?[0-9]*[.,]?[0-9]+")

_NAMED_HERE = {"adjuster_forward": "room_forward", "adjuster_back": "room_back"}
"""Fields of the bike file that are questions of another name."""


class Measurements:
    """All answers to the questions of `fit_fields`, checked and frozen.

    Make one with `for_bike` or `of`. Two are equal if the same was typed.

    >>> answers = Measurements.of({"links": "112", "room_forward": "10 mm"})
    >>> answers.links, answers.si("room_forward"), answers.si("room_back")
    (112, 0.01, nan)
    """

    def __init__(self, values: Mapping[str, Value]) -> None:
        self._values = MappingProxyType(dict(values))

    def ticked(self, answer: str) -> tuple[str, ...]:
        """Labels of the checklist's parts that got this answer."""
        ticks = [field for field in FIT_FIELDS if field.group == "checklist"]
        return tuple(each.label for each in ticks if self.get(each.name) == answer)

    @classmethod
    def of(cls, texts: Mapping[str, str]) -> Self:
        """Read what was typed, by the name of the question; a blank text counts as not given."""
        return cls(_read_all(texts))

    @classmethod
    def for_bike(cls, bike: Bike) -> Self:
        """The bike's link count, axle room and swingarm, as far as its file gives them."""
        fit = dict(bike.fit)
        values: dict[str, Value] = {_NAMED_HERE.get(name, name): fit[name] for name in fit}
        values["links"] = bike.chain.links
        if bike.speedometer.pickup != "unknown":
            values["pickup"] = bike.speedometer.pickup
        return cls({name: value for name, value in values.items() if value is not None})

    def changed(self, changes: Mapping[str, str]) -> Self:
        """Copy with some answers typed anew; a blank text takes the answer away."""
        values = _read_all(changes)
        kept = {name: value for name, value in self._values.items() if name not in changes}
        return type(self)(kept | values)

    def get(self, name: str) -> Value:
        """Answer or default; None where nobody knows."""
        return self._values.get(name, _default(name))

    def si(self, name: str) -> float:
        """Value of a quantity or count; NaN where nobody knows [SI]."""
        value = self.get(name)
        if isinstance(value, Quantity):
            return value.si
        return float("nan") if value is None else float(value)

    def known(self, *names: str) -> bool:
        """Whether all these questions have an answer or a default."""
        return all(self.get(name) is not None for name in names)

    def origin(self, name: str) -> Origin:
        """Whose the value of an answer is: given, assumed for want of one, or not known at all."""
        return FIT_FIELD[name].origin(self.text(name))

    def text(self, name: str) -> str:
        """Answer as typed; empty where none was given."""
        value = self._values.get(name)
        if value is None:
            return ""
        return value.text if isinstance(value, Quantity) else str(value)

    @property
    def links(self) -> int | None:
        """Links of the chain on the bike, as counted [count]."""
        return self.get("links")

    @property
    def new_links(self) -> int | None:
        """Links of the new chain [count]."""
        return self.get("new_links")

    @property
    def chain(self) -> str:
        """Which chain is to go on, a choice of that field."""
        return self.get("chain")

    @property
    def prices(self) -> tuple[dict[str, Decimal], str]:
        """What the rider is offered for one piece of each part, by its id, and the currency."""
        return read_prices(self.text("prices"))

    def with_price(self, part_id: str, text: str) -> Self:
        """Copy with the price of one part, typed anew."""
        prices, currency = self.prices
        given = {**prices, part_id: read_price(text)}
        return self.changed({"prices": write_prices(given, currency)})

    def with_currency(self, text: str) -> Self:
        """Copy with the currency, typed anew."""
        return self.changed({"prices": write_prices(self.prices[0], read_currency(text))})

    @cached_property
    def _texts(self) -> dict[str, str]:
        return {field.name: self.text(field.name) for field in FIT_FIELDS if self.text(field.name)}

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Measurements) and self._texts == other._texts

    def __hash__(self) -> int:
        return hash(tuple(self._texts.items()))


def encode_fit(measured: Measurements, bike: Bike) -> str:
    """Write what differs from the bike file as parameters to put behind a set-up's link, each with
    a leading ampersand; RecordError if they do not fit. `decode_fit` reads them back."""
    given = Measurements.for_bike(bike)
    written = "".join(
        f"&{FIT}{field.name.replace('_', '-')}="
        f"{percent_encode(measured.text(field.name), safe='/:,*()')}"
        for field in FIT_FIELDS
        if measured.text(field.name) != given.text(field.name)
    )
    if len(written) > LONGEST // 2:
        raise RecordError("These answers are too long for a link; shorten the words in them.")
    return written


def decode_fit(query: str, bike: Bike) -> tuple[Measurements, list[str]]:
    """The rider's answers of a link, and one sentence for each parameter that could not be used and
    was left out."""
    measured, problems = Measurements.for_bike(bike), Problems()
    seen = set()
    for name, text in parameters(query, FIT):
        known = name.removeprefix(FIT).replace("-", "_")
        if known not in FIT_FIELD or known in seen or not text.isprintable():
            problems.append(f"The link's {quote(name)} cannot be used and was left out.")
            continue
        seen.add(known)
        with problems.of(f"The link's {quote(name)}: "):
            measured = measured.changed({known: text})
    return measured, problems


def _read_all(texts: Mapping[str, str]) -> dict[str, Value]:
    values: dict[str, Value] = {}
    problems = Problems()
    for name, text in texts.items():
        if name not in FIT_FIELD:
            problems.append(f"{quote(name)} is not a question of the fit page; leave it out.")
        elif text.strip():
            with problems.of(f"{FIT_FIELD[name].label}: "):
                values[name] = read_answer(FIT_FIELD[name], text)
    problems.refuse()
    return values


def read_answer(field: Field, text: str) -> Value:
    """Read what was typed into one question; a RecordError says what was probably meant, too.

    >>> read_answer(FIT_FIELD["centre_distance"], "515")
    Traceback (most recent call last):
        ...
    explorer.records.errors.RecordError: "515" has no unit; write for example "632 mm". \
    Perhaps "515 mm" is meant.
    """
    match field.kind:
        case "count":
            return _count(field, text)
        case "choice":
            return field.chosen(text)
        case "words":
            words = " ".join(text.split())
            if len(words) > _LONGEST_WORDS or not words.isprintable():
                raise RecordError(
                    f"at most {_LONGEST_WORDS} characters without control characters are kept; "
                    "shorten it."
                )
            return words
        case "prices":
            return write_prices(*read_prices(text))
        case _:
            return _quantity(field, text)


def completed(field: Field, text: str, system: str) -> str:
    """What was typed, with a unit behind a bare number: the reader's, if it can be read so, or else
    the only one that makes a possible length.

    >>> completed(FIT_FIELD["room_forward"], "10", "metric")
    '10 mm'
    >>> completed(FIT_FIELD["centre_distance"], "51.5", "metric")
    '51.5 cm'
    >>> completed(FIT_FIELD["wear_limit"], "2", "metric")
    '2 %'
    """
    kind = "share" if field.kind == "ratio" else field.kind
    if kind not in ("length", "angle", "share"):
        return text
    for read_as in (text, units.with_unit(text, kind, system)):
        try:
            read_answer(field, read_as)
        except RecordError:
            continue
        return read_as
    if kind == "length" and _NUMBER.fullmatch(bare := tidy(text)):
        could_be = _could_be(field, bare)
        return could_be[0] if len(could_be) == 1 else text
    return text


def _count(field: Field, text: str) -> int:
    entry = tidy(text)
    low, high = field.within
    if not re.fullmatch("[0-9]+", entry):
        raise RecordError(
            f'{quote(text)} is not a whole number; write for example "{field.example}".'
        )
    if len(entry) > 9 or not low <= int(entry) <= high:
        raise RecordError(
            f"{quote(text)} is outside {low} to {high}; count again, or leave it empty if unknown."
        )
    return int(entry)


def _quantity(field: Field, text: str) -> Quantity:
    example = f'"{field.example}"' if field.example[0].isdigit() else _FORM[field.kind]
    if _RANGE.match(tidy(text)):
        raise RecordError(f"{quote(text)} is a range; write one number with its unit, {example}.")
    try:
        return read_quantity(text, field.kind, field.within, example)
    except RecordError as error:
        raise RecordError(f"{error}{_meant(field, text)}") from None


def _meant(field: Field, text: str) -> str:
    """What a number of the wrong unit or sign probably means, as one more sentence."""
    number = _NUMBER.match(tidy(text))
    if field.kind != "length" or number is None:
        return ""
    if number[0].startswith("-") and not field.within[0].startswith("-"):
        return " It cannot be negative: 0 mm means that nothing is left."
    # The unit that was refused is not offered again.
    meant = [f'"{each}"' for each in _could_be(field, number[0]) if each != tidy(text)]
    return f" Perhaps {' or '.join(meant)} is meant." if meant else ""


def _could_be(field: Field, number: str) -> list[str]:
    """A number with each unit that makes a possible length of it; none for zero, which fits all."""
    found = []
    for unit in _UNITS:
        try:
            si = read_quantity(f"{number} {unit}", "length", field.within).si
        except RecordError:
            continue
        found += [f"{number} {unit}"] if si else []
    return found


def check_pair(front: int, rear: int) -> None:
    """Refuse a pair whose front sprocket is not the smaller one.

    >>> check_pair(13, 50)
    """
    if front >= rear:
        raise RecordError(
            f"A front sprocket of {front} teeth is not smaller than a rear sprocket of {rear}; "
            f"perhaps front {rear} and rear {front} are swapped. Give the smaller one as front."
        )


@cache
def _default(name: str) -> Value:
    """Default of a question, read once and late: units take a moment to load."""
    field = FIT_FIELD[name]
    return read_answer(field, field.default) if field.default else None
