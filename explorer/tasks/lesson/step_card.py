"""The card of one step: the question, the guess, the demonstration, the answer."""

from collections.abc import Callable

from markupsafe import Markup

from explorer.app.chart_widget import ChartWidget
from explorer.app.page import OpenPage
from explorer.panels import widgets
from explorer.panels.html import bullet_list, sentences
from explorer.panels.pick_control import PickControl
from explorer.panels.text_control import TextControl
from explorer.records.errors import RecordError
from explorer.study.study import FITTED
from explorer.tasks.lesson.controls import CONTROLS
from explorer.tasks.lesson.demos import Shown
from explorer.tasks.lesson.experiments import EXPERIMENTS, Experiment
from explorer.tasks.lesson.facts import Facts
from explorer.tasks.lesson.misconceptions import of_step
from explorer.tasks.lesson.question import Asked, judge, read_number
from explorer.tasks.lesson.state import ANSWER, DEMONSTRATION, LessonState
from explorer.tasks.lesson.steps import STEPS, Step
from explorer.tasks.lesson.words import pair

_SHOWN = {
    DEMONSTRATION: ("Show the demonstration", "Hide the demonstration"),
    ANSWER: ("Show the answer", "Hide the answer"),
}


class StepCard:
    """Shows whichever step the state says.

    Args:
        page: Its state is what it shows and writes.

    Attributes:
        widget: What the page places.
    """

    def __init__(self, page: OpenPage) -> None:
        state: LessonState = page.state
        self._state = state
        guard = page.faults.guard
        self._page = page
        self._title = widgets.HTML()
        self._question = widgets.HTML()
        self._pick = PickControl("The class guesses", guard(state.guess))
        self._number = TextControl("The class guesses", "", "", guard(self._guess_number))
        self._guess = widgets.VBox()
        self._buttons = {
            DEMONSTRATION: widgets.Button(description=""),
            ANSWER: widgets.Button(description="", button_style="primary"),
        }
        for stage, button in self._buttons.items():
            button.on_click(guard(lambda _, stage=stage: self._toggle(stage)))
        self._watch = widgets.HTML().add_class("ge-said")
        self._row = widgets.VBox().add_class("ge-row")
        self._figure_box = widgets.VBox()
        self._figure_widget: ChartWidget | None = None
        self._drawn: tuple | None = None
        self._shown: Shown | None = None
        self._asked: Asked | None = None
        self._words = widgets.HTML().add_class("ge-help")
        self._demonstration = widgets.VBox([self._watch, self._row, self._figure_box, self._words])
        self._answer = widgets.HTML()
        self._experiments = widgets.HTML()
        self._experiments_fold = widgets.Accordion(
            [self._experiments], titles=("Try it: class experiments, with cautions",)
        )
        self._before = widgets.Button(description="Step before")
        self._next = widgets.Button(description="Next step")
        self._before.on_click(guard(lambda _: state.go(state.lesson.step - 1)))
        self._next.on_click(guard(lambda _: state.go(state.lesson.step + 1)))
        self._on_pick: Callable[[int, int], None] = guard(
            lambda front, rear: state.change(front=front, rear=rear)
        )
        asking = widgets.VBox(
            [
                self._question,
                self._guess,
                widgets.HBox(list(self._buttons.values())),
            ]
        )
        self.widget = widgets.VBox(
            [
                self._title,
                widgets.VBox([asking, self._demonstration, self._answer]).add_class(
                    "ge-lesson-step"
                ),
                self._experiments_fold,
                widgets.HBox([self._before, self._next]),
            ]
        ).add_class("ge-card")

    def put(self, facts: Facts) -> None:
        """Show the state with the numbers that belong to it."""
        lesson = self._state.lesson
        step = STEPS[lesson.step - 1]
        asked = self._asked = step.ask(facts)
        _set(self._title, _title(step, facts))
        _set(self._question, sentences([asked.text], "ge-asked"))
        if asked.options:
            self._guess.children = (self._pick.widget,)
            self._pick.show(asked.options, lesson.guess or None)
        else:
            self._guess.children = (self._number.widget,)
            self._number.show(lesson.guess)
            self._number.answer()
        for stage, button in self._buttons.items():
            wanted = _SHOWN[stage][lesson.stage >= stage]
            if button.description != wanted:
                button.description = wanted
        self._show_demonstration(step, facts)
        _set(self._answer, self._answer_html(step, asked, facts))
        widgets.show_if(lesson.stage >= ANSWER, self._answer)
        experiments = [each for each in EXPERIMENTS if each.step == step.number]
        told = lesson.stage >= ANSWER
        _set(
            self._experiments,
            Markup("").join(_experiment(each, told) for each in experiments),
        )
        widgets.show_if(bool(experiments), self._experiments_fold)
        self._before.disabled = lesson.step == 1
        self._next.disabled = lesson.step == len(STEPS)

    def _show_demonstration(self, step: Step, facts: Facts) -> None:
        lesson = self._state.lesson
        if lesson.stage < DEMONSTRATION:
            widgets.show_if(False, self._demonstration)
            self._drop_figure()
            return
        widgets.show_if(True, self._demonstration)
        _set(self._watch, sentences([step.watch], "ge-line"))
        controls = tuple(self._page.make(*(CONTROLS[name] for name in step.controls)))
        if self._row.children != controls:
            self._row.children = controls
        # Another bike has other gears, and so other rows; a chart keeps its shape otherwise.
        drawing = (step.number, lesson.place.large, lesson.bike)
        if self._drawn != drawing:
            self._drop_figure()
            self._shown = Shown(step.number, facts, lesson.place.large, self._on_pick)
            self._drawn = drawing
            if self._shown.figure is not None:
                self._figure_widget = ChartWidget(self._shown.figure)
                self._figure_box.children = (self._figure_widget,)
        else:
            self._shown.update(facts)
            if self._figure_widget is not None:
                self._figure_widget.flush()
        words = self._shown.words or "Nothing can be drawn for this bike; the answer says why."
        _set(self._words, sentences([words], "ge-summary"))

    def _drop_figure(self) -> None:
        """Let the browser and the kernel forget the chart of another step."""
        self._drawn = self._shown = None
        if self._figure_widget is not None:
            self._figure_box.children = ()
            self._figure_widget.close()
            self._figure_widget = None

    def _answer_html(self, step: Step, asked: Asked, facts: Facts) -> str:
        """The verdict on the guess, the computed answer, and what is often heard."""
        if self._state.lesson.stage < ANSWER:
            return ""
        try:
            verdict = judge(asked, self._state.lesson.guess)
        except RecordError:
            # A guess kept from another question of this step; the class guesses anew.
            verdict = ""
        right = asked.right or "Nothing can be computed"
        heard = Markup("").join(
            Markup('<p class="ge-heard">Often heard: “{}” <strong>{}</strong></p>').format(
                each.heard, each.true
            )
            for each in of_step(step.number)
        )
        return (
            Markup('<div class="ge-lesson-answer"><h3>Computed: {}</h3>').format(right)
            + sentences([verdict] if verdict else [], "ge-verdict-line")
            + sentences(step.answer(facts), "ge-line")
            + heard
            + Markup("</div>")
        )

    def _guess_number(self, text: str) -> None:
        if text.strip():
            try:
                read_number(text, self._asked.unit)
            except RecordError as error:
                # Said beside the field, in which it stays.
                self._number.answer(*error.sentences)
                return
        self._number.answer()
        self._state.guess(text.strip())

    def _toggle(self, stage: int) -> None:
        stage_now = self._state.lesson.stage
        self._state.open(stage - 1 if stage_now >= stage else stage)


def _title(step: Step, facts: Facts) -> str:
    bike = facts.bike
    origin = ", invented," if bike.provenance == "invented" else ""
    return Markup(
        '<h2>Step {} of {}: {}</h2><p class="ge-help">{}{} fitted {}. About {} minutes.</p>'
    ).format(
        step.number, len(STEPS), step.title, bike.name, origin, pair(facts, FITTED), step.minutes
    )


def _experiment(experiment: Experiment, told: bool) -> str:
    """What to bring and do, with its cautions; what comes of it once the answer has been told."""
    found = [f"Found: {experiment.found}"] if told and experiment.found else []
    return (
        Markup("<h3>{} ({} min)</h3>").format(experiment.title, experiment.minutes)
        + sentences([f"Bring: {experiment.need}.", experiment.how, *found], "ge-line")
        + (
            Markup('<div class="ge-caution">{}</div>').format(bullet_list(experiment.cautions))
            if experiment.cautions
            else Markup("")
        )
    )


def _set(widget: widgets.HTML, text: str) -> None:
    if widget.value != text:
        widget.value = text
