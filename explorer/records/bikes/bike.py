"""A bike: everything that is known about it, read from a bike file, a form or a link."""

import difflib
import math
from collections.abc import Iterable, Mapping
from functools import cached_property
from types import MappingProxyType
from typing import Any, Self

import numpy as np
import tomli_w
from pydantic import Field as ModelField
from pydantic import PrivateAttr, ValidationError
from pydantic_core import PydanticCustomError

from explorer import units
from explorer.calc.drivetrain.rider_position import POSITIONS, in_position
from explorer.calc.engine.power_correction import REFERENCE_AIRS, power_factor
from explorer.calc.vehicle import Vehicle
from explorer.records.bikes.begun_bike import take_stand_ins
from explorer.records.bikes.bike_checks import contradictions
from explorer.records.bikes.bike_fields import DEFAULTS, FIELD_AT, FIELDS
from explorer.records.bikes.bike_file import CURVES, ReadBeside, read_tables
from explorer.records.bikes.bike_sections import (
    Air,
    Calibration,
    Chain,
    Chassis,
    Efficiency,
    Engine,
    Fit,
    Gearbox,
    Mass,
    Section,
    Speedometer,
    Sprockets,
    Tyre,
    assumed,
)
from explorer.records.bikes.bike_values import toml_value, write_value
from explorer.records.bikes.peak import PEAK_WHY, curve_from_peak
from explorer.records.errors import Problems, RecordError
from explorer.records.fields import Origin
from explorer.records.typed_text import quote
from explorer.records.tyre import parse_size

_MOST_FINDINGS = 60
"""More than the fields of a bike; a file of something else could have thousands [count]."""


