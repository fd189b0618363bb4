"""The wants page: from what hurts and where you ride to two or three set-ups worth buying."""

import functools
import time
from urllib.parse import quote

from IPython.display import display
from markupsafe import Markup

from explorer.app.bike_editor import BikeEditor
from explorer.app.chart_script import bring_chart_script
from explorer.app.chart_widget import ChartWidget
from explorer.app.debounce import Debounce, at_once
from explorer.app.faults import Faults, roll_back
from explorer.app.gearing_controls import GearingControls
from explorer.charts.gearing import wants_chart
from explorer.panels import widgets
from explorer.panels.card import card
from explorer.panels.html import bullet_list, help_line, link, sentences
from explorer.panels.text_control import TextControl
from explorer.records.clubs.club import bikes_offered
from explorer.records.errors import RecordError
from explorer.records.setups.sprocket_pair import parse_pair
from explorer.study.wants.wants_link import read_wants, write_wants
from explorer.study.wants.wants_result import WantsResult, compute
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
from explorer.tasks.wants.state import WantsState
from explorer.tasks.wants.words import BEFORE_BUYING, CAREFUL, SCORE_IN_WORDS, why_not_words

SHOWN_AFTER = 0.3
"""A computation that takes longer shows how far it is [s]."""

_ASK = "Tap a pair in the chart, or type one here, and read why it is not on the list."


