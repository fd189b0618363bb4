"""Between and after the ten steps: a moment, a run, an experiment, a challenge, a recap.

All numbers are computed, as in words.py.
"""

from explorer.calc import gearing
from explorer.calc.drivetrain.top_speed import Limit
from explorer.records.prose import read_prose
from explorer.study.certainty import signed_percent
from explorer.study.study import CHOSEN, FITTED
from explorer.study.table import RUN_TIMES
from explorer.study.wording import engine_speed as rpm_text
from explorer.tasks.lesson.facts import Facts
from explorer.tasks.lesson.link import PLANS
from explorer.tasks.lesson.question import Asked, number
from explorer.tasks.lesson.words_riding import where
from explorer.units import KMH, MPH

RUN_FOR = 5.0
"""Time after which the class says who is ahead [s]."""

_SIDE_BY_SIDE = 2.0
"""Closer than about the length of a bike nobody is ahead [m]."""

_ROAD_SPEED = {"metric": 70 * KMH, "imperial": 45 * MPH}
"""Speed of the challenge, round in the reader's units [m/s]."""

_ROUND_RPM, _ENOUGH = 500, 0.97
"""The challenge asks for a round engine speed at least 3 % below that of the fitted pair."""


def bend(teeth: int) -> float:
    """How far each link bends as it runs on to a sprocket [degrees]."""
    return 360 / teeth


def bend_question(facts: Facts) -> Asked:
    """How much further a chain bends on one front tooth fewer."""
    front = facts.bike.sprockets.front
    text = (
        f"From {front} to {front - 1} front teeth: by how many per cent does each link of the "
        "chain bend further?"
    )
    return number(text, (bend(front - 1) / bend(front) - 1) * 100, "%", 1)


def bend_seen(facts: Facts) -> list[str]:
    """For the class."""
    front = facts.bike.sprockets.front
    return [
        f"{bend(front):.1f}° become {bend(front - 1):.1f}°: chain and sprocket wear faster.",
        "The chain also runs nearer to its slider and guide. Look there before you buy.",
    ]


def run_question(facts: Facts) -> Asked:
    """Which pair is ahead after some seconds at full throttle."""
    here = (RUN_TIMES == RUN_FOR).argmax()
    fitted, chosen = facts.run["run_distance"][:, here]
    options = (facts.fitted, facts.chosen, "side by side")
    ahead = 2 if abs(fitted - chosen) < _SIDE_BY_SIDE else int(chosen > fitted)
    text = (
        f"{facts.fitted} and {facts.chosen} from rest, full throttle ({where(facts)}). Who is "
        f"ahead after {RUN_FOR:.0f} s?"
    )
    return Asked(text, options, options[ahead])


def run_seen(facts: Facts) -> list[str]:
    """For the class: how far each is after some seconds."""
    said = []
    for time in (RUN_FOR, 3 * RUN_FOR):
        at = facts.run["run_distance"][:, (time == RUN_TIMES).argmax()]
        metres = [facts.said(each, "distance") for each in at]
        said.append(
            f"After {time:.0f} s: {facts.fitted} {metres[FITTED]}, {facts.chosen} {metres[CHOSEN]}."
        )
    return said


def bicycle_question(_: Facts) -> Asked:
    """What a scale at the tyre shows after a change to a smaller rear sprocket."""
    text = (
        "A weight on the level pedal, a scale at the tyre's edge. On a smaller rear sprocket it "
        "shows …"
    )
    return Asked(text, ("more", "just as much", "less"), "less")


def bicycle_seen(_: Facts) -> list[str]:
    """For the class."""
    return ["Less force at the tyre, more way for one pedal turn."]


