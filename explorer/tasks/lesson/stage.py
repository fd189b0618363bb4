"""The stage of one step: question with guesses, demonstration, vote again, answer; one at a time.

Each fits one screen; what a class need not read is in `Notes`, below the stage, and on the sheets.
"""

from collections.abc import Callable
from functools import partial

from markupsafe import Markup

from explorer.app.chart_widget import ChartWidget
from explorer.app.faults import Faults
from explorer.app.page import OpenPage
from explorer.panels import widgets
from explorer.panels.controls import TextControl
from explorer.panels.html import bullet_list, sentences
from explorer.records.errors import RecordError
from explorer.tasks.lesson.controls import CONTROLS
from explorer.tasks.lesson.demonstration import Demonstration
from explorer.tasks.lesson.experiments import EXPERIMENTS, Experiment
from explorer.tasks.lesson.facts import Facts
from explorer.tasks.lesson.lesson import AGAIN, ANSWER, DEMONSTRATION, OPENING, QUESTION
from explorer.tasks.lesson.misconceptions import of_step
from explorer.tasks.lesson.plans import PLANS
from explorer.tasks.lesson.question import Asked, is_right, plain, read_number
from explorer.tasks.lesson.state import LessonState
from explorer.tasks.lesson.steps import STEPS

_STAGES = {
    QUESTION: "Question",
    DEMONSTRATION: "Demonstration",
    AGAIN: "Vote again",
    ANSWER: "Answer",
}
_MOST_OPTIONS = 8
_MOST_BARS = 5
"""Numbers with a bar of their own; the rest of them share one."""


