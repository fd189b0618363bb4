"""Real top speed against the speed of the table."""

from dataclasses import replace
from typing import NamedTuple

from explorer import units
from explorer.app import gearing_views
from explorer.app.parts import Figure
from explorer.calc.drivetrain.top_speed import Limit
from explorer.charts.gearing import pull_chart
from explorer.study.study import CHOSEN, Study
from explorer.study.wording import LIMIT_WORDS, ordinal
from explorer.tasks.lesson.facts import Facts, kept
from explorer.tasks.lesson.question import Asked, number
from explorer.tasks.lesson.step import Step

_REACHED = 0.99
"""A top speed beyond this share of what the rev limit allows counts as that [-]."""

_CLEAR = 0.95
"""A top speed below this share of what the rev limit would allow is clearly less [-]."""

_MOST_TEETH = 8
"""Front teeth more than chosen that are looked at [count]."""


class Taller(NamedTuple):
    """With some front teeth more than chosen: how many, speed at the rev limit in top gear and top
    speed [m/s], and what limits that."""

    teeth: int
    geared: float
    reached: float
    limit: Limit

    @property
    def said(self) -> str:
        """How many teeth more."""
        return "one front tooth more" if self.teeth == 1 else f"{self.teeth} front teeth more"


@kept
def taller(facts: Facts) -> list[Taller]:
    """With one front tooth more than chosen, with two, and so on."""
    more = range(1, _MOST_TEETH + 1)
    pairs = [
        replace(facts.result.fitments[CHOSEN], front=facts.setup.front + teeth) for teeth in more
    ]
    study = Study(facts.bike, facts.setup, tuple(pairs))
    columns = study.limiter_speeds[:, -1].tolist(), study.top.speed.tolist(), study.top.limit
    return [Taller(*row, Limit(int(limit))) for *row, limit in zip(more, *columns, strict=True)]


def _as_the_table_says(facts: Facts) -> bool:
    """Whether the chosen pair runs to the rev limit in top gear: there is nothing to find then."""
    return bool(facts.result.top.speed[CHOSEN] > _REACHED * facts.fastest_geared)


def looked_at(facts: Facts) -> Taller:
    """One front tooth more; where top gear runs to the rev limit, so many that it clearly does
    not."""
    found = taller(facts)
    if not _as_the_table_says(facts):
        return found[0]
    return next((each for each in found if 0 < each.reached < _CLEAR * each.geared), found[0])


class TopSpeedOnPower(Step):
    """Where power is the limit, taller is not faster by itself."""

    number = place = 8
    minutes = (4, 4, 7)
    title = "Top speed where power is the limit"
    controls = ("front", "rear", "slope")
    watch = "Gear taller, or tilt the ground: where does pull meet resistance?"
    take_away = "Revs, power or ground: find what limits top speed."
    coach = (
        "Where power is the limit, taller is faster only if it lets the engine give more power at "
        "that road speed. Past that, top gear only lowers the revs.",
        "Common answer: the speed at the rev limit, or “taller is faster”.",
    )
    figure = Figure(
        pull_chart.PullChart,
        pull_chart.describe,
        lambda facts: gearing_views.pull_view(facts.result),
    )

    def ask(self, facts):
        system, top = facts.system, facts.result.top
        gear = ordinal(facts.result.drive.gears)
        if top.limit[CHOSEN] == Limit.CANNOT_HOLD:
            asked = f"{facts.instead}: does any gear hold a steady speed ({facts.where})?"
            return Asked(asked, ("yes", "no"), "no")
        geared, reached, pair = facts.fastest_geared, float(top.speed[CHOSEN]), facts.instead
        more = looked_at(facts)
        if _as_the_table_says(facts) and more.reached:
            # Only taller there is something to find.
            geared, reached, pair = more.geared, more.reached, f"{facts.chosen} with {more.said}"
        value, unit = units.display(reached, "speed", system)
        return number(
            f"{pair}: at the rev limit {gear} runs {facts.said(geared, 'speed')}. How fast does "
            f"the bike really go ({facts.where})?",
            float(value),
            unit,
            0,
            trap=units.display(geared, "speed", system)[0],
        )

    def seen(self, facts):
        top, more = facts.result.top, looked_at(facts)
        if top.limit[CHOSEN] == Limit.CANNOT_HOLD:
            return ["No gear holds a steady speed on this ground."]
        limit = f"The limit is {LIMIT_WORDS[Limit(int(top.limit[CHOSEN]))]}."
        if _as_the_table_says(facts):
            reached = facts.said(top.speed[CHOSEN], "speed")
            limit = f"{facts.chosen} runs to the rev limit, {reached}."
        if more.limit == Limit.CANNOT_HOLD:
            return [limit, f"With {more.said} no gear holds a steady speed."]
        reached, promised = (facts.said(each, "speed") for each in (more.reached, more.geared))
        though = "" if reached == promised else f", though the rev limit would allow {promised}"
        return [limit, f"With {more.said}: {reached}{though}."]

    def more(self, facts):
        """What the table promises taller."""
        more, system = looked_at(facts), facts.system
        # Of the speeds as they are printed, or a class would not find the difference.
        before, after = (
            round(units.display(each, "speed", system)[0])
            for each in (facts.fastest_geared, more.geared)
        )
        return [
            f"With {more.said}, taller, the table promises {after - before} "
            f"{units.display(0.0, 'speed', system)[1]} more, {facts.said(more.geared, 'speed')} at "
            "the rev limit.",
        ]