def challenge(facts: Facts) -> tuple[float, float, float, dict[str, float]] | None:
    """Road speed [m/s], engine speed now and wanted [rpm], and that with each pair that is one
    sprocket away, the smallest change first; None where no such pair would do."""
    speed, sprockets = _ROAD_SPEED[facts.system], facts.bike.sprockets
    per_ratio = speed * 60 * float(facts.turns_per_metre(facts.bike)[-1]) / facts.chosen_ratio
    now = per_ratio * facts.fitted_ratio
    wanted = now * _ENOUGH // _ROUND_RPM * _ROUND_RPM
    fronts, rears = (
        range(low, high + 1) for low, high in (sprockets.front_sold, sprockets.rear_sold)
    )
    pairs = [(each, sprockets.rear) for each in fronts]
    pairs += [(sprockets.front, each) for each in rears]
    found = {
        f"{front}/{rear}": per_ratio * float(gearing.final_ratio(front, rear))
        for front, rear in pairs
        if (front, rear) != (sprockets.front, sprockets.rear)
    }
    found = dict(sorted(found.items(), key=lambda each: abs(each[1] / now - 1)))
    holds = facts.result.top.limit[FITTED] != Limit.CANNOT_HOLD
    if not holds or facts.result.top.speed[FITTED] < speed or min(found.values()) > wanted:
        return None
    return speed, now, wanted, found


def challenge_question(facts: Facts) -> Asked:
    """Which one sprocket keeps the engine below some revs."""
    asked = challenge(facts)
    if asked is None:
        return Asked("No single sprocket is a challenge on this bike; take another.", (), "none")
    speed, now, wanted, found = asked
    right = next(each for each, rpm in found.items() if rpm <= wanted)
    # Beside it the smallest change either way, and the largest that is still not enough.
    wrong = [
        next((each for each, rpm in found.items() if rpm > now), None),
        next((each for each, rpm in found.items() if wanted < rpm < now), None),
        next((each for each, rpm in reversed(found.items()) if wanted * 1.002 < rpm < now), None),
    ]
    options = sorted({right, *filter(None, wrong)}, key=lambda each: found[each])
    return Asked(
        f"{facts.fitted} at {facts.said(speed, 'speed')} in top gear: "
        f"{rpm_text(now)}. You want less than {rpm_text(wanted)} and buy one sprocket. Which is "
        "enough?",
        tuple(options),
        right,
    )


def challenge_seen(facts: Facts) -> list[str]:
    """For the class: the smallest change at each end that is enough."""
    asked = challenge(facts)
    if asked is None:
        return ["No single sprocket does it on this bike."]
    _, now, wanted, found = asked
    enough = [each for each, rpm in found.items() if rpm <= wanted]
    front = f"{facts.bike.sprockets.front}/"
    first = [
        next((each for each in enough if each.startswith(front) == rear), None)
        for rear in (True, False)
    ]
    return [
        "Enough: " + "; ".join(f"{each}, {rpm_text(found[each])}" for each in first if each) + ".",
        f"Price of {enough[0]}: {signed_percent(found[enough[0]] / now - 1)} pull at the same rpm.",
    ]


def recap_question(_: Facts) -> Asked:
    """The exit ticket: nothing is guessed."""
    text = "On paper: one thing to remember, one change for your bike, its price."
    return Asked(text, (), "To remember")


def recap_seen(facts: Facts) -> list[str]:
    """The take-aways of the numbered steps of the plan, as many as one screen bears."""
    steps = read_prose("lesson")["step"]
    plan = [each for each in PLANS[facts.lesson.place.plan] if each in PLANS[40]]
    kept = [each for each in plan if "name" not in steps[each - 1] and facts.shows(each)]
    return [steps[each - 1]["take_away"] for each in kept]


def recap_answer(facts: Facts) -> list[str]:
    """For the coach: what each pupil's own numbers say."""
    front, rear = facts.lesson.place.own
    teeth = gearing.rear_teeth_per_front_tooth(front, rear)
    fewer = gearing.pull_change(rear / front, rear / (front - 1))
    return [
        f"{front}/{rear}: {rear / front:.2f}. One front tooth fewer: {signed_percent(fewer)} pull, "
        f"as much as {teeth.for_one_fewer:.1f} rear teeth more. One rear tooth more: "
        f"{signed_percent(1 / rear)}."
    ]
