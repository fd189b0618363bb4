"""The bench: a rider drags sprockets and tyre and sees what each change does.

On our own server the page begins with the instrument (first.py, bench.js), which answers in the
browser; below it stand reasons and everything else that can be set. In a notebook server nobody
serves that script: there the same page answers in the present way, by sliders and charts of the
kernel's.
"""

from dataclasses import dataclass
from functools import cached_property
from urllib.parse import quote

from explorer.app import controls, gearing_views
from explorer.app.bike_editor import own_bike
from explorer.app.elsewhere import served_by_us
from explorer.app.layout import card, cautions, fold, group, help_text, listed
from explorer.app.page import OpenPage, Page, stacked
from explorer.app.parts import Figure, assumed, charts, sentence_list, share_link, words
from explorer.charts.gearing import pull_chart, setups_course_chart, shift_chart, tradeoff_chart
from explorer.panels import widgets
from explorer.panels.html import figures, link, tiles
from explorer.records.setups.comparison import read_file, write_file
from explorer.study.course import CourseResult
from explorer.study.study import Study
from explorer.tasks.bench import setup_words
from explorer.tasks.bench.channel import Channel, WholeAtRest
from explorer.tasks.bench.first import CAUTIONS, first_answer, prepare
from explorer.tasks.bench.picture import PictureCode
from explorer.tasks.bench.setup_controls import AddAndRemove, which
from explorer.tasks.bench.state import BenchChoice, BenchState
from explorer.tasks.gearing import figures as gearing_figures
from explorer.tasks.gearing import table as gearing_table
from explorer.tasks.gearing import words as say


@dataclass(frozen=True)
class _Asked:
    """What is asked of a choice: of the set-up under the sliders, and of all together."""

    choice: BenchChoice

    @cached_property
    def chosen(self) -> Study:
        """What is fitted, and the set-up under the sliders."""
        return Study.of(self.choice.bike, self.choice.setup)

    @cached_property
    def all(self) -> Study:
        """What is fitted, and the others."""
        return Study.of_several(self.choice.bike, self.choice.setup, self.choice.others)

    @cached_property
    def on_course(self) -> CourseResult:
        """All together on the course."""
        return self.all.on_course


def _glance(result: Study) -> str:
    rows = gearing_figures.rows(result)
    return tiles(say.headline(result)) + figures(rows, ("Fitted", "Chosen", "Change"))


def _in_words(asked: _Asked) -> list[str]:
    result = asked.chosen
    return [
        say.pair_sentence(result),
        *say.comparison(result),
        *say.top_speed_sentences(result),
        *say.certainty_sentences(result),
        *say.ground_sentences(result),
        *say.tooth_sentences(result),
        *say.rollout_sentences(result),
        say.speedometer_sentence(result, asked.choice.measured.get("pickup")),
        say.air_sentence(result),
    ]


def _gears(result: Study) -> str:
    csv = quote(gearing_table.as_csv(result))
    return gearing_table.as_html(result) + link(
        f"data:text/csv;charset=utf-8,{csv}", "Download as CSV", "gears.csv"
    )


def _as_file(asked: _Asked) -> str:
    file = quote(write_file(asked.choice.others, asked.choice.bike.name))
    address = f"data:application/toml;charset=utf-8,{file}"
    return link(address, "Download these set-ups as a file", "set-ups.toml")


def _from_file(page: OpenPage) -> widgets.Widget:
    def take(files: dict[str, bytes]) -> str:
        page.state.take(read_file(*files.values(), page.state.bike))
        return "The set-ups of the file are on the bench."

    tooltip = "A .toml file, as the download makes it"
    return controls.upload("Open a file of set-ups", tooltip, ".toml", take)


def _charts(page: OpenPage):
    return charts(
        Figure(
            shift_chart.ShiftChart,
            shift_chart.describe,
            lambda asked: gearing_views.shift_view(asked.chosen),
            "Shifting up: engine speed against road speed",
        ),
        Figure(
            pull_chart.PullChart,
            pull_chart.describe,
            lambda asked: gearing_views.pull_view(asked.chosen),
            "Pull at the tyre, and what holds the bike back",
        ),
        Figure(
            tradeoff_chart.TradeoffChart,
            tradeoff_chart.describe,
            lambda asked: gearing_views.tradeoff_view(asked.chosen, page.state.measured),
            "Every pair: speed against what you gain",
            lambda page, front, rear: page.state.change(front=front, rear=rear),
        ),
    )(page)


