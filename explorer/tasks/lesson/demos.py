"""The live demonstration of each step: which chart it is, and what the chart shows."""

import json
import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from types import ModuleType
from typing import Any

import numpy as np
from markupsafe import Markup

from explorer import units
from explorer.app import gearing_views
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
from explorer.study.study import CHOSEN, FITTED
from explorer.study.table import RUN_TIMES
from explorer.study.wording import engine_speed as rpm_text
from explorer.study.wording import ordinal
from explorer.tasks.fit.views import slack_view
from explorer.tasks.lesson.facts import Facts
from explorer.tasks.lesson.interludes import bend, challenge
from explorer.tasks.lesson.link import CHALLENGE, RECAP, SMALL_FRONT
from explorer.tasks.lesson.words import pair
from explorer.units import RPM

_LONGEST_NAME = 60
"""Of a bike [characters]."""

_BASIS = {
    "manual": "your manual's value",
    "tightest": "your slack at the tightest",
    "taut": "shape only, no setting",
}
"""What the curves of the slack start from."""


@dataclass(frozen=True)
class Demonstration:
    """How one step is shown.

    Attributes:
        module: Chart module with `describe`.
        chart: Makes the chart from a view and a callback for picking a pair.
        view: What the chart shows; None where it cannot be computed.
    """

    module: ModuleType
    chart: Callable[[Any, Callable[[int, int], None]], Any]
    view: Callable[[Facts], Any]


class Shown:
    """A demonstration on the page: its figure, and what it says in words.

    Args:
        step: Number of the step, from 1.
        facts: The numbers to begin with.
        large (bool): Whether letters and lines are large.
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
        self._demo = DEMONSTRATIONS.get(step, _NOTHING)
        found = (re.fullmatch(r"(\d+)/(\d+)", each) for each in options)
        self._offered = tuple((int(each[1]), int(each[2])) for each in found if each)
        self._view = self._seen(facts)
        self._chart = None if self._view is None else self._demo.chart(self._view, on_pick)
        self.figure = None
        if self._chart is not None:
            self.figure = enlarge(self._chart.figure) if large else self._chart.figure

    @property
    def words(self) -> str:
        """What the chart shows, in sentences."""
        return "" if self._view is None else self._demo.module.describe(self._view)

    def update(self, facts: Facts) -> None:
        """Show other numbers in the same figure."""
        self._view = self._seen(facts)
        if self._chart is not None and self._view is not None:
            self._chart.update(self._view)

    def _seen(self, facts: Facts) -> Any:
        view = self._demo.view(facts)
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


def teeth_view(facts: Facts) -> BarsView:
    """Step 2: one front tooth fewer against some rear teeth more."""
    front, *rears = (facts.front_tooth, *map(float, facts.rear_teeth))
    bars = [Bar("one front tooth fewer", front * 100, signed_percent(front), strong=True)]
    for count, change in enumerate(rears, start=1):
        name = "1 rear tooth more" if count == 1 else f"{count} rear teeth more"
        bars.append(Bar(name, change * 100, signed_percent(change)))
    return BarsView(tuple(bars), f"change of the pull, %, from {pair(facts, FITTED)}")


def two_numbers_view(facts: Facts) -> BarsView:
    """Step 3: pull and speed."""
    pull, speed = facts.pull_change, facts.speed_change
    return BarsView(
        (
            Bar("pull at the tyre", pull * 100, signed_percent(pull), strong=True),
            Bar("speed at the same rpm", speed * 100, signed_percent(speed)),
        ),
        f"change, %, from {pair(facts, FITTED)} to {pair(facts, CHOSEN)}",
    )


def gears_view(facts: Facts) -> BarsView:
    """Step 4: the chosen pair's change of every gear against the gaps between gears."""
    change = facts.pull_change
    bars = [
        Bar(
            f"{pair(facts, CHOSEN)}, in every gear",
            abs(change) * 100,
            signed_percent(change),
            strong=True,
        )
    ]
    for gear, step in enumerate(facts.gear_steps[CHOSEN], start=1):
        bars.append(Bar(f"{gear}→{gear + 1}, this step only", step * 100, f"{step * 100:.0f} %"))
    return BarsView(tuple(bars), f"size of the change, %, from {pair(facts, FITTED)}")


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
    axis = f"engine turns for a metre of road, both with {pair(facts, CHOSEN)}"
    return BarsView(tuple(bars), axis)


