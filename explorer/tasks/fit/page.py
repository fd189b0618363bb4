"""The fit page: it fits, or it says why not, and what to do, to buy and to measure."""

import numpy as np
from markupsafe import Markup

from explorer import units
from explorer.app import controls
from explorer.app.layout import card, columns, fold, group, html, listed
from explorer.app.page import Item, OpenPage, Page
from explorer.app.parts import Charts, Figure, charts, sentence_list, share_link, words
from explorer.charts.fit import fit_map, side_view, slack_chart
from explorer.charts.fit.side_view import SideSetup, SideView
from explorer.charts.fit.slack_chart import SlackView
from explorer.panels import widgets
from explorer.panels.html import bullet_list, figures, sentences
from explorer.panels.number_control import NumberControl, Scale
from explorer.records.fitting.hazards import page_hazards
from explorer.study.fit_result import RIDDEN_SHARE, FitResult, compute
from explorer.tasks.fit import effect_words, views
from explorer.tasks.fit import words as say
from explorer.tasks.fit.controls import answers
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


_NOTHING = np.array([0.0, 1.0])
_NO_SLACK = SlackView(_NOTHING, _NOTHING, _NOTHING, 0.0, 0.0, 0.0, "nothing known")
"""These stand in until the swingarm has been measured; they are not shown."""

_LEAST_MOVE = 0.04
"""Less than half the finest step of the wheel travel's slider [mm or in]."""


class Travel:
    """Chain and swingarm at one place of the wheel, which the rider moves."""

    def __init__(self, page: OpenPage) -> None:
        self._page = page
        self._known: tuple | None = None
        self._travel, self._shown, self._per_unit = 0.0, 0.0, 0.001
        self._control = NumberControl(
            "Wheel travel",
            "From hanging to fully compressed.",
            Scale(0.0, 300.0, 1.0, "mm"),
            0.0,
            page.faults.guard(self._moved, clears=False),
        )
        figures = (
            Figure(side_view.SideViewChart, self._describe_side, self._side),
            Figure(slack_chart.SlackChart, self._describe_slack, self._slack),
        )
        self._charts = [Charts(page, [figure]) for figure in figures]
        self._move = page.faults.guard(self._take)
        both = columns(*(each.widgets for each in self._charts))(page)
        self.widget = widgets.VBox([self._control.widget, both])

    def work(self, result: FitResult) -> SlackView:
        """The slack at the wheel's place, as its curve shows it."""
        return self._slack(result)

    def put(self, curve: SlackView) -> None:
        """Show the wheel's place on its slider, if anything is known of it."""
        widgets.show_if(curve is not _NO_SLACK, self.widget)
        if curve is not _NO_SLACK:
            step = 1.0 if curve.unit == "mm" else 0.1
            self._per_unit = 1 / units.display(1.0, "length", self._page.state.setup.units)[0]
            self._shown = round(curve.now, 1)
            scale = Scale(0.0, round(float(curve.travel[-1]), 1), step, curve.unit)
            self._control.show(self._shown, scale)

    def _at(self, result: FitResult) -> float:
        """The wheel starts where the bike is ridden, and again where another swingarm is known."""
        whole = None if result.slack is None else float(result.slack.heights[-1])
        if self._known is None or self._known[0] is not result.bike or self._known[1] != whole:
            self._known = result.bike, whole
            self._travel = RIDDEN_SHARE * (whole or 0.0)
        return self._travel

    def _side(self, result: FitResult) -> SideView:
        return views.side_view(result, self._at(result)) or _NO_SIDE_VIEW

    def _slack(self, result: FitResult) -> SlackView:
        return views.slack_view(result, self._at(result)) or _NO_SLACK

    @staticmethod
    def _describe_side(view: SideView) -> str:
        return "" if view is _NO_SIDE_VIEW else side_view.describe(view)

    @staticmethod
    def _describe_slack(view: SlackView) -> str:
        return "" if view is _NO_SLACK else slack_chart.describe(view)

    def _moved(self, travel: float) -> None:
        # As it is first shown the browser reports the slider's place, put on a whole step: that is
        # no move of the rider's, and must not take away what is being said.
        if abs(travel - self._shown) > _LEAST_MOVE:
            self._move(travel * self._per_unit)

    def _take(self, travel: float) -> None:
        self._travel = travel
        self._page.repaint(*self._charts[0].parts, *self._charts[1].parts, self)


