"""What a rider sets: a number, one of several things, a text; showing one reports nothing.

Each has a name, which is its visible label too, and a line of help below it.
"""

import math
import re
from collections.abc import Callable, Hashable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from markupsafe import escape

from explorer.panels import widgets
from explorer.panels.forms import Guard
from explorer.panels.html import help_line, sentences
from explorer.records.errors import RecordError
from explorer.records.typed_text import quote, tidy

_NUMBER = re.compile(r"[+-]?[0-9]*\.?[0-9]+(?:[eE][+-]?[0-9]{1,3})?")


@dataclass(frozen=True)
class Scale:
    """Range, step and unit of a number as the reader sees it.

    Whole numbers make a control for whole numbers; plain ones, such as teeth, have no unit.
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

    @property
    def whole(self) -> bool:
        """Whether only whole numbers stand on it; a quantity may be whole in one unit only."""
        ends = (self.low, self.high, self.step)
        return not self.unit and all(isinstance(each, int) for each in ends)

    def written(self, value: float) -> str:
        """A number as its box holds it."""
        return f"{value:.10g}"

    def read(self, text: str, now: float) -> float:
        """The number that was typed; RecordError says what is accepted, and what stays.

        >>> Scale(800, 2800, 5, "mm").read("2035,5 mm", 2000)
        2035.5
        """
        entry = tidy(text).removesuffix(self.unit).strip().replace(",", ".")
        number = float(entry) if _NUMBER.fullmatch(entry) else math.nan
        slip = 1e-6 * self.step
        inside = self.low - slip <= number <= self.high + slip
        if not inside or (self.whole and number % 1):
            unit, taken = f" {self.unit}".rstrip(), f"{quote(text)} is not taken,"
            raise RecordError(
                f"Type a {'whole ' if self.whole else ''}number from {self.written(self.low)} to "
                f"{self.written(self.high)}{unit}: {taken if entry else 'without one'} "
                f"{self.written(now)}{unit} stays."
            )
        return int(number) if self.whole else min(max(number, self.low), self.high)


class _Control:
    """Reports what the rider sets, and not what it is told to show; a page places its `widget`."""

    _showing = False
    _on_change: Callable[[Any], object]

    @contextmanager
    def _quietly(self) -> Iterator[None]:
        self._showing = True
        try:
            yield
        finally:
            self._showing = False

    def _set(self, change: dict) -> None:
        if not self._showing:
            self._on_change(change["new"])


class NumberControl(_Control):
    """Slider and number box for one number; the box holds it exactly, the slider on its steps.

    What is typed and refused stays in the box, with the reason below it, until it is mended or
    another number comes. Each unit has a slider and a box of its own. A browser says a number
    without its unit: what it says of those in the last unit, or makes of a number that meets
    another range, is no move of the rider's.

    A RecordError of `on_change`, which is called with a number moved or typed, is said here.
    """

    def __init__(
        self,
        name: str,
        help_text: str,
        scale: Scale,
        value: float,
        on_change: Callable[[float], object],
        guard: Guard = lambda callback: callback,
    ) -> None:
        self._name, self._help_text, self._on_change = name, help_text, on_change
        self._take_it = guard(self._take)
        self._refused = False
        self._made: dict[str, tuple[widgets.Widget, widgets.Widget]] = {}
        self._scale, self._value = scale, value
        self._parts = self._parts_for(value)
        self._help = help_line(help_text)
        self.widget = widgets.VBox([*self._parts, self._help]).add_class("ge-control")

    def show(self, value: float, scale: Scale | None = None) -> None:
        """Show a number that comes from elsewhere, without reporting it as the rider's."""
        scale = scale or self._scale
        rescaled, self._scale = scale != self._scale, scale
        if rescaled or self._differ(value, self._value):
            self._say()
        self._value = value
        with self._quietly():
            self._parts = slider, box = self._parts_for(value)
            # One message: a browser that met the range first would clamp the number.
            with slider.hold_sync(), slider.hold_trait_notifications():
                if rescaled:
                    slider.min, slider.max, slider.step = scale.low, scale.high, scale.step
                if self._differ(slider.value, scale.nearest_step(value)):
                    slider.value = scale.nearest_step(value)
            if not self._refused and box.value != scale.written(value):
                box.value = scale.written(value)
            if self.widget.children[:2] != self._parts:
                self.widget.children = (*self._parts, self._help)

    def _parts_for(self, value: float) -> tuple[widgets.Widget, widgets.Widget]:
        """Slider and box in the unit of the scale; new ones show a number."""
        scale = self._scale
        if scale.unit not in self._made:
            # A number between two steps would be moved to a step by the browser, which reports that
            # as if the rider had done it.
            slider = (widgets.IntSlider if scale.whole else widgets.FloatSlider)(
                value=scale.nearest_step(value),
                description=self._name + (f" [{scale.unit}]" if scale.unit else ""),
                tooltip=self._help_text,
                readout=False,
                min=scale.low,
                max=scale.high,
                step=scale.step,
            )
            # Not a bounded number box: that clamps what is typed, and says nothing.
            box = widgets.Text(
                scale.written(value), tooltip=self._help_text, continuous_update=False
            )
            for part in (slider, box):
                part.observe(self._moved, "value")
            self._made[scale.unit] = slider, box
        return self._made[scale.unit]

    def _moved(self, change: dict) -> None:
        given = change["new"]
        shown = change["owner"] in self._parts and not self._showing
        if shown and (isinstance(given, str) or self._differ(given, change["old"])):
            self._take_it(given)

    def _take(self, given: Any) -> None:
        """Hand a number on, or say why not and keep it as it was given."""
        before = self._value
        self._say()
        try:
            number = self._scale.read(given, before) if isinstance(given, str) else given
            if self._differ(number, before):
                self._value = number
                self._on_change(number)
        except RecordError as error:
            self._value = before
            self._say(*error.sentences)
        self.show(self._value)

    def _say(self, *texts: str) -> None:
        """Say below the box why what stands in it is not taken; without a reason, nothing."""
        self._refused = bool(texts)
        said = sentences(texts) + escape(self._help_text)
        if self._help.value != said:
            self._help.value = said

    def _differ(self, one: float, other: float) -> bool:
        """Whether two numbers are apart by more than the browser's arithmetic.

        It counts in steps from the low end, and reports 70.00000000000001 where it was given 70.
        """
        return abs(one - other) > 1e-6 * self._scale.step


