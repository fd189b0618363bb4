"""What to buy for the chosen pair, what it costs, and the fitting sheet to take to the bike."""

from datetime import date

from explorer.app.page import OpenPage
from explorer.app.setup_code import read_address
from explorer.calc import gearing
from explorer.panels import widgets
from explorer.panels.controls import TextControl
from explorer.panels.html import bullet_list, help_line, sentences, table
from explorer.records.errors import RecordError
from explorer.records.fitting.parts import TOGETHER_OR_WORN, PartsList, parts_list
from explorer.records.fitting.prices import cost, money
from explorer.records.fitting.sprocket_change import SprocketChange
from explorer.records.tyre import rollout
from explorer.study.fit_result import FitResult
from explorer.tasks.fit import fitting_sheet
from explorer.tasks.fit import words as fit_words
from explorer.tasks.fit.sheet_facts import MOST_SPEEDS, FittingSheet, PredictedSpeed
from explorer.tasks.wants.prices import PriceFields
from explorer.units import RPM

_VERIFY_SHARE = 0.5
"""The verify ride holds half the rev limit: low enough for a quiet road, easy to read."""

_REVOLUTIONS = 500 * RPM
"""Engine speeds of the verify ride are whole steps of 500 rpm."""


def sprocket_change(result: FitResult) -> SprocketChange:
    """The change that the shopping list and the sheet are for.

    Raises:
        RecordError: If the links of the chain are not known, or the set-up does not fit: the
            verdict of the page, and what follows from it.
    """
    if result.ruled_out or result.fit is None:
        raise RecordError(fit_words.headline(result), fit_words.SAY["not-made"])
    measured, sprockets = result.measured, result.bike.sprockets
    return SprocketChange(
        old_front=sprockets.front,
        old_rear=sprockets.rear,
        front=result.setup.front,
        rear=result.setup.rear,
        chain_size=result.bike.chain.size,
        old_links=result.now.fitted.links,
        links=int(result.fit.links),
        new_chain=result.new_chain,
        joining_link=measured.get("joining_link"),
        retainer=measured.get("retainer"),
        rear_nuts=measured.get("rear_nuts"),
        axle_lock=measured.get("axle_lock"),
        seal=measured.get("seal"),
        slips_off=result.slips_off,
    )


def sheet_of(result: FitResult, link: str, address: str) -> FittingSheet:
    """The fitting sheet of one computation.

    Args:
        address: Address of the page, for the code; empty if unknown.

    Raises:
        RecordError: One sentence for each thing that keeps a sheet from being made.
    """
    measured = result.measured
    return FittingSheet(
        bike=result.bike.name,
        invented=result.bike.provenance == "invented",
        made_on=date.today(),
        change=sprocket_change(result),
        axle_movement=float(result.fit.movement),
        wheelbase_change=None if result.stance is None else result.stance.wheelbase,
        axle_before=measured.si("room_forward") if measured.known("room_forward") else None,
        axle_room=measured.si("room_back") if measured.known("room_back") else None,
        uncertainty=measured.si("uncertainty"),
        doubt=fit_words.to_settle(result),
        slack=measured.text("manual_slack"),
        slack_place=measured.text("slack_place"),
        slack_state=measured.text("slack_state"),
        rear_brake=measured.get("rear_brake"),
        predicted=_predicted(result),
        query=link,
        address=address,
    )


def _predicted(result: FitResult) -> tuple[PredictedSpeed, ...]:
    """Road speed of each gear at one engine speed, for the ride that checks the change."""
    bike, setup = result.bike, result.setup
    vehicle = bike.vehicle()
    speed = round(_VERIFY_SHARE * vehicle.limiter_speed / _REVOLUTIONS) * _REVOLUTIONS
    overall = gearing.overall_ratio(vehicle.primary, vehicle.gears, setup.front, setup.rear)
    roads = gearing.road_speed(speed, overall, rollout(setup.tyre, setup.rollout).value)
    gears = [PredictedSpeed(gear, speed, float(road)) for gear, road in enumerate(roads, start=1)]
    # The tall gears: their speeds are read off more surely than a crawl in first.
    return tuple(gears[-MOST_SPEEDS:])