def one_speed_view(facts: Facts) -> BarsView:
    """Step 6: pull in every gear at one road speed, with torque and power."""
    here, system = facts.at_one_speed, facts.system
    per_force, unit = units.display(1.0, "force", system)
    hardest = int(np.argmax(here.pull)) if here.gears.size else -1
    bars = []
    for index, gear in enumerate(here.gears):
        said = " · ".join(
            [
                rpm_text(here.engine_speed[index] / RPM),
                units.text(float(here.torque[index]), "torque", system),
                units.text(float(here.power[index]), "power", system),
                units.text(float(here.pull[index]), "force", system),
            ]
        )
        pull = float(here.pull[index]) * per_force
        bars.append(Bar(ordinal(int(gear)), pull, said, strong=index == hardest))
    speed = units.text(here.speed, "speed", system)
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
    bars = [
        Bar(name, rpm, rpm_text(rpm), strong=name == pair(facts, CHOSEN))
        for name, rpm in (
            (f"fitted {pair(facts, FITTED)}", now),
            ("limit", wanted),
            (pair(facts, CHOSEN), chosen),
        )
    ]
    at = units.text(speed, "speed", facts.system)
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
        change = float(gearing.pull_change(old, new))
        bars.append(Bar(name, change * 100, signed_percent(change), strong=not bars))
    return BarsView(tuple(bars), f"change of the pull, %, from {front}/{rear} = {old:.2f}")


def run_html(facts: Facts) -> Markup:
    """The runs of both pairs for the bench's player (lesson_stage.js): it plays and sounds them."""
    drive, run = facts.result.drive, facts.run
    per_speed = drive.overall[:, :, 0] / drive.radius[:, :, 0]
    runs = []
    for index in (FITTED, CHOSEN):
        turning = run["run_speed"][index] * per_speed[index, run["run_gear"][index]]
        rpm = np.maximum(turning, drive.launch_speed.item()) / RPM
        runs.append(
            {
                "name": pair(facts, index),
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
    """The way on from a pupil's own teeth: the bench with them, where the rest is entered.

    Args:
        base: The bike of the library from which that of the lesson came.
    """
    front, rear = facts.lesson.place.own
    own = {
        "name": f"{front}/{rear} on {facts.bike.name}"[:_LONGEST_NAME],
        "sprockets.front": str(front),
        "sprockets.rear": str(rear),
        # Sold, counted and measured for another pair.
        "sprockets.front_sold": "",
        "sprockets.rear_sold": "",
        "chain.links": "",
        "fit.centre_distance": "",
    }
    bike = facts.bike.with_changes(own)
    query = encode(
        Setup.for_bike(facts.setup.bike_id, bike).changed(units=facts.system), base, bike
    )
    taken = page_link("gearing", query, f"{front}/{rear} on the bench")
    return Markup('<p class="ge-line">{}</p>').format(taken)


def tradeoff_view(facts: Facts) -> TradeoffView:
    """Step 10: every pair, crossed out where the chain does not allow it."""
    return gearing_views.tradeoff_view(facts.result, facts.measured)


def _plain(chart: Callable) -> Callable:
    return lambda view, on_pick: chart(view)


_BARS = _plain(lesson_bars.LessonBars)

_NOTHING = Demonstration(lesson_bars, _BARS, lambda facts: None)

DEMONSTRATIONS = {
    1: Demonstration(lesson_lever, _plain(lesson_lever.LeverChart), lever_view),
    2: Demonstration(lesson_bars, _BARS, teeth_view),
    3: Demonstration(lesson_bars, _BARS, two_numbers_view),
    4: Demonstration(lesson_bars, _BARS, gears_view),
    5: Demonstration(lesson_bars, _BARS, overall_view),
    6: Demonstration(lesson_bars, _BARS, one_speed_view),
    7: Demonstration(
        shift_chart,
        _plain(shift_chart.ShiftChart),
        lambda facts: gearing_views.shift_view(facts.result),
    ),
    8: Demonstration(
        pull_chart,
        _plain(pull_chart.PullChart),
        lambda facts: gearing_views.pull_view(facts.result),
    ),
    9: Demonstration(slack_chart, _plain(slack_chart.SlackChart), slack_demo),
    SMALL_FRONT: Demonstration(lesson_bars, _BARS, bend_view),
    CHALLENGE: Demonstration(lesson_bars, _BARS, challenge_view),
    RECAP: Demonstration(lesson_bars, _BARS, own_view),
    10: Demonstration(tradeoff_chart, tradeoff_chart.TradeoffChart, tradeoff_view),
}
