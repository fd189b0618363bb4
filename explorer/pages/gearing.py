"""The gearing page: a rider drags sprockets and tyre and sees what each change does."""

from urllib.parse import quote

import ipywidgets as widgets
import numpy as np
from IPython.display import display

from explorer import units
from explorer.charts import pull_chart, shift_chart, tradeoff_chart
from explorer.pages import gearing_table, gearing_views
from explorer.pages import gearing_words as words
from explorer.pages.bike_editor import BikeEditor
from explorer.pages.chart_widget import ChartWidget
from explorer.pages.faults import Faults
from explorer.pages.gearing_controls import GearingControls
from explorer.pages.gearing_result import CHOSEN, FITTED, GearingResult, compute
from explorer.pages.gearing_state import Choice, GearingState
from explorer.panels.html import bullet_list, figures, link, sentences, tiles
from explorer.records.bike_library import demo_bikes
from explorer.records.link import decode, encode

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


class GearingPage:
    """The page, built from the query string of its address.

    Parameters
    ----------
    query : str
        What a link carried, unchecked; empty for the first demo bike.

    Attributes
    ----------
    state : GearingState
        The one state.
    widget : ipywidgets.Widget
        The whole page.
    """

    def __init__(self, query: str = "") -> None:
        library = dict(demo_bikes())
        setup, bike, complaints = decode(query, library)
        self.state = GearingState(library, Choice(bike, setup))
        self._faults = Faults()
        self._controls = GearingControls(self.state, self._faults)
        self._editor = BikeEditor(self.state, self._faults)
        result = compute(bike, setup)
        self._charts = [
            (shift_chart, shift_chart.ShiftChart(gearing_views.shift_view(result))),
            (pull_chart, pull_chart.PullChart(gearing_views.pull_view(result))),
            (
                tradeoff_chart,
                tradeoff_chart.TradeoffChart(
                    gearing_views.tradeoff_view(result), self._faults.guard(self._pick)
                ),
            ),
        ]
        self._summaries = [widgets.HTML().add_class("ge-help") for _ in self._charts]
        self._tiles = widgets.HTML()
        self._said = widgets.HTML()
        self._numbers = widgets.HTML().add_class("ge-table")
        self._table = widgets.HTML().add_class("ge-table")
        self._details = widgets.HTML()
        self._defaults = widgets.HTML().add_class("ge-help")
        self._link = widgets.Text(
            description="Link to this set-up", tooltip="Copy it to come back to exactly this"
        )
        self._link_open = widgets.HTML()
        self._chart_widgets: list[ChartWidget] = []
        self._paint(result)
        # Last of all: a chart handed to its widget misses every change made before it is shown.
        self._chart_widgets = [ChartWidget(chart.figure) for _, chart in self._charts]
        self.widget = self._assemble(self._chart_widgets)
        if complaints:
            self._faults.say(*complaints)
        self.state.observe(self._changed, "choice")

    def show(self) -> None:
        """Display the page, as the last line of its notebook."""
        display(self.widget)

    def _changed(self, change: dict) -> None:
        """Compute once, then paint everything from that one result."""
        try:
            result = compute(change["new"].bike, change["new"].setup)
            self._paint(result)
        except Exception:
            # Back to the last state that could be shown; the guard of the callback says the rest.
            self.state.unobserve(self._changed, "choice")
            self.state.choice = change["old"]
            self.state.observe(self._changed, "choice")
            self._controls.show()
            raise
        self._controls.show()
        self._editor.show()

    def _pick(self, front: int, rear: int) -> None:
        self.state.change(front=front, rear=rear)

    def _paint(self, result: GearingResult) -> None:
        views = (
            gearing_views.shift_view(result),
            gearing_views.pull_view(result),
            gearing_views.tradeoff_view(result),
        )
        for (module, chart), view, summary in zip(
            self._charts, views, self._summaries, strict=True
        ):
            chart.update(view)
            summary.value = sentences([module.describe(view)], "ge-summary")
        for widget in self._chart_widgets:
            widget.flush()
        self._tiles.value = tiles(words.headline(result))
        self._said.value = sentences(
            [
                words.pair_sentence(result),
                *words.comparison(result),
                *words.top_speed_sentences(result),
                *words.ground_sentences(result),
            ],
            "ge-said",
        )
        self._numbers.value = figures(_figure_rows(result), ("Fitted", "Chosen", "Change"))
        limiter_rpm = result.drive.limiter_speed.item() * 30 / np.pi
        csv = gearing_table.as_csv(result)
        self._table.value = gearing_table.as_html(
            gearing_table.gear_table(result), limiter_rpm
        ) + link(f"data:text/csv;charset=utf-8,{quote(csv)}", "Download as CSV", "gears.csv")
        self._details.value = sentences(
            [
                *words.tooth_sentences(result),
                *words.rollout_sentences(result),
                words.speedometer_sentence(result),
                words.air_sentence(result),
            ],
            "ge-said",
        )
        self._defaults.value = bullet_list(
            result.bike.defaults_used or ["Nothing: the bike file gives every number."]
        )
        address = encode(result.setup, self.state.base_bike, result.bike)
        if self._link.value != address:
            self._link.value = address
            self._link_open.value = link(address, "Open this set-up in a new page")

    def _assemble(self, charts: list[ChartWidget]) -> widgets.Widget:
        header = widgets.HTML(
            "<h1>Gearing</h1><p>Drag the sprockets and the tyre: pull, speeds, shift points and "
            "top speed answer at once, beside the gearing fitted now. Everything is computed, "
            "nothing is measured, until you ride it.</p>"
        ).add_class("ge-header")
        ground = widgets.Accordion([self._controls.ground], titles=("Ground, air and rider",))
        own_bike = widgets.Accordion([self._editor.widget], titles=("This bike",))
        controls = widgets.VBox(
            [
                _card("", self._controls.reader),
                _card("", self._controls.gearing),
                ground,
                own_bike,
            ]
        ).add_class("ge-controls")
        titles = (
            "Shifting up: engine speed against road speed",
            "Pull at the tyre, and what holds the bike back",
            "Every pair: top speed against what you gain",
        )
        cards = [
            _card(title, *([self._controls.measure] if chart is charts[2] else []), chart, summary)
            for title, chart, summary in zip(titles, charts, self._summaries, strict=True)
        ]
        main = widgets.VBox(
            [
                self._faults.widget,
                _card(
                    "What changes",
                    self._tiles,
                    widgets.VBox([self._numbers, self._said]).add_class("ge-columns"),
                ),
                widgets.VBox(cards).add_class("ge-charts"),
                _card(
                    "Each gear with the chosen gearing (computed)",
                    self._controls.cruise,
                    self._table,
                ),
                _card("Worth knowing", self._details),
                _card("Assumed, because the bike file does not say", self._defaults),
                _card("Keep or share this set-up", self._link, self._link_open),
                widgets.HTML(bullet_list(CAUTIONS)).add_class("ge-caution"),
                _card("What this page does not know", widgets.HTML(bullet_list(words.UNKNOWN))),
            ]
        ).add_class("ge-main")
        return widgets.VBox([header, controls, main]).add_class("ge-page")


