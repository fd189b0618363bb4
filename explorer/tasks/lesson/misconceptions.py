"""What people often get wrong about gearing, and what is true; each has its moment in a step."""

from typing import NamedTuple

from explorer.records.prose import read_prose


class Misconception(NamedTuple):
    """One thing that is often heard, what is so instead, and the step that clears it up."""

    step: int
    heard: str
    true: str


MISCONCEPTIONS = {
    number: Misconception(**row)
    for number, row in enumerate(read_prose("misconceptions")["misconception"], 1)
}


def of_step(step: int) -> list[Misconception]:
    """The misconceptions that a step clears up, in the order of their numbers."""
    return [each for each in MISCONCEPTIONS.values() if each.step == step]
