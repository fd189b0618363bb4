"""The widgets that pages are made of: those of ipywidgets, all with one layout and one style.

Each widget of ipywidgets brings along a layout and a style of its own, and the browser makes a
model of each: 200 of the 333 on the gearing page. Ours look as the style sheet says, so they share
one. Hence a widget is hidden by `show_if`; whoever changes its layout changes that of all.
"""

from collections.abc import Callable
from typing import Any

import ipywidgets
from ipywidgets import DOMWidget, Layout, Widget
from ipywidgets.widgets import widget as widget_module
from traitlets import HasTraits, default

_looks: dict[tuple[type[Widget], str | None], Widget] = {}


def live_widgets() -> dict[str, Any] | None:
    """The library's own table, to be changed in place; None where a version has none of that name.

    A private name of ipywidgets, seen in 8.1.8 and 8.1.9. Without it pages are not made ahead, and
    each page has looks of its own.
    """
    return getattr(widget_module, "_instances", None)


def _one(kind: type[Widget], display: str | None = None) -> Widget:
    """The layout or style of a kind that all share, made when it is first needed."""
    look = _looks.get((kind, display))
    # One for each page: a page made ahead is out of the next one's sight (explorer/app/visit.py).
    live = live_widgets()
    if look is None or look.comm is None or not live or live.get(look.model_id) is not look:
        look = kind(display=display) if display else kind()
        _looks[kind, display] = look
    return look


def show_if(shown: bool, *hideable: DOMWidget) -> None:
    """Show widgets, or hide them where they are.

    >>> hint, other = HTML("Press Enter."), HTML("Any pair sold.")
    >>> show_if(False, hint)
    >>> hint.layout.display, other.layout.display
    ('none', None)
    """
    layout = _one(Layout, None if shown else "none")
    for widget in hideable:
        widget.layout = layout


def button(name: str, tooltip: str | None, action: Callable[[], Any], **named) -> "Button":
    """A button that does something."""
    made = Button(description=name, tooltip=tooltip, **named)
    made.on_click(lambda _: action())
    return made


def dressed(widget: DOMWidget, css: str) -> DOMWidget:
    """A widget with classes of the style sheet, separated by blanks."""
    for css_class in css.split():
        widget.add_class(css_class)
    return widget


class _Plain(HasTraits):
    """A widget without a layout or style of its own."""

    @default("layout")
    def _one_layout(self) -> Widget:
        return _one(Layout)

    @default("style")
    def _one_style(self) -> Widget:
        return _one(self.traits()["style"].klass)


class _Ranged(_Plain):
    """A number within a range: what was set on a range that has gone is not taken."""

    def set_state(self, sync_data: dict) -> None:
        value = sync_data.get("value", self.value)
        # A browser keeps to the range that it knows, but for its arithmetic.
        slack = 1e-6 * (self.step or 1)
        if not self.min - slack <= value <= self.max + slack:
            sync_data = {name: each for name, each in sync_data.items() if name != "value"}
            self.send_state("value")
        super().set_state(sync_data)


def _plain(kind: type[DOMWidget], base: type[_Plain] = _Plain) -> type[DOMWidget]:
    first, _, _ = (kind.__doc__ or "").partition("\n\n")
    return type(kind.__name__, (base, kind), {"__doc__": first, "__module__": __name__})


Accordion = _plain(ipywidgets.Accordion)
Button = _plain(ipywidgets.Button)
Checkbox = _plain(ipywidgets.Checkbox)
Dropdown = _plain(ipywidgets.Dropdown)
FileUpload = _plain(ipywidgets.FileUpload)
FloatProgress = _plain(ipywidgets.FloatProgress)
FloatSlider = _plain(ipywidgets.FloatSlider, _Ranged)
HBox = _plain(ipywidgets.HBox)
HTML = _plain(ipywidgets.HTML)
IntSlider = _plain(ipywidgets.IntSlider, _Ranged)
RadioButtons = _plain(ipywidgets.RadioButtons)
SelectMultiple = _plain(ipywidgets.SelectMultiple)
SelectionSlider = _plain(ipywidgets.SelectionSlider)
Text = _plain(ipywidgets.Text)
Textarea = _plain(ipywidgets.Textarea)
ToggleButton = _plain(ipywidgets.ToggleButton)
ToggleButtons = _plain(ipywidgets.ToggleButtons)
VBox = _plain(ipywidgets.VBox)