class PartsAndSheet:
    """Shopping list with prices, and the button that makes the sheet.

    The page's address stays in this visit; no link carries it.
    """

    late = True

    def __init__(self, page: OpenPage) -> None:
        self._state, faults = page.state, page.faults
        self._result: FitResult | None = None
        self._query = self._address = ""
        self._sheet: tuple[str, str] | None = None  # for which set-up it was made, and its link
        self._list = widgets.HTML().add_class("ge-table")
        self._said, self._kept = widgets.HTML(), widgets.HTML()
        self._prices = PriceFields(page, "ge-form", "For one piece.")
        sides = "".join(
            f"<h3>{side.name}</h3>{bullet_list(side.arguments)}" for side in TOGETHER_OR_WORN
        )
        trade = widgets.Accordion(
            [widgets.HTML(sides)], titles=("All three together, or only what is worn?",)
        )
        self.parts = widgets.VBox([self._said, self._list, self._prices.widget, self._kept, trade])
        self._address_control = TextControl(
            "Address of this page",
            fit_words.SAY["address"],
            "",
            faults.guard(self._typed_address),
            "https://club.example/fit",
        )
        make = faults.button(
            "Make the fitting sheet",
            self._make,
            "A file to print on A4 or Letter, or to tick off on a phone",
            button_style="primary",
        )
        self._download = widgets.HTML()
        self.sheet = widgets.VBox(
            [
                help_line(fit_words.SAY["sheet"]),
                self._address_control.widget.add_class("ge-in-no-link"),
                make,
                self._download,
            ]
        )

    def work(self, result: FitResult) -> tuple[FitResult, PartsList | RecordError, str]:
        """What is to buy, or why nobody can say, and the link for the sheet."""
        try:
            return result, parts_list(sprocket_change(result)), self._state.short_link
        except RecordError as error:
            return result, error, self._state.short_link

    def put(self, made: tuple[FitResult, PartsList | RecordError, str]) -> None:
        """Show what is to buy."""
        self._result, parts, self._query = made
        if self._sheet:
            about, sheet = self._sheet
            old = sentences([fit_words.SAY["sheet-old"]], "ge-help")
            self._download.value = sheet if about == self._query else old
        if isinstance(parts, RecordError):
            self._said.value = sentences(parts.sentences)
            self._list.value = self._kept.value = ""
            # What was typed stays with its part, for when a pair that fits needs it again.
            self._prices.offer({})
            return
        self._prices.offer({part.id: part.name for part in parts.buy})
        bought, kept = (
            bullet_list([f"{part.name}: {part.why}" for part in each])
            for each in (parts.buy, parts.keep)
        )
        self._kept.value = f"<h3>Why to buy it</h3>{bought}<h3>Old parts</h3>{kept}"
        self._show_cost(parts)

    def _show_cost(self, parts: PartsList) -> None:
        prices, currency = self._result.measured.prices
        priced = cost(parts, prices, currency)
        doubt = fit_words.to_settle(self._result)
        said = [f"Before you buy: {doubt}"] if doubt else []
        self._said.value = sentences([*said, parts.sentence, priced.sentence], "ge-said")
        self._list.value = table(
            ("part", "quantity", "price each", "cost"),
            (
                (
                    f"{line.part.name}{' (if wanted)' if line.part.optional else ''}",
                    str(line.part.quantity),
                    "" if line.price is None else money(line.price, currency),
                    "" if line.cost is None else money(line.cost, currency),
                )
                for line in priced.lines
            ),
        )

    def _typed_address(self, text: str) -> None:
        def take() -> None:
            self._address = read_address(text)

        self._address_control.try_out(take)

    def _make(self) -> None:
        sheet = sheet_of(self._result, self._query, self._address)
        link = fitting_sheet.download_link(sheet, self._result.setup.units)
        self._sheet, self._download.value = (self._query, link), link
