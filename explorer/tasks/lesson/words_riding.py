"""Questions and answers of steps 6 to 10: what gearing does to riding. All numbers are computed."""

import numpy as np

from explorer import units
from explorer.app.gearing_views import measure_name, measure_scale
from explorer.calc.drivetrain.top_speed import Limit, TopSpeed
from explorer.charts.wording import engine_speed as rpm_text
from explorer.charts.wording import ordinal
from explorer.records.clubs.club import is_served
from explorer.records.ground.surfaces import surfaces
from explorer.study.study import CHOSEN, FITTED
from explorer.study.wording import LIMIT_WORDS
from explorer.tasks.gearing.words import certainty_sentences
from explorer.tasks.lesson.facts import Facts
from explorer.tasks.lesson.question import Asked, number
from explorer.tasks.lesson.words import pair
from explorer.units import RPM

_APART = 0.02
"""Engine speeds closer than this are no two options [-]."""


def _where(facts: Facts) -> str:
    """Ground and air, short: they decide what a speed or a shift point is."""
    setup = facts.setup
    slope = f"{100 * setup.slope:g} % slope" if setup.slope else "level"
    return (
        f"{surfaces()[setup.surface].label}, {slope}, "
        f"{units.text(setup.altitude, 'altitude', facts.system)} altitude"
    )


def one_speed_question(facts: Facts) -> Asked:
    """Step 6: in which gear the tyre pulls hardest."""
    here = facts.at_one_speed
    speed = units.text(here.speed, "speed", facts.system)
    gears = tuple(ordinal(int(gear)) for gear in here.gears)
    text = (
        f"{pair(facts, CHOSEN)}, {speed}, full throttle ({_where(facts)}). In which gear does the "
        "engine pull hardest at the tyre?"
    )
    if not gears:
        return Asked(f"{text} (None runs there.)", ("none",), "none")
    return Asked(text, gears, gears[int(np.argmax(here.pull))])


def one_speed_answer(facts: Facts) -> list[str]:
    """Step 6: pull follows power at that speed, not torque at the crankshaft."""
    here, system = facts.at_one_speed, facts.system
    if not here.gears.size:
        return ["No gear runs between idle and the rev limit at this speed; choose another."]
    hardest, most = int(np.argmax(here.pull)), int(np.argmax(here.torque))
    powerful = int(np.argmax(here.power))
    # Without it the printed power over the speed would not be the printed pull.
    reaches = float(facts.result.drive.efficiency[CHOSEN, 0, 0]) * 100

    def said(index: int) -> str:
        return (
            f"{ordinal(int(here.gears[index]))}: {rpm_text(here.engine_speed[index] / RPM)}, "
            f"{units.text(float(here.torque[index]), 'torque', system)}, "
            f"{units.text(float(here.power[index]), 'power', system)}, pull "
            f"{units.text(float(here.pull[index]), 'force', system)}"
        )

    answer = [
        f"The hardest pull is in {said(hardest)}.",
        f"The most power is in {ordinal(int(here.gears[powerful]))}, the most torque at the "
        f"crankshaft in {ordinal(int(here.gears[most]))}. Pull is power at the wheel ÷ road speed; "
        f"of the crankshaft's power {reaches:.0f} % reach the wheel, in every gear alike. So at "
        "one road speed the gear with the most power wins.",
    ]
    if here.pull[hardest] > here.held:
        answer.append(
            f"The ground or the front wheel lets only {units.text(here.held, 'force', system)} "
            "through here: what the engine has beyond that spins the tyre or lifts the front."
        )
    return answer