class Stage:
    """Shows whichever step and stage the state says."""

    def __init__(self, page: OpenPage) -> None:
        state: LessonState = page.state
        self._state, self._page = state, page
        guard, button = page.faults.guard, page.faults.button
        self._title = widgets.HTML()
        self._question = widgets.HTML()
        self._options = [_Option(index, state, page.faults) for index in range(_MOST_OPTIONS)]
        self._number = TextControl("Add a guess", "", "", guard(self._guess_number))
        self._because = TextControl("because …", "", "", guard(state.reason))
        # A press takes the keyboard out of the field, and so what is typed there is read.
        add = widgets.Button(description="Add")
        self._typed = widgets.HBox([self._number.widget, add]).add_class("ge-because")
        self._back = button("Take one back", state.take_back)
        self._tally = widgets.HTML()
        rows = [*(each.widget for each in self._options), self._typed, self._tally]
        below = widgets.HBox([self._because.widget, self._back])
        self._ask = widgets.VBox([self._question, *rows, below.add_class("ge-because")])
        self._opening = Opening(state, page.faults)
        self._watch = widgets.HTML()
        self._figure_box = widgets.VBox()
        self._row = widgets.VBox().add_class("ge-row")
        self._figure_widget: ChartWidget | None = None
        self._drawn: tuple | None = None
        self._shown: Demonstration | None = None
        self._words = widgets.HTML().add_class("ge-unseen")
        self._demonstration = widgets.VBox(
            [self._watch, self._figure_box, self._row, self._words]
        ).add_class("ge-stage-demonstration")
        self._answer = widgets.HTML()
        self._asked: Asked | None = None
        self._frozen: Facts | None = None
        self._buttons = {
            stage: button(name, partial(state.open, stage)) for stage, name in _STAGES.items()
        }
        self._before = button("Previous step", lambda: state.pass_on(-1))
        self._next = button("Next step", lambda: state.pass_on(1))
        self._on_pick: Callable[[int, int], None] = guard(
            lambda front, rear: state.change(front=front, rear=rear)
        )
        foot = widgets.HBox([self._before, *self._buttons.values(), self._next])
        body = widgets.VBox([self._opening.widget, self._ask, self._demonstration, self._answer])
        self.widget = widgets.VBox(
            [self._title, body.add_class("ge-stage-body"), foot.add_class("ge-stage-foot")]
        ).add_class("ge-stage")

    def frozen(self, facts: Facts) -> Facts:
        """The numbers that the questions are about, kept while a demonstration moves others."""
        lesson = facts.lesson.when_asked
        if self._frozen is None or self._frozen.lesson != lesson:
            self._frozen = facts.at(lesson)
        return self._frozen

    def put(self, facts: Facts) -> None:
        """Show the state with the numbers that belong to it."""
        lesson = self._state.lesson
        name = facts.bike.said_name
        opening = lesson.step == OPENING
        self._before.disabled = opening
        self._next.disabled = self._state.plan[-1] == lesson.step
        widgets.show_if(opening, self._opening.widget)
        widgets.show_if(not opening, *self._buttons.values())
        if opening:
            self._title.value = _title("Lesson: which gearing, and why?", name)
            self._opening.show(lesson.place.plan)
            widgets.show_if(False, self._ask, self._demonstration, self._answer)
            self._next.button_style = "primary"
            return
        step, frozen = STEPS[lesson.step - 1], self.frozen(facts)
        asked = self._asked = step.ask(frozen)
        plan = PLANS[lesson.place.plan]
        if lesson.step in plan:
            begin = sum([*plan.values()][: [*plan].index(lesson.step)])
            name = f"{name}, minutes {begin} to {begin + plan[lesson.step]}"
        self._title.value = _title(step.heading, name)
        stage = lesson.stage if asked.guessed or lesson.stage != AGAIN else ANSWER
        widgets.show_if(asked.guessed, self._buttons[AGAIN])
        widgets.show_if(stage in (QUESTION, AGAIN), self._ask)
        widgets.show_if(stage == DEMONSTRATION, self._demonstration)
        widgets.show_if(stage == ANSWER, self._answer)
        self._put_question(asked)
        if stage == DEMONSTRATION:
            self._show_demonstration(facts)
        else:
            self._drop_figure()
        self._answer.value = self._answer_html(frozen, asked) if stage == ANSWER else ""
        # The loud button is what comes next; before anybody guessed there is none.
        loud = {DEMONSTRATION: AGAIN if asked.guessed else ANSWER, AGAIN: ANSWER}.get(stage)
        if stage == QUESTION and (lesson.votes(0) or not asked.guessed):
            loud = DEMONSTRATION
        for each, button in self._buttons.items():
            button.button_style = "primary" if each == loud else ""
            (button.add_class if each == stage else button.remove_class)("ge-stage-now")
        self._next.button_style = "primary" if stage == ANSWER else ""

    def _put_question(self, asked: Asked) -> None:
        lesson = self._state.lesson
        votes = lesson.votes(lesson.round)
        again = "After the demonstration: " if lesson.round else ""
        self._question.value = sentences([again + asked.text], "ge-asked")
        most = max([1, *map(votes.count, votes)])
        for index, option in enumerate(self._options):
            widgets.show_if(index < len(asked.options), option.widget)
            if index < len(asked.options):
                option.show(asked.options[index], votes.count(str(index)), most)
        widgets.show_if(asked.guessed and not asked.options, self._typed, self._tally)
        widgets.show_if(asked.guessed, self._because.widget, self._back)
        if not asked.options:
            self._number.answer()
            self._tally.value = _bars(
                [(n, c) for n, c, _ in _tally(asked, votes, (), told=False)], most
            )
        self._because.show(lesson.place.because.get(lesson.step, ""))
        self._back.disabled = not votes

    def _show_demonstration(self, facts: Facts) -> None:
        lesson = self._state.lesson
        step = STEPS[lesson.step - 1]
        look = sentences([step.look(self._frozen)], "ge-line")
        self._watch.value = look + step.beside(facts, self._state.base_bike)
        controls = tuple(self._page.make(*(CONTROLS[name] for name in step.controls)))
        if self._row.children != controls:
            self._row.children = controls
        # Another bike has other gears, and so other rows; a chart keeps its shape otherwise.
        drawing = (step.number, lesson.place.large, lesson.bike, self._asked.options)
        if self._drawn != drawing:
            self._drop_figure()
            self._shown = Demonstration(
                step, facts, lesson.place.large, self._on_pick, self._asked.options
            )
            self._drawn = drawing
            if self._shown.figure is not None:
                self._figure_widget = ChartWidget(self._shown.figure)
                self._figure_box.children = (self._figure_widget,)
        else:
            self._shown.update(facts)
            if self._figure_widget is not None:
                self._figure_widget.flush()
        words = self._shown.words or "Nothing is drawn here."
        self._words.value = sentences([words], "ge-summary")

    def _drop_figure(self) -> None:
        """Let the browser and the kernel forget the chart of another step."""
        self._drawn = self._shown = None
        if self._figure_widget is not None:
            self._figure_box.children = ()
            self._figure_widget.close()
            self._figure_widget = None

    def _answer_html(self, facts: Facts, asked: Asked) -> str:
        """The right answer, how many had it, why, and what to take away."""
        lesson = self._state.lesson
        step = STEPS[lesson.step - 1]
        first, second = lesson.votes(0), lesson.votes(1)
        because = lesson.place.because.get(lesson.step, "").removeprefix("because ")
        rows = [
            (f"{name}: {before} → {after}", after) if second else (f"{name}: {before}", before)
            for name, before, after in _tally(asked, first, second, told=True)
        ]
        most = max([1, *(count for _, count in rows)])
        return (
            Markup('<div class="ge-lesson-answer"><h3>{}</h3>').format(
                asked.right or "Nothing can be computed"
            )
            + _bars(rows if first or second else [], most)
            + sentences([f"because {because}"] if because else [], "ge-line ge-told")
            + sentences(step.seen(facts), "ge-line")
            + Markup('<p class="ge-take-away">{}</p></div>').format(step.remember(facts))
        )

    def _guess_number(self, text: str) -> None:
        if text.strip():
            try:
                guesses = [plain(read_number(each, self._asked.unit)) for each in text.split(";")]
            except RecordError as error:
                # Said beside the field, in which it stays.
                self._number.answer(*error.sentences)
                return
            self._number.show("")
            self._state.vote(*guesses)


