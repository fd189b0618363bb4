"""The demonstration of a step on the page: its chart, and what the chart shows in words."""

import re
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from explorer.charts.gearing.tradeoff_chart import TradeoffView
from explorer.charts.lesson.lesson_size import enlarge
from explorer.tasks.lesson.facts import Facts
from explorer.tasks.lesson.step import Step


class Demonstration:
    """A demonstration on the page.

    Args:
        options: What the question offers; where they are pairs and every pair is drawn, the chart
            marks them.

    Attributes:
        figure: The figure; None where nothing can be shown.
    """

    def __init__(
        self,
        step: Step,
        facts: Facts,
        large: bool,
        on_pick: Callable[[int, int], None],
        options: tuple[str, ...] = (),
    ) -> None:
        self._of = step.figure
        found = (re.fullmatch(r"(\d+)/(\d+)", each) for each in options)
        self._offered = tuple((int(each[1]), int(each[2])) for each in found if each)
        self._view = self._seen(facts)
        self._chart = self.figure = None
        if self._view is not None:
            pick = (on_pick,) if isinstance(self._view, TradeoffView) else ()
            self._chart = self._of.chart(self._view, *pick)
            self.figure = enlarge(self._chart.figure) if large else self._chart.figure

    @property
    def words(self) -> str:
        """What the chart shows, in sentences."""
        return "" if self._view is None else self._of.describe(self._view)

    def update(self, facts: Facts) -> None:
        """Show other numbers in the same figure."""
        self._view = self._seen(facts)
        if self._chart is not None and self._view is not None:
            self._chart.update(self._view)

    def _seen(self, facts: Facts) -> Any:
        view = self._of and self._of.view(facts)
        return replace(view, offered=self._offered) if isinstance(view, TradeoffView) else view
