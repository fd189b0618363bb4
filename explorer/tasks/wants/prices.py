"""Prices that a rider is offered, for the wants page; they stay in this visit, no link has them."""

from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import Any

from explorer.app.page import OpenPage
from explorer.panels import widgets
from explorer.panels.controls import TextControl
from explorer.panels.html import help_line
from explorer.records.errors import RecordError
from explorer.records.fitting.prices import read_currency, read_price


class Prices:
    """A field for each part that some pair needs.

    Attributes:
        given: Prices by the id of the part.
        currency: Their label; may be empty.
        needed: From what the page shows to the parts needed, by id and name.
        widget: What the page places.
    """

    late = True

    def __init__(self, page: OpenPage) -> None:
        self.given: dict[str, Decimal | None] = {}
        self.currency = ""
        self.needed: Callable[[Any], Mapping[str, str]] = lambda _: {}
        self._on_change, guard = page.again, page.faults.guard
        self._guard = guard
        self._controls: dict[str, TextControl] = {}
        self._currency = TextControl(
            "Currency", "Any label, or none.", "", guard(self._typed_currency), "EUR"
        )
        self._place = widgets.VBox().add_class("ge-columns")
        self.widget = widgets.Accordion(
            [
                widgets.VBox(
                    [
                        help_line("For one piece. Kept in this visit only; no link carries them."),
                        self._currency.widget,
                        self._place,
                    ]
                )
            ],
            titles=("Prices you are offered",),
        )

    def work(self, shown: Any) -> Mapping[str, str]:
        """The parts needed."""
        return self.needed(shown)

    def put(self, needed: Mapping[str, str]) -> None:
        """Offer a field for each part, by its id and name; what was typed stays."""
        for part_id, name in needed.items():
            if part_id not in self._controls:
                typed = self._guard(lambda text, part_id=part_id: self._typed(part_id, text))
                self._controls[part_id] = TextControl(f"Price of {name}", "", "", typed, "24.50")
        wanted = tuple(self._controls[part_id].widget for part_id in needed)
        if self._place.children != wanted:
            self._place.children = wanted

    def _typed(self, part_id: str, text: str) -> None:
        control = self._controls[part_id]
        try:
            self.given[part_id] = read_price(text)
        except RecordError as error:
            control.answer(*error.sentences)
            return
        control.answer()
        self._on_change()

    def _typed_currency(self, text: str) -> None:
        try:
            self.currency = read_currency(text)
        except RecordError as error:
            self._currency.answer(*error.sentences)
            return
        self._currency.answer()
        self._on_change()
