"""The columns of a table that was read as a ride: what each was taken for, and to put it right."""

from collections.abc import Callable

from explorer.app.faults import Faults
from explorer.panels import widgets
from explorer.panels.controls import ChoiceControl
from explorer.panels.html import sentences, table
from explorer.records.rides.column_memory import ColumnMemory
from explorer.records.rides.csv_columns import LABELS, UNITS, CsvColumn

HEADS = ("Column", "First value", "Read as", "Unit", "Known from")
_ASIDE = ("not read", "")
_HOW = {"name": "its name", "values": "its values", "rider": "you", "": ""}
_MOST_SHOWN = 30


def column_rows(columns: tuple[CsvColumn, ...]) -> list[tuple[str, str, str, str, str]]:
    """One row for each column, those that are read first."""
    ordered = sorted(columns, key=lambda each: (not each.field, each.place))
    return [
        (
            each.heading or f"column {each.place + 1}",
            each.example,
            LABELS.get(each.field, _ASIDE[0]),
            f"{each.unit} (a guess: check)" if each.guessed else each.unit,
            _HOW[each.how],
        )
        for each in ordered[:_MOST_SHOWN]
    ]


class ColumnControls:
    """A table of the columns, and three lists to say what one of them is.

    Args:
        memory: What the rider said earlier.
    """

    def __init__(self, memory: ColumnMemory, faults: Faults, on_said: Callable[[], None]) -> None:
        self._memory, self._on_said = memory, on_said
        self._columns: tuple[CsvColumn, ...] = ()
        self._shown = widgets.HTML().add_class("ge-table")
        follow = faults.guard(lambda _: self._follow())
        self._column = ChoiceControl("Column to put right", "", [("none", -1)], -1, follow)
        fields = [_ASIDE, *((label, field) for field, label in LABELS.items())]
        self._field = ChoiceControl(
            "It is", "", fields, "", faults.guard(lambda _: self._show_units())
        )
        self._unit = ChoiceControl("In", "", [("–", "")], "", lambda _: None)
        use = widgets.Button(
            description="Read it so", tooltip="Reads the file again; kept for files like it"
        )
        use.on_click(faults.guard(lambda _: self._say()))
        self.widget = widgets.VBox(
            [
                self._shown,
                widgets.HBox([self._column.widget, self._field.widget, self._unit.widget, use]),
            ]
        )
        self.show(())

    def show(self, columns: tuple[CsvColumn, ...]) -> None:
        """Show the columns of a table; none hides everything."""
        self._columns = columns
        widgets.show_if(bool(columns), self.widget)
        self._shown.value = ""
        if not columns:
            return
        self._shown.value = sentences(["Columns of the file:"], "ge-said") + table(
            HEADS, column_rows(columns)
        )
        options = [(each.heading or f"column {each.place + 1}", each.place) for each in columns]
        doubtful = [each.place for each in columns if each.guessed] or [columns[0].place]
        self._column.show(doubtful[0], options)
        self._follow()

    def _follow(self) -> None:
        column = self._columns[self._column.value]
        self._field.show(column.field)
        self._show_units(column.unit)

    def _show_units(self, unit: str | None = None) -> None:
        units = list(UNITS.get(self._field.value, {"": 1.0}))
        self._unit.show(
            unit if unit in units else units[0], [(each or "–", each) for each in units]
        )

    def _say(self) -> None:
        headings = tuple(each.heading for each in self._columns)
        try:
            self._memory.say(headings, self._column.value, self._field.value, self._unit.value)
        finally:
            self._on_said()
