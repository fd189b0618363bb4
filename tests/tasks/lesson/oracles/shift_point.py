"""Where the next gear accelerates as hard: a = (pull − resistance) ÷ mass, in both gears."""

import math

import numpy as np
import pytest

from explorer.study.study import CHOSEN
from explorer.tasks.lesson.steps import shift_point
from tests.tasks.lesson.lesson_checks import (
    ASKED,
    NUMBER,
    WHERE,
    by_definition,
    gaps_stay,
    near,
    overall,
    ratio,
    value,
)

STEP = 7


def as_hard(facts, said):
    """a = (pull − resistance) ÷ (mass with what turns), in both gears where the change is."""
    shift, drive = shift_point.shift(facts), facts.result.drive
    assert shift.taken and not shift.at_limit and near(said[1], shift.before * 30 / math.pi)
    assert near(said[2], shift.after * 30 / math.pi)
    masses = np.broadcast_to(drive.effective_mass(drive.overall, True), drive.overall.shape)
    resistance = np.ravel(drive.resistance(shift.road_speed))[-1]
    pulls, found = [], []
    for gear in (shift.gear - 1, shift.gear):
        curve = facts.result.road_speed[CHOSEN, gear], facts.result.engine_pull[CHOSEN, gear]
        pulls.append(float(np.interp(shift.road_speed, *curve)))
        found.append((pulls[-1] - resistance) / masses[CHOSEN, gear, 0])
    # The ground, or the front wheel, holds both back alike.
    found = np.minimum(found, np.ravel(drive.largest_acceleration(np.array(shift.road_speed)))[-1])
    assert pulls[1] < pulls[0] * 1.001
    # The bike slows down while a shift takes its time, more up a slope: it comes a little early.
    assert found[0] == pytest.approx(found[1], rel=0.05, abs=0.02)


def clutch_slips(facts, said):
    launch = facts.result.drive.launch_speed.item() * 30 / math.pi
    assert value(said[2]) == pytest.approx(launch, rel=0.002)
    assert int(said[3][0]) == shift_point.shift(facts).gear + 1


def at_the_limit(facts, said):
    shift = shift_point.shift(facts)
    assert shift.taken and shift.at_limit and near(said[1], shift.before * 30 / math.pi)
    assert value(said[1]) == pytest.approx(
        facts.result.drive.limiter_speed.item() * 30 / math.pi, rel=0.006
    )


def rule_of_shifting(facts, _):
    shift = shift_point.shift(facts)
    assert shift is not None and shift.taken


def one_gear(facts, _):
    assert len(facts.bike.gearbox.ratios) == 1


def never_taken(facts, _):
    shift = shift_point.shift(facts)
    assert shift is not None and not shift.taken


def more_rotating_mass(facts, _):
    """The share of the engine's inertia at the wheel grows with the square of the ratio."""
    of_gears = overall(facts.bike, ratio(facts, CHOSEN))
    assert (np.diff(of_gears) < 0).all()


def torque_falls(facts, _):
    """Past its peak: at the limit it is less than there."""
    curve = facts.bike.engine.torque_curve
    limit = facts.result.drive.limiter_speed.item()
    assert np.interp(limit, curve.speeds, curve.torques) <= curve.torques.max()


CLAIMS = [
    (
        rf"{ASKED}, full throttle \({WHERE}\)\. At how many rpm is changing up .*",
        rule_of_shifting,
    ),
    (r".* on this ground: is \d\w\w ever better than \d\w\w at full throttle\?", by_definition),
    (r"This bike has a single gear\. When do you change up\?", one_gear),
    (
        rf"From {NUMBER} rpm to {NUMBER} rpm: there \d\w\w accelerates as hard as \d\w\w\.",
        as_hard,
    ),
    (
        rf"From {NUMBER} rpm to {NUMBER} rpm: until then the clutch of (\d\w\w) would slip\.",
        clutch_slips,
    ),
    (rf"From {NUMBER} rpm to {NUMBER} rpm: grip or the front wheel is .*", at_the_limit),
    (rf"From {NUMBER} rpm to {NUMBER} rpm: \d\w\w accelerates harder up .*", at_the_limit),
    (r"\d\w\w never accelerates harder than \d\w\w here\.", never_taken),
    (r"A single gear has no shift point\.", one_gear),
    (r"Shift when the next gear accelerates as hard, or at the limit\.", rule_of_shifting),
    (r"Where both accelerate alike the lower gear still pulls harder: .*", more_rotating_mass),
    (r"The drop in revs is that of the gears, whatever the sprockets; .*", gaps_stay),
    (r"Past its peak torque falls, and at the limit the ignition cuts\.", torque_falls),
    (r"Change up where the next gear accelerates as hard, which .*", by_definition),
]
