"""The controls of the wants page: complaints to tick, shares to drag, wants to type and weigh."""

from collections.abc import Callable

from explorer.app.page import OpenPage
from explorer.panels import widgets
from explorer.panels.controls import ChoiceControl, NumberControl, Scale, TextControl
from explorer.panels.html import help_line, sentences
from explorer.records.errors import RecordError
from explorer.records.ground.course import courses
from explorer.records.riding.want_values import MOST_WEIGHT, Ask
from explorer.study.wants.complaints import COMPLAINTS
from explorer.study.wants.kinds import WANTS
from explorer.study.wants.mixes import terrains
from explorer.study.wants.want import Want
from explorer.tasks.wants.views import complaint_html, mix_words
from explorer.tasks.wants.words import SAY

_SHARES = Scale(0, 100, 5, "%")
_WEIGHTS = Scale(0, int(MOST_WEIGHT), 1)


class Complaints:
    """What hurts: boxes to tick, the answers to what is ticked, and the wants that follow."""

    def __init__(self, page: OpenPage) -> None:
        self._state, guard = page.state, page.faults.guard
        self._boxes = {
            name: widgets.Checkbox(
                description=each.says, value=False, indent=False, tooltip=each.means
            )
            for name, each in COMPLAINTS.items()
        }
        self._answers = widgets.HTML()
        for name, box in self._boxes.items():
            box.observe(
                guard(lambda change, name=name: self._state.tick(name, change["new"])), "value"
            )
        boxes = widgets.VBox(list(self._boxes.values())).add_class("ge-ticks")
        self.widget = widgets.VBox([boxes, self._answers])
        self.show()

    def show(self) -> None:
        """Show the state, whoever changed it."""
        ticked = self._state.wishes.ticked
        self._answers.value = "".join(complaint_html(COMPLAINTS[name]) for name in ticked)
        for name, box in self._boxes.items():
            box.value = name in ticked


class MixShares:
    """Where the rider rides: a slider for each kind of riding."""

    def __init__(self, page: OpenPage) -> None:
        state, faults = page.state, page.faults
        self._state = state
        self._controls = {
            name: NumberControl(
                each.label,
                each.note,
                _SHARES,
                self._shown(name),
                lambda value, name=name: state.share(name, float(value)),
                faults.guard,
            )
            for name, each in terrains().items()
        }
        self._said = widgets.HTML()
        sliders = widgets.VBox([each.widget for each in self._controls.values()])
        self.widget = widgets.VBox([sliders.add_class("ge-columns"), self._said])
        self.show()

    def show(self) -> None:
        """Show the state, whoever changed it."""
        for name, control in self._controls.items():
            control.show(self._shown(name))
        self._said.value = sentences(mix_words(self._state.wishes), "ge-said")

    def _shown(self, name: str) -> int:
        return min(round(dict(self._state.wishes.shares).get(name, 0)), 100)


class WantRow:
    """One want: its questions, its weight, and the way to take it away.

    What is typed stays in its field, accepted or not; a text that cannot be read is answered
    beside it. `put` takes the want as changed, `drop` takes it away.
    """

    def __init__(
        self,
        want: Want,
        put: Callable[[Want], None],
        drop: Callable[[], None],
        guard: Callable[[Callable], Callable],
    ) -> None:
        self._want, self._put = want, put
        self._controls = {ask.name: self._control(ask, guard) for ask in want.asks}
        self._weight = NumberControl(
            "Weight",
            "How much it counts; 0 shows it without counting it.",
            _WEIGHTS,
            round(want.weight),
            lambda value: put(self._want.changed({}, float(value))),
            guard,
        )
        remove = widgets.Button(description="Take away", tooltip=f"Takes away: {want.label}")
        remove.on_click(guard(lambda _: drop()))
        self.widget = widgets.VBox(
            [
                widgets.HTML(f"<h3>{want.label}</h3>"),
                help_line(want.help),
                widgets.VBox(
                    [*(each.widget for each in self._controls.values()), self._weight.widget]
                ).add_class("ge-row"),
                remove,
            ]
        ).add_class("ge-want")

    def show(self, want: Want) -> None:
        """Show the want, whoever changed it."""
        self._want = want
        for name, control in self._controls.items():
            control.show(want.texts[name])
        self._weight.show(round(want.weight))

    def _control(self, ask: Ask, guard: Callable) -> TextControl | ChoiceControl:
        text = self._want.texts[ask.name]
        name = f"{ask.label[:1].upper()}{ask.label[1:]}"
        typed = guard(lambda text: self._typed(ask, text))
        if ask.kind == "course":
            options = [(course.label, course_id) for course_id, course in courses().items()]
            return ChoiceControl(name, ask.help, options, text, typed)
        return TextControl(name, ask.help, text, typed, ask.example)

    def _typed(self, ask: Ask, text: str) -> None:
        control = self._controls[ask.name]
        try:
            if not text.strip() and ask.kind != "currency":
                raise RecordError(f"{ask.label} is empty; write for example {ask.example}.")
            want = self._want.changed({ask.name: text})
        except RecordError as error:
            if isinstance(control, ChoiceControl):
                raise
            control.answer(*error.sentences, "Until then the want stays as it was.")
            return
        if isinstance(control, TextControl):
            control.answer()
        self._put(want)


class WantList:
    """The rider's own wants, and the way to add one of any kind."""

    def __init__(self, page: OpenPage) -> None:
        state, faults = page.state, page.faults
        self._state, self._guard = state, faults.guard
        self._kinds: tuple[str, ...] | None = None
        self._rows: list[WantRow] = []
        self._place = widgets.VBox()
        self._kind = widgets.Dropdown(
            description="Another want",
            options=[(want.label, kind) for kind, want in WANTS.items()],
            tooltip=f"{len(WANTS)} kinds, each a condition that can be measured",
        )
        add = widgets.Button(description="Add this want", tooltip="With an example to change")
        add.on_click(self._guard(lambda _: state.add((WANTS[self._kind.value].of({}, 3),))))
        self.widget = widgets.VBox(
            [self._place, widgets.VBox([self._kind, add]).add_class("ge-form")]
        )
        self.show()

    def show(self) -> None:
        """Show the state; the rows are made anew only where wants came or went."""
        wants = self._state.wishes.wants
        kinds = tuple(want.kind for want in wants)
        if kinds == self._kinds:
            for row, want in zip(self._rows, wants, strict=True):
                row.show(want)
            return
        self._kinds = kinds
        self._rows = [self._row(number, want) for number, want in enumerate(wants)]
        nothing = help_line(SAY["no-wants"])
        self._place.children = [row.widget for row in self._rows] or [nothing]

    def _row(self, number: int, want: Want) -> WantRow:
        return WantRow(
            want,
            lambda changed: self._state.put(number, changed),
            lambda: self._state.drop(number),
            self._guard,
        )
