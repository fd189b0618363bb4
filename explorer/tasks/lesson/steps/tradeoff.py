"""The best pair in one thing among those that are good enough in the other."""

from typing import NamedTuple

import numpy as np

from explorer import units
from explorer.app import gearing_views
from explorer.app.gearing_views import measure_name, measure_scale
from explorer.app.parts import Figure
from explorer.charts.gearing import tradeoff_chart
from explorer.tasks.gearing.words import certainty_sentences
from explorer.tasks.lesson.facts import Facts, kept
from explorer.tasks.lesson.question import Asked
from explorer.tasks.lesson.step import Step

_ROUND_SPEED = 5
"""Speeds asked for are multiples of this in the reader's unit."""

_CLEAR = 0.03
"""Values further apart than this can be told from each other in a question [-]."""


class Need(NamedTuple):
    """A speed that is needed, and pairs of which one is best in the measure and reaches it.

    Attributes:
        speed: Speed needed, round in the reader's units [m/s].
        options: Front and rear teeth, top speed [m/s] and measure [SI] of each, the slowest first.
        right: Which of them is the answer.
    """

    speed: float
    options: tuple[tuple[int, int, float, float], ...]
    right: int


@kept
def need(facts: Facts) -> Need | None:
    """A speed to reach, half way between the fitted pair's and that of the best in the measure;
    None where the best pairs are too close to call."""
    pairs = facts.result.pairs.tradeoff
    front, rear, speed, value = (
        np.ravel(each) for each in (pairs.front, pairs.rear, pairs.top_speed, pairs.value)
    )
    sprockets = facts.bike.sprockets
    fitted = np.flatnonzero((front == sprockets.front) & (rear == sprockets.rear))
    line = np.flatnonzero(np.ravel(pairs.best_compromise) & np.isfinite(value))
    if not fitted.size or not line.size:
        return None
    line = line[np.argsort(speed[line], kind="stable")]
    per_unit, _ = units.display(1.0, "speed", facts.system)
    half_way = (speed[line[0]] + speed[fitted[0]]) / 2 * per_unit
    asked = round(half_way / _ROUND_SPEED) * _ROUND_SPEED / per_unit
    short = line[speed[line] < asked * (1 - _CLEAR)]
    enough = line[speed[line] >= asked * (1 + _CLEAR / 2)]
    if not short.size or not enough.size:
        return None
    right = enough[0]
    # Beside it the shortest, the last that does not reach it, and a taller one: the fitted
    # pair, or the tallest.
    taller = [each for each in (fitted[0], line[-1]) if speed[each] >= speed[right]]
    taller = [each for each in taller if abs(value[each] / value[right] - 1) > _CLEAR][:1]
    if not taller or abs(value[short[0]] / value[right] - 1) < _CLEAR:
        return None
    options = sorted({short[0], short[-1], right, *taller}, key=lambda each: speed[each])
    return Need(
        speed=asked,
        options=tuple(
            (int(front[each]), int(rear[each]), float(speed[each]), float(value[each]))
            for each in options
        ),
        right=options.index(right),
    )


def _reached(facts: Facts, found: Need) -> list[str]:
    """What each option reaches, from the shortest: "13/50: 92 km/h, 5.2 km/h"."""
    factor, unit, decimals = measure_scale(facts.setup)
    return [
        f"{front}/{rear}: {facts.said(speed, 'speed')}, {value * factor:.{decimals}f} {unit}"
        for front, rear, speed, value in found.options
    ]


class ReadingTheTradeoff(Step):
    """The best pair for a need."""

    number = place = 10
    minutes = (0, 3, 6)
    title = "Reading the trade-off"
    controls = ("front", "rear", "measure")
    watch = "Each point is a pair: what does a gain cost?"
    take_away = "Say what you need first: each gain costs something."
    coach = (
        "Let two pupils with different needs choose: both can be right.",
        "Before any sprocket come clutch, tyre pressure and technique.",
    )
    # Every pair, crossed out where the chain does not allow it.
    figure = Figure(
        tradeoff_chart.TradeoffChart,
        tradeoff_chart.describe,
        lambda facts: gearing_views.tradeoff_view(facts.result, facts.measured),
    )

    def shows(self, facts):
        return need(facts) is not None

    def ask(self, facts):
        found, said = need(facts), f"“{measure_name(facts.setup)}”"
        if found is None:
            close = f"The best pairs are too close together to choose between ({facts.where})"
            return Asked(f"{close}: there is nothing to guess.", ("none",), "none")
        speed = facts.said(found.speed, "speed")
        options = tuple(f"{front}/{rear}" for front, rear, *_ in found.options)
        return Asked(
            f"You need a top speed of {speed} ({facts.where}). Which pair reaches it and is best "
            f"in {said}?",
            options,
            options[found.right],
        )

    def seen(self, facts):
        found = need(facts)
        if found is None:
            return ["The best pairs are too close together here to choose between."]
        said = ["Top speed, then the measure:", *_reached(facts, found)]
        if found.options[found.right][0] < facts.bike.sprockets.front:
            said.append("Keep to the maker's fewest front teeth.")
        return said

    def more(self, facts):
        """How many compromises there are, how sure it is, and what a tyre size can't know."""
        pairs = facts.result.pairs.tradeoff
        share, speed_unit = units.display(facts.fastest_geared * 0.01, "speed", facts.system)
        said = (
            f"Best compromises, on the line: {int(np.sum(pairs.best_compromise))} of "
            f"{pairs.front.size} pairs. What one of them gains in one it pays for in the other. "
            "Which is right depends on what you need."
        )
        if need(facts) is None:
            said = (
                "The best pairs are too close together here; take another bike, ground or measure."
            )
        return [
            said,
            f"{facts.chosen} against {facts.fitted}, fitted:",
            *certainty_sentences(facts.result),
            "One per cent of roll-out is one per cent of speed at a given rpm: "
            f"{share:.1f} {speed_unit} at the rev limit in top gear, less of a top speed that "
            "power limits. A tyre size tells the roll-out no better than that.",
        ]
