"""What a class sees as the answer of each step: one or two short sentences, numbers first.

The coach's notes and sheet have the long form (words.py, words_riding.py).
"""

import numpy as np

from explorer import units
from explorer.calc.drivetrain.top_speed import Limit
from explorer.study.certainty import signed_percent
from explorer.study.study import CHOSEN, FITTED
from explorer.study.wording import LIMIT_WORDS, listed, ordinal
from explorer.study.wording import engine_speed as rpm_text
from explorer.tasks.lesson.facts import Facts
from explorer.tasks.lesson.words_riding import tradeoff_pairs
from explorer.units import RPM

_ALIKE = 0.002
"""Ratios and roll-outs closer than this are alike [-]."""


def lever(facts: Facts) -> list[str]:
    """Step 1."""
    lever, said = facts.lever, facts.said
    return [
        f"Chain {said(lever.tension[CHOSEN], 'force')} on an arm of "
        f"{said(lever.rear_radius[CHOSEN], 'length')}; tyre {said(lever.pull[CHOSEN], 'force')} on "
        f"{said(lever.wheel_radius[CHOSEN], 'length')}."
    ]


def teeth(facts: Facts) -> list[str]:
    """Step 2."""
    sprockets = facts.bike.sprockets
    return [
        f"{sprockets.rear} ÷ ({sprockets.front} − 1) = {facts.teeth.for_one_fewer:.1f}.",
        f"One front tooth fewer: pull {signed_percent(facts.front_tooth)}. One rear tooth more: "
        f"{signed_percent(float(facts.rear_teeth[0]))}.",
        "A small front sprocket bends the chain more sharply: it wears sooner.",
    ]


def two_numbers(facts: Facts) -> list[str]:
    """Step 3."""
    return [
        f"{facts.fitted} to {facts.chosen}, at the same rpm: pull "
        f"{signed_percent(facts.pull_change)}, speed {signed_percent(facts.speed_change)}."
    ]


def gears(facts: Facts) -> list[str]:
    """Step 4."""
    teeth = (
        f"One rear tooth {signed_percent(float(facts.rear_teeth[0]))}, one front tooth "
        f"{signed_percent(facts.front_tooth)}"
    )
    steps = facts.gear_steps[FITTED]
    if not steps.size:
        return [f"{teeth}. This bike has a single gear."]
    gaps = units.ends(steps.min() * 100, steps.max() * 100, 0, units.rounded)
    return [f"{teeth}, one gear {gaps} %."]


def overall(facts: Facts) -> list[str]:
    """Step 5."""
    bikes = (facts.bike, facts.other)
    turns = [facts.turns_per_metre(bike)[-1] for bike in bikes]
    made = [bike.vehicle() for bike in bikes]
    rollouts = [facts.overall_of(bike)[-1] / each for bike, each in zip(bikes, turns, strict=True)]
    apart = {
        "primary reduction": [each.primary for each in made],
        "top gear": [each.gears[-1] for each in made],
        "roll-out": rollouts,
    }
    differ = [name for name, (this, other) in apart.items() if abs(this / other - 1) > _ALIKE]
    return [
        f"Engine turns per metre in top gear: {turns[0]:.2f} and {turns[1]:.2f}.",
        f"Same sprockets, different {listed(differ)}."
        if differ
        else "Nothing differs between crankshaft and ground.",
    ]


def one_speed(facts: Facts) -> list[str]:
    """Step 6."""
    here = facts.at_one_speed
    if not here.gears.size:
        return ["No gear runs at this speed."]
    best, most = int(np.argmax(here.power)), int(np.argmax(here.torque))
    return [
        f"Most power there: {ordinal(int(here.gears[best]))}, "
        f"{facts.said(here.power[best], 'power')}. Most torque at the "
        f"crankshaft: {ordinal(int(here.gears[most]))}."
    ]


def shift(facts: Facts) -> list[str]:
    """Step 7."""
    shift = facts.shift
    if shift is None:
        return ["A single gear has no shift point."]
    gear, following = ordinal(shift.gear), ordinal(shift.gear + 1)
    if not shift.taken:
        return [f"{following} never accelerates harder than {gear} here."]
    before, after = (rpm_text(each / RPM) for each in (shift.before, shift.after))
    if shift.slipping:
        why = f"until then the clutch of {following} would slip"
    elif not shift.at_limit:
        why = f"there {following} accelerates as hard as {gear}"
    elif shift.held_back:
        why = "grip or the front wheel is the limit until then"
    else:
        why = f"{gear} accelerates harder up to the rev limit"
    return [f"From {before} to {after}: {why}."]


def top_speed(facts: Facts) -> list[str]:
    """Step 8."""
    top, taller = facts.result.top, facts.taller[2]
    if top.limit[CHOSEN] == Limit.CANNOT_HOLD:
        return ["No gear holds a steady speed on this ground."]
    limit = f"The limit is {LIMIT_WORDS[Limit(int(top.limit[CHOSEN]))]}."
    if taller.limit[0] == Limit.CANNOT_HOLD:
        return [limit, "With one front tooth more no gear holds a steady speed."]
    then = facts.said(taller.speed[0], "speed")
    promised = facts.said(facts.taller[1], "speed")
    though = "" if then == promised else f", though the rev limit would allow {promised}"
    return [limit, f"With one front tooth more: {then}{though}."]


def slack(facts: Facts) -> list[str]:
    """Step 9."""
    slack = facts.slack
    if slack is None:
        return ["The swingarm of this bike has not been measured."]
    height = facts.said(slack.tight_height, "length")
    if slack.lowest < slack.tightest < slack.highest:
        return [
            f"Tightest after {height} of travel: output shaft, pivot and axle are in line.",
            "Set slack as the bike's own manual says.",
        ]
    end = "with the wheel hanging" if slack.tightest <= slack.lowest else "fully compressed"
    return [f"Tightest {end}.", "Set slack as the bike's own manual says."]


def tradeoff(facts: Facts) -> list[str]:
    """Step 10."""
    return tradeoff_pairs(facts) or [
        "The best pairs are too close together here to choose between."
    ]
