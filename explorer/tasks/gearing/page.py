"""The gearing page: a rider drags sprockets and tyre and sees what each change does."""

from urllib.parse import quote

from explorer.app import controls, gearing_views
from explorer.app.bike_editor import own_bike
from explorer.app.layout import card, cautions, fold, listed
from explorer.app.page import OpenPage, Page
from explorer.app.parts import Figure, assumed, charts, sentence_list, share_link, words
from explorer.app.state import State
from explorer.charts.gearing import pull_chart, shift_chart, tradeoff_chart
from explorer.panels.html import figures, link, tiles
from explorer.study.study import Study
from explorer.tasks.gearing import figures as gearing_figures
from explorer.tasks.gearing import table as gearing_table
from explorer.tasks.gearing import words as say
from explorer.units import RPM

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


def _glance(result: Study) -> str:
    rows = gearing_figures.rows(result)
    return tiles(say.headline(result)) + figures(rows, ("Fitted", "Chosen", "Change"))


def _in_words(result: Study) -> list[str]:
    return [
        say.pair_sentence(result),
        *say.comparison(result),
        *say.top_speed_sentences(result),
        *say.certainty_sentences(result),
        *say.ground_sentences(result),
        *say.tooth_sentences(result),
        *say.rollout_sentences(result),
        say.speedometer_sentence(result),
        say.air_sentence(result),
    ]


def _gears(result: Study) -> str:
    csv = quote(gearing_table.as_csv(result))
    limiter_rpm = result.drive.limiter_speed.item() / RPM
    table = gearing_table.as_html(gearing_table.gear_table(result), limiter_rpm)
    return table + link(f"data:text/csv;charset=utf-8,{csv}", "Download as CSV", "gears.csv")


def _charts(page: OpenPage):
    return charts(
        Figure(
            shift_chart.ShiftChart,
            shift_chart.describe,
            gearing_views.shift_view,
            "Shifting up: engine speed against road speed",
        ),
        Figure(
            pull_chart.PullChart,
            pull_chart.describe,
            gearing_views.pull_view,
            "Pull at the tyre, and what holds the bike back",
        ),
        Figure(
            tradeoff_chart.TradeoffChart,
            tradeoff_chart.describe,
            lambda result: gearing_views.tradeoff_view(result, page.state.measured),
            "Every pair: top speed against what you gain",
            lambda page, front, rear: page.state.change(front=front, rear=rear),
        ),
    )(page)


GearingPage = Page(
    title="Gearing",
    intro="Drag the sprockets and the tyre: pull, speeds, shift points and top speed answer at "
    "once, beside the gearing fitted now. Everything is computed, nothing is measured, until you "
    "ride it.",
    state=State,
    ask=lambda choice: Study.of(choice.bike, choice.setup),
    controls=(
        card("", controls.BIKE_AND_UNITS),
        card("", controls.GEARING),
        fold("Ground, air and rider", controls.GROUND),
        fold("This bike", own_bike),
    ),
    main=(
        card("What changes", words(_glance, "ge-table", now=True)),
        card("", controls.MEASURE, _charts),
        card("In words", sentence_list(_in_words)),
        card(
            "Each gear with the chosen gearing (computed)",
            controls.slider("cruise_speed"),
            words(_gears, "ge-table"),
        ),
        card(
            "Assumed, because the bike file does not say",
            assumed(lambda result: result.bike.defaults_used),
        ),
        card(
            "Keep or share this set-up",
            share_link(
                "Link to this set-up",
                ("gearing", "Open this set-up in a new page"),
                ("fit", "Does it fit? Chain, axle, slack, parts, fitting sheet"),
                ("ground", "On the ground: pulling away, hills, shifting, a course"),
                ("compare", "Compare: up to four set-ups side by side"),
                ("method", "Method: how it is computed, what is left out, how well it agrees"),
            ),
        ),
        cautions(CAUTIONS),
        card("What this page does not know", listed(say.UNKNOWN)),
    ),
)
