"""What limits top speed: revs, power or ground, and what one front tooth more gives."""

import math

import pytest

from explorer.calc.drivetrain.top_speed import Limit
from explorer.study.study import CHOSEN
from explorer.tasks.lesson.steps import top_speed
from tests.tasks.lesson.lesson_checks import (
    ASKED,
    NUMBER,
    WHERE,
    by_definition,
    near,
    overall,
    power_wins,
    ratio,
    turn,
    value,
)

STEP = 8


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


def taller_said(facts, said):
    final, allowed, top = top_speed.taller(facts)
    assert final == pytest.approx(facts.setup.rear / (facts.setup.front + 1))
    assert near(said[1], float(top.speed[0]) * 3.6)
    promised = facts.result.limiter_speeds[CHOSEN, -1] * (facts.setup.front + 1) / facts.setup.front
    assert allowed == pytest.approx(promised)
    if said[2] is not None:
        assert near(said[2], promised * 3.6) and value(said[2]) > value(said[1])
    else:
        assert float(top.speed[0]) == pytest.approx(promised, abs=0.3)


def table_promises(facts, said):
    now = facts.result.limiter_speeds[CHOSEN, -1] * 3.6
    after = now * (facts.setup.front + 1) / facts.setup.front
    assert near(said[2], after) and value(said[1]) == value(said[2]) - round(now)


def runs_at_the_limit(facts, said):
    limit = facts.result.drive.limiter_speed.item() / 2 / math.pi
    assert near(said[3], limit * turn(facts) / overall(facts.bike, ratio(facts, CHOSEN))[-1] * 3.6)


def nothing_holds(facts, _):
    assert facts.result.top.limit[CHOSEN] == Limit.CANNOT_HOLD


def taller_holds_none(facts, _):
    assert top_speed.taller(facts)[2].limit[0] == Limit.CANNOT_HOLD


def power_at_top(facts, _):
    """At one road speed the pull is power ÷ speed: more pull only with more power there."""
    power_wins(facts, None)


CLAIMS = [
    (
        rf"{ASKED}: at the rev limit \d\w\w runs {NUMBER} km/h\. How fast does the bike really "
        rf"go \({WHERE}\)\?",
        runs_at_the_limit,
    ),
    (rf"{ASKED}: does any gear hold a steady speed \({WHERE}\)\?", nothing_holds),
    (r"No gear holds a steady speed on this ground\.", nothing_holds),
    (r"The limit is (.*)\.", limit_said),
    (
        rf"With one front tooth more: {NUMBER} km/h"
        rf"(?:, though the rev limit would allow {NUMBER} km/h)?\.",
        taller_said,
    ),
    (r"With one front tooth more no gear holds a steady speed\.", taller_holds_none),
    (r"Revs, power or ground: find what limits top speed\.", by_definition),
    (
        rf"With one front tooth more, taller, the table promises {NUMBER} km/h more, {NUMBER} "
        r"km/h at the rev limit\.",
        table_promises,
    ),
    (r"Where power is the limit, (?:taller is faster )?only if it lets the .*", power_at_top),
    (r"Past that, top gear only lowers the revs\.", power_at_top),
    (r"At the power peak no gearing is faster; .*", power_at_top),
    (r"The table gives the speed at the rev limit\.", by_definition),
    (r"Drag, slope and ground decide whether the bike ever gets there\.", by_definition),
]
