"""What a class can try with a bicycle, chalk, string and a stopwatch, with the cautions."""

from typing import NamedTuple

from explorer.records.texts import texts


class Experiment(NamedTuple):
    """One experiment of the class.

    Attributes:
        step: Step to which it belongs, from 1.
        title: What it is.
        minutes: How long it takes, beside the minutes of the step.
        need: What to bring.
        how: What to do.
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


_USUAL = texts("experiments")["usual_cautions"]

HANDS = (*_USUAL["hands"], *_USUAL["clear"])
"""For whoever turns a wheel by hand."""

RIDING = tuple(_USUAL["riding"])
"""For whoever rides."""


def _experiment(usual_cautions: tuple = (), cautions: tuple = (), **row) -> Experiment:
    usual = [caution for name in usual_cautions for caution in _USUAL[name]]
    return Experiment(cautions=(*usual, *cautions), **row)


EXPERIMENTS = tuple(_experiment(**row) for row in texts("experiments")["experiment"])