_SETTINGS = (
    fold(
        "Bike, units and what acceleration means", group(controls.BIKE_AND_UNITS, controls.MEASURE)
    ),
    fold("Ground, air and rider", controls.GROUND),
    fold("This bike", own_bike, css="ge-own-lid"),
)

_SET_UPS = (
    fold(
        "All set-ups in figures, each with its difference to the fitted one (computed)",
        group(
            words(
                lambda asked: setup_words.as_html(
                    setup_words.figures_table(asked.all, asked.on_course, asked.choice.names)
                ),
                "ge-table ge-compared",
            ),
            sentence_list(lambda asked: setup_words.sentences(asked.all, asked.choice.names)),
        ),
    ),
    fold(
        "All set-ups over a course",
        group(
            controls.COURSE,
            charts(
                Figure(
                    setups_course_chart.SetupsCourseChart,
                    setups_course_chart.describe,
                    lambda asked: setup_words.course_view(
                        asked.all, asked.on_course, asked.choice.names
                    ),
                ),
                late=True,
            ),
        ),
    ),
)

_REASONS = (
    fold("Why? In words", sentence_list(_in_words)),
    fold(
        "Why? Each gear of the set-up under the sliders",
        group(
            controls.slider("cruise_speed"), words(lambda asked: _gears(asked.chosen), "ge-table")
        ),
    ),
    fold(
        "Why? What is assumed of this bike",
        assumed(lambda asked: asked.chosen.bike.defaults_used),
    ),
)

_LAST = (
    card(
        "Keep or share",
        share_link(
            "Link to this bench",
            ("fit", "Does it fit? Chain, axle, slack, parts, fitting sheet"),
            ("ground", "On the ground: pulling away, hills, shifting, a course"),
            ("method", "Method: how it is computed, what is left out, how well it agrees"),
        ),
        words(_as_file),
        _from_file,
        help_text("At most 1 MB. The file stays in this visit: nothing is stored here."),
    ),
    fold("Before you buy and fit", cautions(CAUTIONS)),
    fold("What this page does not know", listed(say.UNKNOWN)),
)


def _assemble(page: OpenPage) -> widgets.Widget:
    """Below the instrument on our own server; else the usual layout with charts of the kernel's."""
    if not served_by_us():
        return stacked(page)
    prepare()
    channel = page.add(Channel(page))
    page.add(WholeAtRest(channel))
    page.channel = channel
    typed = fold(
        "Typed: both sprockets, roll-out, another tyre",
        group(
            controls.typed_pair, controls.slider("rollout"), controls.by_size, controls.typed_tyre
        ),
    )
    parts = [page.faults.widget, *channel.widgets, *page.add(PictureCode(page)).widgets]
    of_whole_bikes = page.make(typed, *_SET_UPS, *_REASONS)
    for each in of_whole_bikes:
        each.add_class("ge-whole-bike")
    parts += [of_whole_bikes[0], *page.make(*_SETTINGS), *of_whole_bikes[1:], *page.make(*_LAST)]
    below = widgets.dressed(widgets.VBox(parts), "ge-page ge-below-bench")
    page.add(_Begun(below))
    return below


class _Begun:
    """The part that hides what hangs on numbers which a bike that is only begun does not have."""

    def __init__(self, below: widgets.Widget) -> None:
        self._below = below

    def put(self, result: _Asked) -> None:
        """Hide or show."""
        begun = result.choice.bike.missing
        (self._below.add_class if begun else self._below.remove_class)("ge-begun")


def _first(page: OpenPage) -> str:
    return first_answer(page.channel.with_the_page(), served=True) if served_by_us() else ""


GearingPage = Page(
    title="Bench",
    intro="Drag the sprockets and the tyre: pull, speeds, shift points and top speed answer at "
    "once, beside the gearing fitted now. Everything is computed, nothing is measured, until you "
    "ride it.",
    state=BenchState,
    ask=_Asked,
    controls=(card("", which, AddAndRemove, controls.GEARING), *_SETTINGS),
    main=(
        card("What changes", words(lambda asked: _glance(asked.chosen), "ge-table", now=True)),
        card("", _charts),
        *_SET_UPS,
        *_REASONS,
        *_LAST,
    ),
    first=_first,
    takes_begun=served_by_us,
    lazy=served_by_us,
    assemble=_assemble,
)
