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
from explorer.tasks.lesson.facts import Facts
from explorer.tasks.lesson.state import LessonState

WALK = 20.0
"""Distance over which a class rides as slowly as it can [m]."""


@dataclass(frozen=True)
class Measured:
    """Something that a class can find out by itself.

    Attributes:
        name: What it is.
        kind: Kind of quantity, a key of `explorer.unit_kinds.KINDS`; empty for plain numbers.
        within: What is accepted.
        example: A result as it may be typed; empty for plain numbers.
        predicted: The computed value, with the gearing fitted now [SI].
        how: How the computed value came about.
        decimals: Decimals in metric and in imperial units.
        before: What must be known before anybody tries it, in a sentence.
    """

    name: str
    kind: str
    within: tuple[str, str] | None
    example: str
    predicted: Callable[[Facts], float]
    how: str
    decimals: tuple[int, int]
    before: Callable[[Facts], str] | None = None


MEASURED: Mapping[str, Measured] = {
    "walk": Measured(
        "Time over 20 m, 1st gear, clutch out",
        "time",
        ("1 s", "600 s"),
        '"12.4 s"',
        lambda facts: WALK / float(facts.result.clutch_out[FITTED, 0]),
        "at 1.2 times idle speed (common practice, no source)",
        (1, 1),
        lambda facts: (
            "With the clutch out this motorcycle goes at least "
            f"{units.text(float(facts.result.clutch_out[FITTED, 0]), 'speed', facts.system)} in "
            "1st gear (computed): only for riders who are able and allowed to ride it."
        ),
    ),
    "roll-out": Measured(
        "Roll-out by chalk",
        "length",
        ("0.5 m", "4 m"),
        '"2030 mm" or "79.9 in"',
        lambda facts: facts.result.rollouts[FITTED].value,
        "from the tyre size, or as measured if the bike file says so",
        (0, 1),
    ),
    "front-turns": Measured(
        "Turns of the front sprocket for one turn of the wheel",
        "",
        None,
        "",
        lambda facts: facts.fitted_ratio,
        "rear ÷ front, exact",
        (2, 2),
    ),
    "crank-turns": Measured(
        "Turns of the crankshaft for one turn of the wheel, top gear",
        "",
        None,
        "",
        lambda facts: float(facts.result.drive.overall[FITTED, -1, 0]),
        "primary × gear × rear ÷ front",
        (1, 1),
    ),
    "guesses": Measured(
        "The class's guesses for “rear teeth worth one front tooth” (step 2)",
        "",
        None,
        "",
        lambda facts: float(facts.teeth.for_one_fewer),
        "rear ÷ (front − 1)",
        (1, 1),
    ),
}


def results_view(name: str, values: np.ndarray, facts: Facts) -> ResultsView:
    """What the chart of class results shows.

    Args:
        name: A key of `MEASURED`.
        values (array (n,)): Results of the class [SI, or plain].

    Returns: In the reader's units.
    """
    measured = MEASURED[name]
    factor, unit = units.display(1.0, measured.kind, facts.system) if measured.kind else (1.0, "")
    return ResultsView(
        name=f"{measured.name}, {unit}" if unit else measured.name,
        unit=unit,
        values=np.asarray(values, float) * factor,
        predicted=measured.predicted(facts) * factor,
        decimals=measured.decimals[facts.system == "imperial"],
    )


class ClassCard:
    """The card: what was measured, the results, the chart.

    Args:
        faults: Where our own faults are said; what a class can mend is said beside the field.
    """

    def __init__(self, page: OpenPage) -> None:
        self._state: LessonState = page.state
        faults = page.faults
        self._name = next(iter(MEASURED))
        self._facts: Facts | None = None
        self._chart: ResultsChart | None = None
        self._drawn: tuple[str, bool] | None = None
        self._choice = ChoiceControl(
            "What the class found out",
            "",
            [(measured.name, name) for name, measured in MEASURED.items()],
            self._name,
            faults.guard(self._pick),
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
        self.widget = widgets.VBox(
            [
                self._choice.widget,
                self._field,
                self._answer,
                self._how,
                self._figure_box,
                self._said,
            ]
        )

    def put(self, facts: Facts) -> None:
        """Show the results of the state against other computed numbers."""
        large = facts.lesson.place.large
        self._facts = facts
        text = facts.lesson.results.get(self._name, "")
        self._showing = True
        try:
            self._field.value = text
        finally:
            self._showing = False
        measured = MEASURED[self._name]
        _, unit = units.display(1.0, measured.kind, facts.system) if measured.kind else (1.0, "")
        name = {"in": "inches"}.get(unit, unit)  # "In in" reads like a slip
        numbers = f"In {name}, or with a unit" if unit else "Plain numbers"
        said = [
            # In full, for on a phone the menu shows no more than its beginning.
            f"{measured.name}. {numbers}; a blank between two results. Computed with the fitted "
            f"gearing: {measured.how}."
        ]
        if measured.before is not None:
            said.append(measured.before(facts))
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

    def _pick(self, name: str) -> None:
        self._name = name
        if self._facts is not None:
            self.put(self._facts)

    def _typed(self, change: dict) -> None:
        if not self._showing:
            self._state.put(results={**self._state.lesson.results, self._name: change["new"]})