def _verdict(result: FitResult) -> str:
    return Markup('<p class="ge-verdict {}" role="status">{}</p>').format(
        say.css_class(result), say.headline(result)
    )


def _gaps(result: FitResult) -> str:
    rows = views.gap_rows(result)
    return figures(rows, _HEADS) if rows else sentences([say.NO_GAPS], "ge-said")


def _load(result: FitResult) -> str:
    rows = views.load_rows(result)
    return figures(rows, _HEADS) if rows else ""


_HEADS = ("Fitted", "Chosen", "Change")


def _caution(section: str) -> Item:
    return html(cautions(section), "ge-caution ge-bites")


def _list(says, css: str = "") -> Item:
    return words(lambda result: bullet_list(says(result)), css)


FitPage = Page(
    title="Does it fit?",
    intro="From a pair of sprockets to a bike safely back on its wheels: chain, axle, slack, "
    "clearances, parts and the fitting sheet.",
    state=FitState,
    ask=lambda choice: compute(choice),
    # Above the controls, so that on a phone the verdict comes first and stays in sight.
    above=(words(_verdict, "ge-answer-first", now=True),),
    controls=(
        card("", group(controls.bike_choice(), controls.units_choice())),
        card(
            "",
            group(
                controls.slider("front", help_text="Teeth at the gearbox, to be fitted."),
                controls.slider("rear", help_text="Teeth at the wheel, to be fitted."),
                controls.typed_pair,
            ),
            answers("chain"),
        ),
        card("Measured on the bike", answers("axle")),
    ),
    main=(
        card(
            "Why, and what to do",
            sentence_list(say.verdict_sentences),
            sentence_list(say.diagnosis_sentences),
            _caution("verdict"),
        ),
        card(
            "Every pair of this bike: tap one",
            charts(
                Figure(
                    fit_map.FitMapChart,
                    fit_map.describe,
                    views.map_view,
                    tap=lambda page, front, rear: page.state.change(front=front, rear=rear),
                )
            ),
        ),
        card(
            "Which chain, and nearly the same ratio",
            words(views.options_table, "ge-table"),
            words(lambda result: say.twins_words(result) + views.twins_table(result), "ge-table"),
            _caution("links"),
        ),
        card(
            "What the axle's place does",
            sentence_list(effect_words.stance_sentences),
            answers("steering", "Rake and fork offset"),
        ),
        card(
            "What must match before you buy",
            sentence_list(say.checklist_sentences),
            answers("checklist"),
            _caution("checklist"),
        ),
        card(
            "Slack through the wheel travel",
            sentence_list(effect_words.slack_sentences),
            answers("slack", "From your bike's own manual"),
            answers("swingarm", "Swingarm, measured"),
            Travel,
            _caution("slack"),
        ),
        card(
            "Clearances",
            words(_gaps, "ge-table"),
            answers("clearance", "Clearances, measured"),
            _caution("clearance"),
        ),
        card(
            "Chain load",
            words(_load, "ge-table"),
            fold(
                "What handbooks of industrial drives advise (information)",
                _list(views.guide_sentences),
            ),
            _caution("load"),
        ),
        card(
            "Chain wear",
            sentence_list(effect_words.wear_sentences),
            answers("wear", "Wear, measured"),
            _list(views.limit_sentences),
            _caution("wear"),
        ),
        card(
            "Speedometer",
            sentence_list(effect_words.speedometer_sentences),
            answers("speedometer", "Speedometer"),
            _caution("speedometer"),
        ),
        card(
            "Parts and cost",
            answers("parts", "What holds the parts on your bike"),
            lambda page: page.part(PartsAndSheet).parts,
            _caution("parts"),
        ),
        card("Fitting sheet", lambda page: page.part(PartsAndSheet).sheet),
        card("The first ride", sentence_list(say.riding_words), _caution("riding")),
        card(
            "Keep or share",
            share_link(
                "Link to this page",
                ("fit", "Open this in a new page"),
                ("gearing", "See what this pair does: the gearing page"),
                ("method", "Method: how it is computed, what is left out"),
            ),
        ),
        card(
            "Taken where you gave nothing",
            _list(lambda result: result.measured.defaults_used, "ge-help"),
        ),
        card("What this page does not know", listed(say.UNKNOWN_HERE)),
    ),
)
