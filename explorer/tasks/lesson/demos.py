"""The live demonstration of each step: which chart it is, and what the chart shows."""

import json
import re
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
from markupsafe import Markup

from explorer import units
from explorer.app import gearing_views
from explorer.app.parts import Figure
from explorer.calc import gearing
from explorer.calc.sprockets import chordal_speed_variation
from explorer.charts import palette
from explorer.charts.fit import slack_chart
from explorer.charts.fit.slack_chart import SlackView
from explorer.charts.gearing import pull_chart, shift_chart, tradeoff_chart
from explorer.charts.gearing.tradeoff_chart import TradeoffView
from explorer.charts.lesson import lesson_bars, lesson_lever
from explorer.charts.lesson.lesson_bars import Bar, BarsView
from explorer.charts.lesson.lesson_lever import LeverView
from explorer.charts.lesson.lesson_size import enlarge
from explorer.panels.html import page_link
from explorer.records.bikes.bike import Bike
from explorer.records.setups.link import encode
from explorer.records.setups.setup import Setup
from explorer.study.certainty import signed_percent
from explorer.study.study import CHOSEN
from explorer.study.table import RUN_TIMES
from explorer.study.wording import engine_speed as rpm_text
from explorer.study.wording import ordinal
from explorer.tasks.fit.views import slack_view
from explorer.tasks.lesson.facts import Facts
from explorer.tasks.lesson.interludes import bend, challenge
from explorer.tasks.lesson.link import CHALLENGE, RECAP, SMALL_FRONT
from explorer.units import RPM

_LONGEST_NAME = 60
"""Of a bike [characters]."""

_BASIS = {
    "manual": "your manual's value",
    "tightest": "your slack at the tightest",
    "taut": "shape only, no setting",
}
"""What the curves of the slack start from."""


class Shown:
    """A demonstration on the page: its figure, and what it says in words.

    Args:
        options: What the question offers; where they are pairs and every pair is drawn, the chart
            marks them.

    Attributes:
        figure: The figure; None where nothing can be shown.
    """

    def __init__(
        self,
        step: int,
        facts: Facts,
        large: bool,
        on_pick: Callable[[int, int], None],
        options: tuple[str, ...] = (),
    ) -> None:
        self._demo = DEMONSTRATIONS.get(step)
        found = (re.fullmatch(r"(\d+)/(\d+)", each) for each in options)
        self._offered = tuple((int(each[1]), int(each[2])) for each in found if each)
        self._view = self._seen(facts)
        self._chart = self.figure = None
        if self._view is not None:
            pick = (on_pick,) if isinstance(self._view, TradeoffView) else ()
            self._chart = self._demo.chart(self._view, *pick)
            self.figure = enlarge(self._chart.figure) if large else self._chart.figure

    @property
    def words(self) -> str:
        """What the chart shows, in sentences."""
        return "" if self._view is None else self._demo.describe(self._view)

    def update(self, facts: Facts) -> None:
        """Show other numbers in the same figure."""
        self._view = self._seen(facts)
        if self._chart is not None and self._view is not None:
            self._chart.update(self._view)

    def _seen(self, facts: Facts) -> Any:
        view = self._demo and self._demo.view(facts)
        return replace(view, offered=self._offered) if isinstance(view, TradeoffView) else view


def lever_view(facts: Facts) -> LeverView:
    """Step 1: both arms with the chosen pair."""
    lever, system = facts.lever, facts.system
    per_length, unit = units.display(1.0, "length", system)
    per_force, force_unit = units.display(1.0, "force", system)
    return LeverView(
        front=facts.setup.front,
        rear=facts.setup.rear,
        front_radius=float(lever.front_radius[CHOSEN]) * per_length,
        rear_radius=float(lever.rear_radius[CHOSEN]) * per_length,
        wheel_radius=float(lever.wheel_radius[CHOSEN]) * per_length,
        turned=facts.lesson.place.turned,
        tension=float(lever.tension[CHOSEN]) * per_force,
        pull=float(lever.pull[CHOSEN]) * per_force,
        unit=unit,
        force_unit=force_unit,
        decimals=0 if system == "metric" else 1,
    )


def _change(name: str, share: float, strong: bool = False) -> Bar:
    """A bar in per cent, of either sign."""
    return Bar(name, share * 100, signed_percent(share), strong=strong)


