"""What a rider sets: a number, one of several things, a text; showing one reports nothing."""

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass

from explorer.panels import widgets
from explorer.panels.html import help_line, sentences
from explorer.records.errors import RecordError


@dataclass(frozen=True)
class Scale:
    """Range, step and unit of a number as the reader sees it.

    Attributes:
        low, high, step: In the reader's unit; whole numbers make a control for whole numbers.
        unit: Shown behind the name; empty for plain numbers such as teeth.
    """

    low: float
    high: float
    step: float
    unit: str = ""

    def nearest_step(self, value: float) -> float:
        """The place of the slider nearest to a number.

        >>> Scale(5, 125, 5).nearest_step(37)
        35
        """
        place = self.low + round((value - self.low) / self.step) * self.step
        inside = min(max(place, self.low), self.high)
        return inside if isinstance(inside, int) else round(inside, 9)


class NumberControl:
    """Slider and number box for one number; the box holds it exactly, the slider on its steps.

    Each unit has a slider and a box of its own. A browser says a number without its unit: what it
    says of those in the last unit, or makes of a number that meets another range, is no move of the
    rider's.

    Args:
        name: Accessible name of the slider and visible label; the unit, if any, follows it.
        help_text: One line under the control.
        on_change: Called with the new number when the rider moves or types it.
    """

    def __init__(
        self,
        name: str,
        help_text: str,
        scale: Scale,
        value: float,
        on_change: Callable[[float], None],
    ) -> None:
        self._name = name
        self._help_text = help_text
        self._on_change = on_change
        self._showing = False
        self._made: dict[str, tuple[widgets.Widget, widgets.Widget]] = {}
        self._scale = scale
        self._parts = self._parts_for(value)
        self.widget = widgets.VBox([*self._parts, help_line(help_text)]).add_class("ge-control")

    def show(self, value: float, scale: Scale | None = None) -> None:
        """Show a number that comes from elsewhere, without reporting it as the rider's."""
        self._showing = True
        try:
            scale = scale or self._scale
            rescaled, self._scale = scale != self._scale, scale
            self._parts = parts = self._parts_for(value)
            for part, shown in zip(parts, (self._scale.nearest_step(value), value), strict=True):
                # One message: a browser that met the range first would clamp the number.
                with part.hold_sync(), part.hold_trait_notifications():
                    if rescaled:
                        ends = self._scale.low, self._scale.high, self._scale.step
                        part.min, part.max, part.step = ends
                    if self._differ(part.value, shown):
                        part.value = shown
            if self.widget.children[:2] != parts:
                self.widget.children = (*parts, self.widget.children[2])
        finally:
            self._showing = False

    def _parts_for(self, value: float) -> tuple[widgets.Widget, widgets.Widget]:
        """Slider and box in the unit of the scale; new ones show a number."""
        scale = self._scale
        if scale.unit not in self._made:
            # A quantity may be whole on one range and not on the next.
            counted = all(isinstance(part, int) for part in (scale.low, scale.high, scale.step))
            whole = counted and not scale.unit
            slider_kind = widgets.IntSlider if whole else widgets.FloatSlider
            box_kind = widgets.BoundedIntText if whole else widgets.BoundedFloatText
            ends = {"min": scale.low, "max": scale.high, "step": scale.step}
            # A number between two steps would be moved to a step by the browser, which reports that
            # as if the rider had done it.
            slider = slider_kind(
                value=scale.nearest_step(value),
                description=self._name + (f" [{scale.unit}]" if scale.unit else ""),
                tooltip=self._help_text,
                readout=False,
                **ends,
            )
            # The template's script gives the box the name of the slider beside it.
            box = box_kind(value=value, tooltip=self._help_text, **ends)
            for part in (slider, box):
                part.observe(self._moved, "value")
            self._made[scale.unit] = slider, box
        return self._made[scale.unit]

    def _moved(self, change: dict) -> None:
        shown = change["owner"] in self._parts and not self._showing
        if shown and self._differ(change["new"], change["old"]):
            self._on_change(change["new"])

    def _differ(self, one: float, other: float) -> bool:
        """Whether two numbers are apart by more than the browser's arithmetic.

        It counts in steps from the low end, and reports 70.00000000000001 where it was given 70.
        """
        return abs(one - other) > 1e-6 * self._scale.step


