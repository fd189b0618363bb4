"""The cards of a logged ride: bring one, and see what it says."""

import base64
from collections.abc import Callable
from typing import Any

from explorer.app.chart_widget import ChartWidget
from explorer.app.debounce import Debounce
from explorer.app.faults import Faults
from explorer.app.state import State
from explorer.calc.ride.ride_summary import TopSpeed
from explorer.charts.ride import ratio_chart, ride_chart, speed_histogram
from explorer.panels import widgets
from explorer.panels.card import card, heading
from explorer.panels.controls import ChoiceControl
from explorer.panels.html import help_line, link, sentences, table, tiles
from explorer.records.errors import RecordError
from explorer.records.rides.column_memory import open_memory
from explorer.records.rides.csv_ride import ColumnsUnclear
from explorer.records.rides.ride import Ride
from explorer.records.rides.ride_file import MOST_BYTES, MOST_FILES, read_ride
from explorer.study.check.demo import DEMOS, demo_file
from explorer.study.check.result import RideResult, analyse
from explorer.study.study import CHOSEN, FITTED
from explorer.study.wants.wants_on_ride import computed_rows, ridden_rows
from explorer.tasks.check import gear_words, views, words
from explorer.tasks.check.columns import ColumnControls

_TEXTS = ("tiles", "read", "top", "roll_ons", "gears", "replay", "wants")
_TABLES = ("roll_ons", "slopes", "gears", "replay", "wants")
_CHARTS = {
    "ride": (ride_chart.RideChart, ride_chart.describe, views.ride_view),
    "speeds": (speed_histogram.SpeedHistogram, speed_histogram.describe, views.histogram_view),
    "ratios": (ratio_chart.RatioChart, ratio_chart.describe, views.ratio_view),
}


