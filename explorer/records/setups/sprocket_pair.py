"""A sprocket pair typed as text: 13/48, 48:13, 13-48; always said back in words."""

import re
from typing import NamedTuple

from explorer.calc.gearing import final_ratio
from explorer.records.errors import RecordError
from explorer.records.typed_text import quote, tidy

FRONT_TEETH = (8, 25)
REAR_TEETH = (20, 80)

_EXAMPLE = "type both, for example 13/48"
_PAIR = re.compile("([0-9]+) ?[Tt]? ?[/:xX\N{MULTIPLICATION SIGN} -] ?([0-9]+) ?[Tt]?")


class SprocketPair(NamedTuple):
    """Teeth of front and rear sprocket, and a sentence that says which is which, with the ratio."""

    front: int
    rear: int
    sentence: str


def parse_pair(text: str) -> SprocketPair:
    """Read a sprocket pair in either order; the smaller number is the front sprocket.

    Args:
        text: Two tooth counts with a slash, colon, dash, x or space between them.

    >>> parse_pair("48:13").sentence
    'Front sprocket 13 teeth, rear sprocket 48 teeth; final drive ratio 3.69.'
    """
    entry = tidy(text)
    match = _PAIR.fullmatch(entry) if len(entry) <= 20 else None
    if match is None:
        raise RecordError(_complaint(entry))
    front, rear = sorted(int(number) for number in match.groups())
    if front == rear:
        raise RecordError(
            f"Both sprockets have {front} teeth, so front and rear cannot be told "
            f"apart; check the numbers and {_EXAMPLE}."
        )
    for place, teeth, (low, high) in (("front", front, FRONT_TEETH), ("rear", rear, REAR_TEETH)):
        if not low <= teeth <= high:
            raise RecordError(
                f"A {place} sprocket of {teeth} teeth is outside {low} to {high}; "
                f"count again and {_EXAMPLE}."
            )
    return SprocketPair(front, rear, say_pair(front, rear))


def say_pair(front: int, rear: int) -> str:
    """Say a pair in words, with its final drive ratio.

    >>> say_pair(14, 49)
    'Front sprocket 14 teeth, rear sprocket 49 teeth; final drive ratio 3.50.'
    """
    return (
        f"Front sprocket {front} teeth, rear sprocket {rear} teeth; "
        f"final drive ratio {final_ratio(front, rear):.2f}."
    )


def _complaint(entry: str) -> str:
    if not entry:
        return f"No sprocket teeth were given; {_EXAMPLE}."
    if re.search(r"\d[.,]\d", entry):
        return f"{quote(entry)} has a decimal; teeth are whole numbers: {_EXAMPLE}."
    if re.fullmatch(r"[0-9]+ ?[tT]?", entry):
        return f"{quote(entry)} is one number only; front and rear are needed: {_EXAMPLE}."
    return f"{quote(entry)} is not a pair of tooth counts; {_EXAMPLE}."
