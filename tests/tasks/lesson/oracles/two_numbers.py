"""Pull and speed change by two numbers, whose factors multiplied give one."""

import pytest

from explorer.study.study import CHOSEN, FITTED
from tests.tasks.lesson.lesson_checks import NUMBER, PAIR, by_definition, near, ratio, value

STEP = 3


def changes(facts):
    factor = ratio(facts, CHOSEN) / ratio(facts, FITTED)
    return (factor - 1) * 100, (1 / factor - 1) * 100


def two_asked(facts, said):
    pull, speed = changes(facts)
    assert (said[5] == "grows") == (pull > 0) and near(said[6], abs(pull))
    assert (said[7] == "fall") == (speed < 0)


def two_seen(facts, said):
    for text, real in zip(said.groups()[-2:], changes(facts), strict=True):
        assert near(text, real)
    assert value(said[5]) != -value(said[6])


def product_is_one(facts, _):
    pull, speed = changes(facts)
    assert (1 + pull / 100) * (1 + speed / 100) == pytest.approx(1)


def never_alike(facts, _):
    pull, speed = changes(facts)
    assert not pull or abs(pull) != pytest.approx(abs(speed), rel=1e-6)


CLAIMS = [
    (
        rf"From {PAIR} to {PAIR} the pull (grows|falls) by {NUMBER} %\. By how many per cent, "
        r"to one decimal, does the speed (fall|grow) at the same engine speed\?",
        two_asked,
    ),
    (
        rf"{PAIR} to {PAIR}, at the same rpm: pull {NUMBER} %, speed {NUMBER} %\.",
        two_seen,
    ),
    (r"Pull and speed change by different percentages\.", never_alike),
    (r"Pull: new ratio ÷ old − 1\. Speed at the same rpm: old ÷ new − 1\.", product_is_one),
    (r"Multiplied by each other the two factors give one: .*", product_is_one),
    (r"Pull changes by new ratio ÷ old ratio − 1, .*: never the same number\.", never_alike),
    (r"Driven from a wheel it is\.", by_definition),
    (r"Driven from the gearbox, its reading changes by the same percentage .*", by_definition),
]
