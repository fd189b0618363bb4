"""Prices that a rider is offered, on the wants and the fit page; the link takes them along."""

from collections.abc import Callable, Mapping
from typing import Any

from explorer.app.page import OpenPage
from explorer.panels import widgets
from explorer.panels.controls import TextControl
from explorer.panels.html import help_line


class PriceFields:
    """Under a lid, a field for the currency and one for each part that was ever needed.

    Args:
        css: How the fields of the parts are laid out.
        help_text: One line under each of these.
        above: What stands above all fields.
    """

    def __init__(
        self, page: OpenPage, css: str, help_text: str = "", above: tuple[widgets.Widget, ...] = ()
    ) -> None:
        self._state, self._guard, self._help_text = page.state, page.faults.guard, help_text
        self._controls: dict[str, TextControl] = {}
        typed = self._guard(self._typed_currency)
        self._currency = TextControl("Currency", "Any label, or none.", "", typed, "EUR")
        self._place = widgets.VBox().add_class(css)
        fields = widgets.VBox([*above, self._currency.widget, self._place])
        self.widget = widgets.Accordion([fields], titles=("Prices you are offered",))

    def offer(self, needed: Mapping[str, str]) -> None:
        """Offer a field for each part, by its id and name, with the price given."""
        prices, currency = self._state.measured.prices
        self._currency.show(currency)
        for part_id, name in needed.items():
            if part_id not in self._controls:
                typed = self._guard(lambda text, part_id=part_id: self._typed(part_id, text))
                self._controls[part_id] = TextControl(
                    f"Price of {name}", self._help_text, "", typed, "24.50"
                )
            price = prices.get(part_id)
            self._controls[part_id].show("" if price is None else f"{price:f}")
        wanted = tuple(self._controls[part_id].widget for part_id in needed)
        if self._place.children != wanted:
            self._place.children = wanted

    def _typed(self, part_id: str, text: str) -> None:
        control, measured = self._controls[part_id], self._state.measured
        control.try_out(lambda: self._state.measure(measured.with_price(part_id, text)))

    def _typed_currency(self, text: str) -> None:
        measured = self._state.measured
        self._currency.try_out(lambda: self._state.measure(measured.with_currency(text)))


class Prices(PriceFields):
    """The prices of the parts that some pair needs.

    Attributes:
        needed: From what the page shows to the parts needed, by id and name.
    """

    late = True

    def __init__(self, page: OpenPage) -> None:
        self.needed: Callable[[Any], Mapping[str, str]] = lambda _: {}
        hint = help_line("For one piece. The link takes them along.")
        super().__init__(page, "ge-columns", above=(hint,))

    def work(self, shown: Any) -> Mapping[str, str]:
        """The parts needed."""
        return self.needed(shown)

    put = PriceFields.offer
