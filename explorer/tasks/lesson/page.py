"""The lesson page: a coach shows one idea at a time, and lets the class guess before it answers."""

from datetime import date

from IPython.display import display
from markupsafe import Markup

from explorer.app.chart_script import bring_chart_script
from explorer.app.faults import Faults, roll_back
from explorer.app.page_links import page_links
from explorer.app.setup_code import read_address
from explorer.panels import widgets
from explorer.panels.card import card
from explorer.panels.choice_control import ChoiceControl
from explorer.panels.html import bullet_list, link, sentences
from explorer.panels.text_control import TextControl
from explorer.records.bikes.bike import Bike
from explorer.records.clubs.club import bikes_in_words, bikes_offered, is_served, units_offered
from explorer.records.errors import RecordError
from explorer.records.fitting.fit import Measurements, decode_fit, encode_fit
from explorer.records.setups.link import decode, encode
from explorer.tasks.lesson.class_card import ClassCard
from explorer.tasks.lesson.experiments import HANDS
from explorer.tasks.lesson.facts import Facts
from explorer.tasks.lesson.link import decode_place, encode_place, with_known_bike
from explorer.tasks.lesson.quiz import QuizCard
from explorer.tasks.lesson.sheet import Worksheet, download_link
from explorer.tasks.lesson.state import Lesson, LessonState, others, starting_pair
from explorer.tasks.lesson.step_card import StepCard
from explorer.tasks.lesson.steps import STEPS, minutes

CAUTIONS = (
    *HANDS,
    "Slack, torques and wear limits come from the bike's own manual; nothing on this page is a "
    "setting. What is new to you belongs in the hands of a qualified mechanic.",
    "After a change of gearing the same engine note means another speed: learn jumps, corners and "
    "braking points again.",
)


