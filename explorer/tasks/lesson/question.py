"""What a step asks the class, and what is said about its guess."""

import math
import re
from dataclasses import dataclass

from explorer.records.errors import RecordError
from explorer.records.typed_text import quote, tidy

_LONGEST = 30
_NUMBER = re.compile(r"([-+]?[0-9]+(?:\.[0-9]+)?)\s*(.*)")
_CLOSE = 0.05
"""A guess within this share of the computed value counts as right: a class can't compute."""


@dataclass(frozen=True)
class Asked:
    """A question with options to pick from, or one that takes a number.

    Attributes:
        text: The question.
        options: What can be picked; empty where a number is typed.
        right: The right option, or the computed number with its unit.
        value: The computed number where one is typed, in `unit`; NaN otherwise.
        unit: Unit of the number; empty for a plain one.
        trap: What is often taken for the answer [unit]; NaN where nothing is. A guess nearer to it
            than to the answer is not right, however close both are.
    """

    text: str
    options: tuple[str, ...]
    right: str
    value: float = math.nan
    unit: str = ""
    trap: float = math.nan


def number(text: str, value: float, unit: str, decimals: int, trap: float = math.nan) -> Asked:
    """A question that takes a number.

    Args:
        text: The question.
        value: The computed answer [unit].
        unit: Its unit; empty for a plain number.
        decimals: Decimals with which it is said.
        trap: What is often taken for the answer [unit].

    Returns: The question.
    """
    # Thousands are not set apart here: this text is also what a pupil may type.
    return Asked(text, (), f"{value:.{decimals}f} {unit}".rstrip(), value, unit, trap)


def read_number(text: str, unit: str) -> float:
    """Read a guess: a number, with or without the unit that was asked for.

    Args:
        text: As typed.
        unit: Unit that was asked for.

    Returns: The number [unit].

    Raises:
        RecordError: One sentence.

    >>> read_number("4.2", ""), read_number(" 96 km/h", "km/h")
    (4.2, 96.0)
    """
    entry = tidy(text)
    found = _NUMBER.fullmatch(entry) if len(entry) <= _LONGEST else None
    if found is None or found[2] not in ("", unit) or len(found[1]) > 12:
        kind = f"a number in {unit}" if unit else "a plain number"
        raise RecordError(
            f"{quote(text)} is not {kind}; write for example "
            f'"{f"12.5 {unit}".rstrip()}", with a point for decimals.'
        )
    return float(found[1])


def judge(asked: Asked, guess: str) -> str:
    """Say how a guess did.

    Args:
        asked: The question.
        guess: What was picked or typed; checked before.

    Returns: A sentence; empty without a guess.

    >>> judge(number("How many?", 4.0, "", 1), "3")
    'Your guess 3 is 25 % below the computed 4.0.'
    >>> judge(number("How many per cent?", 4.3, "%", 1, trap=4.5), "4.5")
    'Your guess 4.5 % is 5 % above the computed 4.3 %.'
    """
    if not guess:
        return ""
    if asked.options:
        if guess == asked.right:
            return f"Your guess “{guess}” is right."
        return f"Your guess was “{guess}”; computed: “{asked.right}”."
    guessed = read_number(guess, asked.unit)
    said = f"{guessed:g} {asked.unit}".rstrip()
    if not asked.value:
        if not guessed:
            return f"Your guess {said} is right."
        return f"Your guess was {said}; computed: {asked.right}."
    off = (guessed - asked.value) / abs(asked.value)
    trapped = abs(guessed - asked.trap) < abs(guessed - asked.value)
    if abs(off) <= _CLOSE and not trapped:
        return f"Your guess {said} is right within 5 %: computed {asked.right}."
    way = "above" if off > 0 else "below"
    return f"Your guess {said} is {abs(off) * 100:.0f} % {way} the computed {asked.right}."
