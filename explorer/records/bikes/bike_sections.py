"""The sections of a bike file. What each field means is said in data/fields/bike.toml."""

from functools import partial
from typing import Any, ClassVar

from pydantic import BaseModel, ConfigDict, ValidationInfo, field_validator
from pydantic import Field as ModelField

from explorer.records.bikes.bike_fields import DEFAULTS, FIELD_AT, FIRINGS
from explorer.records.bikes.bike_values import read_value
from explorer.records.bikes.peak import Peak
from explorer.records.bikes.quantity import Quantity
from explorer.records.bikes.torque_curve import TorqueCurve
from explorer.records.setups.sprocket_pair import FRONT_TEETH, REAR_TEETH


def default_of(path: str) -> Any:
    """The value taken for a field that was left out."""
    return read_value(FIELD_AT[path], DEFAULTS[path].default)


def assumed(path: str) -> Any:
    """Model field with a default of the table; read late, since units take a moment to load."""
    return ModelField(default_factory=partial(default_of, path))


class Section(BaseModel):
    """One section of a bike file. What each field means is said in data/fields/bike.toml."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True)

    section: ClassVar[str] = ""

    @field_validator("*", mode="before")
    @classmethod
    def _read(cls, given: object, info: ValidationInfo) -> Any:
        path = f"{cls.section}.{info.field_name}"
        if path.lstrip(".") not in FIELD_AT:
            return given  # a section inside the bike, read by its own class
        path = path.lstrip(".")
        value = read_value(FIELD_AT[path], given)
        if info.context is not None:
            info.context[path] = value
        return value


class Engine(Section):
    """Engine speeds [rad/s], inertia [kg·m²] and curves."""

    section = "engine"
    kind: str = assumed("engine.kind")
    idle: Quantity = assumed("engine.idle")
    rev_limit: Quantity
    launch: Quantity | None = None
    inertia: Quantity = assumed("engine.inertia")
    torque_curve: TorqueCurve = ModelField(default=None, validate_default=False)
    peak: Peak | None = None
    torque_at: str = assumed("engine.torque_at")
    curve_air: str = assumed("engine.curve_air")
    motoring_curve: TorqueCurve | None = None

    @property
    def firings(self) -> float:
        """How often the engine fires per turn of the crank, evenly spaced [-]."""
        return FIRINGS[self.kind]

    @property
    def launch_speed(self) -> float:
        """Engine speed held by the clutch while pulling away, given or assumed [rad/s]."""
        return self.launch.si if self.launch else (self.idle.si + self.rev_limit.si) / 2


class Gearbox(Section):
    """Primary reduction and gear ratios [-], shift time [s]."""

    section = "gearbox"
    primary: Quantity
    ratios: tuple[Quantity, ...]
    shift_time: Quantity = assumed("gearbox.shift_time")


class Chain(Section):
    """Chain size, and links [count] if counted."""

    section = "chain"
    size: str
    links: int | None = None


class Sprockets(Section):
    """Teeth fitted, and smallest and largest sold [count]."""

    section = "sprockets"
    front: int
    rear: int
    front_sold: tuple[int, int] = ModelField(default=None, validate_default=False)
    rear_sold: tuple[int, int] = ModelField(default=None, validate_default=False)

    def model_post_init(self, _: Any, /) -> None:
        """Take some teeth either side of the fitted ones where nobody said what is sold."""
        for name, span, (low, high) in (("front", 2, FRONT_TEETH), ("rear", 6, REAR_TEETH)):
            if getattr(self, f"{name}_sold") is None:
                teeth = getattr(self, name)
                self.__dict__[f"{name}_sold"] = max(low, teeth - span), min(high, teeth + span)


class Tyre(Section):
    """Tyre sizes, and the roll-out of the rear tyre [m] if measured."""

    section = "tyre"
    rear: str
    rollout: Quantity | None = None
    kind: str = assumed("tyre.kind")
    front: str = assumed("tyre.front")


class Mass(Section):
    """Masses [kg]."""

    section = "mass"
    bike: Quantity
    rider: Quantity = assumed("mass.rider")


class Chassis(Section):
    """Lengths [m] and wheel inertias [kg·m²]."""

    section = "chassis"
    wheelbase: Quantity = assumed("chassis.wheelbase")
    cg_ahead: Quantity = assumed("chassis.cg_ahead")
    cg_height: Quantity = assumed("chassis.cg_height")
    front_wheel_inertia: Quantity = assumed("chassis.front_wheel_inertia")
    rear_wheel_inertia: Quantity = assumed("chassis.rear_wheel_inertia")


class Air(Section):
    """Drag area [m²]."""

    section = "air"
    drag_area: Quantity = assumed("air.drag_area")


class Efficiency(Section):
    """Share of the power that each stage passes on [-]."""

    section = "efficiency"
    primary: Quantity = assumed("efficiency.primary")
    gearbox: Quantity = assumed("efficiency.gearbox")
    chain: Quantity = assumed("efficiency.chain")


class Speedometer(Section):
    """Where the speedometer takes its speed from."""

    section = "speedometer"
    pickup: str = assumed("speedometer.pickup")


class Fit(Section):
    """Lengths around chain and swingarm [m]; None where nobody has measured."""

    section = "fit"
    centre_distance: Quantity | None = None
    adjuster_forward: Quantity | None = None
    adjuster_back: Quantity | None = None
    swingarm_length: Quantity | None = None
    shaft_ahead: Quantity | None = None
    shaft_above: Quantity | None = None
    axle_below: Quantity | None = None
    wheel_travel: Quantity | None = None


class Calibration(Section):
    """From which ride some of the numbers come; None where none do."""

    section = "calibration"
    date: str | None = None
    ride: str | None = None
    values: str | None = None
