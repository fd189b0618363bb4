"""What several oracles of the lesson use: pieces of patterns, numbers of a bike, common checks.

A check works the statement out once more from the bike's own numbers, by definition (moments about
an axle, ratios, P = F·v, a = F/m) or from the computed curves; a definition needs no outside
source. Printed numbers count to the last digit printed.
"""

import numpy as np
import pytest

from explorer.study.study import CHOSEN, FITTED
from explorer.tasks.lesson.steps import one_road_speed

NUMBER = "([-+−]?[0-9][0-9\u202f]*(?:\\.[0-9]+)?)"
PAIR = r"(\d+)/(\d+)"
ASKED = rf"{PAIR}(?: instead of \d+/\d+)?"
WHERE = r".+?, (?:level|-?[0-9.]+ % slope), .+ altitude"


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


def rear_for_front(facts):
    sprockets = facts.bike.sprockets
    return sprockets.rear / (sprockets.front - 1)


def bends_further(facts, _):
    front = facts.bike.sprockets.front
    assert 360 / (front - 1) > 360 / front


def gaps(facts, index):
    of_gears = overall(facts.bike, ratio(facts, index))
    return of_gears[:-1] / of_gears[1:] - 1


def gaps_stay(facts, _):
    assert gaps(facts, FITTED) == pytest.approx(gaps(facts, CHOSEN))
    speeds = facts.result.limiter_speeds
    assert speeds[:, 1:] / speeds[:, :-1] - 1 == pytest.approx(
        np.array([gaps(facts, FITTED)] * 2), rel=1e-6
    )


def power_wins(facts, _):
    here = one_road_speed.at_one_speed(facts)
    if here.gears.size:
        assert np.argmax(here.pull) == np.argmax(here.power)
        assert here.power == pytest.approx(here.torque * here.engine_speed)
        losses = here.pull * here.speed / here.power
        assert losses == pytest.approx(np.full(losses.size, losses[0])) and losses[0] <= 1


def less_at_the_tyre(*_):
    """Chain: weight × crank ÷ chainring radius; tyre: that × rear sprocket ÷ wheel radius."""
    force = [100.0 * 0.17 / 0.09 * rear / 0.34 for rear in (0.03, 0.05)]
    way = [0.34 * 0.09 / rear for rear in (0.03, 0.05)]
    assert force[0] < force[1] and way[0] > way[1]
