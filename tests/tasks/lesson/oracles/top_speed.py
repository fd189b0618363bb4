"""What limits top speed: revs, power or ground, and what one front tooth more gives."""

import math

import pytest

from explorer.calc.drivetrain.top_speed import Limit
from explorer.study.study import CHOSEN, Study
from tests.tasks.lesson.lesson_checks import (
    ASKED,
    NUMBER,
    PAIR,
    WHERE,
    by_definition,
    near,
    overall,
    power_wins,
    turn,
    value,
)
from tests.tasks.lesson.lesson_facts import asked

STEP = 8
MORE = r"one front tooth more|\d front teeth more"


def limit_said(facts, said):
    top = facts.result.top
    limits = {
        "the rev limit": Limit.REV_LIMIT,
        "power against drag, slope and surface": Limit.POWER,
        "the grip of the rear tyre": Limit.GRIP,
        "the front wheel lifting": Limit.FRONT_WHEEL_LIFT,
    }
    assert top.limit[CHOSEN] == limits[said[1]]
    reached = top.speed[CHOSEN] / facts.result.limiter_speeds[CHOSEN].max()
    assert reached <= 1 + 1e-9 and (said[1] == "the rev limit" or reached < 1)


def geared(facts, teeth):
    """Road speed at the rev limit in top gear, with so many front teeth more [km/h]."""
    limit = facts.result.drive.limiter_speed.item() / 2 / math.pi
    final = facts.setup.rear / (facts.setup.front + teeth)
    return limit * turn(facts) / overall(facts.bike, final)[-1] * 3.6


def teeth_more(said):
    return 1 if said.startswith("one") else int(said.split()[0])


def with_teeth(facts, teeth):
    """Limit and top speed [km/h], computed for that pair alone."""
    pair = facts.setup.changed(front=facts.setup.front + teeth)
    top = Study.of(facts.bike, pair).top
    return Limit(int(top.limit[CHOSEN])), float(top.speed[CHOSEN]) * 3.6


def runs_to_the_limit(facts):
    return facts.result.top.speed[CHOSEN] * 3.6 > 0.99 * geared(facts, 0)


def taller_said(facts, said):
    _, reached = with_teeth(facts, teeth_more(said[1]))
    promised = geared(facts, teeth_more(said[1]))
    assert near(said[2], reached)
    if said[3] is not None:
        assert near(said[3], promised) and value(said[3]) > value(said[2])
    else:
        assert reached == pytest.approx(promised, rel=0.01)
    # Looked at is what clearly is not at the limit of its revs, where the chosen pair is.
    revs = runs_to_the_limit(facts)
    assert not revs or reached < 0.95 * promised or teeth_more(said[1]) == 1
    assert revs or teeth_more(said[1]) == 1


def table_promises(facts, said):
    now, after = round(geared(facts, 0)), geared(facts, teeth_more(said[1]))
    assert near(said[3], after) and value(said[2]) == value(said[3]) - now


def runs_at_the_limit(facts, said):
    top, taller = facts.result.top, said[3]
    assert near(said[4], geared(facts, teeth_more(taller) if taller else 0))
    question = asked(facts, STEP)
    assert not taller or runs_to_the_limit(facts)
    reached = with_teeth(facts, teeth_more(taller))[1] if taller else top.speed[CHOSEN] * 3.6
    assert question.value == pytest.approx(float(reached))


def to_the_rev_limit(facts, said):
    assert runs_to_the_limit(facts) and near(said[3], float(facts.result.top.speed[CHOSEN]) * 3.6)


def nothing_holds(facts, _):
    assert facts.result.top.limit[CHOSEN] == Limit.CANNOT_HOLD


def taller_holds_none(facts, _):
    assert with_teeth(facts, 1)[0] == Limit.CANNOT_HOLD


def power_at_top(facts, _):
    """At one road speed the pull is power ÷ speed: more pull only with more power there."""
    power_wins(facts, None)


CLAIMS = [
    (
        rf"{ASKED}(?: with ({MORE}))?: at the rev limit \d\w\w runs {NUMBER} km/h\. How fast does "
        rf"the bike really go \({WHERE}\)\?",
        runs_at_the_limit,
    ),
    (rf"{ASKED}: does any gear hold a steady speed \({WHERE}\)\?", nothing_holds),
    (r"No gear holds a steady speed on this ground\.", nothing_holds),
    (r"The limit is (.*)\.", limit_said),
    (rf"{PAIR} runs to the rev limit, {NUMBER} km/h\.", to_the_rev_limit),
    (
        rf"With ({MORE}): {NUMBER} km/h"
        rf"(?:, though the rev limit would allow {NUMBER} km/h)?\.",
        taller_said,
    ),
    (r"With one front tooth more no gear holds a steady speed\.", taller_holds_none),
    (r"Revs, power or ground: find what limits top speed\.", by_definition),
    (
        rf"With ({MORE}), taller, the table promises {NUMBER} km/h more, {NUMBER} km/h at the rev "
        r"limit\.",
        table_promises,
    ),
    (r"Where power is the limit, (?:taller is faster )?only if it lets the .*", power_at_top),
    (r"Past that, top gear only lowers the revs\.", power_at_top),
    (r"Best is the gearing that puts top speed at the power peak; .*", power_at_top),
    (r"The table gives the speed at the rev limit\.", by_definition),
    (r"Drag, slope and ground decide whether the bike ever gets there\.", by_definition),
]