def _card(title: str, *children: widgets.Widget) -> widgets.Widget:
    head = [widgets.HTML(f"<h2>{title}</h2>")] if title else []
    return widgets.VBox([*head, *children]).add_class("ge-card")


def _figure_rows(result: GearingResult) -> list[tuple[str, str, str, str]]:
    """Named figures: fitted, chosen and signed change."""
    system, setup = result.setup.units, result.setup
    factor, unit, decimals = gearing_views.measure_scale(setup)

    def speed(value: float) -> str:
        return units.text(float(value), "speed", system)

    def measured(value: float) -> str:
        return "not reached" if np.isnan(value) else f"{value * factor:.{decimals}f} {unit}"

    def share(values: np.ndarray) -> str:
        usable = np.all(np.isfinite(values)) and values[FITTED] > 0
        return words.signed_percent(values[CHOSEN] / values[FITTED] - 1) if usable else "–"

    first_pull = result.pull[:, 0].max(axis=1)
    limiter = (result.drive.limiter_speed * result.drive.radius / result.drive.overall)[:, -1, 0]
    force = units.display(1.0, "force", system)
    rows = [
        ("Final drive ratio", *(f"{ratio:.2f}" for ratio in result.ratios), share(result.ratios)),
        (
            "Largest pull in 1st",
            *(f"{float(f'{pull * force[0]:.3g}'):.0f} {force[1]}" for pull in first_pull),
            share(first_pull),
        ),
        (
            "Geared speed in top at the rev limit",
            *(speed(value) for value in limiter),
            share(limiter),
        ),
        ("Top speed", *(speed(value) for value in result.top.speed), share(result.top.speed)),
        (
            gearing_views.measure_name(setup),
            *(measured(value) for value in result.measure),
            share(result.measure),
        ),
    ]
    return rows
