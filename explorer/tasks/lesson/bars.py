"""Bars, which most steps of the lesson have as their demonstration."""

from collections.abc import Callable

from explorer.app.parts import Figure
from explorer.charts.lesson import lesson_bars
from explorer.charts.lesson.lesson_bars import Bar, BarsView
from explorer.study.certainty import signed_percent
from explorer.tasks.lesson.facts import Facts


def bars(view: Callable[[Facts], BarsView | None]) -> Figure:
    """The demonstration that shows such a view."""
    return Figure(lesson_bars.LessonBars, lesson_bars.describe, view)


def change_bar(name: str, share: float, strong: bool = False) -> Bar:
    """A bar in per cent, of either sign."""
    return Bar(name, share * 100, signed_percent(share), strong=strong)
