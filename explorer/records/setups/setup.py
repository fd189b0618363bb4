"""The set-up: what the rider has chosen on the page, in SI numbers, checked."""

import re
from typing import Any, Literal, Protocol, Self

from pydantic import BaseModel, ConfigDict, ValidationError, field_validator, model_validator

from explorer.records.bikes.bike import Bike
from explorer.records.errors import RecordError
from explorer.records.ground.surfaces import DEFAULT_TYRE_KIND, TyreKind
from explorer.records.setups.setup_fields import LIMITS, SETUP_FIELD, Measure, default_of
from explorer.records.typed_text import quote, tidy
from explorer.records.tyre import Rollout, parse_size, rollout, same_size

RiderPosition = Literal["seated", "standing", "forward", "back"]
Units = Literal["metric", "imperial"]


class Setup(BaseModel):
    """Everything the rider chose on the page, apart from the bike itself; in SI, as
    data/fields/setup.toml explains it.

    Attributes:
        bike_id: The demo bike, or the one that an own bike started from.
        rollout: Measured roll-out; None to compute it from the size [m].
        slope: Rise over run, uphill positive [-].
        head_wind: Wind against the direction of travel; a tail wind is negative [m/s].
        altitude: Height above sea level [m].
        temperature: None for the standard one at this altitude [K].
        rider_mass: Rider with kit [kg].
        measure: What the trade-off chart sets against top speed.
        target_speed, roll_from, roll_to, cruise_speed: Of the measures and the gear table [m/s].
        roll_gear: Gear of the measures in one gear, 1 for first [-].
        distance: Distance of the measure "time_over_distance" [m].
        shift_at: Engine speed of changing up; None for that of the greatest power [rad/s].
    """

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, allow_inf_nan=False)

    bike_id: str
    front: int
    rear: int
    tyre: str
    rollout: float | None = None
    surface: str = SETUP_FIELD["surface"].default
    tyre_kind: TyreKind = DEFAULT_TYRE_KIND
    rider_position: RiderPosition = "seated"
    slope: float = default_of("slope")
    head_wind: float = default_of("head_wind")
    altitude: float = default_of("altitude")
    temperature: float | None = None
    rider_mass: float
    measure: Measure = "clutch_out"
    target_speed: float = default_of("target_speed")
    distance: float = default_of("distance")
    roll_from: float = default_of("roll_from")
    roll_to: float = default_of("roll_to")
    roll_gear: int = int(SETUP_FIELD["roll_gear"].default)
    cruise_speed: float = default_of("cruise_speed")
    shift_at: float | None = None
    course: str = SETUP_FIELD["course"].default
    course_rider: str = SETUP_FIELD["course_rider"].default
    units: Units = "metric"

    @field_validator(*LIMITS)
    @classmethod
    def _in_range(cls, value: float | None, info: Any) -> float | None:
        limit = LIMITS[info.field_name]
        if value is not None and not limit.holds(value):
            raise ValueError("out of range")
        return value

    @field_validator("bike_id")
    @classmethod
    def _slug(cls, value: str) -> str:
        if not re.fullmatch(r"\w[\w .-]{0,79}", value):
            raise RecordError(
                f"The bike {quote(value)} cannot be the name of a bike file; use letters, digits, "
                "dots and dashes."
            )
        return value

    @field_validator("tyre")
    @classmethod
    def _readable_tyre(cls, value: str) -> str:
        parse_size(value)
        return tidy(value)

    @field_validator("surface", "course", "course_rider")
    @classmethod
    def _known(cls, value: str, info: Any) -> str:
        choices = SETUP_FIELD[info.field_name].choices
        if value not in choices:
            name = info.field_name.replace("_", " ")
            raise RecordError(
                f"The {name} {quote(value)} is not known; choose one of {', '.join(choices)}."
            )
        return value

    @model_validator(mode="after")
    def _roll_on_upward(self) -> Self:
        if self.roll_from >= self.roll_to:
            raise RecordError(
                "Roll-on must start slower than it ends; lower its first speed or raise its second."
            )
        return self

    @classmethod
    def of(cls, **fields: Any) -> Self:
        """Make a set-up of its attributes, or say in sentences everything that is wrong with it.

        >>> Setup.of(bike_id="trail", front=13, rear=48, tyre="4.10-18", rider_mass=75.0).slope
        0.0
        """
        try:
            return cls(**fields)
        except ValidationError as error:
            raise RecordError(*_sentences(error)) from None

    @classmethod
    def for_bike(cls, bike_id: str, bike: Bike) -> Self:
        """Set-up of a bike as it stands: fitted gearing and tyre, its rider, a level calm day."""
        measured = bike.tyre.rollout
        return cls.of(
            bike_id=bike_id,
            front=bike.sprockets.front,
            rear=bike.sprockets.rear,
            tyre=bike.tyre.rear,
            tyre_kind=bike.tyre.kind,
            rollout=None if measured is None else measured.si,
            rider_mass=bike.mass.rider.si,
            roll_gear=min(3, len(bike.gearbox.ratios)),
        )

    def changed(self, **changes: Any) -> Self:
        """Copy with some fields changed, checked like a new set-up."""
        return type(self).of(**(self.model_dump() | changes))