class WantsPage:
    """The page, built from the query string of its address.

    Parameters
    ----------
    query : str
        What a link carried, unchecked; empty for the first bike.

    Attributes
    ----------
    state : WantsState
        The one state.
    widget : ipywidgets.Widget
        The whole page.
    """

    def __init__(self, query: str = "") -> None:
        self.state, complaints = WantsState.from_link(query, dict(bikes_offered()))
        self._faults = Faults()
        self._reader = GearingControls(self.state, self._faults)
        self._editor = BikeEditor(self.state, self._faults)
        self._complaints = Complaints(self.state, self._faults)
        self._mix = MixShares(self.state, self._faults)
        self._list = WantList(self.state, self._faults)
        self._later = Debounce(self._faults.guard(self._answer, clears=False))
        self._prices = Prices(self._later.ask, self._faults.guard)
        self._texts = {
            name: widgets.HTML()
            for name in ("said", "honest", "entries", "why", "trade", "pages", "file")
        }
        self._table = widgets.HTML().add_class("ge-table").add_class("ge-short-list")
        self._summary = widgets.HTML().add_class("ge-help")
        self._stage = widgets.HTML()
        self._bar = widgets.FloatProgress(min=0.0, max=1.0, description="Comparing all pairs")
        self._progress = widgets.VBox([self._bar, self._stage])
        widgets.show_if(False, self._progress)
        self._ask = TextControl(
            "Why not this one?", _ASK, "", self._faults.guard(self._typed_pair), "12/48"
        )
        self._link = widgets.Text(
            description="Link to these wants", tooltip="Copy it to come back to exactly this"
        )
        self._asked: tuple[int, int] | None = None
        self._figure: ChartWidget | None = None
        self._listing = self._compute()
        self._chart = wants_chart.WantsChart(
            views.chart_view(self._listing, None), self._faults.guard(self._ask_about)
        )
        self._paint()
        # Last of all: a chart that changes after this has to be written out once more.
        self._figure = ChartWidget(
            self._chart.figure, guard=functools.partial(self._faults.guard, clears=False)
        )
        self.widget = self._assemble(self._figure)
        if complaints:
            self._faults.say(*complaints)
        self.state.observe(self._changed, "choice")

    def follow(self, query: str) -> None:
        """Take what a link carries; what it got wrong is said."""
        given, complaints = WantsState.from_link(query, self.state.library)
        with at_once():
            self.state.choice = given.choice
        if complaints:
            self._faults.say(*complaints)

    def show(self) -> None:
        """Display the page, as the last line of its notebook."""
        bring_chart_script()
        display(self.widget)

    def _changed(self, change: dict) -> None:
        """Show the controls at once; the answer follows when the rider has paused."""
        try:
            self._show_link()
        except Exception:
            # The guard of the callback says the rest.
            roll_back(change, self._changed)
            self._show_controls()
            raise
        self._show_controls()
        self._later.ask()

    def _show_controls(self) -> None:
        self._reader.show()
        self._editor.show()
        self._mix.show()
        self._list.show()

    def _compute(self) -> ShortList:
        choice, begun = self.state.choice, time.monotonic()

        def report(share: float, stage: str) -> None:
            if time.monotonic() - begun > SHOWN_AFTER:
                widgets.show_if(True, self._progress)
                self._bar.value = share
                self._stage.value = sentences([f"Now: {stage}."], "ge-help")

        try:
            result: WantsResult = compute(
                choice.bike,
                choice.setup,
                choice.measured,
                choice.wishes,
                self._prices.given,
                self._prices.currency,
                report,
            )
            return short_list(result)
        finally:
            widgets.show_if(False, self._progress)

    def _answer(self) -> None:
        self._listing = self._compute()
        self._paint()

    def _paint(self) -> None:
        listing = self._listing
        result = listing.result
        if self._asked is not None and result.index(*self._asked) < 0:
            self._asked = None
        view = views.chart_view(listing, self._asked)
        self._chart.update(view)
        self._summary.value = sentences([wants_chart.describe(view)], "ge-summary")
        self._texts["said"].value = sentences(list_words(listing), "ge-sentence")
        honest = honest_words(result)
        self._texts["honest"].value = (
            bullet_list(honest)
            if honest
            else sentences(
                ["Each of your wants is met by some pair sold for this bike."]
                if result.judged
                else ["Nothing is wanted yet."]
            )
        )
        self._table.value = views.list_table(listing)
        best = tuple((each.front, each.rear) for each in listing.entries)
        self._texts["entries"].value = views.entries_html(
            listing,
            self.state.link_of,
            lambda front, rear: self.state.link_of(front, rear, beside=best),
        )
        self._texts["trade"].value = sentences([front_or_rear_words(result.bike)], "ge-said")
        self._prices.show(result.costs.needed)
        self._say_why()
        self._show_link()
        if self._figure is not None:
            self._figure.flush()

    def _show_link(self) -> None:
        address = self.state.link
        if self._link.value == address and self._texts["pages"].value:
            return
        self._link.value = address
        self._texts["pages"].value = link(f"wants{address}", "Open this in a new page")
        self._texts["file"].value = link(
            f"data:text/plain;charset=utf-8,{quote(write_wants(self.state.wishes))}",
            "Download these wants as a file",
            "wants.txt",
        )

    def _typed_pair(self, text: str) -> None:
        if text.strip():
            pair = parse_pair(text)
            self._ask.answer(pair.sentence)
            self._ask_about(pair.front, pair.rear)

    def _ask_about(self, front: int, rear: int) -> None:
        self._asked = front, rear
        self._say_why()
        if self._listing.result.index(front, rear) >= 0:
            self._chart.update(views.chart_view(self._listing, self._asked))
            if self._figure is not None:
                self._figure.flush()

    def _say_why(self) -> None:
        if self._asked is None:
            self._texts["why"].value = ""
            return
        said = why_not_words(self._listing, why_not(self._listing, *self._asked))
        title = Markup("<h3>Why not {}/{}?</h3>").format(*self._asked)
        self._texts["why"].value = title + sentences(said, "ge-said")

    def _uploaded(self, change: dict) -> None:
        files = [bytes(file["content"]) for file in change["new"]]
        if files:
            wishes, said = read_wants(files[0])
            self.state.wish(wishes)
            if said:
                raise RecordError(*said)

    def _assemble(self, chart: ChartWidget) -> widgets.Widget:
        header = widgets.HTML(
            "<h1>Say your riding</h1><p>Tell what hurts and where you ride. Every pair of "
            "sprockets sold for the bike is scored against it, and two or three remain, each with "
            "what it gains and costs. Everything is computed, nothing is measured, until you ride "
            "it.</p>"
        ).add_class("ge-header")
        upload = widgets.FileUpload(
            accept=".txt", multiple=False, description="Open a file of wants",
            tooltip="As the download makes it",
        )  # fmt: skip
        upload.observe(self._faults.guard(self._uploaded), "value")
        controls = widgets.VBox(
            [
                card("", self._reader.reader),
                widgets.Accordion([self._reader.ground], titles=("Ground, air and rider",)),
                widgets.Accordion([self._editor.widget], titles=("This bike",)),
            ]
        ).add_class("ge-controls")
        sides = "".join(
            f"<h3>{side.name}</h3>{bullet_list(side.arguments)}" for side in FRONT_OR_REAR
        )
        arguments = widgets.HTML(f"{sides}{sentences([AXLE_PLACE], 'ge-said')}")
        main = widgets.VBox(
            [
                self._faults.widget,
                card("1 · What hurts?", self._complaints.widget),
                card("2 · Where do you ride?", self._mix.widget),
                card("3 · What you want", self._list.widget),
                card(
                    "The short list (computed)",
                    self._progress,
                    self._texts["said"],
                    self._table,
                    self._prices.widget,
                    help_line(SCORE_IN_WORDS),
                ),
                card("Each of them, with its reasons", self._texts["entries"]),
                card(
                    "Why not the one next to it?",
                    chart,
                    self._summary,
                    self._ask.widget,
                    self._texts["why"],
                ),
                card("What no gearing does, and what would", self._texts["honest"]),
                card("Front or rear? The trade's arguments", self._texts["trade"], arguments),
                widgets.HTML(sentences([CAREFUL, BEFORE_BUYING], "ge-said")).add_class(
                    "ge-caution"
                ),
                card(
                    "Keep or share these wants",
                    self._link,
                    self._texts["pages"],
                    self._texts["file"],
                    upload,
                    help_line("The file stays in this visit: nothing is stored here."),
                ),
            ]
        ).add_class("ge-main")
        return (
            widgets.VBox([header, controls, main])
            .add_class("ge-page")
            .add_class("ge-with-controls")
        )
