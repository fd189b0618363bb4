"""Questions and answers of steps 6 to 10: what gearing does to riding. All numbers are computed."""

import numpy as np

from explorer import units
from explorer.app.gearing_views import measure_name, measure_scale
from explorer.calc.drivetrain.top_speed import Limit
from explorer.records.ground.surfaces import surfaces
from explorer.study.study import CHOSEN
from explorer.study.wording import engine_speed as rpm_text
from explorer.study.wording import ordinal
from explorer.tasks.gearing.words import certainty_sentences
from explorer.tasks.lesson.facts import Facts
from explorer.tasks.lesson.question import Asked, number
from explorer.tasks.lesson.words import instead
from explorer.units import RPM

_APART = 0.02
"""Engine speeds closer than this are no two options [-]."""


def where(facts: Facts) -> str:
    """Ground and air, short: they decide what a speed or a shift point is."""
    setup = facts.setup
    slope = f"{100 * setup.slope:g} % slope" if setup.slope else "level"
    return (
        f"{surfaces()[setup.surface].label}, {slope}, "
        f"{facts.said(setup.altitude, 'altitude')} altitude"
    )


def one_speed_question(facts: Facts) -> Asked:
    """Step 6: in which gear the tyre pulls hardest."""
    here = facts.at_one_speed
    speed = facts.said(here.speed, "speed")
    gears = tuple(ordinal(int(gear)) for gear in here.gears)
    text = (
        f"{instead(facts)}, {speed}, full throttle ({where(facts)}). In which gear does the "
        "engine pull hardest at the tyre?"
    )
    if not gears:
        return Asked(f"{text} (None runs there.)", ("none",), "none")
    return Asked(text, gears, gears[int(np.argmax(here.pull))])


def shift_question(facts: Facts) -> Asked:
    """Step 7: where to change up."""
    shift = facts.shift
    if shift is None:
        return Asked("This bike has a single gear. When do you change up?", ("never",), "never")
    gear, following = ordinal(shift.gear), ordinal(shift.gear + 1)
    if not shift.taken:
        better = f"{following} ever better than {gear} at full throttle"
        return Asked(f"{instead(facts)} on this ground: is {better}?", ("yes", "no"), "no")
    # The popular rules beside it, each only where it would print another number.
    drive, options = facts.result.drive, [shift.before]
    for rule in (
        facts.result.peak_torque.engine_speed,
        facts.result.peak_power.engine_speed,
        drive.limiter_speed.item(),
    ):
        if all(abs(rule / each - 1) > _APART for each in options):
            options.append(rule)
    text = (
        f"{instead(facts)}, full throttle ({where(facts)}). At how many rpm is changing up from "
        f"{gear} to {following} best?"
    )
    said = tuple(rpm_text(each / RPM) for each in sorted(options))
    return Asked(text, said, rpm_text(shift.before / RPM))


def top_speed_question(facts: Facts) -> Asked:
    """Step 8: real top speed against the speed of the table."""
    system, top = facts.system, facts.result.top
    gear = ordinal(facts.result.drive.gears)
    if top.limit[CHOSEN] == Limit.CANNOT_HOLD:
        asked = f"{instead(facts)}: does any gear hold a steady speed ({where(facts)})?"
        return Asked(asked, ("yes", "no"), "no")
    value, unit = units.display(float(top.speed[CHOSEN]), "speed", system)
    return number(
        f"{instead(facts)}: at the rev limit {gear} runs "
        f"{facts.said(facts.fastest_geared, 'speed')}. How fast does the bike really go "
        f"({where(facts)})?",
        float(value),
        unit,
        0,
        trap=units.display(facts.fastest_geared, "speed", system)[0],
    )


def top_speed_answer(facts: Facts) -> list[str]:
    """Step 8: what the table promises for one front tooth more."""
    geared, system = facts.taller[1], facts.system
    # Of the speeds as they are printed, or a class would not find the difference.
    before, after = (
        round(units.display(each, "speed", system)[0]) for each in (facts.fastest_geared, geared)
    )
    return [
        f"With one front tooth more, taller, the table promises {after - before} "
        f"{units.display(0.0, 'speed', system)[1]} more, {facts.said(geared, 'speed')} at "
        "the rev limit.",
    ]


_SHAPES = (
    "it grows all the way",
    "it shrinks all the way",
    "it shrinks, then grows",
    "it stays the same",
)


def slack_question(facts: Facts) -> Asked:
    """Step 9: how slack changes as the wheel moves up."""
    slack = facts.slack
    text = (
        "The rear wheel moves up, from hanging to fully compressed. What does the slack of the "
        "chain do?"
    )
    if slack is None:
        return Asked(f"{text} (The swingarm of this bike has not been measured.)", _SHAPES, "")
    span = slack.highest - slack.lowest
    if slack.tightest <= slack.lowest + 0.001 * span:
        right = _SHAPES[0]
    elif slack.tightest >= slack.highest - 0.001 * span:
        right = _SHAPES[1]
    else:
        right = _SHAPES[2]
    return Asked(text, _SHAPES, right)


def tradeoff_question(facts: Facts) -> Asked:
    """Step 10: the best pair in one thing among those that are good enough in the other."""
    task, said = facts.need, f"“{measure_name(facts.setup)}”"
    if task is None:
        close = f"The best pairs are too close together to choose between ({where(facts)})"
        return Asked(f"{close}: there is nothing to guess.", ("none",), "none")
    speed = facts.said(task.speed, "speed")
    options = tuple(f"{front}/{rear}" for front, rear, *_ in task.options)
    return Asked(
        f"You need a top speed of {speed} ({where(facts)}). Which pair reaches it and is best in "
        f"{said}?",
        options,
        options[task.right],
    )


def tradeoff_pairs(facts: Facts) -> list[str]:
    """What each option of step 10 reaches, from the shortest: "13/50: 92 km/h, 5.2 km/h"."""
    factor, unit, decimals = measure_scale(facts.setup)
    return [
        f"{front}/{rear}: {facts.said(speed, 'speed')}, {value * factor:.{decimals}f} {unit}"
        for front, rear, speed, value in (facts.need.options if facts.need else ())
    ]


def tradeoff_answer(facts: Facts) -> list[str]:
    """Step 10: what each pair reaches, how sure it is, and what a tyre size can't know."""
    pairs = facts.result.pairs.tradeoff
    share, speed_unit = units.display(facts.fastest_geared * 0.01, "speed", facts.system)
    said = [
        f"Best compromises, on the line: {int(np.sum(pairs.best_compromise))} of "
        f"{pairs.front.size} pairs. What one of them gains in one it pays for in the other. Which "
        "is right depends on what you need.",
    ]
    if facts.need is None:
        said = ["The best pairs are too close together here; take another bike, ground or measure."]
    return [
        *said,
        *certainty_sentences(facts.result),
        f"One per cent of roll-out is one per cent of speed at a given rpm: {share:.1f} "
        f"{speed_unit} at the rev limit in top gear, less of a top speed that power limits. A tyre "
        "size tells the roll-out no better than that.",
    ]