def shift_question(facts: Facts) -> Asked:
    """Step 7: where to change up."""
    shift = facts.shift
    if shift is None:
        return Asked("This bike has a single gear. When do you change up?", ("never",), "never")
    if not shift.taken:
        following = ordinal(shift.gear + 1)
        return Asked(
            f"{pair(facts, CHOSEN)} on this ground: is {following} ever better than "
            f"{ordinal(shift.gear)} at full throttle?",
            ("yes", "no"),
            "no",
        )
    # The popular rules beside it, each only where it would print another number.
    drive, options = facts.result.drive, [shift.before]
    for rule in (
        facts.result.peak_torque.engine_speed,
        facts.result.peak_power.engine_speed,
        drive.limiter_speed.item(),
    ):
        if all(abs(rule / each - 1) > _APART for each in options):
            options.append(rule)
    said = [rpm_text(each / RPM) for each in sorted(options)]
    return Asked(
        f"{pair(facts, CHOSEN)}, full throttle ({_where(facts)}). At how many rpm is changing up "
        f"from {ordinal(shift.gear)} to {ordinal(shift.gear + 1)} best?",
        tuple(said),
        rpm_text(shift.before / RPM),
    )


def shift_answer(facts: Facts) -> list[str]:
    """Step 7: where the next gear accelerates as hard, and what the rev limit costs."""
    shift, system = facts.shift, facts.system
    if shift is None:
        return ["A single gear has no shift point; take a bike with more gears for this step."]
    before, after = (rpm_text(each / RPM) for each in (shift.before, shift.after))
    gear, following = ordinal(shift.gear), ordinal(shift.gear + 1)
    if not shift.taken:
        return [f"{following} is never better than {gear} here, so {gear} is kept."]
    if not shift.at_limit:
        why = (
            f"There {following} accelerates as hard as {gear}: it pulls less, but has less "
            "rotating mass to speed up"
        )
    elif shift.held_back:
        why = (
            f"Only at the rev limit: the ground, or the front wheel, lets no more pull through, so "
            f"{following} would gain nothing earlier"
        )
    else:
        why = f"Only at the rev limit: up to there {gear} accelerates harder than {following} would"
    return [
        f"At {before}, {units.text(shift.road_speed, 'speed', system)}; the engine speed falls to "
        f"{after}, which is one tooth of the saw. {why}.",
        f"At the rev limit this engine gives {shift.torque_share * 100:.0f} % of its greatest "
        f"torque and {shift.power_share * 100:.0f} % of its greatest power (from the torque curve "
        "of the bike file).",
        f"The drop to {shift.after / shift.before * 100:.0f} % is that of the gears, whatever the "
        "sprockets; the sprockets move the road speed at which it happens. Where grip, the front "
        "wheel or the engine's own inertia holds the bike back, they can move the best engine "
        "speed too.",
    ]


def top_speed_question(facts: Facts) -> Asked:
    """Step 8: real top speed against the speed of the table."""
    system, top = facts.system, facts.result.top
    gear = ordinal(facts.result.drive.gears)
    value, unit = units.display(float(top.speed[CHOSEN]), "speed", system)
    return number(
        f"{pair(facts, CHOSEN)}: at the rev limit {gear} runs "
        f"{units.text(facts.fastest_geared, 'speed', system)}. How fast does the bike really go "
        f"({_where(facts)})?",
        float(value),
        unit,
        0,
        trap=units.display(facts.fastest_geared, "speed", system)[0],
    )


