"""Prices that a rider is offered, for the wants page; the link takes them to every page."""

from collections.abc import Callable, Mapping
from typing import Any

from explorer.app.page import OpenPage
from explorer.panels import widgets
from explorer.panels.controls import TextControl
from explorer.panels.html import help_line


class Prices:
    """A field for each part that some pair needs.

    Attributes:
        needed: From what the page shows to the parts needed, by id and name.
    """

    late = True

    def __init__(self, page: OpenPage) -> None:
        self.needed: Callable[[Any], Mapping[str, str]] = lambda _: {}
        self._state, self._guard = page.state, page.faults.guard
        self._controls: dict[str, TextControl] = {}
        self._currency = TextControl(
            "Currency", "Any label, or none.", "", self._guard(self._typed_currency), "EUR"
        )
        self._place = widgets.VBox().add_class("ge-columns")
        self.widget = widgets.Accordion(
            [
                widgets.VBox(
                    [
                        help_line("For one piece. The link takes them along."),
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
        """Offer a field for each part, by its id and name, with the price given."""
        prices, currency = self._state.measured.prices
        self._currency.show(currency)
        for part_id, name in needed.items():
            if part_id not in self._controls:
                typed = self._guard(lambda text, part_id=part_id: self._typed(part_id, text))
                self._controls[part_id] = TextControl(f"Price of {name}", "", "", typed, "24.50")
            price = prices.get(part_id)
            self._controls[part_id].show("" if price is None else f"{price:f}")
        wanted = tuple(self._controls[part_id].widget for part_id in needed)
        if self._place.children != wanted:
            self._place.children = wanted

    def _typed(self, part_id: str, text: str) -> None:
        control = self._controls[part_id]
        control.try_out(lambda: self._state.measure(self._state.measured.with_price(part_id, text)))

    def _typed_currency(self, text: str) -> None:
        measured = self._state.measured
        self._currency.try_out(lambda: self._state.measure(measured.with_currency(text)))
