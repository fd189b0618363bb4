"""The gearing page: a rider drags sprockets and tyre and sees what each change does."""

import functools
from urllib.parse import quote

import numpy as np
from IPython.display import display

from explorer.app import gearing_views
from explorer.app.bike_editor import BikeEditor
from explorer.app.chart_script import bring_chart_script
from explorer.app.chart_widget import ChartWidget
from explorer.app.debounce import Later, at_once
from explorer.app.faults import Faults, put_back
from explorer.app.gearing_controls import GearingControls
from explorer.app.gearing_state import GearingState
from explorer.app.page_links import page_links
from explorer.charts.gearing import pull_chart, shift_chart, tradeoff_chart
from explorer.panels import widgets
from explorer.panels.card import card
from explorer.panels.html import bullet_list, figures, figures_in_words, link, sentences, tiles
from explorer.records.clubs.club import bikes_offered
from explorer.study.study import Study
from explorer.tasks.gearing import figures as gearing_figures
from explorer.tasks.gearing import table as gearing_table
from explorer.tasks.gearing import words

CAUTIONS = (
    "Before buying, check that the chain, the adjusters and the clearances allow the pair: case, "
    "guard, slider, swingarm, and the tyre with the axle forward.",
    "Work on the chain with the engine off, in neutral, turning the wheel by hand; keep fingers "
    "out of the place where the chain runs onto a sprocket.",
    "Slack, torques, retainers and wear limits come from your bike's own manual. If any of this "
    "is new to you, let a qualified mechanic do it or check it.",
    "After a change the same engine note means another speed: learn jumps, corners and braking "
    "points again.",
    "A speedometer that shows too little, and parts not approved for the road, can be against the "
    "law where you ride: check it.",
)

_CHART_TITLES = (
    "Shifting up: engine speed against road speed",
    "Pull at the tyre, and what holds the bike back",
    "Every pair: top speed against what you gain",
)


