"""The controls of the gearing page: they write the state and show it, and compute nothing."""

from functools import lru_cache

from explorer.app.faults import Faults
from explorer.app.gearing_state import GearingState
from explorer.app.scales import from_number, number, scale
from explorer.calc.atmosphere import standard_atmosphere
from explorer.panels import widgets
from explorer.panels.choice_control import ChoiceControl
from explorer.panels.number_control import NumberControl, Scale
from explorer.panels.text_control import TextControl
from explorer.records.clubs.club import bikes_in_words
from explorer.records.ground.surfaces import surfaces
from explorer.records.setups.sprocket_pair import check_sold, parse_pair
from explorer.records.tyre import common_sizes, parse_size, rollout
from explorer.study.goals import MEASURES, NEEDS

_CONDITIONS = {
    "slope": ("Slope", "Uphill positive: 10 % climbs 1 m in 10 m."),
    "head_wind": ("Head wind", "Against you; a tail wind is negative."),
    "altitude": ("Altitude", "Thin air takes power and drag away."),
    "temperature": (
        "Air temperature",
        "Warm air takes power away; follows the altitude until moved.",
    ),
    "rider_mass": ("Rider with kit", "Everything you ride in, on the bathroom scale."),
}

_TREADS = (("Knobbly", "knobbly"), ("Trail", "trail"), ("Road", "road"))

_POSITIONS = (
    ("Seated", "seated"),
    ("Standing", "standing"),
    ("Forward", "forward"),
    ("Back", "back"),
)

_MEASURE_NUMBERS = {
    "target_speed": ("Speed to reach", "From rest, full throttle, best shifts."),
    "distance": ("Distance", "From rest, full throttle, best shifts."),
    "roll_from": ("From, or speed held", "Clutch lever released."),
    "roll_to": ("Roll-on to", "Full throttle, without a shift."),
}