Options = Sequence[tuple[str, Hashable]]


class ChoiceControl(_Control):
    """A choice among named options, or none of them; `kind` is the class of the list or slider."""

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
        self._on_change = on_change
        self._choice.observe(self._set, "value")
        parts = [self._choice, help_line(help_text)] if help_text else [self._choice]
        self.widget = widgets.VBox(parts).add_class("ge-field")

    @property
    def value(self) -> Hashable:
        """What is picked now."""
        return self._choice.value

    def show(self, value: Hashable, options: Options | None = None) -> None:
        """Show a choice that comes from elsewhere, without reporting it as the rider's."""
        # One message: the browser reports where a picked place stands among other options.
        with self._quietly(), self._choice.hold_sync():
            if options is not None and tuple(options) != self._options:
                self._options = tuple(options)
                self._choice.options = self._options
            if self._choice.value != value:
                self._choice.value = value


class TextControl(_Control):
    """A text field whose content is reported when the rider is done with it."""

    def __init__(
        self,
        name: str,
        help_text: str,
        value: str,
        on_change: Callable[[str], None],
        placeholder: str = "",
    ) -> None:
        words = {"description": name, "tooltip": help_text, "placeholder": placeholder}
        self._field = widgets.Text(value, continuous_update=False, **words)
        self._answer = widgets.HTML().add_class("ge-answer")
        self._on_change = on_change
        self._field.observe(self._set, "value")
        self.widget = widgets.VBox([self._field, help_line(help_text), self._answer])
        self.widget.add_class("ge-field")

    def show(self, value: str) -> None:
        """Show a text that comes from elsewhere, without reporting it as the rider's."""
        with self._quietly():
            if self._field.value != value:
                self._field.value = value

    def show_example(self, text: str) -> None:
        """Show another example while the field is empty."""
        if self._field.placeholder != text:
            self._field.placeholder = text

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
