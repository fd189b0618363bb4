"""The tables in which runs are typed; data/words/check.toml says what their columns are."""

import functools
from collections.abc import Callable, Sequence

from explorer.app.faults import Faults
from explorer.app.state import State
from explorer.panels.entry_table import Column, EntryTable
from explorer.records.rides.typed_runs import MOST_ROWS, with_unit
from explorer.tasks.check.words import SAY


def columns_of(name: str) -> tuple[Column, ...]:
    """The columns of one table."""
    return tuple(Column(**row) for row in SAY["tables"][name]["columns"])


def typed_table(
    name: str,
    columns: Sequence[Column],
    state: State,
    faults: Faults,
    on_change: Callable[[], None] = lambda: None,
) -> EntryTable:
    """One table; bare numbers are in the reader's unit."""
    # Other rows shown are no act of the rider's: they take away nothing that was said.
    quietly = functools.partial(faults.guard, clears=False)
    about = SAY["tables"][name]["help"]
    return EntryTable(
        columns, [{}], MOST_ROWS, on_change, about, quietly,
        lambda column, text: with_unit(column, text, state.setup.units),
    )  # fmt: skip
