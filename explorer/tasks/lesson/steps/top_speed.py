"""Real top speed against the speed of the table."""

from dataclasses import replace

from explorer import units
from explorer.app import gearing_views
from explorer.app.parts import Figure
from explorer.calc.drivetrain.top_speed import Limit, TopSpeed
from explorer.charts.gearing import pull_chart
from explorer.study.study import CHOSEN, Study
from explorer.study.wording import LIMIT_WORDS, ordinal
from explorer.tasks.lesson.facts import Facts, kept
from explorer.tasks.lesson.question import Asked, number
from explorer.tasks.lesson.step import Step


@kept
def taller(facts: Facts) -> tuple[float, float, TopSpeed]:
    """With one front tooth more than chosen: final drive ratio [-], speed at the rev limit in
    top gear [m/s], and top speed."""
    pair = replace(facts.result.fitments[CHOSEN], front=facts.setup.front + 1)
    study = Study(facts.bike, facts.setup, (pair,))
    return float(study.ratios[0]), float(study.limiter_speeds[0, -1]), study.top


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
        value, unit = units.display(float(top.speed[CHOSEN]), "speed", system)
        return number(
            f"{facts.instead}: at the rev limit {gear} runs "
            f"{facts.said(facts.fastest_geared, 'speed')}. How fast does the bike really go "
            f"({facts.where})?",
            float(value),
            unit,
            0,
            trap=units.display(facts.fastest_geared, "speed", system)[0],
        )

    def seen(self, facts):
        top, (_, geared, then) = facts.result.top, taller(facts)
        if top.limit[CHOSEN] == Limit.CANNOT_HOLD:
            return ["No gear holds a steady speed on this ground."]
        limit = f"The limit is {LIMIT_WORDS[Limit(int(top.limit[CHOSEN]))]}."
        if then.limit[0] == Limit.CANNOT_HOLD:
            return [limit, "With one front tooth more no gear holds a steady speed."]
        reached, promised = facts.said(then.speed[0], "speed"), facts.said(geared, "speed")
        though = "" if reached == promised else f", though the rev limit would allow {promised}"
        return [limit, f"With one front tooth more: {reached}{though}."]

    def more(self, facts):
        """What the table promises for one front tooth more."""
        geared, system = taller(facts)[1], facts.system
        # Of the speeds as they are printed, or a class would not find the difference.
        before, after = (
            round(units.display(each, "speed", system)[0])
            for each in (facts.fastest_geared, geared)
        )
        return [
            f"With one front tooth more, taller, the table promises {after - before} "
            f"{units.display(0.0, 'speed', system)[1]} more, {facts.said(geared, 'speed')} at "
            "the rev limit.",
        ]
