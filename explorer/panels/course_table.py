"""A course as a table to type in: one row for each part of it, rows added and taken out.

A long course is shown some rows at a time. Whatever is typed is kept as typed, also while another
part of the table is shown or while it cannot be read.
"""

from collections.abc import Callable, Sequence
from functools import partial
from typing import NamedTuple

from explorer.panels import widgets
from explorer.panels.forms import Guard
from explorer.panels.html import help_line, sentences

ROWS_SHOWN = 8


class Row(NamedTuple):
    """One row as typed."""

    name: str
    length: str
    corner_speed: str
    slope: str
    surface: str


class CourseTable:
    """Text fields for length, corner speed and slope, a list for the surface, and buttons.

    Args:
        surfaces (sequence of (label, id)): What can be picked as a surface.
        rows: First rows, at least one.
        most_rows: Longest course that is accepted [count].
        on_change: Called with all rows whenever the rider has changed one.
    """

    def __init__(
        self,
        surfaces: Sequence[tuple[str, str]],
        rows: Sequence[Row],
        most_rows: int,
        on_change: Callable[[tuple[Row, ...]], None],
        guard: Guard = lambda callback: callback,
    ) -> None:
        self._on_change, self._most_rows = on_change, most_rows
        self._rows: list[Row] = []
        self._first = 0
        self._showing = False
        self._lines = [_Line(surfaces, place, self, guard) for place in range(ROWS_SHOWN)]
        self._answer = widgets.HTML().add_class("ge-answer")
        self._where = widgets.HTML().add_class("ge-help")
        earlier, later = (guard(partial(self._turn, by)) for by in (-1, 1))
        self._earlier = widgets.button("Earlier rows", "Show the rows before these", earlier)
        self._later = widgets.button("Later rows", "Show the rows after these", later)
        how = help_line(
            "Each row is one part: its length; the greatest speed at its end, - where there is no "
            "corner; slope, uphill positive; surface. Write numbers with their unit, such as 80 m."
        )
        lines = widgets.VBox([line.widget for line in self._lines]).add_class("ge-course-rows")
        turn = widgets.HBox([self._earlier, self._later])
        self.widget = widgets.VBox([how, self._where, lines, turn, self._answer])
        self.show(rows)

    @property
    def rows(self) -> tuple[Row, ...]:
        """All rows as typed."""
        return tuple(self._rows)

    def show(self, rows: Sequence[Row]) -> None:
        """Show another course from its first row, without reporting it as the rider's."""
        self._rows, self._first = list(rows), 0
        self.answer()
        self._refresh()

    def answer(self, *texts: str) -> None:
        """Say something about the rows, in place of what was said before."""
        self._answer.value = sentences(texts)

    def change_row(self, place: int, row: Row) -> None:
        """Take what was typed into a line of the table."""
        if self._showing or self._rows[self._first + place] == row:
            return
        self._rows[self._first + place] = row
        self._on_change(self.rows)

    def add_after(self, place: int) -> None:
        """Repeat a row behind itself."""
        if len(self._rows) >= self._most_rows:
            self.answer(f"A course has at most {self._most_rows} rows; take one out first.")
            return
        index = self._first + place
        self._rows.insert(index + 1, self._rows[index])
        if place + 1 >= ROWS_SHOWN:
            self._first += 1
        self._refresh()
        self._on_change(self.rows)

    def take_out(self, place: int) -> None:
        """Take a row out; the last one stays."""
        if len(self._rows) == 1:
            self.answer("A course needs at least one row; change this one instead.")
            return
        del self._rows[self._first + place]
        self._first = max(min(self._first, len(self._rows) - 1), 0)
        self._refresh()
        self._on_change(self.rows)

    def _turn(self, direction: int) -> None:
        last = max(len(self._rows) - ROWS_SHOWN, 0)
        self._first = min(max(self._first + direction * ROWS_SHOWN, 0), last)
        self._refresh()

    def _refresh(self) -> None:
        self._showing = True
        try:
            for place, line in enumerate(self._lines):
                index = self._first + place
                line.show(index + 1, self._rows[index] if index < len(self._rows) else None)
        finally:
            self._showing = False
        last = min(self._first + ROWS_SHOWN, len(self._rows))
        self._where.value = f"Rows {self._first + 1} to {last} of {len(self._rows)}"
        self._earlier.disabled = self._first == 0
        self._later.disabled = last >= len(self._rows)


class _Line:
    """The controls of one row that is shown."""

    def __init__(
        self,
        surfaces: Sequence[tuple[str, str]],
        place: int,
        table: "CourseTable",
        guard: Guard,
    ) -> None:
        self._fields = [
            widgets.Text(description=name, tooltip=help_text, continuous_update=False)
            for name, help_text in (
                ("Part", "What you call it, for example hairpin right"),
                ("Length", "Along the ground, for example 80 m"),
                ("Corner speed", "Greatest speed at the end, for example 25 km/h; - for none"),
                ("Slope", "Uphill positive, for example 5 %"),
            )
        ]
        self._surface = widgets.Dropdown(
            options=list(surfaces), description="Surface", tooltip="The ground of this part"
        )
        for field in (*self._fields, self._surface):
            field.observe(guard(lambda _: self._changed(table, place)), "value")
        self._number = widgets.HTML().add_class("ge-row-number")
        add, out = (guard(partial(act, place)) for act in (table.add_after, table.take_out))
        buttons = [
            widgets.button("Add", "Repeat this row behind it", add),
            widgets.button("Remove", "Take this row out", out),
        ]
        below = widgets.HBox(buttons).add_class("ge-row-buttons")
        self.widget = widgets.VBox([self._number, *self._fields, self._surface, below])
        self.widget.add_class("ge-course-row")
        self._blank = False

    def show(self, number: int, row: Row | None) -> None:
        widgets.show_if(row is not None, self.widget)
        self._blank = row is None
        if row is None:
            return
        self._number.value = f"<b>{number}</b>"
        for field, text in zip(self._fields, row[:4], strict=True):
            field.value = text
        self._surface.value = row.surface

    def _changed(self, table: "CourseTable", place: int) -> None:
        if not self._blank:
            typed = (field.value for field in self._fields)
            table.change_row(place, Row(*typed, self._surface.value))
