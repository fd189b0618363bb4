"""The compare page: up to four set-ups side by side on every chart, the fitted one among them."""

from IPython.display import display

from explorer.app.chart_script import bring_chart_script
from explorer.app.chart_widget import ChartWidget
from explorer.app.debounce import Debounce, at_once
from explorer.app.faults import Faults, roll_back
from explorer.app.gearing_controls import GearingControls
from explorer.app.page_links import page_links
from explorer.charts.compare import (
    compare_course_chart,
    compare_pull_chart,
    compare_shift_chart,
    compare_tradeoff_chart,
)
from explorer.charts.compare.compare_looks import LOOKS, named
from explorer.panels import widgets
from explorer.panels.card import card
from explorer.panels.html import bullet_list, sentences, tiles
from explorer.records.clubs.club import bikes_offered
from explorer.study.study import Study
from explorer.tasks.compare import views, words
from explorer.tasks.compare.controls import CompareControls
from explorer.tasks.compare.state import CompareState
from explorer.tasks.gearing.page import CAUTIONS

_TITLES = {
    "shift": "Shifting up: engine speed against road speed",
    "pull": "Pull at the tyre, and what holds the bike back",
    "tradeoff": "Top speed against what you gain",
    "course": "Time over a course",
}
_MODULES = {
    "shift": compare_shift_chart,
    "pull": compare_pull_chart,
    "tradeoff": compare_tradeoff_chart,
    "course": compare_course_chart,
}


class ComparePage:
    """The page, built from the query string of its address.

    Parameters
    ----------
    query : str
        What a link carried, unchecked; empty for the first bike.

    Attributes
    ----------
    state : CompareState
        The one state.
    widget : ipywidgets.Widget
        The whole page.
    """

    def __init__(self, query: str = "") -> None:
        self.state, complaints = CompareState.from_link(query, dict(bikes_offered()))
        self._faults = Faults()
        self._controls = GearingControls(self.state, self._faults)
        self._own = CompareControls(self.state, self._faults)
        self._said = widgets.HTML()
        self._glance = widgets.HTML()
        self._table = widgets.HTML().add_class("ge-table").add_class("ge-compared")
        self._links = widgets.HTML().add_class("ge-table")
        self._link = widgets.Text(
            description="Link to this comparison", tooltip="Copy it to come back to exactly this"
        )
        self._summaries = {name: widgets.HTML().add_class("ge-help") for name in _TITLES}
        self._figures: dict[str, ChartWidget] = {}
        result = self._compute()
        self._result = result
        self._course = result.on_course
        first = {
            "shift": views.shift_view(result),
            "pull": views.pull_view(result),
            "tradeoff": views.tradeoff_view(result),
            "course": views.course_view(result, self._course),
        }
        self._charts = {
            "shift": compare_shift_chart.CompareShiftChart(first["shift"]),
            "pull": compare_pull_chart.ComparePullChart(first["pull"]),
            "tradeoff": compare_tradeoff_chart.CompareTradeoffChart(first["tradeoff"]),
            "course": compare_course_chart.CompareCourseChart(first["course"]),
        }
        self._rest = Debounce(self._faults.guard(self._paint_rest, clears=False))
        self._paint(result)
        self._paint_rest()
        # Last of all: a chart that changes after this has to be written out once more.
        self._figures = {name: ChartWidget(chart.figure) for name, chart in self._charts.items()}
        self.widget = self._assemble()
        if complaints:
            self._faults.say(*complaints)
        self.state.observe(self._changed, "choice")

    def follow(self, query: str) -> None:
        """Take what a link carries; what it got wrong is said."""
        given, complaints = CompareState.from_link(query, self.state.library)
        with at_once():
            self.state.choice = given.choice
        if complaints:
            self._faults.say(*complaints)

    def show(self) -> None:
        """Display the page, as the last line of its notebook."""
        bring_chart_script()
        display(self.widget)

    def _compute(self) -> Study:
        return Study.of_several(self.state.bike, self.state.setup, self.state.others)

    def _changed(self, change: dict) -> None:
        """Compute once, then paint everything from that one result; the course follows later."""
        try:
            self._paint(self._compute())
        except Exception:
            # The guard of the callback says the rest.
            roll_back(change, self._changed)
            self._show_controls()
            raise
        self._show_controls()
        self._rest.ask()

    def _show_controls(self) -> None:
        self._controls.show()
        self._own.show()

    def _paint(self, result: Study) -> None:
        self._result = result
        self._glance.value = tiles(words.tiles(result))
        self._said.value = sentences(words.sentences(result), "ge-said")
        for name, view in (
            ("shift", views.shift_view(result)),
            ("pull", views.pull_view(result)),
            ("tradeoff", views.tradeoff_view(result)),
        ):
            self._show_chart(name, view)
        if self._link.value != self.state.link:
            self._link.value = self.state.link
            self._links.value = self._links_in_html()

    def _paint_rest(self) -> None:
        """What takes longer: the course, and the table that holds its time."""
        self._course = self._result.on_course
        self._show_chart("course", views.course_view(self._result, self._course))
        self._table.value = words.as_html(words.figures_table(self._result, self._course))

    def _show_chart(self, name: str, view) -> None:
        self._charts[name].update(view)
        self._summaries[name].value = sentences([_MODULES[name].describe(view)], "ge-summary")
        if name in self._figures:
            self._figures[name].flush()

    def _links_in_html(self) -> str:
        said = []
        for look, each in zip(LOOKS, self._result.fitments, strict=False):
            address = self.state.link_of(each)
            pages = page_links(
                ("gearing", address, "Gearing"),
                ("fit", address, "Does it fit?"),
                ("ground", address, "On the ground"),
            )
            said.append(f"<p><strong>{named(look, each.pair)}</strong>: {pages}</p>")
        return "".join(said)

    def _assemble(self) -> widgets.Widget:
        header = widgets.HTML(
            "<h1>Compare</h1><p>Up to four set-ups side by side on every chart, one of them the "
            "gearing fitted now. Everything is computed, nothing is measured, until you ride it."
            "</p>"
        ).add_class("ge-header")
        ground = widgets.Accordion([self._controls.ground], titles=("Ground, air and rider",))
        controls = widgets.VBox(
            [
                card("", self._controls.reader),
                card("", self._own.which, self._controls.gearing),
                ground,
            ]
        ).add_class("ge-controls")

        def chart(name: str, *above: widgets.Widget) -> widgets.VBox:
            return card(_TITLES[name], *above, self._figures[name], self._summaries[name])

        charts = widgets.VBox(
            [
                chart("shift"),
                chart("pull"),
                chart("tradeoff", self._controls.measure),
                chart("course", self._own.course),
            ]
        ).add_class("ge-charts")
        main = widgets.VBox(
            [
                self._faults.widget,
                card("The set-ups", self._glance),
                charts,
                card(
                    "Figures, each with its difference to the fitted gearing (computed)",
                    self._own.cruise,
                    self._table,
                ),
                card("In words", self._said),
                card("Take one of them further", self._links),
                card("Keep or share this comparison", self._link, self._own.file),
                widgets.HTML(bullet_list(CAUTIONS)).add_class("ge-caution"),
                card("What this page does not know", widgets.HTML(bullet_list(words.UNKNOWN))),
            ]
        ).add_class("ge-main")
        return (
            widgets.VBox([header, controls, main])
            .add_class("ge-page")
            .add_class("ge-with-controls")
        )
