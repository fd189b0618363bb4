"""Controls of the set-up, the bike and the units, each an item that a page places by itself.

They write the state and show it, and compute nothing. What a number means and how far it goes is
the set-up's table of fields (explorer/records/setups/setup_fields.py).
"""

from collections.abc import Callable, Hashable, Sequence
from functools import lru_cache
from operator import attrgetter
from typing import Any, NamedTuple

from explorer import units
from explorer.app.faults import Faults
from explorer.app.layout import group
from explorer.app.page import Item, OpenPage
from explorer.app.state import BikeState
from explorer.calc.atmosphere import standard_atmosphere
from explorer.panels import widgets
from explorer.panels.controls import ChoiceControl, NumberControl, Scale, TextControl
from explorer.panels.html import sentences
from explorer.records.bikes.bike import Bike
from explorer.records.clubs.club import bikes_in_words
from explorer.records.errors import RecordError
from explorer.records.fields import Field
from explorer.records.ground.course import courses
from explorer.records.ground.surfaces import surfaces
from explorer.records.setups.comparison import check_sold
from explorer.records.setups.setup import Setup
from explorer.records.setups.setup_fields import SETUP_FIELD
from explorer.records.setups.sprocket_pair import parse_pair
from explorer.records.tyre import common_sizes, parse_size, rollout
from explorer.study.goals import MEASURES, NEEDS, shift_speed

When = Callable[[Setup], bool]


def scale_of(name: str, bike: Bike, setup: Setup) -> Scale:
    """Range, step and unit of a field's slider on a bike."""
    field = SETUP_FIELD[name]
    if field.kind == "teeth":
        low, high = getattr(bike.sprockets, f"{name}_sold")
        return Scale(min(low, getattr(setup, name)), max(high, getattr(setup, name)), 1)
    if field.kind == "gear":
        return Scale(1, len(bike.gearbox.ratios), 1)
    low, high = field.low, field.high
    if name == "shift_at":
        low, high = bike.engine.launch_speed, bike.engine.rev_limit.si
    return _scale(field, low, high, setup.units)


