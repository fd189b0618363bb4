"""A small table to type in: any columns, rows added and taken out, everything kept as typed."""

import functools
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from explorer.panels import widgets
from explorer.panels.forms import Guard
from explorer.panels.html import help_line, sentences


@dataclass(frozen=True)
class Column:
    """One column: key of its texts in a row, label of its fields, what to type, and an example.

    Attributes:
        choices (sequence of (label, value)): What can be picked instead of typed; empty for a text.
    """

    name: str
    label: str
    help: str
    example: str = ""
    choices: Sequence[tuple[str, str]] = ()

    @property
    def blank(self) -> str:
        """What a new field holds."""
        return self.choices[0][1] if self.choices else ""


class EntryTable:
    """Fields in rows and columns, with a button to add a row and one to take each out.

    Args:
        rows: First texts of each row; at least one row.
        most_rows: Longest table that is accepted [count].
        on_change: Called without arguments whenever something was typed, added or taken out.
        complete: Gives a text of the column of a name as it is understood, with its unit.
    """

    def __init__(
        self,
        columns: Sequence[Column],
        rows: Sequence[Mapping[str, str]],
        most_rows: int,
        on_change: Callable[[], None],
        help_text: str = "",
        guard: Guard = lambda callback: callback,
        complete: Callable[[str, str], str] = lambda _, text: text,
    ) -> None:
        self._columns, self._most_rows, self._on_change = columns, most_rows, on_change
        self._guard, self._complete = guard, complete
        self._lines: list[_Line] = []
        self._place = widgets.VBox().add_class("ge-entry-rows")
        self._answer = widgets.HTML().add_class("ge-answer")
        add = widgets.button("Add a row", "An empty row below the others", guard(self._add))
        head = [help_line(help_text)] if help_text else []
        self.widget = widgets.VBox([*head, self._place, add, self._answer])
        self.show(rows)

    @property
    def rows(self) -> list[dict[str, str]]:
        """All rows as typed."""
        return [line.texts for line in self._lines]

    def show(self, rows: Sequence[Mapping[str, str]]) -> None:
        """Show other rows, without reporting them as the rider's."""
        self._lines = [_Line(self._columns, row, self, self._guard) for row in rows]
        self._arrange()

    def answer(self, *texts: str) -> None:
        """Say something about the rows, in place of what was said before."""
        said = sentences(texts)
        if self._answer.value != said:
            self._answer.value = said

    def changed(self, name: str, field: widgets.Widget) -> None:
        """Report that something was typed, once it stands there as it is understood."""
        if (understood := self._complete(name, field.value)) != field.value:
            field.value = understood  # which reports it
        else:
            self._on_change()

    def take_out(self, line: "_Line") -> None:
        """Take a row out; of the last one only the texts go."""
        if len(self._lines) == 1:
            self.show([{}])
        else:
            self._lines.remove(line)
            self._arrange()
        self._on_change()

    def _add(self) -> None:
        if len(self._lines) >= self._most_rows:
            self.answer(f"This table has at most {self._most_rows} rows; take one out first.")
            return
        # What was picked in the row above is likely to be meant again.
        last = self._lines[-1].texts
        picked = {each.name: last[each.name] for each in self._columns if each.choices}
        self._lines.append(_Line(self._columns, picked, self, self._guard))
        self._arrange()

    def _arrange(self) -> None:
        for number, line in enumerate(self._lines, start=1):
            line.show_number(number)
        self._place.children = [line.widget for line in self._lines]


class _Line:
    """The fields of one row."""

    def __init__(
        self,
        columns: Sequence[Column],
        texts: Mapping[str, str],
        table: EntryTable,
        guard: Guard,
    ) -> None:
        self._fields = {column.name: _field(column, texts) for column in columns}
        for name, field in self._fields.items():
            field.observe(guard(lambda _, at=(name, field): table.changed(*at)), "value")
        self._number = widgets.HTML().add_class("ge-row-number")
        out = guard(functools.partial(table.take_out, self))
        remove = widgets.button("Remove", "Take this row out", out)
        fields = widgets.VBox(list(self._fields.values())).add_class("ge-entry-fields")
        self.widget = widgets.VBox([self._number, fields, remove]).add_class("ge-entry-row")

    @property
    def texts(self) -> dict[str, str]:
        return {name: field.value for name, field in self._fields.items()}

    def show_number(self, number: int) -> None:
        self._number.value = f"<b>{number}</b>"


def _field(column: Column, texts: Mapping[str, str]) -> widgets.Widget:
    words = {"description": column.label, "tooltip": column.help}
    words["value"] = texts.get(column.name, column.blank)
    if column.choices:
        return widgets.Dropdown(options=list(column.choices), **words)
    return widgets.Text(placeholder=column.example, continuous_update=False, **words)
