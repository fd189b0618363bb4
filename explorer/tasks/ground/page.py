"""The ground page: pulling away, hills, changing up, what binds, a course, how sure it is."""

from explorer.app import controls
from explorer.app.bike_editor import own_bike
from explorer.app.layout import card, cautions, columns, fold, group, heading, listed
from explorer.app.page import Page
from explorer.app.parts import Figure, assumed, charts, sentence_list, share_link, words
from explorer.app.state import State
from explorer.charts.gearing import limits_chart, sensitivity_chart, target_chart
from explorer.panels import widgets
from explorer.panels.html import bullet_list, figures, table, tiles
from explorer.study.goals import by_distance
from explorer.study.study import Study
from explorer.tasks.ground import hill_words as hills
from explorer.tasks.ground import shift_words as shifting
from explorer.tasks.ground import views
from explorer.tasks.ground import words as say
from explorer.tasks.ground.course_card import CourseCard

_GOAL = "The goal of shifting and of how sure it is."

GOAL = group(
    controls.choice(
        "measure",
        lambda _: (("to a speed", "time_to_speed"), ("over a distance", "time_over_distance")),
        "From rest at full throttle",
        "",
        widgets.ToggleButtons,
        lambda setup: "time_over_distance" if by_distance(setup) else "time_to_speed",
    ),
    controls.slider("target_speed", help_text=_GOAL, when=lambda setup: not by_distance(setup)),
    controls.slider("distance", help_text=_GOAL, when=by_distance),
)

SENSITIVITY = Figure(
    sensitivity_chart.SensitivityChart, sensitivity_chart.describe, views.sensitivity_view
)

_PULLING_AWAY = fold(
    "Pulling away",
    sentence_list(say.launch_sentences),
    heading("Slowest speed with the clutch out (1.2 × idle)"),
    words(
        lambda study: figures(say.clutch_out_rows(study), ("Change", "Chosen", "Fitted")),
        "ge-table",
    ),
)

_HILLS = fold(
    "Hills",
    columns(
        [
            sentence_list(hills.hill_sentences),
            controls.slider(
                "cruise_speed", "Speed to hold", "For the gear to use, and the closed throttle."
            ),
        ],
        [heading("Throttle closed"), sentence_list(hills.braking_sentences)],
    ),
    heading("Each gear: steepest slope, and speed held here"),
    words(lambda study: table(hills.HILL_HEADS, hills.hill_rows(study)), "ge-table"),
)

_WAYS = ("Changing up", "Fitted", "Chosen", "Cost, chosen")

_CHANGING_UP = fold(
    "Changing up",
    columns(
        [GOAL, controls.slider("shift_at")],
        [
            sentence_list(shifting.shift_sentences),
            words(lambda study: table(_WAYS, shifting.strategy_rows(study)), "ge-table"),
        ],
    ),
    charts(Figure(target_chart.TargetChart, target_chart.describe, views.target_view)),
)


_BESIDE_THE_GLANCE = (say.where_sentence, say.assumed_sentence, say.same_sentence)


def _glance(study: Study) -> str:
    shown = tiles(say.headline(study))
    return f'<div class="ge-assumed">{shown}</div>' if say.assumed_sentence(study) else shown


GroundPage = Page(
    title="On the ground",
    intro="What a gearing does where you ride, beside the gearing fitted now.",
    state=State,
    ask=lambda choice: Study.of(choice.bike, choice.setup),
    controls=(
        card("", controls.BIKE_AND_UNITS),
        card("", controls.GEARING),
        fold("Ground, air and rider", controls.GROUND),
        fold("This bike", own_bike),
    ),
    main=(
        card(
            "At a glance",
            words(_glance, now=True),
            sentence_list(lambda study: [each(study) for each in _BESIDE_THE_GLANCE]),
        ),
        _PULLING_AWAY,
        fold(
            "What binds",
            sentence_list(shifting.binding_sentences),
            charts(Figure(limits_chart.LimitsChart, limits_chart.describe, views.limits_view)),
        ),
        _HILLS,
        _CHANGING_UP,
        cautions(say.CAUTIONS),
        fold("Ride a course", CourseCard),
        fold(
            "How sure is it, and what matters most?",
            sentence_list(say.sure_sentences),
            charts(SENSITIVITY),
            fold(
                "Where the spreads come from",
                words(lambda study: bullet_list(say.input_sentences(study)), "ge-help"),
            ),
        ),
        fold(
            "What is assumed of this bike",
            assumed(lambda study: study.bike.defaults_used),
        ),
        card(
            "Keep or share this set-up",
            share_link(
                "Link to this set-up",
                ("ground", "Open this in a new page"),
                ("gearing", "Gearing: every pair with this set-up"),
                ("fit", "Does it fit? Chain, axle, slack, parts, fitting sheet"),
                ("method", "Method: how it is computed, what is left out"),
            ),
        ),
        fold("What this page does not know", listed(say.UNKNOWN)),
    ),
)
