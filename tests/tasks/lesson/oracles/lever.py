"""The lever: work of one turn, moments about an axle, and never more power."""

import math

import pytest

from explorer.records.fitting.chains import chain_size
from explorer.study.study import CHOSEN
from tests.tasks.lesson.lesson_checks import (
    ASKED,
    NUMBER,
    by_definition,
    near,
    no_more_power,
    ratio,
    turn,
    value,
)

STEP = 1


def lever_asked(facts, said):
    """Work of one turn of the front sprocket: 2π × torque = force × teeth × pitch."""
    a_turn = facts.setup.front * chain_size(facts.bike.chain.size).pitch
    assert value(said[3]) == 100 and near(said[4], 2 * math.pi * 100 / a_turn)


def lever_seen(facts, said):
    tension, arm, pull, radius = map(value, said.groups())
    assert tension * arm == pytest.approx(pull * radius, rel=0.02)
    assert near(said[4], turn(facts) / 2 / math.pi * 1000)
    assert near(said[3], 100 * ratio(facts, CHOSEN) / (turn(facts) / 2 / math.pi))


CLAIMS = [
    (
        rf"{ASKED}: with {NUMBER} N·m at the front sprocket the chain pulls the rear one with "
        rf"{NUMBER} N\. How hard does the tyre push the ground backwards\?",
        lever_asked,
    ),
    (
        rf"Chain {NUMBER} N on an arm of {NUMBER} mm; tyre {NUMBER} N on {NUMBER} mm\.",
        lever_seen,
    ),
    (r"A larger rear sprocket trades speed for pull, never adds power\.", no_more_power),
    (r"Chain force times short arm is tyre force times long arm: .*", no_more_power),
    (r"For one turn of the wheel the front sprocket makes rear ÷ front turns\.", by_definition),
    (r"Force against turns: never more power\.", no_more_power),
    (r"The engine's power and torque stay as they are\.", no_more_power),
    (r"The pull at the tyre grows and the speed shrinks by the same factor; .*", no_more_power),
    (r"The final drive ratio is rear ÷ front: .*", by_definition),
    (r"A larger number is shorter gearing\.", no_more_power),
    (r"The count is the final drive ratio, rear ÷ front\.", by_definition),
]
