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
from explorer.tasks.compare import views
from explorer.tasks.compare import words as say
from explorer.tasks.compare.controls import AddAndRemove, SetupFile, which
from explorer.tasks.compare.state import CompareChoice, CompareState
from explorer.tasks.gearing.page import CAUTIONS


def _ask(choice: CompareChoice) -> Study:
    return Study.of_several(choice.bike, choice.setup, choice.others)


def _links(page: OpenPage) -> Words:
    """Each set-up by itself on other pages."""

    def html(study: Study) -> str:
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
