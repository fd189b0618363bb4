"""The ground page: pulling away, hills, changing up, what binds, a course, how sure it is."""

from IPython.display import display

from explorer.app.bike_editor import BikeEditor
from explorer.app.chart_script import bring_chart_script
from explorer.app.chart_widget import ChartWidget
from explorer.app.debounce import at_once
from explorer.app.faults import Faults, roll_back
from explorer.app.gearing_controls import GearingControls
from explorer.app.page_links import page_links
from explorer.app.state import State
from explorer.charts.gearing import limits_chart, sensitivity_chart
from explorer.panels import widgets
from explorer.panels.card import card, heading
from explorer.panels.html import bullet_list, figures, sentences, table, tiles
from explorer.records.clubs.club import bikes_offered
from explorer.study.study import Study
from explorer.tasks.ground import hill_words as hills
from explorer.tasks.ground import shift_words as shifting
from explorer.tasks.ground import views, words
from explorer.tasks.ground.controls import GroundControls
from explorer.tasks.ground.course_card import CourseCard


class GroundPage:
    """The page, built from the query string of its address.

    Parameters
    ----------
    query : str
        What a link carried, unchecked; empty for the first bike.

    Attributes
    ----------
    state : State
        The one state, the same as that of the gearing page.
    course : CourseCard
        The card of the course, which has its own time.
    widget : ipywidgets.Widget
        The whole page.
    """

    def __init__(self, query: str = "") -> None:
        self.state, complaints = State.from_link(query, dict(bikes_offered()))
        self._faults = Faults()
        self._controls = GearingControls(self.state, self._faults)
        self._own_controls = GroundControls(self.state, self._faults)
        self._editor = BikeEditor(self.state, self._faults)
        self.course = CourseCard(self.state)
        result = Study.of(self.state.bike, self.state.setup)
        self._limits = limits_chart.LimitsChart(views.limits_view(result))
        self._sensitivity = sensitivity_chart.SensitivityChart(views.sensitivity_view(result))
        self._texts = {
            name: widgets.HTML()
            for name in (
                "tiles",
                "where",
                "launch",
                "hills",
                "braking",
                "shifting",
                "binding",
                "sure",
                "pages",
            )
        }
        self._tables = {
            name: widgets.HTML().add_class("ge-table") for name in ("launch", "hills", "shifting")
        }
        self._summaries = {
            name: widgets.HTML().add_class("ge-help") for name in ("limits", "sensitivity")
        }
        self._inputs = widgets.HTML().add_class("ge-help")
        self._defaults = widgets.HTML().add_class("ge-help")
        self._link = widgets.Text(
            description="Link to this set-up", tooltip="Copy it to come back to exactly this"
        )
        self._chart_widgets: list[ChartWidget] = []
        self._paint(result)
        # Last of all: a chart that changes after this has to be written out once more.
        self._chart_widgets = [
            ChartWidget(self._limits.figure),
            ChartWidget(self._sensitivity.figure),
        ]
        self.widget = self._assemble(*self._chart_widgets)
        if complaints:
            self._faults.say(*complaints)
        self.state.observe(self._changed, "choice")

    def follow(self, query: str) -> None:
        """Take what a link carries; what it got wrong is said."""
        given, complaints = State.from_link(query, self.state.library)
        with at_once():
            self.state.choice = given.choice
        if complaints:
            self._faults.say(*complaints)

    def show(self) -> None:
        """Display the page, as the last line of its notebook."""
        bring_chart_script()
        display(self.widget)

    def _changed(self, change: dict) -> None:
        """Compute once, then paint everything from that one result; the course follows later."""
        try:
            self._paint(Study.of(change["new"].bike, change["new"].setup))
        except Exception:
            # The guard of the callback says the rest.
            roll_back(change, self._changed)
            self._show_controls()
            raise
        self._show_controls()
        self._editor.show()
        self.course.show()

    def _show_controls(self) -> None:
        self._controls.show()
        self._own_controls.show()

    def _paint(self, result: Study) -> None:
        limits, sensitivity = views.limits_view(result), views.sensitivity_view(result)
        self._limits.update(limits)
        self._sensitivity.update(sensitivity)
        self._summaries["limits"].value = sentences([limits_chart.describe(limits)], "ge-summary")
        self._summaries["sensitivity"].value = sentences(
            [sensitivity_chart.describe(sensitivity)], "ge-summary"
        )
        said = {
            "where": [words.where_sentence(result), words.same_sentence(result)],
            "launch": words.launch_sentences(result),
            "hills": hills.hill_sentences(result),
            "braking": hills.braking_sentences(result),
            "shifting": shifting.shift_sentences(result),
            "binding": shifting.binding_sentences(result),
            "sure": words.sure_sentences(result),
        }
        for name, texts in said.items():
            self._texts[name].value = sentences(filter(None, texts), "ge-said")
        self._texts["tiles"].value = tiles(words.headline(result))
        self._tables["launch"].value = figures(
            words.clutch_out_rows(result), ("Fitted", "Chosen", "Change")
        )
        self._tables["hills"].value = table(hills.hill_heads(result), hills.hill_rows(result))
        self._tables["shifting"].value = table(
            ("Changing up", "Fitted", "Chosen", "Cost, chosen"),
            shifting.strategy_rows(result),
        )
        self._inputs.value = bullet_list(words.input_sentences(result))
        self._defaults.value = bullet_list(
            result.bike.defaults_used or ["Nothing: the bike file gives every number."]
        )
        address = self.state.link
        if self._link.value != address:
            self._link.value = address
            self._texts["pages"].value = page_links(
                ("ground", address, "Open this in a new page"),
                ("gearing", address, "Gearing: every pair with this set-up"),
                ("fit", address, "Does it fit? Chain, axle, slack, parts, fitting sheet"),
                ("method", "", "Method: how it is computed, what is left out"),
            )
        # Last, so that the browser draws the charts when every text stands.
        for widget in self._chart_widgets:
            widget.flush()

    def _assemble(self, limits: ChartWidget, sensitivity: ChartWidget) -> widgets.Widget:
        header = widgets.HTML(
            "<h1>On the ground</h1><p>What a gearing does where you ride: pulling away, hills, "
            "changing up, grip, a course. Chosen stands beside the gearing fitted now. Everything "
            "is computed, nothing is measured, until you ride it.</p>"
        ).add_class("ge-header")
        own_bike = widgets.Accordion([self._editor.widget], titles=("This bike",))
        controls = widgets.VBox(
            [
                card("", self._controls.reader),
                card("", self._controls.gearing),
                card("Ground, air and rider", self._controls.ground),
                own_bike,
            ]
        ).add_class("ge-controls")
        text, tables, own = self._texts, self._tables, self._own_controls
        cards = widgets.VBox(
            [
                card(
                    "Pulling away",
                    text["launch"],
                    heading("Slowest speed with the clutch out (1.2 × idle, computed)"),
                    tables["launch"],
                ),
                card("What binds", text["binding"], limits, self._summaries["limits"]),
                card(
                    "Hills",
                    columns(
                        [text["hills"], own.cruise],
                        [heading("Throttle closed"), text["braking"]],
                    ),
                    heading("Each gear: steepest slope, and speed held here (computed)"),
                    tables["hills"],
                ).add_class("ge-wide"),
                card(
                    "Changing up",
                    columns(
                        [own.goal, own.shift_at],
                        [text["shifting"], tables["shifting"]],
                    ),
                ).add_class("ge-wide"),
                self.course.widget.add_class("ge-wide"),
                card(
                    "How sure is it, and what matters most?",
                    text["sure"],
                    sensitivity,
                    self._summaries["sensitivity"],
                    widgets.Accordion([self._inputs], titles=("Where the spreads come from",)),
                ).add_class("ge-wide"),
            ]
        ).add_class("ge-charts")
        main = widgets.VBox(
            [
                self._faults.widget,
                card("At a glance", text["tiles"], text["where"]),
                cards,
                card("Assumed, because the bike file does not say", self._defaults),
                card("Keep or share this set-up", self._link, text["pages"]),
                widgets.HTML(bullet_list(words.CAUTIONS)).add_class("ge-caution"),
                card("What this page does not know", widgets.HTML(bullet_list(words.UNKNOWN))),
            ]
        ).add_class("ge-main")
        return (
            widgets.VBox([header, controls, main])
            .add_class("ge-page")
            .add_class("ge-with-controls")
        )


def columns(*sides: list[widgets.Widget]) -> widgets.VBox:
    """Side by side where there is room, below one another on a phone."""
    return widgets.VBox([widgets.VBox(side) for side in sides]).add_class("ge-columns")