Options = Sequence[tuple[str, Hashable]]


class ChoiceControl:
    """A choice among named options.

    Args:
        name: Accessible name and visible label.
        on_change: Called with the value that the rider picked.
        kind (ipywidgets class): Dropdown, SelectionSlider or ToggleButtons.
    """

    def __init__(
        self,
        name: str,
        help_text: str,
        options: Options,
        value: Hashable,
        on_change: Callable[[Hashable], None],
        kind: type = widgets.Dropdown,
    ) -> None:
        self._options = tuple(options)
        self._choice = kind(options=self._options, value=value, description=name, tooltip=help_text)
        self._showing = False
        self._on_change = on_change
        self._choice.observe(self._picked, "value")
        parts = [self._choice, help_line(help_text)] if help_text else [self._choice]
        self.widget = widgets.VBox(parts).add_class("ge-field")

    @property
    def value(self) -> Hashable:
        """What is picked now."""
        return self._choice.value

    def show(self, value: Hashable, options: Options | None = None) -> None:
        """Show a choice that comes from elsewhere, without reporting it as the rider's."""
        self._showing = True
        try:
            # One message: the browser reports where a picked place stands among other options.
            with self._choice.hold_sync():
                if options is not None and tuple(options) != self._options:
                    self._options = tuple(options)
                    self._choice.options = self._options
                if self._choice.value != value:
                    self._choice.value = value
        finally:
            self._showing = False

    def _picked(self, change: dict) -> None:
        if not self._showing:
            self._on_change(change["new"])


class PickControl:
    """Radio buttons that begin with none of them picked.

    Args:
        name: Accessible name and visible label.
        on_change: Called with the option that was picked.
    """

    def __init__(self, name: str, on_change: Callable[[str], None]) -> None:
        self.widget = widgets.RadioButtons(options=(), value=None, description=name)
        self._options: tuple[str, ...] = ()
        self._showing = False
        self._on_change = on_change
        self.widget.observe(self._picked, "value")

    def show(self, options: Sequence[str], picked: str | None) -> None:
        """Show options and what is picked, without reporting it as the reader's."""
        self._showing = True
        try:
            if tuple(options) != self._options:
                self._options = tuple(options)
                self.widget.options = self._options
            # An option of another question may have been picked before.
            wanted = picked if picked in self._options else None
            if self.widget.value != wanted:
                self.widget.value = wanted
        finally:
            self._showing = False

    def _picked(self, change: dict) -> None:
        if not self._showing and change["new"] is not None:
            self._on_change(change["new"])


class TextControl:
    """A text field whose content is reported when the rider is done with it.

    Args:
        name: Accessible name and visible label.
        placeholder: Example shown while the field is empty.
    """

    def __init__(
        self,
        name: str,
        help_text: str,
        value: str,
        on_change: Callable[[str], None],
        placeholder: str = "",
    ) -> None:
        self._field = widgets.Text(
            value=value,
            description=name,
            tooltip=help_text,
            placeholder=placeholder,
            continuous_update=False,
        )
        self._answer = widgets.HTML().add_class("ge-answer")
        self._showing = False
        self._on_change = on_change
        self._field.observe(self._typed, "value")
        self.widget = widgets.VBox([self._field, help_line(help_text), self._answer])
        self.widget.add_class("ge-field")

    def show(self, value: str) -> None:
        """Show a text that comes from elsewhere, without reporting it as the rider's."""
        self._showing = True
        try:
            if self._field.value != value:
                self._field.value = value
        finally:
            self._showing = False

    def answer(self, *texts: str, css_class: str = "ge-sentence") -> None:
        """Say what is wrong with what was typed, or nothing, in place of what was said before."""
        said = sentences(texts, css_class)
        if self._answer.value != said:
            self._answer.value = said

    def try_out(self, take: Callable[[], object]) -> None:
        """Take what was typed, or say beside the field what is wrong with it."""
        try:
            take()
        except RecordError as error:
            self.answer(*error.sentences)
        else:
            self.answer()

    def say_back(self, *texts: str) -> None:
        """Say how it was understood."""
        self.answer(*texts, css_class="ge-said")

    def _typed(self, change: dict) -> None:
        if not self._showing:
            self._on_change(change["new"])
