"""The cards in which a rider types what was measured, and sees whether it came as computed."""

import functools
from collections.abc import Callable, Sequence
from dataclasses import replace

from explorer.app.faults import Faults
from explorer.app.state import State
from explorer.panels import widgets
from explorer.panels.entry_table import Column, EntryTable
from explorer.panels.html import bullet_list, sentences, table
from explorer.records.errors import RecordError
from explorer.records.rides.typed_runs import (
    MOST_ROWS,
    MarkedSpeed,
    read_hill,
    read_marked_speed,
    read_rows,
    read_timed_runs,
    with_unit,
)
from explorer.study.check.compare_result import FITTED, Compared, Predictions, speedometer_line
from explorer.study.study import CHOSEN, Study
from explorer.tasks.check import compare_words as words

_WITH = Column(
    "with",
    "Gearing",
    "Chosen is what the sliders say, fitted what is on the bike now.",
    choices=(("chosen", str(CHOSEN)), ("fitted", str(FITTED))),
)
_GEAR = Column("gear", "Gear", "1 for first.", "3")

SPEED_COLUMNS = (
    _WITH,
    _GEAR,
    Column("engine_speed", "Engine speed", "Held steady; empty without a rev counter.", "5000 rpm"),
    Column("indicated", "Speedometer", "What it showed; may be empty.", "48"),
    Column("gps", "GPS", "Mean of both directions.", "45"),
)
RUN_COLUMNS = (
    _WITH,
    _GEAR,
    Column("from", "From", "Speed at the start, clutch lever released.", "30"),
    Column("to", "To", "Speed at the end.", "60"),
    Column("there", "There", "Time of each run one way, commas between.", "5.2, 5.4, 5.3 s"),
    Column("back", "Back", "Time of each run the other way.", "4.9, 5.1, 5.0 s"),
)
HILL_COLUMNS = (
    _WITH,
    _GEAR,
    Column("slope", "Slope", "Rise over run.", "18 %"),
    Column(
        "held", "Held", "Did the speed stay up to the top?", choices=(("yes", "yes"), ("no", "no"))
    ),
)


class CompareCards:
    """Three cards: marked engine speeds with the speedometer, timed roll-ons, hills."""

    def __init__(self, state: State, on_said: Callable[[], None] = lambda: None) -> None:
        self._state = state
        self._on_said = on_said
        self.found = Compared()
        self._faults = Faults()
        card = functools.partial(
            _TypedCard,
            self._faults,
            lambda column, text: with_unit(column, text, state.setup.units),
        )
        self._cards = [
            card(
                "Speed at marked engine speeds, and the speedometer",
                SPEED_COLUMNS,
                "Hold an engine speed in a gear on the level, both ways; let the log or a second "
                "person read. Three readings of the speedometer or more calibrate it.",
                self._speeds,
            ),
            card(
                "Timed roll-ons",
                RUN_COLUMNS,
                "Throttle fully open in one gear from one speed to another, the same stretch, "
                "three runs each way: the mean of both ways is free of wind and slope to first "
                "order.",
                self._roll_ons,
            ),
            card(
                "Hills",
                HILL_COLUMNS,
                "A hill of known slope, one gear, full throttle: did the speed stay up?",
                self._hills,
            ),
        ]
        self.widget = widgets.VBox(
            [
                self._faults.widget,
                widgets.HTML(bullet_list(words.CAUTIONS)).add_class("ge-caution"),
                *(card.widget for card in self._cards),
            ]
        )

    def show(self) -> None:
        """Follow the state: compare again with what is predicted now."""
        for card in self._cards:
            card.show()

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
        said = _block(
            words.SPEED_HEADS, words.speed_rows(found, system), words.speed_sentences(found)
        )
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
            return _block(
                words.METER_HEADS, shown, words.meter_sentences(fit, readings, gearing, system)
            )
        except ValueError as error:
            raise RecordError(str(error)) from None

    def _roll_ons(self, typed: Sequence[dict[str, str]]) -> str:
        rows = read_rows(typed, lambda row: (int(row["with"]), read_timed_runs(row, self._gears)))
        system = self._state.setup.units
        alone, changes = self._predictions.roll_ons(rows)
        self._keep(runs=alone, changes=changes)
        said = _block(words.RUN_HEADS, words.run_rows(alone, system), [])
        return said + _block(
            words.CHANGE_HEADS,
            words.change_rows(changes, system),
            words.run_sentences(alone, changes),
        )

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
        faults: Faults,
        complete: Callable[[str, str], str],
        title: str,
        columns: Sequence[Column],
        help_text: str,
        say: Callable[[Sequence[dict[str, str]]], str],
    ) -> None:
        self._columns, self._say = columns, say
        self._table = EntryTable(
            columns,
            [{}],
            MOST_ROWS,
            faults.guard(self.show),
            help_text,
            functools.partial(faults.guard, clears=False),
            complete,
        )
        self._said = widgets.HTML().add_class("ge-table")
        self.widget = widgets.VBox(
            [widgets.HTML(f"<h2>{title}</h2>"), self._table.widget, self._said]
        ).add_class("ge-card")

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
