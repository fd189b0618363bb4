"""A sprocket moves every gear and changes no gap; a gear change moves one."""

import numpy as np

from explorer import units
from explorer.calc import gearing
from explorer.calc.vehicle import FloatArray
from explorer.charts.lesson.lesson_bars import Bar, BarsView
from explorer.study.certainty import signed_percent
from explorer.study.study import CHOSEN, FITTED
from explorer.tasks.lesson.bars import bars
from explorer.tasks.lesson.facts import Facts
from explorer.tasks.lesson.question import Asked
from explorer.tasks.lesson.step import Step


def gear_steps(facts: Facts) -> FloatArray:
    """Step from each gear to the next, less 1, with the fitted and the chosen pair (2, g) [-].

    From the overall ratios, so that it shows whether a sprocket changes a gap.
    """
    overall = facts.result.drive.overall[:, :, 0]
    return np.array([gearing.gear_steps(each) for each in overall]) - 1


def _view(facts: Facts) -> BarsView:
    """The chosen pair's change of every gear against the gaps between gears."""
    change = facts.pull_change
    every = f"{facts.chosen}, in every gear"
    drawn = [Bar(every, abs(change) * 100, signed_percent(change), strong=True)]
    for gear, step in enumerate(gear_steps(facts)[CHOSEN], start=1):
        drawn.append(Bar(f"{gear + 1}→{gear}, this step only", step * 100, f"+{step * 100:.0f} %"))
    return BarsView(tuple(drawn), f"size of the change, %, from {facts.fitted}")


class EveryGear(Step):
    """Which change of the pull is the largest."""

    number = place = 4
    minutes = (0, 0, 6)
    title = "A sprocket moves every gear, a gear change moves one"
    controls = ("front", "rear")
    watch = "Move a sprocket: the bars of the gears stay."
    take_away = "Sprockets move every gear and change no gap."
    coach = (
        "A sprocket moves every gear by the same factor, so the gaps stay as they are.",
        "A gap that hurts (one gear screams, the next bogs) is not mended by sprockets: only its "
        "place on the road moves.",
    )
    figure = bars(_view)

    def ask(self, facts):
        changes = {
            "one rear tooth more": float(facts.rear_teeth[0]),
            "one front tooth fewer": facts.front_tooth,
        }
        steps = gear_steps(facts)
        if steps.size:
            changes["one gear down, from top gear"] = float(steps[FITTED][-1])
        return Asked(
            "Which of these changes the pull most?", tuple(changes), max(changes, key=changes.get)
        )

    def seen(self, facts):
        teeth = (
            f"One rear tooth {signed_percent(float(facts.rear_teeth[0]))}, one front tooth "
            f"{signed_percent(facts.front_tooth)}"
        )
        steps = gear_steps(facts)[FITTED]
        if not steps.size:
            return [f"{teeth}. This bike has a single gear."]
        gaps = units.ends(steps.min() * 100, steps.max() * 100, 0, units.rounded)
        return [f"{teeth}, one gear down {gaps} %, from top gear {steps[-1] * 100:.0f} %."]
