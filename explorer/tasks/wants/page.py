"""The wants page: from what hurts and where you ride to two or three set-ups worth buying."""

import time
from collections.abc import Callable
from urllib.parse import quote

from markupsafe import Markup

from explorer.app import controls
from explorer.app.bike_editor import own_bike
from explorer.app.layout import card, fold, help_text, html, said
from explorer.app.page import Item, OpenPage, Page
from explorer.app.parts import Charts, Figure, Words, share_link, words
from explorer.charts.gearing import wants_chart
from explorer.panels import widgets
from explorer.panels.html import bullet_list, link, sentences
from explorer.panels.text_control import TextControl
from explorer.records.errors import RecordError
from explorer.records.setups.sprocket_pair import parse_pair
from explorer.study.wants.wants_link import read_wants, write_wants
from explorer.study.wants.wants_result import compute
from explorer.study.wants.wants_short_list import ShortList, short_list
from explorer.study.wants.wants_why_not import why_not
from explorer.tasks.wants import views
from explorer.tasks.wants.controls import Complaints, MixShares, WantList
from explorer.tasks.wants.honest import (
    AXLE_PLACE,
    FRONT_OR_REAR,
    front_or_rear_words,
    honest_words,
    list_words,
)
from explorer.tasks.wants.prices import Prices
from explorer.tasks.wants.state import WantsChoice, WantsState
from explorer.tasks.wants.words import BEFORE_BUYING, CAREFUL, SCORE_IN_WORDS, why_not_words

SHOWN_AFTER = 0.3
"""A computation that takes longer shows how far it is [s]."""

_ASK = "Tap a pair in the chart, or type one here, and read why it is not on the list."


_SIDES = "".join(f"<h3>{side.name}</h3>{bullet_list(side.arguments)}" for side in FRONT_OR_REAR)


class Answer:
    """The short list of a choice, kept until something else is asked; its widget is a progress bar.

    Attributes:
        listing: The last one.
    """

    def __init__(self, page: OpenPage) -> None:
        self._prices: Prices = page.part(Prices)
        self._prices.needed = lambda choice: self.of(choice).result.costs.needed
        self._asked: tuple | None = None
        self._stage = widgets.HTML()
        self._bar = widgets.FloatProgress(min=0.0, max=1.0, description="Comparing all pairs")
        self.widget = widgets.VBox([self._bar, self._stage])
        widgets.show_if(False, self.widget)
        self.listing: ShortList = self.of(page.result)

    def of(self, choice: WantsChoice) -> ShortList:
        """The short list of a choice at the prices given."""
        asked = choice, dict(self._prices.given), self._prices.currency
        if self._asked is None or choice is not self._asked[0] or asked[1:] != self._asked[1:]:
            self.listing = self._compute(*asked)
            self._asked = asked
        return self.listing

    def _compute(self, choice: WantsChoice, given: dict, currency: str) -> ShortList:
        begun = time.monotonic()

        def report(share: float, stage: str) -> None:
            if time.monotonic() - begun > SHOWN_AFTER:
                widgets.show_if(True, self.widget)
                self._bar.value = share
                self._stage.value = sentences([f"Now: {stage}."], "ge-help")

        try:
            wanted = choice.bike, choice.setup, choice.measured, choice.wishes
            return short_list(compute(*wanted, given, currency, report))
        finally:
            widgets.show_if(False, self.widget)