class GearingPage:
    """The page, built from the query string of its address.

    Parameters
    ----------
    query : str
        What a link carried, unchecked; empty for the first bike.

    Attributes
    ----------
    state : GearingState
        The one state.
    widget : ipywidgets.Widget
        The whole page.
    """

    def __init__(self, query: str = "") -> None:
        self.state, complaints = GearingState.from_link(query, dict(bikes_offered()))
        self._faults = Faults()
        self._controls = GearingControls(self.state, self._faults)
        self._editor = BikeEditor(self.state, self._faults)
        result = Study.of(self.state.bike, self.state.setup)
        self._charts = [
            (shift_chart, shift_chart.ShiftChart(gearing_views.shift_view(result))),
            (pull_chart, pull_chart.PullChart(gearing_views.pull_view(result))),
            (
                tradeoff_chart,
                tradeoff_chart.TradeoffChart(
                    gearing_views.tradeoff_view(result, self.state.measured),
                    self._faults.guard(self._pick),
                ),
            ),
        ]
        self._summaries = widgets.HTML().add_class("ge-help")
        self._glance = widgets.HTML().add_class("ge-table")
        self._said = widgets.HTML()
        self._table = widgets.HTML().add_class("ge-table")
        self._defaults = widgets.HTML().add_class("ge-help")
        self._link = widgets.Text(
            description="Link to this set-up", tooltip="Copy it to come back to exactly this"
        )
        self._link_open = widgets.HTML()
        self._figures: ChartWidget | None = None
        self._words_later = Later(self._faults.guard(self._paint_words, clears=False))
        self._paint(result)
        self._paint_words()
        # Last of all: a chart that changes after this has to be written out once more.
        self._figures = ChartWidget(
            *(chart.figure for _, chart in self._charts),
            titles=_CHART_TITLES,
            guard=functools.partial(self._faults.guard, clears=False),
        )
        self.widget = self._assemble()
        if complaints:
            self._faults.say(*complaints)
        self.state.observe(self._changed, "choice")

    def follow(self, query: str) -> None:
        """Take what a link carries; what it got wrong is said."""
        given, complaints = GearingState.from_link(query, self.state.library)
        with at_once():
            self.state.choice = given.choice
        if complaints:
            self._faults.say(*complaints)

    def show(self) -> None:
        """Display the page, as the last line of its notebook."""
        bring_chart_script()
        display(self.widget)

    def _changed(self, change: dict) -> None:
        """Compute once, then paint everything from that one result."""
        try:
            result = Study.of(change["new"].bike, change["new"].setup)
            self._paint(result)
        except Exception:
            # The guard of the callback says the rest.
            put_back(change, self._changed)
            self._controls.show()
            raise
        self._controls.show()
        self._editor.show()

    def _pick(self, front: int, rear: int) -> None:
        self.state.change(front=front, rear=rear)

    def _paint(self, result: Study) -> None:
        """Show one result: first what answers the hand, then, while the browser draws, the rest."""
        views = (
            gearing_views.shift_view(result),
            gearing_views.pull_view(result),
            gearing_views.tradeoff_view(result, self.state.measured),
        )
        self._glance.value = tiles(words.headline(result)) + figures(
            gearing_figures.rows(result), ("Fitted", "Chosen", "Change")
        )
        for (_, chart), view in zip(self._charts, views, strict=True):
            chart.update(view)
        if self._figures is not None:
            self._figures.flush()
        _write(self._links())
        self._shown = (result, views)
        # Nobody reads while dragging: the browser has the charts to draw.
        self._words_later.ask()

    def _paint_words(self) -> None:
        result, views = self._shown
        texts = self._texts(result)
        texts[self._summaries] = figures_in_words(
            (title, module.describe(view))
            for title, (module, _), view in zip(_CHART_TITLES, self._charts, views, strict=True)
        )
        _write(texts)

    def _texts(self, result: Study) -> dict[widgets.Widget, str]:
        """What every text of the page says about a result."""
        csv = quote(gearing_table.as_csv(result))
        limiter_rpm = result.drive.limiter_speed.item() * 30 / np.pi
        return {
            self._said: sentences(
                [
                    words.pair_sentence(result),
                    *words.comparison(result),
                    *words.top_speed_sentences(result),
                    *words.certainty_sentences(result),
                    *words.ground_sentences(result),
                    *words.tooth_sentences(result),
                    *words.rollout_sentences(result),
                    words.speedometer_sentence(result),
                    words.air_sentence(result),
                ],
                "ge-said",
            ),
            self._table: gearing_table.as_html(gearing_table.gear_table(result), limiter_rpm)
            + link(f"data:text/csv;charset=utf-8,{csv}", "Download as CSV", "gears.csv"),
            self._defaults: bullet_list(
                result.bike.defaults_used or ["Nothing: the bike file gives every number."]
            ),
        }

    def _links(self) -> dict[widgets.Widget, str]:
        """The set-up as a link, and the links that take it along."""
        address = self.state.link
        return {
            self._link: address,
            self._link_open: page_links(
                ("gearing", address, "Open this set-up in a new page"),
                ("fit", address, "Does it fit? Chain, axle, slack, parts, fitting sheet"),
                ("ground", address, "On the ground: pulling away, hills, shifting, a course"),
                ("compare", address, "Compare: up to four set-ups side by side"),
                ("method", "", "Method: how it is computed, what is left out, how well it agrees"),
            ),
        }

    def _assemble(self) -> widgets.Widget:
        header = widgets.HTML(
            "<h1>Gearing</h1><p>Drag the sprockets and the tyre: pull, speeds, shift points and "
            "top speed answer at once, beside the gearing fitted now. Everything is computed, "
            "nothing is measured, until you ride it.</p>"
        ).add_class("ge-header")
        ground = widgets.Accordion([self._controls.ground], titles=("Ground, air and rider",))
        own_bike = widgets.Accordion([self._editor.widget], titles=("This bike",))
        controls = widgets.VBox(
            [
                card("", self._controls.reader),
                card("", self._controls.gearing),
                ground,
                own_bike,
            ]
        ).add_class("ge-controls")
        main = widgets.VBox(
            [
                self._faults.widget,
                card("What changes", self._glance),
                card("", self._controls.measure, self._figures, self._summaries),
                card("In words", self._said),
                card(
                    "Each gear with the chosen gearing (computed)",
                    self._controls.cruise,
                    self._table,
                ),
                card("Assumed, because the bike file does not say", self._defaults),
                card("Keep or share this set-up", self._link, self._link_open),
                widgets.HTML(bullet_list(CAUTIONS)).add_class("ge-caution"),
                card("What this page does not know", widgets.HTML(bullet_list(words.UNKNOWN))),
            ]
        ).add_class("ge-main")
        return (
            widgets.VBox([header, controls, main])
            .add_class("ge-page")
            .add_class("ge-with-controls")
        )


def _write(texts: dict[widgets.Widget, str]) -> None:
    for widget, text in texts.items():
        if widget.value != text:
            widget.value = text
