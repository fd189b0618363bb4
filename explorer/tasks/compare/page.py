"""The compare page: up to four set-ups side by side on every chart, the fitted one among them."""

from explorer.app import controls
from explorer.app.layout import card, cautions, fold, group, listed
from explorer.app.page import OpenPage, Page
from explorer.app.page_links import page_links
from explorer.app.parts import Figure, Words, charts, sentence_list, share_link, words
from explorer.charts.compare import (
    compare_course_chart,
    compare_pull_chart,
    compare_shift_chart,
    compare_tradeoff_chart,
)
from explorer.charts.compare.compare_looks import LOOKS, named
from explorer.panels.html import tiles
from explorer.study.study import Study
<<<<<<< HEAD
from explorer.tasks.bench.page import CAUTIONS
from explorer.tasks.bench.state import BenchState
from explorer.tasks.compare import views, words
from explorer.tasks.compare.controls import CompareControls
=======
from explorer.tasks.compare import views
from explorer.tasks.compare import words as say
from explorer.tasks.compare.controls import AddAndRemove, SetupFile, which
from explorer.tasks.compare.state import CompareChoice, CompareState
from explorer.tasks.gearing.page import CAUTIONS
>>>>>>> main


def _ask(choice: CompareChoice) -> Study:
    return Study.of_several(choice.bike, choice.setup, choice.others)


def _links(page: OpenPage) -> Words:
    """Each set-up by itself on other pages."""

<<<<<<< HEAD
    Parameters
    ----------
    query : str
        What a link carried, unchecked; empty for the first bike.

    Attributes
    ----------
    state : BenchState
        The one state.
    widget : ipywidgets.Widget
        The whole page.
    """

    def __init__(self, query: str = "") -> None:
        self.state, complaints = BenchState.from_link(query, dict(bikes_offered()))
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
        given, complaints = BenchState.from_link(query, self.state.library)
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
=======
    def html(study: Study) -> str:
>>>>>>> main
        said = []
        for look, each in zip(LOOKS, study.fitments, strict=False):
            address = page.state.link_of(each)
            pages = page_links(
                ("gearing", address, "Gearing"),
                ("fit", address, "Does it fit?"),
                ("ground", address, "On the ground"),
            )
            said.append(f"<p><strong>{named(look, each.pair)}</strong>: {pages}</p>")
        return "".join(said)

    return Words(html, "ge-table", now=True)


ComparePage = Page(
    title="Compare",
    intro="Up to four set-ups side by side on every chart, one of them the gearing fitted now. "
    "Everything is computed, nothing is measured, until you ride it.",
    state=CompareState,
    ask=_ask,
    controls=(
        card("", controls.BIKE_AND_UNITS),
        card("", group(which, AddAndRemove), controls.GEARING),
        fold("Ground, air and rider", controls.GROUND),
    ),
    main=(
        card("The set-ups", words(lambda study: tiles(say.tiles(study)), now=True)),
        group(
            card(
                "Shifting up: engine speed against road speed",
                charts(
                    Figure(
                        compare_shift_chart.CompareShiftChart,
                        compare_shift_chart.describe,
                        views.shift_view,
                    )
                ),
            ),
            card(
                "Pull at the tyre, and what holds the bike back",
                charts(
                    Figure(
                        compare_pull_chart.ComparePullChart,
                        compare_pull_chart.describe,
                        views.pull_view,
                    )
                ),
            ),
            card(
                "Top speed against what you gain",
                controls.MEASURE,
                charts(
                    Figure(
                        compare_tradeoff_chart.CompareTradeoffChart,
                        compare_tradeoff_chart.describe,
                        views.tradeoff_view,
                    )
                ),
            ),
            card(
                "Time over a course",
                controls.COURSE,
                charts(
                    Figure(
                        compare_course_chart.CompareCourseChart,
                        compare_course_chart.describe,
                        lambda study: views.course_view(study, study.on_course),
                    ),
                    late=True,
                ),
            ),
            css="ge-charts",
        ),
        card(
            "Figures, each with its difference to the fitted gearing (computed)",
            controls.slider("cruise_speed", help_text="For the engine speed in the table below."),
            words(
                lambda study: say.as_html(say.figures_table(study, study.on_course)),
                "ge-table ge-compared",
            ),
        ),
        card("In words", sentence_list(say.sentences)),
        card("Take one of them further", _links),
        card(
            "Keep or share this comparison",
            share_link("Link to this comparison"),
            SetupFile,
        ),
        cautions(CAUTIONS),
        card("What this page does not know", listed(say.UNKNOWN)),
    ),
)