def teeth_view(facts: Facts) -> BarsView:
    """Step 2: one front tooth fewer against some rear teeth more."""
    bars = [_change("one front tooth fewer", facts.front_tooth, strong=True)]
    for count, change in enumerate(map(float, facts.rear_teeth), start=1):
        name = "1 rear tooth more" if count == 1 else f"{count} rear teeth more"
        bars.append(_change(name, change))
    return BarsView(tuple(bars), f"change of the pull, %, from {facts.fitted}")


def two_numbers_view(facts: Facts) -> BarsView:
    """Step 3: pull and speed."""
    bars = (
        _change("pull at the tyre", facts.pull_change, strong=True),
        _change("speed at the same rpm", facts.speed_change),
    )
    return BarsView(bars, f"change, %, from {facts.fitted} to {facts.chosen}")


def gears_view(facts: Facts) -> BarsView:
    """Step 4: the chosen pair's change of every gear against the gaps between gears."""
    change = facts.pull_change
    every = f"{facts.chosen}, in every gear"
    bars = [Bar(every, abs(change) * 100, signed_percent(change), strong=True)]
    for gear, step in enumerate(facts.gear_steps[CHOSEN], start=1):
        bars.append(Bar(f"{gear}→{gear + 1}, this step only", step * 100, f"{step * 100:.0f} %"))
    return BarsView(tuple(bars), f"size of the change, %, from {facts.fitted}")


def overall_view(facts: Facts) -> BarsView:
    """Step 5: engine turns for a metre, two bikes with one pair."""
    bars = []
    for which in (0, -1):
        for bike in (facts.bike, facts.other):
            turns = float(facts.turns_per_metre(bike)[which])
            gear = "1st gear" if which == 0 else "top gear"
            bars.append(
                Bar(f"{bike.name}, {gear}", turns, f"{turns:.1f}", strong=bike is facts.bike)
            )
    axis = f"engine turns for a metre of road, both with {facts.chosen}"
    return BarsView(tuple(bars), axis)


def one_speed_view(facts: Facts) -> BarsView:
    """Step 6: pull in every gear at one road speed, with torque and power."""
    here, system = facts.at_one_speed, facts.system
    per_force, unit = units.display(1.0, "force", system)
    hardest = int(np.argmax(here.pull)) if here.gears.size else -1
    bars = []
    for index, gear in enumerate(here.gears):
        each = (here.torque, "torque"), (here.power, "power"), (here.pull, "force")
        said = [rpm_text(here.engine_speed[index] / RPM)]
        said += [facts.said(values[index], kind) for values, kind in each]
        pull = float(here.pull[index]) * per_force
        bars.append(Bar(ordinal(int(gear)), pull, " · ".join(said), strong=index == hardest))
    speed = facts.said(here.speed, "speed")
    return BarsView(tuple(bars), f"pull of the engine at the tyre, {unit}, at {speed}")


def slack_demo(facts: Facts) -> SlackView | None:
    """Step 9: slack over the travel; None where the swingarm is not known."""
    slack = facts.slack
    if slack is None:
        return None
    travel = min(facts.lesson.place.travel, float(slack.heights[-1]))
    view = slack_view(slack, travel, _BASIS, facts.system)
    return replace(view, measured=slack.basis != "taut")


def bend_view(facts: Facts) -> BarsView:
    """How far a link bends, and how unevenly it runs, from the fitted front sprocket down."""
    front, chosen = facts.bike.sprockets.front, facts.setup.front
    bars = []
    for teeth in sorted({front, front - 1, front - 2, chosen}, reverse=True):
        swing = float(chordal_speed_variation(teeth)) * 100
        said = f"{bend(teeth):.1f}°, speed drops by {swing:.1f} % in each tooth"
        bars.append(Bar(f"{teeth} teeth", bend(teeth), said, strong=teeth == chosen))
    return BarsView(tuple(bars), "bend of each link on the front sprocket, degrees")


def challenge_view(facts: Facts) -> BarsView | None:
    """Engine speed in top gear, fitted and chosen, and the one that is wanted."""
    asked = challenge(facts)
    if asked is None:
        return None
    speed, now, wanted, _ = asked
    chosen = now * facts.chosen_ratio / facts.fitted_ratio
    shown = {f"fitted {facts.fitted}": now, "limit": wanted, facts.chosen: chosen}
    bars = [
        Bar(name, rpm, rpm_text(rpm), strong=name == facts.chosen) for name, rpm in shown.items()
    ]
    at = facts.said(speed, "speed")
    return BarsView(tuple(bars), f"engine speed in top gear at {at}, rpm")


