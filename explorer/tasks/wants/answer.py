"""What the wants page answers: the short list of a choice, and why a pair is not on it."""

import time

from markupsafe import Markup

from explorer.app.page import OpenPage
from explorer.app.parts import Charts, Figure
from explorer.charts.gearing import wants_chart
from explorer.panels import widgets
from explorer.panels.controls import TextControl
from explorer.panels.html import sentences
from explorer.records.errors import RecordError
from explorer.records.setups.sprocket_pair import parse_pair, say_pair
from explorer.study.wants.wants_result import compute
from explorer.study.wants.wants_short_list import ShortList, short_list
from explorer.study.wants.wants_why_not import why_not
from explorer.tasks.wants import views
from explorer.tasks.wants.prices import Prices
from explorer.tasks.wants.state import WantsChoice
from explorer.tasks.wants.words import SAY, why_not_words

SHOWN_AFTER = 0.3
"""A computation that takes longer shows how far it is [s]."""


class Answer:
    """The short list of a choice, kept until something else is asked; its widget shows progress."""

    def __init__(self, page: OpenPage) -> None:
        page.part(Prices).needed = lambda choice: self.of(choice).result.costs.needed
        self._asked: WantsChoice | None = None
        self._stage = widgets.HTML()
        self._bar = widgets.FloatProgress(min=0.0, max=1.0, description="Comparing all pairs")
        self.widget = widgets.VBox([self._bar, self._stage])
        widgets.show_if(False, self.widget)
        self.listing: ShortList = self.of(page.result)

    def of(self, choice: WantsChoice) -> ShortList:
        """The short list of a choice at the prices given."""
        if choice is not self._asked:
            self.listing = self._compute(choice)
            self._asked = choice
        return self.listing

    def _compute(self, choice: WantsChoice) -> ShortList:
        begun = time.monotonic()

        def report(share: float, stage: str) -> None:
            if time.monotonic() - begun > SHOWN_AFTER:
                widgets.show_if(True, self.widget)
                self._bar.value = share
                self._stage.value = sentences([f"Now: {stage}."], "ge-help")

        try:
            wanted = choice.bike, choice.setup, choice.measured, choice.wishes
            return short_list(compute(*wanted, *choice.measured.prices, report))
        finally:
            widgets.show_if(False, self.widget)


class WhyNot:
    """A pair that the rider asks about, tapped or typed, and why it is not on the list."""

    late = True

    def __init__(self, page: OpenPage) -> None:
        self._page = page
        self._pair: tuple[int, int] | None = None
        self._field = TextControl(
            "Why not this one?", SAY["ask"], "", page.faults.guard(self._typed), "12/48"
        )
        self._why = widgets.HTML()
        chart = Figure(
            wants_chart.WantsChart,
            wants_chart.describe,
            lambda choice: views.chart_view(self._answer(choice), self._asked(choice)),
            tap=self._tapped,
        )
        self.chart = Charts(page, [chart], late=True)
        self.widgets = [*self.chart.widgets, self._field.widget, self._why]

    def ask(self, pair: tuple[int, int] | None) -> None:
        """Answer why a pair is not on the list; nothing for none."""
        self._pair = pair
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

    def _tapped(self, _: OpenPage, front: int, rear: int) -> None:
        self._field.show(f"{front}/{rear}")
        self._field.say_back(say_pair(front, rear))
        self.ask((front, rear))

    def _typed(self, text: str) -> None:
        """Answer the pair typed, or say why it is none; another pair's answer goes."""
        pair = None
        self._field.answer()
        try:
            if text.strip():
                pair = parse_pair(text)
                self._field.say_back(pair.sentence)
        except RecordError as error:
            self._field.answer(*error.sentences)
        self.ask(pair and pair[:2])