class Opening:
    """Where the coach chooses the plan: how long it takes, and what comes when."""

    def __init__(self, state: LessonState, faults: Faults) -> None:
        self._plans = {
            plan: faults.button(f"{plan} minutes", partial(state.move, plan=plan)) for plan in PLANS
        }
        self._steps = widgets.HTML()
        self.widget = widgets.VBox(
            [widgets.HBox([*self._plans.values()]).add_class("ge-plans"), self._steps]
        )

    def show(self, plan: int) -> None:
        """Show the steps of a plan with their minutes."""
        for each, button in self._plans.items():
            (button.add_class if each == plan else button.remove_class)("ge-plan-now")
        rows = Markup("").join(
            Markup("<li>{} <b>{} min</b></li>").format(STEPS[each - 1].label, minutes)
            for each, minutes in PLANS[plan].items()
        )
        said = "Guess first, then look, then guess again. The guide below prints with this plan."
        self._steps.value = sentences([said], "ge-line") + Markup(
            '<ol class="ge-plan">{}</ol>'
        ).format(rows)


class _Option:
    """An option: each press is one more guess; its bar has no number."""

    def __init__(self, index: int, state: LessonState, faults: Faults) -> None:
        one_more = partial(state.vote, str(index))
        self._button = faults.button("", one_more, "One more guesses this")
        self._bar = widgets.HTML()
        self.widget = widgets.HBox([self._button, self._bar]).add_class("ge-option")

    def show(self, text: str, count: int, most: int) -> None:
        self._button.description = text
        self._bar.value = _bar(count, most)


class Notes:
    """What the coach says and the class need not read, for the step that is shown."""

    def __init__(self, page: OpenPage) -> None:
        self._stage = page.part(Stage)
        self.widget = widgets.HTML()

    def put(self, facts: Facts) -> None:
        """Write the notes of the step."""
        number = facts.lesson.step
        if number == OPENING:
            self.widget.value = sentences(["Choose a plan above; each step has its notes here."])
            return
        step = STEPS[number - 1]
        heard = Markup("").join(
            Markup('<p class="ge-heard">Often heard: “{}” <strong>{}</strong></p>').format(
                each.heard, each.true
            )
            for each in of_step(step.number)
        )
        tries = [_experiment(each) for each in EXPERIMENTS if each.step == step.number]
        said = sentences(step.answer(self._stage.frozen(facts)), "ge-line")
        self.widget.value = Markup("").join([said, heard, *tries])


def _tally(
    asked: Asked, first: tuple[str, ...], second: tuple[str, ...], told: bool
) -> list[tuple[str, int, int]]:
    """What was guessed, with the counts of both rounds; numbers from the smallest.

    Too many numbers share a bar: once the answer is told those that are right have one of their
    own, and of the rest those that most people gave.
    """
    if asked.options:
        names = [(str(index), text) for index, text in enumerate(asked.options)]
    else:
        names = [
            (each, f"{plain(float(each))} {asked.unit}".rstrip())
            for each in sorted({*first, *second}, key=float)
        ]
    rows = []
    for key, name in names:
        mark = " ✓" if told and is_right(asked, key) else ""
        rows.append((f"{name}{mark}", first.count(key), second.count(key)))
    if asked.options or len(rows) <= _MOST_BARS:
        return rows
    right = [row for row in rows if row[0].endswith("✓")]
    if len(right) > 1:
        both = f"{right[0][0].split()[0]} to {right[-1][0]}"
        at = rows.index(right[0])
        rows[at : at + len(right)] = right = [(both, *_sums(right))]
        if len(rows) <= _MOST_BARS:
            return rows
    often = sorted(rows, key=lambda row: (row not in right, -row[1] - row[2]))[: _MOST_BARS - 1]
    rest = [row for row in rows if row not in often]
    return [*(row for row in rows if row in often), ("others", *_sums(rest))]


def _sums(rows: list[tuple[str, int, int]]) -> tuple[int, int]:
    return sum(row[1] for row in rows), sum(row[2] for row in rows)


def _bar(count: int, most: int) -> Markup:
    return Markup('<progress value="{}" max="{}" aria-label="guesses"></progress>').format(
        count, most
    )


def _bars(rows: list[tuple[str, int]], most: int) -> Markup:
    lines = Markup("").join(
        Markup("<li><span>{}</span>{}</li>").format(name, _bar(count, most)) for name, count in rows
    )
    return Markup('<ul class="ge-tally">{}</ul>').format(lines) if rows else Markup("")


def _experiment(each: Experiment) -> Markup:
    return (
        Markup("<h3>{} ({} min)</h3><p>Bring: {}.</p><p>{}</p>").format(
            each.title, each.minutes, each.need, each.how
        )
        + Markup('<div class="ge-caution">{}</div>').format(Markup(bullet_list(each.cautions)))
        + (Markup("<p>{}</p>").format(each.found) if each.found else Markup(""))
    )


def _title(heading: str, beside: str) -> Markup:
    return Markup("<h2>{} <small>{}</small></h2>").format(heading, beside)
