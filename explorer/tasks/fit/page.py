"""The fit page: it fits, or it says why not, and what to do, to buy and to measure."""

import functools

import numpy as np
from IPython.display import display
from markupsafe import Markup

from explorer import units
from explorer.app.chart_script import bring_chart_script
from explorer.app.chart_widget import ChartWidget
from explorer.app.faults import Faults, roll_back
from explorer.app.page_links import page_links
from explorer.charts.fit import fit_map, side_view, slack_chart
from explorer.charts.fit.side_view import SideSetup, SideView
from explorer.charts.fit.slack_chart import SlackView
from explorer.panels import widgets
from explorer.panels.card import card
from explorer.panels.html import bullet_list, figures, sentences
from explorer.records.clubs.club import bikes_offered
from explorer.records.errors import RecordError
from explorer.records.fitting.fit import check_pair
from explorer.records.fitting.hazards import page_hazards
from explorer.study.fit_result import RIDDEN_SHARE, FitResult, compute
from explorer.tasks.fit import effect_words, views, words
from explorer.tasks.fit.controls import AnswerControls, FitControls
from explorer.tasks.fit.parts import PartsAndSheet
from explorer.tasks.fit.state import FitState

_ALONE = SideSetup(13, 48, 1.0, 1.0, (1.0, 0.0), [0.0, 1.0], [0.0, 0.0])
_NO_SIDE_VIEW = SideView((0.0, 0.0), _ALONE, _ALONE, (0.0, 1.0, 0.0, 1.0))


def cautions(section: str) -> str:
    """The cautions of one section as the page shows them, escaped.

    Parameters
    ----------
    section : str
        Name of the section in data/hazards.csv.

    Returns
    -------
    str
        Each hazard in a sentence, and behind it what to do.
    """
    item = Markup("<li>{} <strong>{}</strong></li>")
    items = Markup("").join(
        item.format(hazard.hazard, hazard.caution) for hazard in page_hazards(section)
    )
    return Markup("<ul>{}</ul>").format(items)


