"""Checks of what the lesson states, by which lesson_claims.py holds each sentence to the bike.

A check works the statement out once more from the bike's own numbers, by definition (moments about
an axle, ratios, P = F·v, a = F/m) or from the computed curves; a definition needs no outside
source. Printed numbers count to the last digit printed.
"""

import math

import numpy as np
import pytest

from explorer.records.fitting.chains import chain_size
from explorer.study.study import CHOSEN, FITTED

NUMBER = "([-+−]?[0-9][0-9\u202f]*(?:\\.[0-9]+)?)"


def value(text):
    return float(text.replace("\u202f", "").replace("−", "-"))


def near(said, real):
    """Whether a printed number is a real one, rounded to its last digit, or to three digits."""
    last = 0.5001 * 10.0 ** -len(said.partition(".")[2])
    return abs(value(said) - real) <= max(last, 0.0051 * abs(real))


def ratio(facts, index):
    teeth = facts.bike.sprockets if index == FITTED else facts.setup
    return teeth.rear / teeth.front


def turn(facts):
    return float(facts.result.rollouts[CHOSEN].value)


def overall(bike, final):
    """Overall ratio of every gear, from the bike file's texts."""
    box = bike.gearbox
    return np.array([each.si for each in box.ratios]) * box.primary.si * final


# --- 1: the lever


def lever_asked(facts, said):
    """Work of one turn of the front sprocket: 2π × torque = force × teeth × pitch."""
    a_turn = facts.setup.front * chain_size(facts.bike.chain.size).pitch
    assert value(said[3]) == 100 and near(said[4], 2 * math.pi * 100 / a_turn)


def lever_seen(facts, said):
    tension, arm, pull, radius = map(value, said.groups())
    assert tension * arm == pytest.approx(pull * radius, rel=0.02)
    assert near(said[4], turn(facts) / 2 / math.pi * 1000)
    assert near(said[3], 100 * ratio(facts, CHOSEN) / (turn(facts) / 2 / math.pi))


def no_more_power(facts, _):
    """Pull up, speed down, their product as it was (chain losses change by less than 1 %)."""
    study = facts.result
    power = study.engine_pull * study.road_speed
    assert power[CHOSEN] == pytest.approx(power[FITTED], rel=0.01, abs=1)
    larger = ratio(facts, CHOSEN) > ratio(facts, FITTED)
    assert (study.limiter_speeds[CHOSEN] < study.limiter_speeds[FITTED]).all() == larger
    assert (study.engine_pull[CHOSEN].max() > study.engine_pull[FITTED].max()) == larger


def by_definition(*_):
    """True of every bike by the meaning of the words, or an instruction."""


# --- 2: one front tooth


def rear_for_front(facts):
    sprockets = facts.bike.sprockets
    return sprockets.rear / (sprockets.front - 1)


def division(facts, said):
    sprockets = facts.bike.sprockets
    assert (int(said[1]), int(said[2])) == (sprockets.rear, sprockets.front)
    assert near(said[3], sprockets.rear / (sprockets.front - 1))
    # So many rear teeth more do what one front tooth fewer does.
    there = (sprockets.rear + rear_for_front(facts)) / sprockets.front
    assert there == pytest.approx(sprockets.rear / (sprockets.front - 1))


def tooth_by_tooth(facts, said):
    sprockets = facts.bike.sprockets
    assert near(said[1], (sprockets.front / (sprockets.front - 1) - 1) * 100)
    assert near(said[2], 100 / sprockets.rear)


def several(facts, _):
    assert rear_for_front(facts) >= 2


def three_to_five(facts, _):
    """ "On most bikes": not of this one."""
    assert 2 < rear_for_front(facts) < 7


def bends_further(facts, _):
    front = facts.bike.sprockets.front
    assert 360 / (front - 1) > 360 / front


# --- 3: two numbers


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


# --- 4: gaps


def gaps(facts, index):
    of_gears = overall(facts.bike, ratio(facts, index))
    return of_gears[:-1] / of_gears[1:] - 1


def gaps_stay(facts, _):
    assert gaps(facts, FITTED) == pytest.approx(gaps(facts, CHOSEN))
    speeds = facts.result.limiter_speeds
    assert speeds[:, 1:] / speeds[:, :-1] - 1 == pytest.approx(
        np.array([gaps(facts, FITTED)] * 2), rel=1e-6
    )


def gears_seen(facts, said):
    sprockets = facts.bike.sprockets
    assert near(said[1], 100 / sprockets.rear)
    assert near(said[2], (sprockets.front / (sprockets.front - 1) - 1) * 100)
    if said[3] is not None:
        here = gaps(facts, FITTED) * 100
        assert near(said[3], here.min()) and near(said[4] or said[3], here.max())


# --- 5: overall ratio


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
