"""From what stands in a field of a bike to its value, and back to text.

A value comes from a bike file, where it may be a text, a number or a list, or from a form or a
link, where it is always a text.
"""

import re
from itertools import pairwise
from typing import Any

from explorer.records.bikes.peak import Peak, read_peak
from explorer.records.bikes.quantity import Quantity, read_quantity, read_ratio
from explorer.records.bikes.torque_curve import TorqueCurve, read_curve
from explorer.records.errors import Problems, RecordError
from explorer.records.fields import Field
from explorer.records.fitting.chains import chain_size
from explorer.records.typed_text import quote, read_date, tidy
from explorer.records.tyre import parse_size

_LONGEST_NAME = 60
_LONGEST_NOTE = 1000
_MOST_GEARS = 7
_TEETH = re.compile("([0-9]{1,9}) ?[Tt]?")
_RANGE = re.compile(r"([0-9]{1,3}) ?(?:-|to|\.\.\.?|,) ?([0-9]{1,3})")


def read_value(field: Field, given: object) -> Any:
    """Checked value of a field; the sentences of a RecordError do not name it.

    >>> from explorer.records.bikes.bike_fields import FIELD_AT
    >>> read_value(FIELD_AT["sprockets.rear_sold"], "44 to 53")
    (44, 53)
    """
    match field.kind:
        case "curve":
            return read_curve(given)
        case "peak":
            return read_peak(_one_text(field, given))
        case "ratios":
            return _ratios(field, given)
        case "teeth range":
            return _teeth_range(field, given)
    text = _one_text(field, given)
    match field.kind:
        case "name":
            return _line(text, field)
        case "note":
            return _note(text)
        case "choice":
            return _choice(field, text)
        case "date":
            return read_date(text)
        case "teeth":
            return _count(field, text, "teeth")
        case "links":
            return _links(field, text)
        case "chain size":
            return chain_size(text).number
        case "tyre":
            parse_size(text)
            return tidy(text)
        case "reduction":
            low, high = field.within
            return read_ratio(text, float(low), float(high), field.example)
        case _:
            return read_quantity(text, field.kind, field.within, field.example)


def write_value(value: Any) -> str:
    """Text of a value as typed, for a form or a link; `read_value` reads it back.

    >>> write_value((44, 53)), write_value((Quantity("34/12", 2.833), Quantity("1.9", 1.9)))
    ('44 to 53', '34/12, 1.9')
    """
    match value:
        case Quantity() | TorqueCurve() | Peak():
            return value.text
        case (int(), int()):
            return f"{value[0]} to {value[1]}"
        case tuple():
            return ", ".join(ratio.text for ratio in value)
        case _:
            return str(value)


def toml_value(value: Any) -> Any:
    """Value for a bike file: teeth as numbers, lists as lists, the rest as text; `read_value` reads
    it back.

    >>> toml_value((44, 53)), toml_value(Quantity("54 in", 1.3716))
    ([44, 53], '54 in')
    """
    match value:
        case TorqueCurve():
            return value.rows
        case Quantity() | Peak():
            return value.text
        case (int(), int()):
            return list(value)
        case tuple():
            return [ratio.text for ratio in value]
        case _:
            return value


def _one_text(field: Field, given: object) -> str:
    # bool is a kind of int in Python, but true is no number of teeth.
    if isinstance(given, bool) or not isinstance(given, str | int | float):
        raise RecordError(f"one value is needed here; write for example {field.example}.")
    return str(given)


def _line(text: str, field: Field) -> str:
    line = " ".join(text.split())
    if not line:
        raise RecordError(f"nothing was given; write for example {field.example}.")
    if len(line) > _LONGEST_NAME or not line.isprintable():
        raise RecordError(
            f"{quote(line)} is longer than {_LONGEST_NAME} characters or has control characters; "
            f"shorten it, for example {field.example}."
        )
    return line


def _note(text: str) -> str:
    note = text.strip()
    if len(note) > _LONGEST_NOTE or not note.replace("\n", "").isprintable():
        raise RecordError(
            f"the note is longer than {_LONGEST_NOTE} characters or has control characters; "
            "shorten it."
        )
    return note


def _choice(field: Field, text: str) -> str:
    known = {each.lower(): each for each in field.choices}
    choice = known.get(tidy(text).lower())
    if choice is None:
        accepted = ", ".join(f'"{each}"' for each in field.choices)
        raise RecordError(f"{quote(text)} is not one of {accepted}; choose one of them.")
    return choice


def _count(field: Field, text: str, what: str) -> int:
    match = _TEETH.fullmatch(tidy(text))
    if match is None:
        raise RecordError(
            f"{quote(text)} is not a whole number of {what}; write for example {field.example}."
        )
    return _in_range(field, int(match[1]), what)


def _in_range(field: Field, count: int, what: str) -> int:
    low, high = field.within
    if not low <= count <= high:
        raise RecordError(
            f"{count} is outside {low} to {high} {what}; count again, for example {field.example}."
        )
    return count


def _links(field: Field, text: str) -> int:
    links = _count(field, text, "links")
    if links % 2:
        raise RecordError(
            f"{links} is an odd number of links, and a chain closed with a joining link has an "
            f"even number; count again, joining link included, for example {field.example}."
        )
    return links


def _teeth_range(field: Field, given: object) -> tuple[int, int]:
    if isinstance(given, list):
        given = ", ".join(str(each) for each in given[:3])
    text = _one_text(field, given)
    match = _RANGE.fullmatch(tidy(text)) if len(text) <= 40 else None
    if match is None:
        raise RecordError(
            f"{quote(text)} is not a range of teeth; give the smallest and the largest, for "
            f"example {field.example}."
        )
    low, high = (_in_range(field, int(each), "teeth") for each in match.groups())
    if low > high:
        raise RecordError(
            f"the range goes down from {low} to {high}; give the smaller number first, for example "
            f"{field.example}."
        )
    return low, high


def _ratios(field: Field, given: object) -> tuple[Quantity, ...]:
    texts = given if isinstance(given, list) else _one_text(field, given).split(",")
    texts = [_one_text(field, each).strip() for each in texts]
    if not 1 <= len(texts) <= _MOST_GEARS:
        raise RecordError(
            f"there are {len(texts)} gear ratios; give 1 to {_MOST_GEARS}, first gear first, for "
            f"example {field.example}."
        )
    low, high = (float(end) for end in field.within)
    ratios, problems = [], Problems()
    for number, text in enumerate(texts, start=1):
        with problems.of(f"gear {number}: "):
            ratios.append(read_ratio(text, low, high, '"1.42" or "27/19"'))
    problems.refuse()
    for number, (lower, higher) in enumerate(pairwise(ratios), start=1):
        if higher.si >= lower.si:
            raise RecordError(
                f"gear {number + 1} ({higher.text}) is not taller than gear {number} "
                f"({lower.text}); list the ratios from first gear on, each smaller than the one "
                "before."
            )
    return tuple(ratios)
