"""A number that a rider sets: a slider, a box for typing it, and a line that says what it is."""

from collections.abc import Callable
from dataclasses import dataclass

from explorer.panels import widgets
from explorer.panels.html import help_line


@dataclass(frozen=True)
class Scale:
    """Range, step and unit of a number as the reader sees it.

    Attributes
    ----------
    low, high, step : float
        In the reader's unit; whole numbers make a control for whole numbers.
    unit : str
        Shown behind the name; empty for plain numbers such as teeth.
    """

    low: float
    high: float
    step: float
    unit: str = ""

    def nearest_step(self, value: float) -> float:
        """The place of the slider nearest to a number.

        Examples
        --------
        >>> Scale(5, 125, 5).nearest_step(37)
        35
        """
        place = self.low + round((value - self.low) / self.step) * self.step
        inside = min(max(place, self.low), self.high)
        return inside if isinstance(inside, int) else round(inside, 9)


class NumberControl:
    """Slider and number box for one number; the box holds it exactly, the slider on its steps.

    Parameters
    ----------
    name : str
        Accessible name of the slider and visible label; the unit, if any, follows it.
    help_text : str
        One line under the control.
    scale : Scale
        Range in the reader's unit.
    value : float
        First number shown.
    on_change : callable
        Called with the new number when the rider moves or types it.

    Attributes
    ----------
    widget : ipywidgets.Widget
        What the page places.
    """

    def __init__(
        self,
        name: str,
        help_text: str,
        scale: Scale,
        value: float,
        on_change: Callable[[float], None],
    ) -> None:
        # A quantity may be whole in one unit and not in the next that the reader asks for.
        counted = all(isinstance(part, int) for part in (scale.low, scale.high, scale.step))
        whole = counted and not scale.unit
        slider_kind = widgets.IntSlider if whole else widgets.FloatSlider
        box_kind = widgets.BoundedIntText if whole else widgets.BoundedFloatText
        ends = {"min": scale.low, "max": scale.high, "step": scale.step, "tooltip": help_text}
        self._name = name
        # A number between two steps would be moved to a step by the browser, which reports that as
        # if the rider had done it.
        self._slider = slider_kind(value=scale.nearest_step(value), **ends, readout=False)
        # The template's script gives the box the name of the slider beside it.
        self._box = box_kind(value=value, **ends)
        self._showing = False
        self._on_change = on_change
        self._scale = scale
        self._label()
        self._slider.observe(self._moved, "value")
        self._box.observe(self._moved, "value")
        self.widget = widgets.VBox([self._slider, self._box, help_line(help_text)])
        self.widget.add_class("ge-control")

    def show(self, value: float, scale: Scale | None = None) -> None:
        """Show a number that comes from elsewhere, without reporting it as the rider's."""
        self._showing = True
        try:
            if scale is not None and scale != self._scale:
                self._rescale(scale)
            for part, shown in (
                (self._slider, self._scale.nearest_step(value)),
                (self._box, value),
            ):
                if self._differ(part.value, shown):
                    part.value = shown
        finally:
            self._showing = False

    def _rescale(self, scale: Scale) -> None:
        for part in (self._slider, self._box):
            with part.hold_trait_notifications():
                part.min, part.max, part.step = scale.low, scale.high, scale.step
        self._scale = scale
        self._label()

    def _label(self) -> None:
        unit = f" [{self._scale.unit}]" if self._scale.unit else ""
        self._slider.description = f"{self._name}{unit}"

    def _moved(self, change: dict) -> None:
        if self._differ(change["new"], change["old"]) and not self._showing:
            self._on_change(change["new"])

    def _differ(self, one: float, other: float) -> bool:
        """Whether two numbers are apart by more than the browser's arithmetic.

        It counts in steps from the low end, and reports 70.00000000000001 where it was given 70.
        """
        return abs(one - other) > 1e-6 * self._scale.step