class Bike(Section):
    """A motorcycle as somebody described it.

    Make one with `from_toml` or `from_flat`. Two bikes are equal if the same was typed for both.

    Attributes:
        name, note: What the owner calls it and remarks.
        provenance ({"invented", "measured"}): Where its numbers come from.
        engine and so on: Sections with the fields of data/fields/bike.toml. A quantity has `text`,
            as typed, and `si`.

    >>> from explorer.records.bikes.bike_library import demo_bikes
    >>> bike = demo_bikes()["bracken-125"].with_changes({"chassis.wheelbase": "54 in"})
    >>> bike.flat()["chassis.wheelbase"], round(bike.vehicle().wheelbase, 4)
    ('54 in', 1.3716)
    >>> Bike.from_toml(bike.to_toml().encode()) == bike
    True
    """

    name: str
    provenance: str = assumed("provenance")
    begun: str = assumed("begun")
    note: str = ""
    engine: Engine
    gearbox: Gearbox
    chain: Chain
    sprockets: Sprockets
    tyre: Tyre
    mass: Mass
    chassis: Chassis = ModelField(default_factory=Chassis)
    air: Air = ModelField(default_factory=Air)
    efficiency: Efficiency = ModelField(default_factory=Efficiency)
    speedometer: Speedometer = ModelField(default_factory=Speedometer)
    fit: Fit = ModelField(default_factory=Fit)
    calibration: Calibration = ModelField(default_factory=Calibration)
    _missing: frozenset[str] = PrivateAttr(default=frozenset())

    def model_post_init(self, _: Any, /) -> None:
        """Shape a torque curve from the peak where none was given; there must be one of the two."""
        engine = self.engine
        if engine.torque_curve is None:
            if engine.peak is None:
                raise PydanticCustomError("no_torque", "no torque")
            engine.__dict__["torque_curve"] = curve_from_peak(
                engine.peak, engine.idle.si, engine.rev_limit.si
            )

    @classmethod
    def from_toml(cls, data: bytes, read_beside: ReadBeside | None = None) -> Self:
        """Read a bike file; `read_beside` gives the CSV file of a curve beside it by its name."""
        return cls._of_tables(read_tables(data, read_beside))

    @classmethod
    def from_flat(cls, flat: Mapping[str, str]) -> Self:
        """Make a bike from the texts of a form or a link by the fields' paths; a blank text counts
        as left out."""
        unknown = [_unknown(path) for path in flat if path not in FIELD_AT]
        given = {path: text for path, text in flat.items() if path in FIELD_AT and text.strip()}
        return cls._of_tables(_nested(given), unknown[:_MOST_FINDINGS])

    def with_changes(self, changes: Mapping[str, str]) -> Self:
        """Copy with new texts of some fields by their paths; a blank text takes the field out."""
        return type(self).from_flat({**self.flat(), **changes})

    def flat(self) -> Mapping[str, str]:
        """Text of every field that was given, as typed, by its path, such as "engine.idle"."""
        return self._flat

    def to_toml(self) -> str:
        """The bike as a bike file, texts as typed, curves as points; `from_toml` reads it back."""
        written = {path: toml_value(value) for path, value in self._given.items()}
        return tomli_w.dumps(_nested(written))

    @property
    def missing(self) -> frozenset[str]:
        """Paths of what a bike that is only begun does not say; see `begun_bike`."""
        return self._missing

    def origin(self, path: str) -> Origin:
        """Whose the value of a field is: given, assumed for want of one, or not known at all."""
        return FIELD_AT[path].origin(self._flat.get(path))

    @property
    def said_name(self) -> str:
        """Its name, and that it is invented where it is."""
        return self.name + (", invented" if self.provenance == "invented" else "")

    @property
    def defaults_used(self) -> tuple[str, ...]:
        """One sentence for each field that was left out and is assumed."""
        peak = self.engine.peak
        shaped = peak is not None and "engine.torque_curve" not in self._given
        curve = [f"Assumes a torque curve from {peak.text}: {PEAK_WHY}."] if shaped else []
        others = [
            f"{default.label} {self._default_text(path)} is a default: {default.why}."
            for path, default in DEFAULTS.items()
            if path not in self._given and path not in ("provenance", "begun")
        ]
        return (*curve, *others)

    def vehicle(self, rider_mass: float | None = None, position: str = "seated") -> Vehicle:
        """What the calculation needs to know, in SI, torque at the crankshaft in J1349 air.

        Args:
            rider_mass (float, positive, optional): Rider with kit, in place of the bike file's
                [kg].
            position: Where the rider is, a key of `POSITIONS`.
        """
        engine, chassis, efficiency = self.engine, self.chassis, self.efficiency
        rider = self.mass.rider.si if rider_mass is None else rider_mass
        air = REFERENCE_AIRS["SAE J1349"]
        to_crank = power_factor(*air, REFERENCE_AIRS[engine.curve_air])
        if engine.torque_at == "rear wheel":
            to_crank /= efficiency.primary.si * efficiency.gearbox.si * efficiency.chain.si
        vehicle = Vehicle(
            torque_speeds=engine.torque_curve.speeds,
            torques=engine.torque_curve.torques * to_crank,
            idle_speed=engine.idle.si,
            launch_speed=engine.launch_speed,
            limiter_speed=engine.rev_limit.si,
            primary=self.gearbox.primary.si,
            gears=np.array([ratio.si for ratio in self.gearbox.ratios]),
            primary_efficiency=efficiency.primary.si,
            gearbox_efficiency=efficiency.gearbox.si,
            chain_efficiency=efficiency.chain.si,
            chain_front=self.sprockets.front,
            chain_rear=self.sprockets.rear,
            engine_inertia=engine.inertia.si,
            front_wheel_inertia=chassis.front_wheel_inertia.si,
            rear_wheel_inertia=chassis.rear_wheel_inertia.si,
            front_wheel_radius=parse_size(self.tyre.front).circumference / (2 * math.pi),
            mass=self.mass.bike.si + rider,
            wheelbase=chassis.wheelbase.si,
            cg_ahead=chassis.cg_ahead.si,
            cg_height=chassis.cg_height.si,
            drag_area=self.air.drag_area.si,
            shift_time=self.gearbox.shift_time.si,
        )
        return in_position(vehicle, rider, *POSITIONS[position])

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Bike) and self._flat == other._flat

    def __hash__(self) -> int:
        return self._hash

    @classmethod
    def _of_tables(cls, tables: dict[str, Any], problems: Iterable[str] = ()) -> Self:
        values: dict[str, Any] = {}
        found = Problems(problems)
        missing = take_stand_ins(tables)
        try:
            bike = cls.model_validate(tables, context=values)
        except ValidationError as error:
            found += _sentences(error)
        found += contradictions({path: values[path] for path in values.keys() - missing})
        found.refuse()
        bike._missing = missing
        return bike

    @cached_property
    def _given(self) -> dict[str, Any]:
        """Value of every field that was given, by its path, in the order of the file."""
        given = {}
        for field in FIELDS:
            section = getattr(self, field.section) if field.section else self
            there = not field.section or field.section in self.model_fields_set
            there = there and field.within_section in section.model_fields_set
            if there and field.name not in self._missing:
                given[field.name] = getattr(section, field.within_section)
        return given

    @cached_property
    def _flat(self) -> Mapping[str, str]:
        return MappingProxyType({path: write_value(value) for path, value in self._given.items()})

    @cached_property
    def _hash(self) -> int:
        return hash(tuple(self._flat.items()))

    def _default_text(self, path: str) -> str:
        if path == "engine.launch":
            said = units.text(self.engine.launch_speed, "engine speed", "metric")
            return f"{said}, {DEFAULTS[path].default},"
        return DEFAULTS[path].default


