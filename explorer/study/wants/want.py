"""What every kind of want is: its questions, measure, tolerance, words and why-not in one class.

A kind is one file in :mod:`explorer.study.wants.kinds`, found there by itself; its oracle is one
file in tests/study/wants/oracles. All numbers are SI; words are plain text.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar, NamedTuple

import numpy as np

from explorer import units
from explorer.calc.vehicle import FloatArray
from explorer.calc.wants.want_measures import NO_GEAR
from explorer.records.ground.course import courses
from explorer.records.riding.want_values import ANY_GEAR, Ask, AskedFor
from explorer.study.wants.every_pair import EveryPair
from explorer.study.wants.reasons import Reason, Why
from explorer.study.wants.scene import Scene
from explorer.study.wants.unmet import Unmet
from explorer.study.wording import ordinal

if TYPE_CHECKING:
    from explorer.study.check.result import RideResult

NO_LIMIT = -1
"""Stands where no limit of speed is spoken of."""

_SLOW = 20
"""Speeds below this number are shown with one decimal."""

_SPEEDS = ("3 km/h", "200 km/h")
GEARS = (1, 7)


class Measured(NamedTuple):
    """What a want measures in each case.

    Attributes:
        value, margin (array (cases,)): The measure, NaN where it is not reached, and by how much it
            meets the want: signed, zero or more where met [SI unit of the want].
        gear: Index of the gear that answers, -1 where none does or none is asked for.
        limit: Code of :class:`explorer.calc.drivetrain.top_speed.Limit` for a top speed.
        unknown: What is missing to measure it, in a sentence.
    """

    value: FloatArray
    margin: FloatArray
    gear: FloatArray | int = NO_GEAR
    limit: FloatArray | int = NO_LIMIT
    unknown: str = ""


@dataclass(frozen=True, kw_only=True)
class Want(AskedFor):
    """A measurable condition with its weight. Make one with `of`."""

    place: ClassVar[int]
    """Where it stands among the kinds that a rider is offered."""
    margin_kind: ClassVar[str]
    """Kind of `explorer.units` in which the margin is given; "count", "money" otherwise."""
    on_road: ClassVar[bool] = False
    """Judged on dry asphalt, level, whatever the ground of the set-up."""
    needs_prices: ClassVar[bool] = False
    none_in_hand: ClassVar[bool] = False
    """Met is met: meeting it by more is no news."""
    value_is_margin: ClassVar[bool] = False
    """The value says already by how much it is met."""

    def tolerance(self, limiter: float) -> float:
        """Shortfall that leaves half of the satisfaction [SI unit of the want]. Our choice.

        `limiter` is the engine speed at the rev limit [rad/s].
        """
        raise NotImplementedError

    def measure(self, every: EveryPair) -> Measured:
        """Measure it for every pair."""
        raise NotImplementedError

    def why_not(self, unmet: Unmet) -> Why:
        """What stands in the way where no pair meets it."""
        return unmet.beyond_sold()

    def on_ride(self, ride: RideResult) -> tuple[str, str, str] | None:
        """The want, and what a ride says of it with either gearing; None where a ride is mute."""
        return None

    def nearness(self, scene: Scene) -> FloatArray:
        """How near each case without a margin comes to it; larger is nearer."""
        return np.zeros(scene.drive.cases)

    def missing_gear(self, gears: int) -> str:
        """Sentence that asks for another gear, where the gearbox has none of that number."""
        if getattr(self, "gear", ANY_GEAR) <= gears:
            return ""
        return f"{self.label}: this gearbox has {gears} gears; choose a gear from 1 to {gears}."

    def amount_words(self, value: float, system: str) -> str:
        """A value or a margin in the unit of the want, without sign, such as "0.6 km/h"."""
        value = abs(value)
        match self.margin_kind:
            case "ratio":
                return f"{value * 100:.1f} %"
            case "slope":
                return f"{value * 100:.0f} %" if value >= 0.095 else f"{value * 100:.1f} %"
            case "speed":
                number, unit = units.display(value, "speed", system)
                return f"{number:.{1 if number < _SLOW else 0}f} {unit}"
            case kind:
                return units.text(value, kind, system)

    def value_words(self, value: float, gear: int, limit: int, system: str) -> str:
        """What it measures with one pair in a phrase, such as "holds 24 % in 1st"."""
        raise NotImplementedError

    @property
    def said(self) -> tuple:
        """The want without its weight, to find it again."""
        return self.kind, tuple(self.texts.items())

    @property
    def words(self) -> str:
        """With what was asked for, such as "One gear for a corner: corner speed 25 km/h"."""
        asked = ", ".join(
            courses()[self.texts[ask.name]].label
            if ask.kind == "course"
            else f"{ask.label} {self.texts[ask.name]}"
            for ask in self.asks
            if self.texts[ask.name]
        )
        return f"{self.label}{': ' if asked else ''}{asked}"


class GroundWant(Want):
    """A want that depends on ratio and ground; others on which parts are changed."""

    def measure(self, scene: Scene) -> Measured:
        """Measure it in every case of a scene."""
        raise NotImplementedError


class SteadyRevs(GroundWant):
    """A want of few revolutions at a steady road speed, in the highest gear that holds it."""

    margin_kind = "engine speed"

    def tolerance(self, limiter: float) -> float:
        return 0.05 * self.si("engine_speed")

    def why_not(self, unmet: Unmet) -> Why:
        # Where it holds the speed, fewer revolutions would not have the power for it.
        holds = np.isfinite(unmet.margin[unmet.best])
        return unmet.of_speed(
            lambda scene: self.measure(scene).margin, Why(Reason.POWER) if holds else None
        )

    def nearness(self, scene: Scene) -> FloatArray:
        """Of pairs too slow for the speed the fastest comes nearest; of pairs whose first gear is
        too fast for it with the clutch out, which come nearer still, the shortest."""
        short_of_it = scene.top.speed - self.si("speed")
        return np.where(short_of_it < 0, short_of_it, scene.drive.overall[:, 0, 0])

    def value_words(self, value: float, gear: int, limit: int, system: str) -> str:
        if math.isnan(value):
            return "no gear holds that speed"
        return f"{self.amount_words(value, system)}{in_gear(gear)}"


def speed_ask(name: str, label: str, help_text: str, example: str) -> Ask:
    """A question for a road speed."""
    return Ask(name, label, help_text, "speed", example, _SPEEDS)


def revs_ask(example: str) -> Ask:
    """The question how fast the engine may turn."""
    within = ("1000 rpm", "20000 rpm")
    help_text = "Where it still runs calmly."
    return Ask("engine_speed", "engine at most", help_text, "engine speed", example, within)


def in_gear(gear: int) -> str:
    """The gear that answers, such as " in 2nd"; nothing where none does."""
    return f" in {ordinal(gear + 1)}" if gear >= 0 else ""


def verdict(met: bool, said: str) -> str:
    """What a ride says of a want, beginning with whether it is met."""
    return f"{'met' if met else 'not met'}: {said}"
