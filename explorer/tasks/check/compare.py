"""The cards in which a rider types what was measured, and sees whether it came as computed."""

from collections.abc import Callable, Sequence
from dataclasses import replace

from explorer.app.faults import Faults
from explorer.app.state import State
from explorer.panels import widgets
from explorer.panels.card import card
from explorer.panels.entry_table import Column
from explorer.panels.html import bullet_list, sentences, table
from explorer.records.errors import RecordError
from explorer.records.rides.typed_runs import (
    MarkedSpeed,
    read_hill,
    read_marked_speed,
    read_rows,
    read_timed_runs,
)
from explorer.study.check.compare_result import FITTED, Compared, Predictions, speedometer_line
from explorer.study.study import CHOSEN, Study
from explorer.tasks.check import compare_words as words
from explorer.tasks.check.typed_table import columns_of, typed_table

_WITH = Column(
    "with",
    "Gearing",
    "Chosen is what the sliders say, fitted what is on the bike now.",
    choices=(("chosen", str(CHOSEN)), ("fitted", str(FITTED))),
)


class CompareCards:
    """Three cards: marked engine speeds with the speedometer, timed roll-ons, hills."""

    def __init__(self, state: State, on_said: Callable[[], None] = lambda: None) -> None:
        self._state = state
        self._on_said = on_said
        self.found = Compared()
        self._faults = Faults()
        says = {"speeds": self._speeds, "roll_ons": self._roll_ons, "hills": self._hills}
        self._cards = [_TypedCard(name, state, self._faults, say) for name, say in says.items()]
        self.widget = widgets.VBox(
            [
                self._faults.widget,
                widgets.HTML(bullet_list(words.CAUTIONS)).add_class("ge-caution"),
                *(each.widget for each in self._cards),
            ]
        )

    def show(self) -> None:
        """Follow the state: compare again with what is predicted now."""
        for each in self._cards:
            each.show()

    def _keep(self, **found: Sequence) -> None:
        self.found = replace(self.found, **{name: tuple(each) for name, each in found.items()})
        self._on_said()

    @property
    def _predictions(self) -> Predictions:
        return Predictions(Study.of(self._state.bike, self._state.setup))

    @property
    def _gears(self) -> int:
        return len(self._state.bike.gearbox.ratios)

    def _speeds(self, typed: Sequence[dict[str, str]]) -> str:
        rows = read_rows(typed, lambda row: (int(row["with"]), read_marked_speed(row, self._gears)))
        system = self._state.setup.units
        found = self._predictions.marked_speeds(rows)
        rows_said = words.speed_rows(found, system)
        said = _block(words.SPEED_HEADS, rows_said, words.speed_sentences(found))
        for which in (CHOSEN, FITTED):
            # A speedometer driven by the gearbox has another line with another gearing.
            own = [row for each, row in rows if each == which and row.indicated is not None]
            said += self._speedometer(own, words.GEARINGS[which])
        self._keep(speeds=found)
        return said

    def _speedometer(self, readings: Sequence[MarkedSpeed], gearing: str) -> str:
        system = self._state.setup.units
        try:
            fit = speedometer_line(readings)
            shown = words.meter_rows(fit, readings, system) if fit else []
            said = words.meter_sentences(fit, readings, gearing, system)
            return _block(words.METER_HEADS, shown, said)
        except ValueError as error:
            raise RecordError(str(error)) from None

    def _roll_ons(self, typed: Sequence[dict[str, str]]) -> str:
        rows = read_rows(typed, lambda row: (int(row["with"]), read_timed_runs(row, self._gears)))
        system = self._state.setup.units
        alone, changes = self._predictions.roll_ons(rows)
        self._keep(runs=alone, changes=changes)
        said, changed = words.run_sentences(alone, changes), words.change_rows(changes, system)
        each_alone = _block(words.RUN_HEADS, words.run_rows(alone, system), [])
        return each_alone + _block(words.CHANGE_HEADS, changed, said)

    def _hills(self, typed: Sequence[dict[str, str]]) -> str:
        rows = read_rows(typed, lambda row: (int(row["with"]), read_hill(row, self._gears)))
        found = self._predictions.hills(rows)
        self._keep(hills=found)
        rows_said = words.hill_rows(found, self._state.setup.units)
        return _block(words.HILL_HEADS, rows_said, words.hill_sentences(found))


class _TypedCard:
    """A table to type in and what it says; what cannot be read is answered beside it."""

    def __init__(
        self,
        name: str,
        state: State,
        faults: Faults,
        say: Callable[[Sequence[dict[str, str]]], str],
    ) -> None:
        self._columns, self._say = (_WITH, *columns_of(name)), say
        self._table = typed_table(name, self._columns, state, faults, faults.guard(self.show))
        self._said = widgets.HTML().add_class("ge-table")
        self.widget = card(words.SAY["tables"][name]["title"], self._table.widget, self._said)

    def show(self) -> None:
        """Compare what is typed; unread rows are answered, their texts stay."""
        typed = [row for row in self._table.rows if self._is_typed(row)]
        try:
            said = self._say(typed)
            self._table.answer()
        except RecordError as error:
            self._table.answer(*error.sentences)
            # What stood there was of other entries.
            said = self._say([])
        if self._said.value != said:
            self._said.value = said

    def _is_typed(self, row: dict[str, str]) -> bool:
        return any(row[column.name].strip() for column in self._columns if not column.choices)


def _block(heads: Sequence[str], rows: Sequence[tuple[str, ...]], said: Sequence[str]) -> str:
    """A table, if it has rows, and sentences below it."""
    shown = table(heads, rows) if rows else ""
    return shown + sentences(said, "ge-said")