def top_speed_answer(facts: Facts) -> list[str]:
    """Step 8: which limit binds, and what one front tooth more would do."""
    system, result = facts.system, facts.result
    _, geared, taller = facts.taller

    def speed(value: float) -> str:
        return units.text(float(value), "speed", system)

    def between(low: float, high: float) -> str:
        """Of the speeds as they are printed, or a class would not find it."""
        shown = [round(units.display(float(each), "speed", system)[0]) for each in (low, high)]
        return f"{shown[1] - shown[0]} {units.display(0.0, 'speed', system)[1]}"

    def said(top: TopSpeed, index: int) -> str:
        limit = Limit(int(top.limit[index]))
        return (
            f"{speed(top.speed[index])} in {ordinal(int(top.gear[index]) + 1)}, limited by "
            f"{LIMIT_WORDS[limit]}"
        )

    if result.top.limit[CHOSEN] == Limit.CANNOT_HOLD:
        return ["No gear holds a steady speed on this ground; take a gentler slope for this step."]
    one_more = f"{facts.setup.front + 1}/{facts.setup.rear}"
    if taller.limit[0] == Limit.CANNOT_HOLD:
        does = "no gear holds a steady speed any more"
    else:
        now, then = float(result.top.speed[CHOSEN]), float(taller.speed[0])
        difference = between(min(now, then), max(now, then))
        change = (
            "no change"
            if difference.startswith("0 ")
            else f"{difference} {'more' if then > now else 'less'}"
        )
        does = f"the bike goes {said(taller, 0)}: {change}"
    return [
        f"Computed: {said(result.top, CHOSEN)}.",
        f"With one front tooth more, {one_more}, taller, the table promises "
        f"{between(facts.fastest_geared, geared)} more, {speed(geared)} at the rev limit; {does}.",
        "Where power is the limit, taller gearing is faster only as long as it lets the engine "
        "give more power at that road speed. If the engine is at its power peak there, no gearing "
        "is faster. Gear it taller still and top gear only lowers the revs.",
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


def slack_answer(facts: Facts) -> list[str]:
    """Step 9: where slack is least, and what that means for setting it."""
    slack, system = facts.slack, facts.system
    if slack is None:
        return [
            "Nothing can be computed: the swingarm of this bike has not been measured. "
            + (
                "The fit page asks for the five lengths, and a bike file can give them."
                if is_served("fit")
                else "A bike file can give the five lengths."
            )
        ]
    curve = slack.curves.slack[FITTED]
    ends = [
        "drawn taut before" if np.isnan(value) else units.text(float(value), "length", system, 1)
        for value in (curve[0], curve[-1])
    ]
    height = units.text(slack.tight_height, "length", system)
    basis = {
        "taut": "Set just taut there, which no bike should be, so that only the shape shows",
        "tightest": "With the slack that you want to be left there",
        "manual": "Set to the value of the manual that was entered",
    }[slack.basis]
    if slack.lowest < slack.tightest < slack.highest:
        where = (
            f"The chain is tightest after {height} of travel, where output shaft, pivot and axle "
            "are in line: there the sprockets are furthest apart."
        )
    else:
        # The tightest position is held within the travel.
        end = "with the wheel hanging" if slack.tightest <= slack.lowest else "fully compressed"
        where = (
            f"The chain is tightest {end}, after {height} of travel: output shaft, pivot and axle "
            "do not come in line within the travel, and that end is the nearest to it."
        )
    return [
        where,
        f"{basis}: {ends[0]} with the wheel hanging, {ends[1]} fully compressed (total movement at "
        "mid-run, computed).",
        "So slack is set by the bike's own manual, at its place and in its state of the "
        "suspension, and some must be left at the tightest position. No figure of this lesson is a "
        "setting.",
    ]


def tradeoff_question(facts: Facts) -> Asked:
    """Step 10: the best pair in one thing among those that are good enough in the other."""
    task, said = facts.need, f"“{measure_name(facts.setup)}”"
    if task is None:
        close = f"The best pairs are too close together to choose between ({_where(facts)})"
        return Asked(f"{close}: there is nothing to guess.", ("none",), "none")
    speed = units.text(task.speed, "speed", facts.system)
    options = tuple(f"{front}/{rear}" for front, rear, *_ in task.options)
    return Asked(
        f"You need a top speed of {speed} ({_where(facts)}). Which pair reaches it and is best in "
        f"{said}?",
        options,
        options[task.right],
    )


def tradeoff_pairs(facts: Facts) -> list[str]:
    """What each option of step 10 reaches, from the shortest: "13/50: 92 km/h, 5.2 km/h"."""
    factor, unit, decimals = measure_scale(facts.setup)
    return [
        f"{front}/{rear}: {units.text(speed, 'speed', facts.system)}, "
        f"{value * factor:.{decimals}f} {unit}"
        for front, rear, speed, value in (facts.need.options if facts.need else ())
    ]


def tradeoff_answer(facts: Facts) -> list[str]:
    """Step 10: what each pair reaches, how sure it is, and what a tyre size can't know."""
    pairs = facts.result.pairs.tradeoff
    share, speed_unit = units.display(facts.fastest_geared * 0.01, "speed", facts.system)
    said = [
        f"Top speed and “{measure_name(facts.setup)}”. " + "; ".join(tradeoff_pairs(facts)) + ".",
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
