"""Engine turns per metre: primary × gear × final ÷ roll-out."""

import pytest

from explorer.study.study import CHOSEN
from tests.tasks.lesson.lesson_checks import (
    NUMBER,
    PAIR,
    by_definition,
    near,
    overall,
    ratio,
    turn,
    value,
)

STEP = 5


def turns_seen(facts, said):
    for text, bike in zip(said.groups(), (facts.bike, facts.other), strict=True):
        assert near(text, float(facts.turns_per_metre(bike)[-1]))
    ours = overall(facts.bike, ratio(facts, CHOSEN))[-1] / turn(facts)
    assert near(said[1], ours)


def what_differs(facts, said):
    """Named are those that are not alike, and no other."""
    this, other = (bike.vehicle() for bike in (facts.bike, facts.other))
    apart = {
        "primary reduction": this.primary / other.primary,
        "top gear": this.gears[-1] / other.gears[-1],
    }
    for name, share in apart.items():
        assert (name in said[0]) == (abs(share - 1) > 0.002)


def overall_said(facts, said):
    bike = facts.bike if said[1] == facts.bike.name else facts.other
    primary, gear, final, total, turns = map(value, said.groups()[1:])
    assert primary * gear * final == pytest.approx(total, abs=0.06 + 0.002 * total)
    assert near(said[5], overall(bike, ratio(facts, CHOSEN))[-1])
    assert near(said[6], float(facts.turns_per_metre(bike)[-1])) and turns > 0


def apart_said(facts, said):
    this, other = (float(facts.turns_per_metre(bike)[-1]) for bike in (facts.bike, facts.other))
    assert near(said[1], (max(this, other) / min(this, other) - 1) * 100)


CLAIMS = [
    (rf".+ and .+ both get {PAIR}\. Whose engine makes more turns .*\?", by_definition),
    (rf"Engine turns for a metre in top gear: {NUMBER} and {NUMBER}\.", turns_seen),
    (r"Same sprockets, different .*\.|Nothing differs between .*", what_differs),
    (r"Compare engine turns for the same way, not sprockets\.", by_definition),
    (
        rf"(.+), top gear: {NUMBER} \(primary\) × {NUMBER} \(gear\) × {NUMBER} \(final\) = "
        rf"{NUMBER} overall, {NUMBER} engine turns for a metre of road\.",
        overall_said,
    ),
    (rf"The same sprockets, {NUMBER} % apart: .*", apart_said),
    (r"Primary reduction, gear and tyre count too: .*", by_definition),
    (r"The count is the overall ratio in top gear\.", by_definition),
    (r"The difference is what a tyre size can't know\.", by_definition),
    (r"The difference between the two is what a tyre size can't know\.", by_definition),
]
