"""The set-up: what the rider has chosen on the page, in SI numbers, checked."""

import math
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal, Self, get_args

from pydantic import BaseModel, ConfigDict, ValidationError, field_validator, model_validator

from explorer.records.errors import RecordError
from explorer.records.ground.course_ids import DEFAULT_COURSE, course_ids
from explorer.records.ground.surfaces import (
    DEFAULT_SURFACE,
    DEFAULT_TYRE_KIND,
    TYRE_KINDS,
    TyreKind,
    surfaces,
)
from explorer.records.setups.sprocket_pair import FRONT_TEETH, REAR_TEETH
from explorer.records.typed_text import quote, tidy
from explorer.records.tyre import ROLLOUT_RANGE, Rollout, parse_size, rollout, same_size

if TYPE_CHECKING:
    from explorer.records.bikes.bike import Bike
    from explorer.records.setups.comparison import Fitment

_KMH = 1 / 3.6
_RPM = math.pi / 30

Measure = Literal[
    "clutch_out",
    "roll_on",
    "slope_in_gear",
    "walking_revs",
    "throttle_to_hold",
    "time_to_speed",
    "time_over_distance",
    "steepest_slope",
    "walking_pull",
]
RiderPosition = Literal["seated", "standing", "forward", "back"]
RIDER_POSITIONS: tuple[RiderPosition, ...] = get_args(RiderPosition)
Units = Literal["metric", "imperial"]
MEASURES: tuple[Measure, ...] = get_args(Measure)


@dataclass(frozen=True)
class Limit:
    """Range of one number of the set-up, for its slider and for the check.

    Attributes
    ----------
    low, high, step : float
        Ends and step of the slider, in the SI unit of the field.
    default : float or None
        Value of a new set-up where the bike does not give one.
    label : str
        Name of the field for the reader.
    accepted : str
        The range in words, with units.
    """

    low: float
    high: float
    step: float
    default: float | None
    label: str
    accepted: str

    def holds(self, value: float) -> bool:
        """Whether a value lies in the range; the last bit of a unit conversion is forgiven."""
        slip = 1e-9 * max(abs(self.low), abs(self.high))
        return self.low - slip <= value <= self.high + slip


def _speed(low: int, high: int, default: int | None, label: str) -> Limit:
    """Limit of a speed given in km/h."""
    words = f"{low} km/h to {high} km/h ({low / 1.609344:.0f} mph to {high / 1.609344:.0f} mph)"
    si_default = None if default is None else default * _KMH
    return Limit(low * _KMH, high * _KMH, _KMH, si_default, label, words)


LIMITS: dict[str, Limit] = {
    "front": Limit(*FRONT_TEETH, 1, 13, "Front sprocket", "8 to 25 teeth"),
    "rear": Limit(*REAR_TEETH, 1, 48, "Rear sprocket", "20 to 80 teeth"),
    "rollout": Limit(*ROLLOUT_RANGE, 0.005, None, "Roll-out", "0.8 m to 2.8 m (31 in to 110 in)"),
    "slope": Limit(-0.3, 0.6, 0.01, 0.0, "Slope", "-30 % to 60 %, uphill positive"),
    "head_wind": _speed(-60, 60, 0, "Head wind"),
    "altitude": Limit(-400, 5000, 50, 0.0, "Altitude", "-400 m to 5000 m (-1300 ft to 16400 ft)"),
    "temperature": Limit(
        253.15, 318.15, 1, None, "Air temperature", "-20 °C to 45 °C (-4 °F to 113 °F)"
    ),
    "rider_mass": Limit(20, 200, 1, 80.0, "Rider with kit", "20 kg to 200 kg (44 lb to 441 lb)"),
    "target_speed": _speed(5, 200, 60, "Speed to reach"),
    "distance": Limit(5, 1000, 5, 100.0, "Distance", "5 m to 1000 m (16 ft to 3281 ft)"),
    "roll_from": _speed(5, 190, 30, "Roll-on from"),
    "roll_to": _speed(10, 200, 60, "Roll-on to"),
    "roll_gear": Limit(1, 7, 1, 3, "Roll-on gear", "1 to 7"),
    "cruise_speed": _speed(5, 200, 70, "Cruise speed"),
    "shift_at": Limit(
        1000 * _RPM, 20000 * _RPM, 100 * _RPM, None, "Change up at", "1000 rpm to 20000 rpm"
    ),
}
"""Range of every number of the set-up, by field."""