def own_view(facts: Facts) -> BarsView:
    """One tooth more or fewer on a pupil's own bike."""
    front, rear = facts.lesson.place.own
    old = rear / front
    bars = []
    for name, new in (
        ("one front tooth fewer", rear / (front - 1)),
        ("one rear tooth more", (rear + 1) / front),
    ):
        bars.append(_change(name, float(gearing.pull_change(old, new)), strong=not bars))
    return BarsView(tuple(bars), f"change of the pull, %, from {front}/{rear} = {old:.2f}")


def run_html(facts: Facts) -> Markup:
    """The runs of both pairs for the bench's player (lesson_stage.js): it plays and sounds them."""
    drive, run = facts.result.drive, facts.run
    per_speed = drive.overall[:, :, 0] / drive.radius[:, :, 0]
    runs = []
    for index, name in enumerate((facts.fitted, facts.chosen)):
        turning = run["run_speed"][index] * per_speed[index, run["run_gear"][index]]
        rpm = np.maximum(turning, drive.launch_speed.item()) / RPM
        runs.append(
            {
                "name": name,
                "distance": run["run_distance"][index].round(2).tolist(),
                "speed": run["run_speed"][index].round(2).tolist(),
                "rpm": rpm.round().tolist(),
            }
        )
    told = {
        "times": RUN_TIMES.tolist(),
        "firings": facts.bike.engine.firings,
        "distance": units.display(1.0, "distance", facts.system),
        "colours": [palette.FITTED, palette.CHOSEN],
        "runs": runs,
    }
    return Markup(
        '<div class="ge-run" data-runs="{}"><button type="button" class="bn-run" data-run hidden>'
        'Run it</button><div class="bn-charts"></div></div>'
    ).format(json.dumps(told))


def own_html(facts: Facts, base: Bike) -> Markup:
    """The way on from a pupil's own teeth: the bench with them, where the rest is entered; `base`
    is the bike of the library from which that of the lesson came."""
    front, rear = facts.lesson.place.own
    other_pair = "sprockets.front_sold", "sprockets.rear_sold", "chain.links", "fit.centre_distance"
    own = dict.fromkeys(other_pair, "")  # sold, counted and measured for another pair
    own |= {"sprockets.front": str(front), "sprockets.rear": str(rear)}
    own["name"] = f"{front}/{rear} on {facts.bike.name}"[:_LONGEST_NAME]
    bike = facts.bike.with_changes(own)
    setup = Setup.for_bike(facts.setup.bike_id, bike).changed(units=facts.system)
    query = encode(setup, base, bike)
    taken = page_link("gearing", query, f"{front}/{rear} on the bench")
    return Markup('<p class="ge-line">{}</p>').format(taken)


def _bars(view: Callable[[Facts], BarsView | None]) -> Figure:
    return Figure(lesson_bars.LessonBars, lesson_bars.describe, view)


DEMONSTRATIONS = {
    1: Figure(lesson_lever.LeverChart, lesson_lever.describe, lever_view),
    2: _bars(teeth_view),
    3: _bars(two_numbers_view),
    4: _bars(gears_view),
    5: _bars(overall_view),
    6: _bars(one_speed_view),
    7: Figure(
        shift_chart.ShiftChart,
        shift_chart.describe,
        lambda facts: gearing_views.shift_view(facts.result),
    ),
    8: Figure(
        pull_chart.PullChart,
        pull_chart.describe,
        lambda facts: gearing_views.pull_view(facts.result),
    ),
    9: Figure(slack_chart.SlackChart, slack_chart.describe, slack_demo),
    SMALL_FRONT: _bars(bend_view),
    CHALLENGE: _bars(challenge_view),
    RECAP: _bars(own_view),
    # Every pair, crossed out where the chain does not allow it.
    10: Figure(
        tradeoff_chart.TradeoffChart,
        tradeoff_chart.describe,
        lambda facts: gearing_views.tradeoff_view(facts.result, facts.measured),
    ),
}
"""How each step is shown; a view is None where it cannot be computed."""