class GearingControls:
    """All controls, in groups that the page places.

    Attributes
    ----------
    gearing, ground, measure, cruise, reader : ipywidgets.Widget
        Sprockets and tyre; ground and air; the trade-off's measure; the table's cruise speed;
        bike, units and reset.
    """

    def __init__(self, state: GearingState, faults: Faults) -> None:
        self._state = state
        self._faults = faults
        setup, system = state.setup, state.setup.units
        self._bike = ChoiceControl(
            "Bike",
            f"{bikes_in_words()}; make one of them your own under “This bike”.",
            [(bike.name, bike_id) for bike_id, bike in state.library.items()],
            setup.bike_id,
            faults.guard(state.pick_bike),
        )
        self._units = ChoiceControl(
            "Units",
            "For everything on the page; the set-up itself stays the same.",
            [("km/h, mm, N", "metric"), ("mph, in, lbf", "imperial")],
            system,
            self._faults.guard(lambda value: self._set(units=value)),
            widgets.ToggleButtons,
        )
        reset = widgets.Button(
            description="Back to the fitted gearing",
            tooltip="Start again from the bike as it stands, on the default ground",
        )
        reset.on_click(faults.guard(lambda _: state.reset()))
        self.reader = widgets.VBox([self._bike.widget, self._units.widget, reset])

        self._teeth = {
            field: NumberControl(
                name,
                help_text,
                self._teeth_scale(field),
                getattr(setup, field),
                self._faults.guard(lambda value, field=field: self._set(**{field: value})),
            )
            for field, name, help_text in (
                ("front", "Front sprocket", "Teeth at the gearbox: fewer is shorter, more pull."),
                ("rear", "Rear sprocket", "Teeth at the wheel: more is shorter, more pull."),
            )
        }
        self._pair = TextControl(
            "Both sprockets",
            "Typed as 13/48, 48:13 or 13-48.",
            "",
            faults.guard(self._type_pair),
            placeholder="13/48",
        )
        self._tyre = ChoiceControl(
            "Tyre",
            "Rear tyre, from small to large roll-out.",
            self._tyre_options(),
            setup.tyre,
            self._faults.guard(lambda value: self._set(tyre=value, rollout=None)),
            widgets.SelectionSlider,
        )
        self._other_tyre = TextControl(
            "Another tyre size",
            "As on the sidewall: 110/100-18 or 4.10-18.",
            "",
            faults.guard(self._type_tyre),
            placeholder="100/90-19",
        )
        self._rollout = NumberControl(
            "Roll-out",
            "Measured, rider seated, beats the size; moving this counts as measured.",
            scale("rollout", system),
            self._rollout_number(),
            self._faults.guard(
                lambda value: self._set(rollout=from_number("rollout", value, self._system))
            ),
        )
        self._by_size = widgets.Button(
            description="Use the size, not a measurement",
            tooltip="Compute the roll-out from the tyre size again",
            disabled=setup.rollout is None,
        )
        self._by_size.on_click(faults.guard(lambda _: self._set(rollout=None)))
        self.gearing = widgets.VBox(
            [
                self._teeth["front"].widget,
                self._teeth["rear"].widget,
                self._pair.widget,
                self._tyre.widget,
                self._rollout.widget,
                self._by_size,
                self._other_tyre.widget,
            ]
        )

        self._surface = ChoiceControl(
            "Surface",
            "Sets rolling resistance and grip.",
            [(surface.label, surface_id) for surface_id, surface in surfaces().items()],
            setup.surface,
            self._faults.guard(lambda value: self._set(surface=value)),
        )
        self._tread = ChoiceControl(
            "Rear tread",
            "What the rear tyre's blocks are made for; sets the grip with the surface.",
            _TREADS,
            setup.tyre_kind,
            self._faults.guard(lambda value: self._set(tyre_kind=value)),
        )
        self._position = ChoiceControl(
            "Rider",
            "Back loads the rear tyre; forward keeps the front wheel down.",
            _POSITIONS,
            setup.rider_position,
            self._faults.guard(lambda value: self._set(rider_position=value)),
        )
        self._conditions = {
            field: self._number_for(field, name, help_text)
            for field, (name, help_text) in _CONDITIONS.items()
        }
        self.ground = widgets.VBox(
            [
                self._surface.widget,
                self._tread.widget,
                self._position.widget,
                *(each.widget for each in self._conditions.values()),
            ]
        )

        self._measure = ChoiceControl(
            "Set against top speed",
            "What acceleration means to you.",
            [(measure.label, name) for name, measure in MEASURES.items()],
            setup.measure,
            self._faults.guard(lambda value: self._set(measure=value)),
        )
        self._measure_numbers = {
            field: self._number_for(field, name, help_text)
            for field, (name, help_text) in _MEASURE_NUMBERS.items()
        }
        self._roll_gear = NumberControl(
            "Gear",
            "The gear you would be in.",
            Scale(1, len(state.bike.gearbox.ratios), 1),
            setup.roll_gear,
            self._faults.guard(lambda value: self._set(roll_gear=value)),
        )
        self.measure = widgets.VBox(
            [
                self._measure.widget,
                *(each.widget for each in self._measure_numbers.values()),
                self._roll_gear.widget,
            ]
        ).add_class("ge-row")
        self._cruise = self._number_for(
            "cruise_speed", "Cruise speed", "For the last column of the table."
        )
        self.cruise = self._cruise.widget
        self._show_only_what_the_measure_needs()

    def show(self) -> None:
        """Show the state, whoever changed it."""
        setup, system = self._state.setup, self._system
        self._bike.show(setup.bike_id)
        self._units.show(system)
        for field, control in self._teeth.items():
            control.show(getattr(setup, field), self._teeth_scale(field))
        self._tyre.show(setup.tyre, self._tyre_options())
        self._rollout.show(self._rollout_number(), scale("rollout", system))
        self._by_size.disabled = setup.rollout is None
        self._surface.show(setup.surface)
        self._tread.show(setup.tyre_kind)
        self._position.show(setup.rider_position)
        numbers = self._conditions | self._measure_numbers | {"cruise_speed": self._cruise}
        for field, control in numbers.items():
            control.show(self._shown_number(field), scale(field, system))
        self._measure.show(setup.measure)
        self._roll_gear.show(setup.roll_gear, Scale(1, len(self._state.bike.gearbox.ratios), 1))
        self._show_only_what_the_measure_needs()

    @property
    def _system(self) -> str:
        return self._state.setup.units

    def _set(self, **fields) -> None:
        self._state.change(**fields)

    def _number_for(self, field: str, name: str, help_text: str) -> NumberControl:
        return NumberControl(
            name,
            help_text,
            scale(field, self._system),
            self._shown_number(field),
            self._faults.guard(
                lambda value: self._set(**{field: from_number(field, value, self._system)})
            ),
        )

    def _shown_number(self, field: str) -> float:
        value = getattr(self._state.setup, field)
        if field == "temperature" and value is None:
            value = standard_atmosphere(self._state.setup.altitude).temperature
        return number(field, value, self._system)

    def _rollout_number(self) -> float:
        setup = self._state.setup
        return number("rollout", rollout(setup.tyre, setup.rollout).value, self._system)

    def _teeth_scale(self, field: str) -> Scale:
        sold = getattr(self._state.bike.sprockets, f"{field}_sold")
        chosen = getattr(self._state.setup, field)
        return Scale(min(sold[0], chosen), max(sold[1], chosen), 1)

    def _tyre_options(self) -> tuple[tuple[str, str], ...]:
        return _tyres(self._state.setup.tyre, self._state.bike.tyre.rear)

    def _type_pair(self, text: str) -> None:
        if text.strip():
            pair = parse_pair(text)
            check_sold(self._state.bike, pair.front, pair.rear)
            self._state.change(front=pair.front, rear=pair.rear)
            self._pair.answer(pair.sentence)

    def _type_tyre(self, text: str) -> None:
        if text.strip():
            size = parse_size(text)
            self._state.change(tyre=size.text, rollout=None)
            self._other_tyre.answer(size.note)

    def _show_only_what_the_measure_needs(self) -> None:
        picked = self._state.setup.measure
        controls = self._measure_numbers | {"roll_gear": self._roll_gear}
        for field, control in controls.items():
            widgets.show_if(picked in NEEDS[field], control.widget)


@lru_cache(maxsize=32)
def _tyres(chosen: str, fitted: str) -> tuple[tuple[str, str], ...]:
    """Rear tyre sizes to choose from, by their roll-out, the two in use among them."""
    sizes = {size.size for size in common_sizes() if size.position == "rear"} | {chosen, fitted}
    return tuple((size, size) for size in sorted(sizes, key=_circumference))


def _circumference(size: str) -> float:
    return parse_size(size).circumference
