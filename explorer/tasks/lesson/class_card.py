"""Class results: typed in, and plotted against what was computed."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from explorer import units
from explorer.app.chart_widget import ChartWidget
from explorer.app.page import OpenPage
from explorer.charts.lesson import lesson_results
from explorer.charts.lesson.lesson_results import ResultsChart, ResultsView
from explorer.charts.lesson.lesson_size import enlarge
from explorer.panels import widgets
from explorer.panels.controls import ChoiceControl
from explorer.panels.html import sentences
from explorer.records.errors import RecordError
from explorer.records.lessons.class_results import read_results
from explorer.study.study import FITTED
from explorer.tasks.lesson.experiments import MEASURABLE
from explorer.tasks.lesson.facts import Facts
from explorer.tasks.lesson.state import LessonState

WALK = 20.0
"""Distance over which a class rides as slowly as it can [m]."""


@dataclass(frozen=True)
class Measured:
    """Something that a class can find out by itself, as data/experiments.toml has it.

    Attributes:
        predicted: The computed value, with the gearing fitted now [SI].
        before: What must be known before anybody tries it.
    """

    name: str
    how: str
    decimals: tuple[int, int]
    predicted: Callable[[Facts], float]
    kind: str = ""
    within: tuple[str, str] | None = None
    example: str = ""
    before: str = ""


_PREDICTED: Mapping[str, Callable[[Facts], float]] = {
    "walk": lambda facts: WALK / _slowest(facts),
    "roll-out": lambda facts: facts.result.rollouts[FITTED].value,
    "front-turns": lambda facts: facts.fitted_ratio,
    "crank-turns": lambda facts: float(facts.result.drive.overall[FITTED, -1, 0]),
    "guesses": lambda facts: float(facts.teeth.for_one_fewer),
}

MEASURED = {name: Measured(predicted=_PREDICTED[name], **row) for name, row in MEASURABLE.items()}


def _slowest(facts: Facts) -> float:
    """Speed in first gear, clutch out [m/s]."""
    return float(facts.result.clutch_out[FITTED, 0])


def results_view(name: str, values: np.ndarray, facts: Facts) -> ResultsView:
    """What the chart shows, in the reader's units, of results (n,) of the class [SI, or plain]."""
    measured = MEASURED[name]
    factor, unit = _shown(measured, facts)
    return ResultsView(
        name=f"{measured.name}, {unit}" if unit else measured.name,
        unit=unit,
        values=np.asarray(values, float) * factor,
        predicted=measured.predicted(facts) * factor,
        decimals=measured.decimals[facts.system == "imperial"],
    )


def _shown(measured: Measured, facts: Facts) -> tuple[float, str]:
    """Factor and unit in which the reader sees it."""
    return units.display(1.0, measured.kind, facts.system) if measured.kind else (1.0, "")


class ClassCard:
    """The card: what was measured, the results, the chart."""

    def __init__(self, page: OpenPage) -> None:
        self._state: LessonState = page.state
        faults = page.faults
        self._name = next(iter(MEASURED))
        self._chart: ResultsChart | None = None
        self._drawn: tuple[str, bool] | None = None
        self._choice = ChoiceControl(
            "What the class found out",
            "",
            [(measured.name, name) for name, measured in MEASURED.items()],
            self._name,
            faults.guard(lambda name: self._state.move(experiment=name)),
        )
        self._field = widgets.Textarea(
            description="Results, one after the other",
            placeholder="10.4 11.2 9.8",
            continuous_update=False,
            rows=2,
        )
        self._field.observe(faults.guard(self._typed), "value")
        self._answer = widgets.HTML().add_class("ge-answer")
        self._how = widgets.HTML().add_class("ge-help")
        self._figure_box = widgets.VBox()
        self._figure_widget: ChartWidget | None = None
        self._said = widgets.HTML().add_class("ge-said")
        self._showing = False
        below = [self._field, self._answer, self._how, self._figure_box, self._said]
        self.widget = widgets.VBox([self._choice.widget, *below])

    def put(self, facts: Facts) -> None:
        """Show the results of the state against other computed numbers."""
        large = facts.lesson.place.large
        self._name = facts.lesson.place.experiment or next(iter(MEASURED))
        self._choice.show(self._name)
        text = facts.lesson.place.results.get(self._name, "")
        self._showing = True
        try:
            self._field.value = text
        finally:
            self._showing = False
        measured = MEASURED[self._name]
        _, unit = _shown(measured, facts)
        name = {"in": "inches"}.get(unit, unit)  # "In in" reads like a slip
        numbers = f"In {name}, or with a unit" if unit else "Plain numbers"
        said = [
            # In full, for on a phone the menu shows no more than its beginning.
            f"{measured.name}. {numbers}; a blank between two results. Computed with the fitted "
            f"gearing: {measured.how}."
        ]
        if measured.before:
            said.append(measured.before.format(speed=facts.said(_slowest(facts), "speed")))
        self._how.value = sentences(said, "ge-line")
        try:
            values = read_results(text, measured.kind, unit, measured.within, measured.example)
            self._answer.value = ""
        except RecordError as error:
            self._answer.value = sentences(error.sentences, "ge-sentence")
            # What was drawn belonged to other results, and perhaps to another experiment or bike.
            self._drop()
            self._said.value = ""
            return
        view = results_view(self._name, values, facts)
        self._said.value = sentences([lesson_results.describe(view)], "ge-line")
        if not values.size:
            self._drop()
        elif self._drawn != (self._name, large):
            self._draw(view, large)
        else:
            self._chart.update(view)
            self._figure_widget.flush()

    def _draw(self, view: ResultsView, large: bool) -> None:
        self._drop()
        self._chart = ResultsChart(view)
        figure = enlarge(self._chart.figure) if large else self._chart.figure
        self._figure_widget = ChartWidget(figure)
        self._figure_box.children = (self._figure_widget,)
        self._drawn = (self._name, large)

    def _drop(self) -> None:
        """Without results there is no chart."""
        if self._figure_widget is not None:
            self._figure_box.children = ()
            self._figure_widget.close()
            self._figure_widget = self._chart = self._drawn = None

    def _typed(self, change: dict) -> None:
        if not self._showing:
            self._state.found(self._name, change["new"])