class LessonPage:
    """The page, built from the query string of its address.

    Parameters
    ----------
    query : str
        What a link carried, unchecked; empty for the first bike and the first step.

    Attributes
    ----------
    state : LessonState
        The one state.
    widget : ipywidgets.Widget
        The whole page.
    """

    def __init__(self, query: str = "") -> None:
        library = dict(bikes_offered())
        lesson, self._measured, complaints = _read(query, library)
        self._measured_bike = lesson.bike
        self.state = LessonState(library, lesson)
        self._faults = Faults()
        guard = self._faults.guard
        self._card = StepCard(self.state, self._faults)
        self._class = ClassCard(self.state, self._faults)
        self._quiz = QuizCard(self.state, self._faults)
        self._steps = ChoiceControl(
            "Step",
            "",
            [(str(step.number), step.number) for step in STEPS],
            lesson.step,
            guard(self.state.go),
            widgets.ToggleButtons,
        )
        self._bike = ChoiceControl(
            "Bike",
            f"{bikes_in_words()}; a bike of your own comes with the link of the gearing page."
            if is_served("gearing")
            else f"{bikes_in_words()}.",
            [(each.name, bike_id) for bike_id, each in library.items()],
            lesson.setup.bike_id,
            guard(self.state.pick_bike),
        )
        self._units = ChoiceControl(
            "Units",
            "",
            [("km/h, mm, N", "metric"), ("mph, in, lbf", "imperial")],
            lesson.setup.units,
            guard(lambda value: self.state.set_up(units=value)),
            widgets.ToggleButtons,
        )
        self._letters = ChoiceControl(
            "Letters and lines",
            "Large is for the projector.",
            [("usual", False), ("large", True)],
            lesson.place.large,
            guard(self._set_letters),
            widgets.ToggleButtons,
        )
        reset = widgets.Button(
            description="Reset for the next group",
            tooltip="Step 1, first pair, level ground; guesses, answers, class results and quiz "
            "cleared; other quiz numbers",
        )
        reset.on_click(guard(lambda _: self.state.reset()))
        self._reset = reset
        self._address = TextControl(
            "Address of this page",
            "Optional: copied from the browser, it puts a code on the sheets that opens this.",
            "",
            guard(self._read_address),
            placeholder="https://club.example/lesson",
        )
        self._address_text = ""
        self._make = widgets.Button(
            description="Make the sheets",
            tooltip="For the bike, the pair and the quiz above",
        )
        self._make.on_click(guard(lambda _: self._make_sheets()))
        self._sheets = widgets.HTML()
        self._link = widgets.Text(
            description="Link to this step",
            tooltip="Copy it to come back to this step, set as it is now; guesses are not kept",
        )
        self._links = widgets.HTML().add_class("ge-step-links")
        self.widget = self._assemble()
        self._paint()
        if complaints:
            self._faults.say(*complaints)
        self.state.observe(self._changed, "lesson")

    def follow(self, query: str) -> None:
        """Take what a link carries; what it got wrong is said."""
        lesson, self._measured, complaints = _read(query, self.state.library)
        self._measured_bike = lesson.bike
        self.state.lesson = lesson
        self._show_links()  # what was measured may differ where the lesson does not
        if complaints:
            self._faults.say(*complaints)

    def show(self) -> None:
        """Display the page, as the last line of its notebook."""
        bring_chart_script()
        display(self.widget)

    def _changed(self, change: dict) -> None:
        try:
            self._paint()
        except Exception:
            # The guard of the callback says the rest.
            roll_back(change, self._changed)
            self._paint()
            raise

    def _paint(self) -> None:
        """Compute what the step needs, and show everything from it."""
        lesson = self.state.lesson
        if lesson.bike != self._measured_bike:
            self._measured_bike = lesson.bike
            self._measured = Measurements.for_bike(lesson.bike)
        facts = Facts(lesson, self.state.library, self._measured)
        self._steps.show(lesson.step)
        self._bike.show(lesson.setup.bike_id)
        self._units.show(lesson.setup.units)
        self._letters.show(lesson.place.large)
        self._card.show(facts)
        self._class.show(facts, lesson.place.large)
        self._quiz.show()
        self._show_links()
        self._show_size(lesson.place.large)

    def _show_links(self) -> None:
        lesson = self.state.lesson
        setup = encode(lesson.setup, self.state.base_bike, lesson.bike)
        setup += encode_fit(self._measured, lesson.bike)

        def query(step: int) -> str:
            place = encode_place(lesson.at(step=step).place, lesson.setup.units)
            return f"?{place}&{setup.removeprefix('?')}"

        address = query(lesson.step)
        if self._link.value == address:
            return
        self._link.value = address
        self._sheets.value = ""
        steps = Markup("").join(
            Markup("<li>{}</li>").format(link(f"lesson{query(step.number)}", step.title))
            for step in STEPS
        )
        self._links.value = (
            Markup("<ol>{}</ol><p>").format(steps)
            + page_links(
                ("gearing", setup, "Gearing: this set-up"),
                ("fit", setup, "Does it fit?"),
                ("ground", setup, "On the ground"),
                ("method", "", "Method: how it is computed"),
            )
            + Markup("</p>")
        )

    def _make_sheets(self) -> None:
        """Write both sheets, when asked: they hold every step and take longer than a slider may."""
        facts = Facts(self.state.lesson, self.state.library, self._measured)
        sheet = Worksheet(facts, date.today(), self._link.value, self._address_text)
        self._sheets.value = Markup("<p>{}</p><p>{}</p>").format(
            download_link(sheet, "pupil"), download_link(sheet, "coach")
        )

    def _show_size(self, large: bool) -> None:
        if large:
            self.widget.add_class("ge-presenter")
        else:
            self.widget.remove_class("ge-presenter")

    def _set_letters(self, large: bool) -> None:
        self.state.move(large=large)

    def _read_address(self, text: str) -> None:
        try:
            self._address_text = read_address(text)
        except RecordError as error:
            # Said beside the field, in which it stays.
            self._address.answer(*error.sentences)
        else:
            self._address.answer()
            self._sheets.value = ""

    def _assemble(self) -> widgets.Widget:
        header = widgets.HTML(
            Markup(
                "<h1>Lesson</h1><p>Ten steps, about {} minutes without class experiments. Guess "
                "first, then look, then answer. Every number is computed for the bike below, none "
                "is measured.</p>"
            ).format(minutes())
        ).add_class("ge-header")
        coach = widgets.VBox(
            [self._bike.widget, self._units.widget, self._letters.widget, self._reset]
        ).add_class("ge-row")
        main = widgets.VBox(
            [
                self._faults.widget,
                widgets.VBox([self._steps.widget]).add_class("ge-card").add_class("ge-lesson-bar"),
                self._card.widget,
                card("For the coach", coach),
                card("Class results", self._class.widget),
                card("Quiz", self._quiz.widget),
                card(
                    "Worksheet, and the answers on a second sheet",
                    widgets.HTML(
                        sentences(
                            ["For the bike and the quiz above. Save, open and print them."],
                            "ge-line",
                        )
                    ),
                    self._address.widget,
                    self._make,
                    self._sheets,
                ),
                card("Links to the steps", self._link, self._links),
                widgets.HTML(bullet_list(CAUTIONS)).add_class("ge-caution"),
            ]
        ).add_class("ge-main")
        return widgets.VBox([header, main]).add_class("ge-page").add_class("ge-lesson")


def _read(query: str, library: dict[str, Bike]) -> tuple[Lesson, Measurements, list[str]]:
    """The lesson of a link, what was measured on its bike, and what the link got wrong."""
    place, rest, complaints = decode_place(query)
    setup, bike, slips = decode(rest, library, units_offered())
    complaints += slips
    # Measured for the fit page; here it serves the step on slack and is carried along.
    measured, slips = decode_fit(rest, bike)
    complaints += slips
    place, slips = with_known_bike(place, setup.bike_id, others(library, setup.bike_id))
    complaints += slips
    if not {part.partition("=")[0] for part in rest.split("&")} & {"front", "rear"}:
        # A lesson about changes begins with one; a pair that the link names stays, fitted or not.
        setup = setup.changed(**starting_pair(bike))
    return Lesson(bike, setup, place), measured, complaints
