"""The quiz on the page: questions with generated numbers, options to pick, worked solutions."""

from explorer.app.faults import Faults
from explorer.app.page import OpenPage
from explorer.panels import widgets
from explorer.panels.controls import ChoiceControl, TextControl
from explorer.panels.html import sentences
from explorer.records.lessons.quiz import LARGEST_SEED, LENGTH, Question, quiz, read_seed
from explorer.tasks.lesson.state import LessonState

_UNITS = (
    "Its units are km/h, kW and N·m for everybody, so that a number means the same quiz on every "
    "screen and sheet."
)


def units_note(system: str) -> str:
    """What a reader of other units is told beside the quiz; empty for one of metric units."""
    return "" if system == "metric" else _UNITS


class QuizCard:
    """The card of the quiz."""

    def __init__(self, page: OpenPage) -> None:
        state, faults = page.state, page.faults
        self._state: LessonState = state
        self._seed = TextControl(
            "Number of the quiz",
            "The same number gives the same questions, on every screen and on the worksheet.",
            str(state.lesson.place.seed),
            faults.guard(lambda text: state.quiz(read_seed(text))),
        )
        fresh = faults.button(
            "Other numbers",
            lambda: state.quiz((state.lesson.place.seed + 1) % (LARGEST_SEED + 1)),
            "The next quiz, nothing picked yet",
        )
        self._rows = [_Row(index, state, faults) for index in range(LENGTH)]
        self._units = widgets.HTML().add_class("ge-help")
        self._score = widgets.HTML().add_class("ge-answer")
        self.widget = widgets.VBox(
            [
                self._seed.widget,
                self._units,
                fresh,
                *(row.widget for row in self._rows),
                self._score,
            ]
        )
        self.show()

    def show(self) -> None:
        """Show the state, whoever changed it."""
        lesson = self._state.lesson
        questions = quiz(lesson.place.seed)
        self._seed.show(str(lesson.place.seed))
        self._units.value = units_note(lesson.setup.units)
        for index, (row, question) in enumerate(zip(self._rows, questions, strict=True)):
            row.show(question, lesson.picked.get(index), index in lesson.solved)
        right = sum(lesson.picked.get(index) == each.right for index, each in enumerate(questions))
        solved = len(lesson.solved)
        self._score.value = sentences(
            [f"{right} of {LENGTH} right."] if solved == LENGTH else [], "ge-sentence"
        )


class _Row:
    """One question with its options and its solution."""

    def __init__(self, index: int, state: LessonState, faults: Faults) -> None:
        self._index, self._state = index, state
        self._text = widgets.HTML()
        name, picked = f"Answer {index + 1}", faults.guard(self._picked)
        self._options = ChoiceControl(name, "", (), None, picked, widgets.RadioButtons)
        self._button = faults.button("Show the solution", self._toggle)
        self._solution = widgets.HTML().add_class("ge-answer")
        self._question: Question | None = None
        self.widget = widgets.VBox(
            [self._text, self._options.widget, self._button, self._solution]
        ).add_class("ge-quiz-row")

    def show(self, question: Question, picked: str | None, solved: bool) -> None:
        """Show a question, what was picked, and its solution if it is open."""
        if question != self._question:
            self._question = question
            self._text.value = sentences([f"{self._index + 1}. {question.text}"], "ge-asked")
        known = picked if picked in question.options else None  # of the question before
        self._options.show(known, [(each, each) for each in question.options])
        wanted = f"{'Hide' if solved else 'Show'} the solution of {self._index + 1}"
        if self._button.description != wanted:
            self._button.description = wanted
        said = sentences(_solution(question, picked), "ge-sentence") if solved else ""
        if self._solution.value != said:
            self._solution.value = said

    def _picked(self, option: str) -> None:
        self._state.put(picked={**self._state.lesson.picked, self._index: option})

    def _toggle(self) -> None:
        self._state.put(solved=self._state.lesson.solved ^ {self._index})


def _solution(question: Question, picked: str | None) -> list[str]:
    solution = f"{question.right}: {question.working}"
    if picked is None:
        return [solution]
    if picked == question.right:
        return [f"“{picked}” is right.", solution]
    return [f"“{picked}” is not right. {question.why_wrong[picked]}", solution]