class RideCards:
    """Upload, demo rides and all that one ride says.

    Args:
        on_ride: Told each new ride without its glitches, the gearing it was ridden with, and the
            top speed that it held; told again when the rider says another gearing.
        on_said: Called after everything of a ride was said, or said again.

    Attributes:
        result: What the ride says; None without one.
    """

    def __init__(
        self,
        state: State,
        on_ride: Callable[[Ride, int, TopSpeed | None], None],
        on_said: Callable[[], None] = lambda: None,
    ) -> None:
        self._on_said = on_said
        self._state = state
        self._on_ride = on_ride
        self._faults = Faults()
        self._later = Debounce(self._faults.guard(self._again))
        self._ride: Ride | None = None
        self._cleaned: Ride | None = None
        self.result: RideResult | None = None
        self._computed: tuple = ()
        self._progress = widgets.FloatProgress(min=0.0, max=1.0, description="Reading")
        self._upload = widgets.FileUpload(
            accept=".gpx,.fit,.csv,.txt,.GPX,.FIT,.CSV",
            multiple=True,
            description="Open ride files",
            tooltip="GPX, FIT or CSV",
        ).add_class("ge-ride-upload")
        self._upload.observe(self._faults.guard(self._uploaded), "value")
        self._demo = widgets.Dropdown(options=DEMOS, description="Demo ride")
        self._demo_link = widgets.HTML()
        self._with = ChoiceControl(
            "Ridden with",
            "Which gearing was on the bike during this ride.",
            self._gearings(),
            FITTED,
            self._faults.guard(lambda _: self._ridden_with()),
        )
        self._with.widget.add_class("ge-in-no-link")
        self._texts = {name: widgets.HTML() for name in _TEXTS}
        self._tables = {name: widgets.HTML().add_class("ge-table") for name in _TABLES}
        self._summaries = {name: widgets.HTML().add_class("ge-help") for name in _CHARTS}
        self._charts: dict[str, tuple[Any, ChartWidget]] = {}
        self._places = {name: widgets.VBox() for name in _CHARTS}
        self._files: list[tuple[str, bytes]] = []
        self._memory = open_memory()
        self._columns = ColumnControls(
            self._memory, self._faults, lambda: self._take(list(self._files))
        )
        self._answers = widgets.VBox()
        self._sparse = widgets.HTML()
        widgets.show_if(False, self._progress, self._answers)
        self.widget = self._assemble()

    def show(self) -> None:
        """Follow the state: say everything again once it rests, if it changes what is said."""
        self._with.show(self._with.value, self._gearings())
        if self._ride is not None and self._key() != self._computed:
            self._later.ask()

    def _show_sparse(self) -> None:
        """All that a ride says whose points are too far apart for speeds; nothing for others."""
        ride = self._ride
        sparse = ride is not None and ride.sparse
        widgets.show_if(ride is not None and not sparse, self._answers)
        said = sparse and [
            tiles(words.way_tiles(ride, self._state.setup.units)),
            sentences(words.sparse_sentences(ride), "ge-said"),
        ]
        self._sparse.value = "".join(said or ())

    def _key(self) -> tuple:
        choice = self._state.choice
        return choice.bike, choice.setup, choice.wishes, self._with.value

    def _gearings(self) -> list[tuple[str, int]]:
        fitted, chosen = self._state.bike.sprockets, self._state.setup
        return [
            (f"fitted {fitted.front}/{fitted.rear}", FITTED),
            (f"chosen {chosen.front}/{chosen.rear}", CHOSEN),
        ]

    def _uploaded(self, change: dict) -> None:
        files = [(file["name"], bytes(file["content"])) for file in change["new"]]
        if not files:
            return
        # The files are in the ride now; the widget need not hold them, and may take them again.
        self._upload.value = ()
        self._take(files)
        self._demo_link.value = ""

    def _open_demo(self) -> None:
        name, content, ridden = demo_file(self._state.bike, self._state.setup, self._demo.value)
        self._with.show(ridden)
        self._take([(name, content)])
        coded = base64.b64encode(content).decode()
        self._demo_link.value = link(
            f"data:application/octet-stream;base64,{coded}", f"Download {name}", name
        )

    def _take(self, files: list[tuple[str, bytes]]) -> None:
        """Read, clean and say everything; the ride before stays if anything cannot be used."""
        widgets.show_if(True, self._progress)
        self._columns.show(())
        self._files = files
        try:
            ride = read_ride(files, lambda share, _: self._tell(0.6 * share), self._memory.said)
            self._columns.show(ride.columns)
            self._tell(0.6)
            cleaned = ride.cleaned()
            if not ride.sparse:
                self._paint(self._computed_for(ride, cleaned))
            self._ride, self._cleaned = ride, cleaned
            self._show_sparse()
            if ride.sparse:
                self.result = None
                self._on_said()
            self._tell_ride()
        except RecordError as error:
            if isinstance(error, ColumnsUnclear):
                self._columns.show(error.columns)
            kept = ("The ride before stays.",) if self._ride is not None else ()
            raise RecordError(*error.sentences, *kept) from None
        finally:
            widgets.show_if(False, self._progress)

    def _tell(self, share: float) -> None:
        self._progress.value = share

    def _computed_for(self, ride: Ride, cleaned: Ride) -> RideResult:
        state = self._state
        self._computed = self._key()
        return analyse(
            ride,
            cleaned,
            state.bike,
            state.setup,
            self._with.value,
            lambda share: self._tell(0.6 + 0.4 * share),
        )

    def _again(self) -> None:
        self._show_sparse()
        if self._ride is not None and not self._ride.sparse:
            self._paint(self._computed_for(self._ride, self._cleaned))

    def _ridden_with(self) -> None:
        self._again()
        if self._ride is not None:
            self._tell_ride()

    def _tell_ride(self) -> None:
        top = None if self.result is None else self.result.top
        self._on_ride(self._cleaned, self._with.value, top)

    def _paint(self, result: RideResult) -> None:
        self.result = result
        wants = self._state.choice.wishes.wants
        computed, about = computed_rows(wants, result, self._state.measured)
        wanted = ridden_rows(wants, result) + computed
        said = {
            "read": words.reading_sentences(result),
            "top": words.top_sentences(result),
            "roll_ons": words.roll_on_sentences(result),
            "gears": gear_words.gear_sentences(result),
            "replay": words.replay_sentences(result),
            "wants": about if wants else [words.SAY["no-wants"]],
        }
        for name, texts in said.items():
            self._texts[name].value = sentences(texts, "ge-said")
        self._texts["tiles"].value = tiles(words.headline(result))
        gears = gear_words.gear_heads(result), gear_words.gear_rows(result)
        self._tables["gears"].value = table(*gears)
        for name, heads, rows, without in (
            ("roll_ons", words.ROLL_ON_HEADS, words.roll_on_rows(result), "no-passage"),
            ("slopes", words.SLOPE_HEADS, words.slope_rows(result), "no-altitudes"),
            ("replay", words.replay_heads(result), words.replay_rows(result), ""),
            ("wants", words.WANT_HEADS, wanted, ""),
        ):
            missing = sentences([words.SAY[without]] if without else [])
            self._tables[name].value = table(heads, rows) if rows else missing
        for name, (_, describe, view_of) in _CHARTS.items():
            self._show_chart(name, view_of(result), describe)
        self._on_said()

    def _show_chart(self, name: str, view: object, describe: Callable) -> None:
        hidden = name == "ratios" and self.result.found is None
        self._summaries[name].value = "" if hidden else sentences([describe(view)], "ge-summary")
        if hidden:
            # A chart shown again later is a new one: a figure belongs to one widget for good.
            self._places[name].children = ()
            self._charts.pop(name, None)
        elif name not in self._charts:
            chart = _CHARTS[name][0](view)
            self._charts[name] = chart, ChartWidget(chart.figure)
            self._places[name].children = (self._charts[name][1],)
        else:
            chart, shown = self._charts[name]
            chart.update(view)
            shown.flush()

    def _assemble(self) -> widgets.Widget:
        demo = self._faults.button(
            "Open the demo ride",
            self._open_demo,
            "A ride computed from the model with noise, invented for the demo",
        )
        bring = card(
            "Your ride",
            self._faults.widget,
            self._upload,
            help_line(
                f"GPX 1.0 or 1.1, FIT, or a table as CSV: its columns are shown here, and you can "
                f"put them right. Several files make one ride: at most {MOST_FILES}, together at "
                f"most {MOST_BYTES / 1e6:.0f} MB: twelve hours at one point a second. The files "
                "stay in this tab: nothing is stored here."
            ),
            widgets.HBox([self._demo, demo]).add_class("ge-ride-demo"),
            help_line("Invented for the demo: a ride of this bike, computed, with noise."),
            self._demo_link,
            self._progress,
            self._columns.widget,
            self._sparse,
        )
        self._answers.children = [
            card(
                "What the ride says",
                self._with.widget,
                self._texts["tiles"],
                self._texts["top"],
                self._places["ride"],
                self._summaries["ride"],
                widgets.Accordion(
                    [self._texts["read"]], titles=("What was read, and what was left out",)
                ),
            ),
            card(
                "Speeds, roll-ons and hills",
                self._places["speeds"],
                self._summaries["speeds"],
                heading("Best roll-ons, from the log"),
                self._tables["roll_ons"],
                self._texts["roll_ons"],
                heading("Hills, from the log (slopes over 100 m)"),
                self._tables["slopes"],
            ),
            card(
                "Gears and revs",
                self._texts["gears"],
                self._places["ratios"],
                self._summaries["ratios"],
                self._tables["gears"],
            ),
            card(
                "The same ride with another pair",
                self._texts["replay"],
                self._tables["replay"],
                heading("Which wants would be met"),
                self._tables["wants"],
                self._texts["wants"],
            ),
        ]
        return widgets.VBox([bring, self._answers])
