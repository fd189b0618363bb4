"""What joins the bench in the browser to its kernel: tables go out, one text comes back.

Tables travel as the text of a hidden HTML widget, what the rider did comes as the text of a hidden
text field, like any other field's: so a page needs no right that it does not have already, and a
stock widget library carries both. What the browser says is checked here; it cannot write a table,
for nobody reads the widget back.
"""

import json
from typing import Any

from markupsafe import Markup

from explorer.app.page import OpenPage
from explorer.panels import widgets
from explorer.records.errors import RecordError
from explorer.records.setups.comparison import MOST, slot_name
from explorer.study.table import sold_pairs
from explorer.tasks.bench.state import BenchChoice
from explorer.tasks.bench.table import BenchTable, table_of

_LONGEST = 1000
"""Most characters of what a bench says at once."""

_FEW = 60
"""So many pairs are computed as fast as a part of them would be."""

_NOT_READ = "The bench sent something that cannot be read; reload the page."


class _Outgoing(widgets.HTML):
    """Text that only this side writes; its table is what the browser was given last, here or with
    the page itself."""

    table: BenchTable

    def set_state(self, sync_data: dict) -> None:
        """What a browser says of it is left unheard."""


class Channel:
    """A part of the page: sends what the browser has not yet, and listens, both out of sight."""

    def __init__(self, page: OpenPage) -> None:
        self._state = page.state
        self._out = widgets.dressed(_Outgoing(), "bn-tables")
        self._in = widgets.dressed(widgets.Text(), "bn-tell")
        self.widgets = [self._out, self._in]
        self._serial = 0
        # What the browser's table answers, whether for all pairs, and the set-ups shown there.
        self._question: Any = None
        self._whole = False
        self._shown: Any = None
        self._sent = False
        self._in.observe(page.faults.guard(self._heard), "value")

    def work(self, _: Any) -> BenchTable | None:
        """A table for the browser, or nothing where what it has will do."""
        choice = self._state.choice
        question, shown = choice.question, _slots(choice)
        if question == self._question and shown == self._shown:
            return None
        if not self._sent and self._question is not None:
            return None  # a page made ahead follows its visitor's link: what is shown comes with it
        few = len(sold_pairs(choice.bike)) <= _FEW
        self._whole = few or question == self._question or self._question is None
        self._question, self._shown = question, shown
        return table_of(choice, self._serial, not self._whole)

    def rest(self) -> BenchTable | None:
        """The whole table when the hand rests, after a part of it while it moved."""
        if self._whole:
            return None
        self._whole = True
        return table_of(self._state.choice, self._serial, False)

    def put(self, table: BenchTable | None) -> None:
        """Send a table."""
        if table is not None:
            self._out.table = table
            self._out.value = Markup('<data data-mark="{}" data-table="{}"></data>').format(
                table.mark, table.text
            )

    def with_the_page(self) -> BenchTable:
        """The table of what is shown, which goes out with the page itself."""
        choice = self._state.choice
        self._question, self._shown, self._whole = choice.question, _slots(choice), True
        self._sent = True
        self._out.value = ""
        self._out.table = table_of(choice, self._serial, False)
        return self._out.table

    def _heard(self, change: dict) -> None:
        if not change["new"]:
            return
        self._serial, slots, picked = _read(change["new"])
        # The browser shows these already, and needs no table of them.
        self._shown = slots, picked
        self._state.told(slots, picked)


class WholeAtRest:
    """The part that sends the whole table when the hand rests."""

    late = True
    widgets = ()

    def __init__(self, channel: Channel) -> None:
        self.put = channel.put
        self.work = lambda _: channel.rest()


Slots = tuple[tuple[str, int, int, str], ...]


def _slots(choice: BenchChoice) -> tuple[Slots, int]:
    """What the browser shows of the set-ups: name, teeth, tyre; and which is under the sliders."""
    named = zip(choice.names, choice.others, strict=False)
    return tuple((name, each.front, each.rear, each.tyre) for name, each in named), choice.at


def _read(text: str) -> tuple[int, Slots, int]:
    """What a bench said, checked, for it may hold anything: its number, set-ups, the picked one."""

    def whole(value: Any, low: int, high: int) -> int:
        if type(value) is not int or not low <= value <= high:
            raise RecordError(_NOT_READ)
        return value

    def size(value: Any) -> str:
        if type(value) is not str:
            raise RecordError(_NOT_READ)
        return value

    try:
        said = json.loads(text) if len(text) <= _LONGEST else {}
        slots = tuple(
            (slot_name(name), whole(front, 1, 255), whole(rear, 1, 255), size(tyre))
            for name, front, rear, tyre in said["slots"]
        )
        whole(len(slots), 1, MOST)
        return whole(said["serial"], 0, 2**53), slots, whole(said["picked"], 1, len(slots)) - 1
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        if isinstance(error, RecordError):
            raise
        raise RecordError(_NOT_READ) from None
