"""The lesson page: a coach shows one idea at a time, and lets the class guess before it answers."""

from datetime import date

from markupsafe import Markup

from explorer.app import controls
from explorer.app.controls import Choice
from explorer.app.layout import card, cautions, fold, group, html
from explorer.app.page import OpenPage, Page
from explorer.app.parts import ShareLink, Words
from explorer.app.setup_code import read_address
from explorer.panels import widgets
from explorer.panels.controls import TextControl
from explorer.panels.html import link, page_links, sentences
from explorer.records.clubs.club import bikes_offered, is_served
from explorer.records.prose import read_prose
from explorer.tasks.lesson.class_card import ClassCard
from explorer.tasks.lesson.experiments import HANDS
from explorer.tasks.lesson.facts import Facts
from explorer.tasks.lesson.lesson import OPENING, Lesson
from explorer.tasks.lesson.quiz import QuizCard
from explorer.tasks.lesson.sheet import Worksheet, download_link
from explorer.tasks.lesson.stage import Notes, Stage
from explorer.tasks.lesson.state import LessonState
from explorer.tasks.lesson.steps import COUNTED, STEPS

CAUTIONS = (*HANDS, *read_prose("cautions")["lesson"])


def _ask(lesson: Lesson) -> Facts:
    return Facts(lesson, dict(bikes_offered()), lesson.measurements)


def _steps(page: OpenPage) -> Choice:
    return Choice(
        page,
        ("Step", ""),
        lambda _: [
            ("Opening", OPENING),
            *((step.name or str(step.number), step.number) for step in STEPS),
        ],
        lambda state: state.choice.step,
        LessonState.go,
        widgets.ToggleButtons,
    )


def _bike(page: OpenPage) -> Choice:
    own = "; a bike of your own comes with the link of the gearing page."
    return controls.bike_choice(own if is_served("gearing") else ".")(page)


def _letters(page: OpenPage) -> Choice:
    return Choice(
        page,
        ("Letters of the charts", "Large is for the projector, usual for a phone."),
        lambda _: [("usual", False), ("large", True)],
        lambda state: state.choice.place.large,
        lambda state, large: state.move(large=large),
        widgets.ToggleButtons,
    )


class Sheets:
    """The worksheet and the coach's sheet, written when asked: they hold every step and take longer
    than a slider may."""

    def __init__(self, page: OpenPage) -> None:
        self._page = page
        self._about = self._address = ""
        self._field = TextControl(
            "Address of this page",
            "Optional: paste this page's address and the sheets get a QR code that opens it.",
            "",
            page.faults.guard(self._read_address),
            placeholder="https://club.example/lesson",
        )
        make = controls.button(
            "Make the sheets", "For the bike, the pair and the quiz above", lambda _: self._make()
        )
        self._sheets = widgets.HTML()
        self.widgets = [self._field.widget, *page.make(make), self._sheets]

    def show(self) -> None:
        """Sheets of another state must not stay."""
        if self._page.state.sheet_link != self._about:
            self._sheets.value = ""

    def _make(self) -> None:
        self._about = self._page.state.sheet_link
        facts = self._page.part(Stage).frozen(self._page.result)
        sheet = Worksheet(facts, date.today(), self._about, self._address)
        self._sheets.value = Markup("<p>{}</p><p>{}</p>").format(
            download_link(sheet, "pupil"), download_link(sheet, "coach")
        )

    def _read_address(self, text: str) -> None:
        def take() -> None:
            self._address, self._sheets.value = read_address(text), ""

        self._field.try_out(take)


def _links(page: OpenPage) -> Words:
    state: LessonState = page.state

    def text(_: Facts) -> str:
        setup, rest = state.setup_link, state.link_to(1).removeprefix("?step=1")
        steps = Markup("").join(
            Markup("<li>{}</li>").format(link(f"lesson?step={step.number}{rest}", step.label))
            for step in STEPS
        )
        others = page_links(
            ("gearing", setup, "Gearing: this set-up"),
            ("fit", setup, "Does it fit?"),
            ("ground", setup, "On the ground"),
            ("method", "", "Method: how it is computed"),
        )
        return Markup("<ol>{}</ol><p>{}</p>").format(steps, others)

    return Words(text, "ge-step-links", now=True)


_ABOUT_SHEETS = sentences(
    ["For the bike and the quiz above. Save, open and print them."], "ge-line"
)

LessonPage = Page(
    title="Lesson",
    intro=(f"{COUNTED}, in plans of 20, 40 and 90 minutes. Guess first, then look, then answer."),
    state=LessonState,
    ask=_ask,
    css="ge-lesson",
    main=(
        Stage,
        card(
            "For the coach",
            group(
                _steps,
                _bike,
                controls.units_choice(),
                _letters,
                controls.button(
                    "Reset for the next group",
                    "The opening, first pair, level ground; guesses, results and quiz cleared",
                    lambda page: page.state.reset(),
                ),
                css="ge-row",
            ),
            fold("Notes on this step", Notes),
        ),
        card("Class results", ClassCard),
        card("Quiz", QuizCard),
        card("Worksheet, and the answers on a second sheet", html(_ABOUT_SHEETS), Sheets),
        card(
            "Links to the steps",
            lambda page: ShareLink(
                page,
                "Link to this step",
                (),
                tooltip="Copy it to come back to this step, with what the class guessed and found",
            ),
            _links,
        ),
        cautions(CAUTIONS),
    ),
)