class Setup(BaseModel):
    """Everything the rider chose on the page, apart from the bike itself.

    Attributes
    ----------
    bike_id : str
        The demo bike, or the one that an own bike started from.
    front, rear : int
        Teeth [-].
    tyre : str
        Rear tyre size as typed.
    rollout : float or None
        Measured roll-out; None to compute it from the size [m].
    surface : str
        Id of a surface in data/surfaces.csv.
    tyre_kind : {"knobbly", "trail", "road"}
        Tread of the rear tyre.
    rider_position : {"seated", "standing", "forward", "back"}
        Where the rider is on the motorcycle.
    slope : float
        Rise over run, uphill positive [-].
    head_wind : float
        Wind against the direction of travel; a tail wind is negative [m/s].
    altitude : float
        Height above sea level [m].
    temperature : float or None
        Air temperature; None for the standard one at this altitude [K].
    rider_mass : float
        Rider with kit [kg].
    measure : str
        What the trade-off chart sets against top speed.
    target_speed, roll_from, roll_to, cruise_speed : float
        Speeds of the measures and of the gear table [m/s].
    roll_gear : int
        Gear of the measures in one gear, 1 for first [-].
    distance : float
        Distance of the measure "time_over_distance" [m].
    shift_at : float or None
        Engine speed at which the rider changes up; None for that of the greatest power [rad/s].
    course : str
        Id of a course in data/courses.
    units : {"metric", "imperial"}
        What the page shows.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, allow_inf_nan=False)

    bike_id: str
    front: int
    rear: int
    tyre: str
    rollout: float | None = None
    surface: str = DEFAULT_SURFACE
    tyre_kind: TyreKind = DEFAULT_TYRE_KIND
    rider_position: RiderPosition = "seated"
    slope: float = 0.0
    head_wind: float = 0.0
    altitude: float = 0.0
    temperature: float | None = None
    rider_mass: float
    measure: Measure = "clutch_out"
    target_speed: float = 60 * _KMH
    distance: float = 100.0
    roll_from: float = 30 * _KMH
    roll_to: float = 60 * _KMH
    roll_gear: int = 3
    cruise_speed: float = 70 * _KMH
    shift_at: float | None = None
    course: str = DEFAULT_COURSE
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

    @field_validator("surface")
    @classmethod
    def _known_surface(cls, value: str) -> str:
        if value not in surfaces():
            raise RecordError(
                f"The surface {quote(value)} is not known; choose one of {', '.join(surfaces())}."
            )
        return value

    @field_validator("course")
    @classmethod
    def _known_course(cls, value: str) -> str:
        if value not in course_ids():
            raise RecordError(
                f"The course {quote(value)} is not known; choose one of {', '.join(course_ids())}."
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
        """Make a set-up, or say in sentences everything that is wrong with it.

        Parameters
        ----------
        **fields
            The attributes of the class, in SI.

        Returns
        -------
        Setup
            Checked and frozen.

        Raises
        ------
        RecordError
            One sentence for each wrong field.

        Examples
        --------
        >>> Setup.of(bike_id="trail", front=13, rear=48, tyre="4.10-18", rider_mass=75.0).slope
        0.0
        """
        try:
            return cls(**fields)
        except ValidationError as error:
            raise RecordError(*_sentences(error)) from None

    @classmethod
    def for_bike(cls, bike_id: str, bike: "Bike") -> Self:
        """Set-up of a bike as it stands: fitted gearing and tyre, its rider, a level calm day.

        Parameters
        ----------
        bike_id : str
            Name of the demo bike in the library.
        bike : Bike
            The bike, as it is or edited.

        Returns
        -------
        Setup
            Defaults [SI].
        """
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
        """Copy with some fields changed, checked like a new set-up.

        Parameters
        ----------
        **changes
            Fields to change, in SI.

        Returns
        -------
        Setup
            A new set-up; this one stays as it is.

        Raises
        ------
        RecordError
            One sentence for each wrong field.
        """
        return type(self).of(**(self.model_dump() | changes))


def fitted_rollout(bike: "Bike", *chosen: "Setup | Fitment") -> float | None:
    """Roll-out of the tyre on the motorcycle, as the bike file or else the rider measured it.

    Where the bike file gives no roll-out, one that the rider gives for a tyre of the fitted size is
    that of the tyre on the bike: measuring it changes what is known, not the motorcycle. Where the
    file gives one, that one stands, and another on the same size is another tyre of that size, such
    as a worn one; a newer measurement of the fitted tyre belongs in the bike file.

    Parameters
    ----------
    bike : Bike
        The motorcycle, with its fitted tyre.
    *chosen : Setup or Fitment
        What the rider chose for it; the first measurement of the fitted size counts.

    Returns
    -------
    float or None
        None where nobody measured it [m].
    """
    if bike.tyre.rollout is not None:
        return bike.tyre.rollout.si
    measured = (
        each.rollout
        for each in chosen
        if each.rollout is not None and same_size(each.tyre, bike.tyre.rear)
    )
    return next(measured, None)


def both_rollouts(bike: "Bike", setup: Setup) -> tuple[Rollout, Rollout]:
    """Roll-outs in use: of the tyre on the motorcycle, and of the chosen one.

    Parameters
    ----------
    bike : Bike
        The motorcycle, with its fitted tyre.
    setup : Setup
        What the rider chose.

    Returns
    -------
    tuple of two Rollout
        Fitted and chosen [m].
    """
    fitted = rollout(bike.tyre.rear, fitted_rollout(bike, setup))
    return fitted, rollout(setup.tyre, setup.rollout)


_CHOICES = {
    "measure": ("measure", MEASURES),
    "tyre_kind": ("rear tread", TYRE_KINDS),
    "rider_position": ("rider's position", RIDER_POSITIONS),
}


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
            name, words = _CHOICES[field]
            found.append(
                f"The {name} {quote(str(finding['input']))} is not known; choose one of "
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