def _nested(given: Mapping[str, Any]) -> dict[str, Any]:
    """Values by their path as the tables of a bike file."""
    tables: dict[str, Any] = {}
    for path, value in given.items():
        section, _, name = path.rpartition(".")
        table = tables.setdefault(section, {}) if section else tables
        table[name] = value
    return tables


def _sentences(error: ValidationError) -> list[str]:
    """Say pydantic's findings in plain sentences."""
    found = []
    findings = error.errors(include_url=False, include_input=False)
    for finding in findings[:_MOST_FINDINGS]:
        path = ".".join(str(part) for part in finding["loc"][:2])
        cause = finding.get("ctx", {}).get("error")
        field = FIELD_AT.get(path)
        if isinstance(cause, RecordError) and field:
            found += [f"{field.label} ({path}): {_inside(each)}" for each in cause.sentences]
        elif finding["type"] == "no_torque":
            found.append(
                "Neither a torque curve nor a peak is given; write for example "
                f"{FIELD_AT['engine.peak'].example} as peak power or torque (engine.peak)."
            )
        elif finding["type"] == "missing":
            found += _missing(path)
        elif finding["type"] == "extra_forbidden":
            found.append(_unknown(path))
        elif path in Bike.model_fields:
            found.append(
                f"{quote(path)} is a section of the bike file, not a value; write a line "
                f"[{path}] and its fields below it."
            )
        else:
            found.append(f"{quote(path)} cannot be read; correct it or leave it out.")
    if len(findings) > _MOST_FINDINGS:
        left = len(findings) - _MOST_FINDINGS
        found.append(f"There are {left} more problems of this kind; correct these first.")
    return found


def _inside(sentence: str) -> str:
    """A sentence as it goes on after a colon."""
    return f"the {sentence[4:]}" if sentence.startswith("The ") else sentence


def _missing(path: str) -> list[str]:
    """One sentence for each missing field; for a missing section, for all that it must have."""
    fields = [field for field in FIELDS if path in (field.name, field.section) and field.required]
    return [
        f"{field.label} ({field.name}) is missing; write for example {field.example}."
        for field in fields
    ]


def _unknown(path: str) -> str:
    known = [*FIELD_AT, *Bike.model_fields, *(f"engine.{curve}_file" for curve in CURVES)]
    by_name = {each.rpartition(".")[2]: each for each in known}
    near = difflib.get_close_matches(path[:60], known, n=1, cutoff=0.7)
    # The right name in the wrong section is as likely as a slip of the pen.
    named = difflib.get_close_matches(path.rpartition(".")[2][:40], by_name, n=1, cutoff=0.8)
    advice = near or [by_name[name] for name in named]
    if advice:
        return f"{quote(path)} is not a field of a bike; perhaps {quote(advice[0])} is meant."
    return f"{quote(path)} is not a field of a bike; leave it out or correct its name."