class FitPage:
    """The page, built from the query string of its address.

    Parameters
    ----------
    query : str
        What a link carried, unchecked; empty for the first bike.

    Attributes
    ----------
    state : FitState
        The one state.
    widget : ipywidgets.Widget
        The whole page.
    """

    def __init__(self, query: str = "") -> None:
        self.state, complaints = FitState.from_link(query, dict(bikes_offered()))
        complaints += _put_right_swapped_pair(self.state)
        self._faults = Faults()
        self._controls = FitControls(self.state, self._faults, self._move_wheel)
        self._answers = {
            group: AnswerControls(self.state, self._faults, group, folded)
            for group, folded in (
                ("chain", ""),
                ("axle", ""),
                ("swingarm", "Swingarm, measured"),
                ("slack", "From your bike's own manual"),
                ("clearance", "Clearances, measured"),
                ("wear", "Wear, measured"),
                ("steering", "Rake and fork offset"),
                ("speedometer", "Speedometer"),
                ("checklist", ""),
                ("parts", "What holds the parts on your bike"),
            )
        }
        self._parts = PartsAndSheet(self._faults)
        self._result = compute(self.state.choice)
        self._travel = self._start_travel(self._result)
        self._map = fit_map.FitMapChart(
            views.map_view(self._result), self._faults.guard(self._pick)
        )
        self._side = side_view.SideViewChart(_NO_SIDE_VIEW)
        self._slack = slack_chart.SlackChart(_no_slack())
        self._texts = {
            name: widgets.HTML()
            for name in (
                "verdict",
                "said",
                "diagnosis",
                "map",
                "options",
                "twins",
                "stance",
                "slack",
                "travel",
                "slack_summary",
                "gaps",
                "load",
                "guides",
                "wear",
                "limits",
                "speedometer",
                "checklist",
                "riding",
                "defaults",
                "link_open",
            )
        }
        for name in ("options", "twins", "gaps", "load"):
            self._texts[name].add_class("ge-table")
        for name in ("map", "travel", "slack_summary", "defaults"):
            self._texts[name].add_class("ge-help")
        self._link = widgets.Text(
            description="Link to this page", tooltip="Copy it to come back to exactly this"
        )
        self._chart_widgets: list[ChartWidget] = []
        self._drawings = widgets.VBox()
        self._paint(self._result)
        # Last of all: a chart that changes after this has to be written out once more.
        self._chart_widgets = [
            ChartWidget(chart.figure, guard=functools.partial(self._faults.guard, clears=False))
            for chart in (self._map, self._side, self._slack)
        ]
        self.widget = self._assemble(*self._chart_widgets)
        if complaints:
            self._faults.say(*complaints)
        self.state.observe(self._changed, "choice")

    def follow(self, query: str) -> None:
        """Take what a link carries; what it got wrong is said."""
        given, complaints = FitState.from_link(query, self.state.library)
        complaints += _put_right_swapped_pair(given)
        self.state.choice = given.choice
        self._move_wheel(self._start_travel(self._result))
        if complaints:
            self._faults.say(*complaints)

    def show(self) -> None:
        """Display the page, as the last line of its notebook."""
        bring_chart_script()
        display(self.widget)

    def _changed(self, change: dict) -> None:
        """Compute once, then paint everything from that one result."""
        try:
            result = compute(change["new"])
            if change["new"].bike is not change["old"].bike:
                self._travel = self._start_travel(result)
            self._paint(result)
        except Exception:
            # The guard of the callback says the rest.
            roll_back(change, self._changed)
            self._show_controls()
            raise
        self._show_controls()

    def _show_controls(self) -> None:
        self._controls.show()
        for answers in self._answers.values():
            answers.show()

    def _pick(self, front: int, rear: int) -> None:
        self.state.change(front=front, rear=rear)

    def _move_wheel(self, travel: float) -> None:
        self._travel = travel
        self._paint_travel(self._result)
        self._flush()

    def _flush(self) -> None:
        for widget in self._chart_widgets:
            widget.flush()

    @staticmethod
    def _start_travel(result: FitResult) -> float:
        """The wheel starts where the bike is ridden."""
        return 0.0 if result.slack is None else RIDDEN_SHARE * float(result.slack.heights[-1])

    def _set(self, name: str, value: str) -> None:
        if self._texts[name].value != value:
            self._texts[name].value = value

    def _paint(self, result: FitResult) -> None:
        self._result = result
        map_view = views.map_view(result)
        self._map.update(map_view)
        self._set("map", sentences([fit_map.describe(map_view)], "ge-summary"))
        self._paint_travel(result)
        self._flush()
        self._set(
            "verdict",
            Markup('<p class="ge-verdict {}" role="status">{}</p>').format(
                words.css_class(result), words.headline(result)
            ),
        )
        for name, texts in (
            ("said", words.verdict_sentences(result)),
            ("diagnosis", words.diagnosis_sentences(result)),
            ("stance", effect_words.stance_sentences(result)),
            ("slack", effect_words.slack_sentences(result)),
            ("speedometer", effect_words.speedometer_sentences(result)),
            ("wear", effect_words.wear_sentences(result)),
            ("riding", words.riding_words(result)),
            ("checklist", words.checklist_sentences(result)),
        ):
            self._set(name, sentences(texts, "ge-said"))
        self._set("options", views.options_table(result))
        self._set("twins", words.twins_words(result) + views.twins_table(result))
        heads = ("Fitted", "Chosen", "Change")
        gaps, load = views.gap_rows(result), views.load_rows(result)
        self._set(
            "gaps",
            figures(gaps, heads) if gaps else sentences([words.NO_GAPS], "ge-said"),
        )
        self._set("load", figures(load, heads) if load else "")
        self._set("guides", bullet_list(views.guide_sentences(result)))
        self._set("limits", bullet_list(views.limit_sentences(result)))
        self._set("defaults", bullet_list(result.measured.defaults_used))
        address = self.state.link
        if self._link.value != address:
            self._link.value = address
            self._set(
                "link_open",
                page_links(
                    ("fit", address, "Open this in a new page"),
                    ("gearing", address, "See what this pair does: the gearing page"),
                    ("method", "", "Method: how it is computed, what is left out"),
                ),
            )
        self._parts.show(result, address)

    def _paint_travel(self, result: FitResult) -> None:
        drawing = views.side_view(result, self._travel)
        curve = views.slack_view(result, self._travel)
        widgets.show_if(drawing is not None, self._drawings)
        if drawing is None or curve is None:
            self._set("travel", "")
            self._set("slack_summary", "")
            return
        self._side.update(drawing)
        self._slack.update(curve)
        per_unit = 1 / units.display(1.0, "length", result.setup.units)[0]
        self._controls.show_travel(curve.now, float(curve.travel[-1]), per_unit, curve.unit)
        self._set("travel", sentences([side_view.describe(drawing)], "ge-summary"))
        self._set("slack_summary", sentences([slack_chart.describe(curve)], "ge-summary"))

    def _assemble(
        self, map_chart: ChartWidget, side_chart: ChartWidget, slack_curve: ChartWidget
    ) -> widgets.Widget:
        text, answers = self._texts, self._answers
        header = widgets.HTML(
            "<h1>Does it fit?</h1><p>From a pair of sprockets to a bike safely back on its "
            "wheels: chain, axle, slack, clearances, parts and the fitting sheet.</p>"
        ).add_class("ge-header")
        controls = widgets.VBox(
            [
                card("", self._controls.reader),
                card("", self._controls.gearing, answers["chain"].widget),
                card("Measured on the bike", answers["axle"].widget),
            ]
        ).add_class("ge-controls")
        both = widgets.VBox(
            [
                widgets.VBox([side_chart, text["travel"]]),
                widgets.VBox([slack_curve, text["slack_summary"]]),
            ]
        ).add_class("ge-columns")
        self._drawings.children = [self._controls.travel, both]
        main = widgets.VBox(
            [
                self._faults.widget,
                card("Why, and what to do", text["said"], text["diagnosis"], _caution("verdict")),
                card("Every pair of this bike: tap one", map_chart, text["map"]),
                card(
                    "Which chain, and nearly the same ratio",
                    text["options"],
                    text["twins"],
                    _caution("links"),
                ),
                card("What the axle's place does", text["stance"], answers["steering"].widget),
                card("What must match before you buy", text["checklist"],
                      answers["checklist"].widget, _caution("checklist")),
                card(
                    "Slack through the wheel travel",
                    text["slack"],
                    answers["slack"].widget,
                    answers["swingarm"].widget,
                    self._drawings,
                    _caution("slack"),
                ),
                card(
                    "Clearances",
                    text["gaps"],
                    answers["clearance"].widget,
                    _caution("clearance"),
                ),
                card(
                    "Chain load",
                    text["load"],
                    widgets.Accordion(
                        [text["guides"]],
                        titles=("What handbooks of industrial drives advise (information)",),
                    ),
                    _caution("load"),
                ),
                card(
                    "Chain wear",
                    text["wear"],
                    answers["wear"].widget,
                    text["limits"],
                    _caution("wear"),
                ),
                card(
                    "Speedometer",
                    text["speedometer"],
                    answers["speedometer"].widget,
                    _caution("speedometer"),
                ),
                card(
                    "Parts and cost",
                    answers["parts"].widget,
                    self._parts.parts,
                    _caution("parts"),
                ),
                card("Fitting sheet", self._parts.sheet),
                card("The first ride", text["riding"], _caution("riding")),
                card("Keep or share", self._link, text["link_open"]),
                card("Taken where you gave nothing", text["defaults"]),
                card(
                    "What this page does not know",
                    widgets.HTML(bullet_list(words.UNKNOWN_HERE)),
                ),
            ]
        ).add_class("ge-main")  # fmt: skip
        # Above the controls, so that on a phone the verdict comes first and stays in sight.
        text["verdict"].add_class("ge-answer-first")
        return (
            widgets.VBox([header, text["verdict"], controls, main])
            .add_class("ge-page")
            .add_class("ge-with-controls")
        )


def _caution(section: str) -> widgets.Widget:
    return widgets.HTML(cautions(section)).add_class("ge-caution").add_class("ge-bites")


def _no_slack() -> SlackView:
    """Stands in until the swingarm has been measured; it is not shown."""
    nothing = np.array([0.0, 1.0])
    return SlackView(nothing, nothing, nothing, 0.0, 0.0, 0.0, "nothing known")


def _put_right_swapped_pair(state: FitState) -> list[str]:
    """A link may swap the sprockets; the fitted pair stands in, and the reason is said."""
    setup, sprockets = state.setup, state.bike.sprockets
    try:
        check_pair(setup.front, setup.rear)
    except RecordError as error:
        state.change(front=sprockets.front, rear=sprockets.rear)
        return [f"{sentence} The fitted pair stands." for sentence in error.sentences]
    return []