def _scale(field: Field, low: float, high: float, system: str) -> Scale:
    step = _step(field, system)
    low, unit = units.display(low, field.kind, system)
    high, _ = units.display(high, field.kind, system)
    # Ends on whole steps inside the range, so that every place of the slider is accepted.
    low, high = -(-(low - 1e-6) // step) * step, (high + 1e-6) // step * step
    as_number = int if isinstance(step, int) else float
    return Scale(as_number(min(low, high - step)), as_number(high), step, unit)


def number_of(name: str, bike: Bike, setup: Setup) -> float:
    """The value of a field as its slider shows it, rounded to what the box can hold."""
    field = SETUP_FIELD[name]
    value = getattr(setup, name)
    if field.kind in ("teeth", "gear"):
        return value
    if name == "temperature" and value is None:
        value = standard_atmosphere(setup.altitude).temperature
    if name == "rollout":
        value = rollout(setup.tyre, value).value
    if name == "shift_at":
        value = shift_speed(bike, setup)
    shown, _ = units.display(value, field.kind, setup.units)
    shown = round(shown) if isinstance(_step(field, setup.units), int) else round(shown, 1)
    if name == "shift_at":
        scale = scale_of(name, bike, setup)
        shown = min(max(shown, scale.low), scale.high)
    return shown


def from_number(name: str, shown: float, system: str) -> float:
    """SI value of a number on a field's slider, the same as if it had been typed with its unit."""
    kind = SETUP_FIELD[name].kind
    if kind in ("teeth", "gear"):
        return shown
    _, unit = units.display(0.0, kind, system)
    return units.to_si(f"{shown} {unit}", kind)


def _step(field: Field, system: str) -> float:
    return field.steps[0 if system == "metric" else 1]


class Shows(NamedTuple):
    """A part of a page that shows the state, whoever changed it, by calling a function."""

    widget: widgets.Widget
    show: Callable[[], None]


def slider(name: str, label: str = "", help_text: str = "", when: When | None = None) -> Item:
    """Slider and number box for one number of the set-up.

    Args:
        label, help_text: In place of the field's own.
        when: Tells of a set-up whether the number means anything there; else the control is hidden.
    """
    field = SETUP_FIELD[name]

    def make(page: OpenPage) -> Shows:
        state = page.state
        control = NumberControl(
            label or field.label,
            help_text or field.help,
            scale_of(name, state.bike, state.setup),
            number_of(name, state.bike, state.setup),
            lambda shown: state.change(**{name: from_number(name, shown, state.setup.units)}),
            page.faults.guard,
        )

        def show() -> None:
            scale = scale_of(name, state.bike, state.setup)
            control.show(number_of(name, state.bike, state.setup), scale)
            if when is not None:
                widgets.show_if(when(state.setup), control.widget)

        show()
        return Shows(control.widget, show)

    return make


class Choice:
    """One of several things to pick for the state."""

    def __init__(
        self,
        page: OpenPage,
        words: tuple[str, str],
        options: Callable[[Any], Sequence[tuple[str, Hashable]]],
        get: Callable[[Any], Hashable],
        put: Callable[[Any, Any], None],
        kind: type = widgets.Dropdown,
    ) -> None:
        self._state, self._options, self._get = page.state, options, get
        self._control = ChoiceControl(
            *words,
            options(self._state),
            get(self._state),
            page.faults.guard(lambda value: put(self._state, value)),
            kind,
        )
        self.widget = self._control.widget

    def show(self) -> None:
        """Show the state, whoever changed it."""
        self._control.show(self._get(self._state), self._options(self._state))


def choice(
    name: str,
    options: Callable[[Any], Sequence[tuple[str, Hashable]]],
    label: str = "",
    help_text: str | None = None,
    kind: type = widgets.Dropdown,
    get: Callable[[Setup], Hashable] | None = None,
    **along: Any,
) -> Item:
    """A field of the set-up that is picked; `along` are fields that change with it."""
    field = SETUP_FIELD[name]
    words = label or field.label, field.help if help_text is None else help_text
    get_it = get or (lambda setup: getattr(setup, name))
    return lambda page: Choice(
        page,
        words,
        options,
        lambda state: get_it(state.setup),
        lambda state, value: state.change(**{name: value}, **along),
        kind,
    )


def button(name: str, tooltip: str, act: Callable[[OpenPage], Any]) -> Item:
    """A button that does something with the page."""
    return lambda page: page.faults.button(name, lambda: act(page), tooltip)


def upload(
    name: str,
    tooltip: str,
    accept: str,
    take: Callable[[dict[str, bytes]], str | None],
    faults: Faults | None = None,
    multiple: bool = False,
) -> widgets.VBox:
    """A button that opens files, with the answer below it: the page's own is far above on a phone.
    What takes them is given their contents by name, and may say what it did."""
    made = widgets.FileUpload(accept=accept, description=name, tooltip=tooltip, multiple=multiple)
    faults, answer = faults or Faults(), widgets.HTML().add_class("ge-answer")

    def opened(change: dict) -> None:
        answer.value = ""
        if files := {file["name"]: bytes(file["content"]) for file in change["new"]}:
            answer.value = sentences(filter(None, [take(files)]), "ge-said")

    made.observe(faults.guard(opened), "value")
    return widgets.VBox([made, faults.widget, answer]).add_class("ge-opened")


def _bikes_offered(state: BikeState) -> list[tuple[str, str]]:
    """Names and ids; one whose values a link changes is not passed off as it stands."""
    names = {bike_id: bike.name for bike_id, bike in state.library.items()}
    if state.bike != state.base_bike:
        names[state.setup.bike_id] += ", values changed"
    return [(name, bike_id) for bike_id, name in names.items()]


def bike_choice(more: str = ".") -> Item:
    """The bikes that are offered; `more` ends the sentence about them."""
    return lambda page: Choice(
        page,
        ("Bike", bikes_in_words() + more),
        _bikes_offered,
        lambda state: state.setup.bike_id,
        lambda state, bike_id: state.pick_bike(bike_id),
    )


def units_choice(help_text: str = "") -> Item:
    """Metric or imperial."""
    options = (("km/h, mm, N", "metric"), ("mph, in, lbf", "imperial"))
    return choice("units", lambda _: options, help_text=help_text, kind=widgets.ToggleButtons)


BIKE_AND_UNITS = group(
    bike_choice("; make one of them your own under “This bike”."),
    units_choice("For everything on the page; the set-up itself stays the same."),
    button(
        "Back to the fitted gearing",
        "The bike as it stands, on the default ground; a roll-out that you measured stays",
        lambda page: page.state.reset(),
    ),
)


class TypedText:
    """A text that is read into the set-up, and answered beside its field; it goes with what it
    says, so that the field never shows an old set-up."""

    def __init__(
        self,
        page: OpenPage,
        words: tuple[str, str, str],
        read: Callable[[Any, str], str],
        names: tuple[str, ...],
    ) -> None:
        name, help_text, example = words
        self._state, self._read, self._of = page.state, read, attrgetter(*names)
        self._stands: Any = None
        self._control = TextControl(
            name, help_text, "", page.faults.guard(self._typed), placeholder=example
        )
        self.widget = self._control.widget

    def show(self) -> None:
        """Put a text away that was taken and is not the set-up's any more, whoever changed it."""
        if self._stands not in (None, self._of(self._state.setup)):
            self._stands = None
            self._control.show("")
            self._control.answer()

    def _typed(self, text: str) -> None:
        self._stands = None
        try:
            self._control.say_back(*([self._read(self._state, text)] if text.strip() else []))
        except RecordError as error:
            self._control.answer(*error.sentences)
        else:
            self._stands = self._of(self._state.setup) if text.strip() else None


def _read_pair(state: Any, text: str) -> str:
    pair = parse_pair(text)
    check_sold(state.bike, pair.front, pair.rear)
    state.change(front=pair.front, rear=pair.rear)
    return pair.sentence


def _read_tyre(state: Any, text: str) -> str:
    size = parse_size(text)
    state.change(tyre=size.text, rollout=None)
    return size.note


def typed_pair(page: OpenPage) -> TypedText:
    """Both sprockets, typed."""
    words = "Both sprockets", "Typed as 13/48, 48:13 or 13-48.", "13/48"
    return TypedText(page, words, _read_pair, ("front", "rear"))


def typed_tyre(page: OpenPage) -> TypedText:
    """A tyre size that is not in the list."""
    words = "Another tyre size", "As on the sidewall: 110/100-18 or 4.10-18.", "100/90-19"
    return TypedText(page, words, _read_tyre, ("tyre",))


def by_size(page: OpenPage) -> Shows:
    """A button that takes a measured roll-out away."""
    state = page.state
    button = page.faults.button(
        "Use the size, not a measurement",
        lambda: state.change(rollout=None),
        "Compute the roll-out from the tyre size again",
    )

    def show() -> None:
        button.disabled = state.setup.rollout is None

    show()
    return Shows(button, show)


GEARING = group(
    slider("front"),
    slider("rear"),
    typed_pair,
    choice(
        "tyre",
        lambda state: tyre_sizes(state.setup.tyre, state.bike.tyre.rear),
        kind=widgets.SelectionSlider,
        rollout=None,
    ),
    slider("rollout"),
    by_size,
    typed_tyre,
)
"""Sprockets and tyre."""


def _words(name: str) -> Item:
    """A choice whose words are those of the field."""
    options = [(word.capitalize(), word) for word in SETUP_FIELD[name].choices]
    return choice(name, lambda _: options)


GROUND = group(
    choice("surface", lambda _: [(each.label, name) for name, each in surfaces().items()]),
    _words("tyre_kind"),
    _words("rider_position"),
    *(slider(name) for name in ("slope", "head_wind", "altitude", "temperature", "rider_mass")),
)
"""Ground, air and rider."""


def _for(name: str) -> When:
    return lambda setup: setup.measure in NEEDS[name]


MEASURE = group(
    choice("measure", lambda _: [(each.label, name) for name, each in MEASURES.items()]),
    *(slider(name, when=_for(name)) for name in NEEDS),
    css="ge-row",
)
"""What the trade-off sets against top speed."""

RIDDEN = _words("course_rider")
"""How hard a course is ridden."""

COURSE = group(
    choice("course", lambda _: [(each.label, name) for name, each in courses().items()]),
    RIDDEN,
    css="ge-row",
)


@lru_cache(maxsize=32)
def tyre_sizes(chosen: str, fitted: str) -> tuple[tuple[str, str], ...]:
    """Rear tyre sizes to choose from, by their roll-out, the two in use among them."""
    sizes = {*common_sizes("rear"), chosen, fitted}
    return tuple((size, size) for size in sorted(sizes, key=_by_circumference))


def _by_circumference(size: str) -> tuple[float, str]:
    return parse_size(size).circumference, size
