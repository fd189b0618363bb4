"""Which one sprocket keeps the engine below some revs."""

from typing import NamedTuple

from explorer.calc import gearing
from explorer.calc.drivetrain.top_speed import Limit
from explorer.charts.lesson.lesson_bars import Bar, BarsView
from explorer.study.certainty import signed_percent
from explorer.study.study import FITTED
from explorer.study.wording import engine_speed as rpm_text
from explorer.tasks.lesson.bars import bars
from explorer.tasks.lesson.facts import Facts
from explorer.tasks.lesson.question import Asked
from explorer.tasks.lesson.step import Step
from explorer.units import KMH, MPH

_ROAD_SPEED = {"metric": 70 * KMH, "imperial": 45 * MPH}
"""Speed of the challenge, round in the reader's units [m/s]."""

_TOLD_APART = 0.01
"""Engine speeds closer to the limit than this are neither enough nor not enough [-]."""

_ROUND_RPM, _ENOUGH = 500, 0.97
"""The challenge asks for a round engine speed at least 3 % below that of the fitted pair."""


class Task(NamedTuple):
    """Road speed [m/s], engine speed now and wanted [rpm], and that with each pair that is one
    sprocket away [rpm], the smallest change first."""

    speed: float
    now: float
    wanted: float
    found: dict[str, float]


def _task(facts: Facts) -> Task | None:
    """None where no such pair would do."""
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
    found = {each: rpm for each, rpm in found.items() if abs(rpm / wanted - 1) > _TOLD_APART}
    found = dict(sorted(found.items(), key=lambda each: abs(each[1] / now - 1)))
    holds = facts.result.top.limit[FITTED] != Limit.CANNOT_HOLD
    if (
        not holds
        or facts.result.top.speed[FITTED] < speed
        or min(found.values(), default=now) > wanted
    ):
        return None
    return Task(speed, now, wanted, found)


def _view(facts: Facts) -> BarsView | None:
    """Engine speed in top gear, fitted and chosen, and the one that is wanted."""
    task = _task(facts)
    if task is None:
        return None
    chosen = task.now * facts.chosen_ratio / facts.fitted_ratio
    shown = {f"fitted {facts.fitted}": task.now, "limit": task.wanted, facts.chosen: chosen}
    drawn = [
        Bar(name, rpm, rpm_text(rpm), strong=name == facts.chosen) for name, rpm in shown.items()
    ]
    at = facts.said(task.speed, "speed")
    return BarsView(tuple(drawn), f"engine speed in top gear at {at}, rpm")


class Challenge(Step):
    """One sprocket to buy."""

    number, place = 14, 10.5
    minutes = (0, 2, 5)
    name = "Challenge"
    title = "one sprocket to buy"
    controls = ("front", "rear")
    watch = "Change one sprocket only, until the lower bar is below the limit."
    take_away = "Say the speed and the revs: the ratio follows."
    coach = (
        "Ask what must be looked at before buying: does a larger front sprocket clear its cover, "
        "is the chain long enough, does the engine still pull top gear there?",
    )
    figure = bars(_view)

    def ask(self, facts):
        task = _task(facts)
        if task is None:
            none = "No single sprocket is a challenge on this bike; take another."
            return Asked(none, (), "none")
        speed, now, wanted, found = task
        right = next(each for each, rpm in found.items() if rpm <= wanted)
        # Beside it the smallest change either way, and the largest that is still not enough.
        wrong = [
            next((each for each, rpm in found.items() if rpm > now), None),
            next((each for each, rpm in found.items() if wanted < rpm < now), None),
            next((each for each, rpm in reversed(found.items()) if wanted < rpm < now), None),
        ]
        options = sorted({right, *filter(None, wrong)}, key=lambda each: found[each])
        return Asked(
            f"{facts.fitted} at {facts.said(speed, 'speed')} in top gear: "
            f"{rpm_text(now)}. You want less than {rpm_text(wanted)} and buy one sprocket. Which "
            "is enough?",
            tuple(options),
            right,
        )

    def seen(self, facts):
        """The smallest change at each end that is enough."""
        task = _task(facts)
        if task is None:
            return ["No single sprocket does it on this bike."]
        _, now, wanted, found = task
        enough = [each for each, rpm in found.items() if rpm <= wanted]
        front = f"{facts.bike.sprockets.front}/"
        first = [
            next((each for each in enough if each.startswith(front) == rear), None)
            for rear in (True, False)
        ]
        said = "; ".join(f"{each}, {rpm_text(found[each])}" for each in first if each)
        price = signed_percent(found[enough[0]] / now - 1)
        return [f"Enough: {said}.", f"Price of {enough[0]}: {price} pull at the same rpm."]