class OnATyre(Protocol):
    """A set-up as far as its rear tyre goes: size, and roll-out if measured [m]."""

    @property
    def tyre(self) -> str: ...

    @property
    def rollout(self) -> float | None: ...


def fitted_rollout(bike: Bike, *chosen: OnATyre) -> float | None:
    """Roll-out of the tyre on the motorcycle, as the bike file or else the rider measured it.

    Where the bike file gives no roll-out, one that the rider gives for a tyre of the fitted size is
    that of the tyre on the bike: measuring it changes what is known, not the motorcycle. Where the
    file gives one, that one stands, and another on the same size is another tyre of that size, such
    as a worn one; a newer measurement of the fitted tyre belongs in the bike file.

    Args:
        *chosen: What the rider chose for it; the first measurement of the fitted size counts.

    Returns: None where nobody measured it [m].
    """
    if bike.tyre.rollout is not None:
        return bike.tyre.rollout.si
    measured = (
        each.rollout
        for each in chosen
        if each.rollout is not None and same_size(each.tyre, bike.tyre.rear)
    )
    return next(measured, None)


def both_rollouts(bike: Bike, setup: Setup) -> tuple[Rollout, Rollout]:
    """Roll-outs in use: of the tyre on the motorcycle, and of the chosen one."""
    fitted = rollout(bike.tyre.rear, fitted_rollout(bike, setup))
    return fitted, rollout(setup.tyre, setup.rollout)


_CHOICES = {"measure": "measure", "tyre_kind": "rear tread", "rider_position": "rider's position"}
"""Fields of which a few words are accepted, and what to call them."""


def _sentences(error: ValidationError) -> list[str]:
    """Say pydantic's findings in plain sentences."""
    found = []
    for finding in error.errors(include_url=False):
        cause = finding.get("ctx", {}).get("error")
        field = str(finding["loc"][0]) if finding["loc"] else ""
        if isinstance(cause, RecordError):
            found.extend(cause.sentences)
        elif finding["type"] == "missing":
            found.append(f"The set-up lacks {quote(field)}; give it a value.")
        elif field in LIMITS:
            limit = LIMITS[field]
            found.append(
                f"{limit.label} cannot be used as given; give a number from {limit.accepted}."
            )
        elif field in _CHOICES:
            words = SETUP_FIELD[field].choices
            found.append(
                f"The {_CHOICES[field]} {quote(str(finding['input']))} is not known; choose one of "
                f"{', '.join(words)}."
            )
        elif field == "units":
            found.append("The units are not known; choose metric or imperial.")
        else:
            found.append(
                f"{quote(field)} {quote(str(finding['input']))} has no place in a set-up; "
                "leave it out."
            )
    return found