class WhyNot:
    """A pair that the rider asks about, tapped or typed, and why it is not on the list."""

    late = True

    def __init__(self, page: OpenPage) -> None:
        self._page = page
        self._pair: tuple[int, int] | None = None
        self._field = TextControl(
            "Why not this one?", _ASK, "", page.faults.guard(self._typed), "12/48"
        )
        self._why = widgets.HTML()
        chart = Figure(
            wants_chart.WantsChart,
            wants_chart.describe,
            lambda choice: views.chart_view(self._answer(choice), self._asked(choice)),
            tap=lambda _, front, rear: self.ask(front, rear),
        )
        self.chart = Charts(page, [chart], late=True)
        self.widgets = [*self.chart.widgets, self._field.widget, self._why]

    def ask(self, front: int, rear: int) -> None:
        """Answer why a pair is not on the list."""
        self._pair = front, rear
        self._page.repaint(*self.chart.parts, self)
        # A pair that is not sold for the bike is answered once, and not kept.
        self._pair = self._asked(self._page.result)

    def work(self, choice: WantsChoice) -> str:
        """Why the pair is not on the list, in HTML."""
        if self._pair is None:
            return ""
        listing = self._answer(choice)
        title = Markup("<h3>Why not {}/{}?</h3>").format(*self._pair)
        return title + sentences(why_not_words(listing, why_not(listing, *self._pair)), "ge-said")

    def put(self, text: str) -> None:
        """Show why."""
        self._why.value = text

    def _answer(self, choice: WantsChoice) -> ShortList:
        return self._page.part(Answer).of(choice)

    def _asked(self, choice: WantsChoice) -> tuple[int, int] | None:
        if self._pair is None or self._answer(choice).result.index(*self._pair) < 0:
            return None
        return self._pair

    def _typed(self, text: str) -> None:
        if text.strip():
            pair = parse_pair(text)
            self._field.answer(pair.sentence)
            self.ask(pair.front, pair.rear)


def _of_list(says: Callable[[ShortList], str], css: str = "") -> Item:
    """A text of the short list."""
    return lambda page: Words(lambda choice: says(page.part(Answer).of(choice)), css)


def _honest(listing: ShortList) -> str:
    if honest := honest_words(listing.result):
        return bullet_list(honest)
    met = "Each of your wants is met by some pair sold for this bike."
    return sentences([met if listing.result.judged else "Nothing is wanted yet."])


def _entries(page: OpenPage) -> Words:
    state: WantsState = page.state

    def html_of(choice: WantsChoice) -> str:
        listing = page.part(Answer).of(choice)
        best = tuple((each.front, each.rear) for each in listing.entries)
        return views.entries_html(
            listing, state.link_of, lambda front, rear: state.link_of(front, rear, beside=best)
        )

    return Words(html_of)


def _file(choice: WantsChoice) -> str:
    address = f"data:text/plain;charset=utf-8,{quote(write_wants(choice.wishes))}"
    return link(address, "Download these wants as a file", "wants.txt")


def _upload(page: OpenPage) -> widgets.Widget:
    def take(files: list[tuple[str, bytes]]) -> None:
        wishes, unread = read_wants(files[0][1])
        page.state.wish(wishes)
        if unread:
            raise RecordError(*unread)

    return controls.upload("Open a file of wants", "As the download makes it", ".txt", take)(page)


WantsPage = Page(
    title="Say your riding",
    intro="Tell what hurts and where you ride. Every pair of sprockets sold for the bike is scored "
    "against it, and two or three remain, each with what it gains and costs. Everything is "
    "computed, nothing is measured, until you ride it.",
    state=WantsState,
    controls=(
        card("", controls.BIKE_AND_UNITS),
        fold("Ground, air and rider", controls.GROUND),
        fold("This bike", own_bike),
    ),
    main=(
        card("1 · What hurts?", Complaints),
        card("2 · Where do you ride?", MixShares),
        card("3 · What you want", WantList),
        card(
            "The short list (computed)",
            Answer,
            _of_list(lambda listing: sentences(list_words(listing))),
            _of_list(views.list_table, "ge-table ge-short-list"),
            Prices,
            help_text(SCORE_IN_WORDS),
        ),
        card("Each of them, with its reasons", _entries),
        card("Why not the one next to it?", WhyNot),
        card("What no gearing does, and what would", _of_list(_honest)),
        card(
            "Front or rear? The trade's arguments",
            words(lambda choice: sentences([front_or_rear_words(choice.bike)], "ge-said")),
            html(f"{_SIDES}{sentences([AXLE_PLACE], 'ge-said')}"),
        ),
        said(CAREFUL, BEFORE_BUYING, css="ge-caution"),
        card(
            "Keep or share these wants",
            share_link("Link to these wants", ("wants", "Open this in a new page")),
            words(_file, now=True),
            _upload,
            help_text("The file stays in this visit: nothing is stored here."),
        ),
    ),
)
