"""What a step asks the class, and what is said about its guess."""

import math
import re
from dataclasses import dataclass

from explorer.records.errors import RecordError
from explorer.records.typed_text import quote, tidy

_LONGEST = 30
_NUMBER = re.compile(
    r"(?:(?:about|roughly|up|down|by|plus|minus|[-+~]) *)*"
    r"([0-9]{1,3}(?: [0-9]{3})+|[0-9]+)(?:[.,]([0-9]+))? *(.*)",
    re.IGNORECASE,
)
_MOST = {"rpm": 99_999}
"""Largest guess that is taken, by the unit; elsewhere 999."""
_SPOKEN = {"": ("tooth", "teeth"), "%": ("percent", "per cent"), "rpm": ("revs",)}
"""What people say for a unit, beside its sign."""
_CLOSE = 0.05
"""A guess within this share of the computed value counts as right: a class can't compute."""


@dataclass(frozen=True)
class Asked:
    """A question with options to pick from, or one that takes a number.

    Attributes:
        options: What can be picked; empty where a number is typed.
        right: The right option, or the computed number with its unit.
        value: The computed number where one is typed, in `unit`; NaN otherwise.
        unit: Unit of the number; empty for a plain one.
        trap: What is often taken for the answer [unit]; NaN where nothing is. A guess as far off
            the answer as half way to it is not right, however close both are.
    """

    text: str
    options: tuple[str, ...]
    right: str
    value: float = math.nan
    unit: str = ""
    trap: float = math.nan

    @property
    def guessed(self) -> bool:
        """Whether there is anything to guess."""
        return bool(self.options) or math.isfinite(self.value)


def number(text: str, value: float, unit: str, decimals: int, trap: float = math.nan) -> Asked:
    """A question that takes a number; the answer is said with so many decimals."""
    # Thousands are not set apart here: this text is also what a pupil may type.
    return Asked(text, (), f"{value:.{decimals}f} {unit}".rstrip(), value, unit, trap)


def read_number(text: str, unit: str) -> float:
    """Read a guess as people say it; which way it goes is in the question.

    Returns: The number, without a sign, in the unit that was asked for.

    Raises: RecordError.

    >>> read_number("4,2 teeth", ""), read_number("9 500", "rpm"), read_number("down 7.7", "%")
    (4.2, 9500.0, 7.7)
    """
    entry = tidy(text)
    found = _NUMBER.fullmatch(entry) if len(entry) <= _LONGEST else None
    said = found[3].lower() if found else ""
    if found is None or said not in ("", unit, *_SPOKEN.get(unit, ())) or len(found[1]) > 9:
        kind = f"a number in {unit}" if unit else "a plain number"
        raise RecordError(
            f'{quote(text)} is not {kind}; write for example "{f"12.5 {unit}".rstrip()}".'
        )
    number = float(f"{found[1].replace(' ', '')}.{found[2] or 0}")
    if number > _MOST.get(unit, 999):
        raise RecordError(f"{quote(text)} is too much for anybody's guess; write a smaller number.")
    return number


def plain(number: float) -> str:
    """A guess as it is kept, read and shown again: no exponent, whatever was typed.

    >>> plain(4.2), plain(1e6)
    ('4.2', '1000000')
    """
    return f"{number:.6f}".rstrip("0").rstrip(".")


def is_right(asked: Asked, guess: str) -> bool:
    """Whether a guess is right: the option, or a number within 5 % and half way to the trap.

    Args:
        guess: The number of the option from 0, or what `read_number` reads.

    >>> asked = number("How many per cent?", 4.3, "%", 1, trap=4.5)
    >>> is_right(asked, "4.3"), is_right(asked, "4.5"), is_right(asked, "9")
    (True, False, False)
    >>> is_right(asked, "4.1")
    False
    """
    if asked.options:
        return guess.isdigit() and asked.options[int(guess) % len(asked.options)] == asked.right
    off = abs(read_number(guess, asked.unit) - asked.value)
    if math.isfinite(asked.trap) and off >= abs(asked.trap - asked.value) / 2:
        return False
    return off <= _CLOSE * abs(asked.value)
