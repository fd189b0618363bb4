"""What a class can try with a bicycle, chalk, string and a stopwatch, with the cautions."""

from typing import Any, NamedTuple

from explorer.records.prose import read_prose

_PROSE = read_prose("experiments")

HANDS = tuple(_PROSE["cautions"]["hands"])
"""Common practice, no source; as on the fitting sheet."""


class Experiment(NamedTuple):
    """One experiment of the class.

    Attributes:
        step: Step to which it belongs, from 1.
        minutes: How long it takes, beside the minutes of the step.
        cautions: Where it can hurt.
        found: What comes of it; told with the answer of the step and on the coach's sheet, for it
            may give that answer away. Empty where nothing is to be told.
    """

    step: int
    title: str
    minutes: int
    need: str
    how: str
    cautions: tuple[str, ...]
    found: str = ""


def _cautions(given: list[str]) -> tuple[str, ...]:
    """With each name of a group of cautions replaced by its sentences."""
    groups = _PROSE["cautions"]
    return tuple(said for each in given for said in groups.get(each, [each]))


MEASURABLE: dict[str, dict[str, Any]] = _PROSE["measured"]
"""What a class can find out by itself, by the name that it has in links."""

EXPERIMENTS = tuple(
    Experiment(**row | {"cautions": _cautions(row["cautions"])}) for row in _PROSE["experiment"]
)
