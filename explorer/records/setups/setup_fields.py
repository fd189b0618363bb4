"""Every field of the set-up, in the order of the link: what it means, how far it goes, its default.

Sliders, the check of a set-up, and the link are made from this table.
"""

from explorer.calc.course.course_rider import RIDERS
from explorer.calc.drivetrain.rider_position import POSITIONS
from explorer.records.fields import Field
from explorer.records.ground.course_ids import DEFAULT_COURSE, course_ids
from explorer.records.ground.surfaces import (
    DEFAULT_SURFACE,
    DEFAULT_TYRE_KIND,
    TYRE_KINDS,
    surfaces,
)
from explorer.records.setups.sprocket_pair import FRONT_TEETH, REAR_TEETH

MEASURES = (
    "clutch_out", "roll_on", "slope_in_gear", "walking_revs", "throttle_to_hold", "time_to_speed",
    "time_over_distance", "steepest_slope", "walking_pull",
)  # fmt: skip

_USUAL = "a round number to begin with"


def _speed(
    name: str, label: str, help_text: str, link: str, low: int, high: int, default: str, step: int
) -> Field:
    words = f"{low} km/h to {high} km/h ({low / 1.609344:.0f} mph to {high / 1.609344:.0f} mph)"
    return Field(
        name, label, "speed", help_text, within=(f"{low} km/h", f"{high} km/h"),
        default=default, why=_USUAL, link=link, steps=(step, step), accepted=words,
    )  # fmt: skip


SETUP_FIELDS: tuple[Field, ...] = (
    Field("front", "Front sprocket", "teeth",
          "Teeth at the gearbox: fewer is shorter gearing.",
          within=FRONT_TEETH, accepted="8 to 25 teeth"),
    Field("rear", "Rear sprocket", "teeth",
          "Teeth at the wheel: more is shorter gearing.",
          within=REAR_TEETH, accepted="20 to 80 teeth"),
    Field("tyre", "Tyre", "tyre", "Rear tyre, from small to large roll-out."),
    Field("surface", "Surface", "choice",
          "Sets rolling resistance and grip, with the rear tread.",
          choices=tuple(surfaces()), default=DEFAULT_SURFACE, why=_USUAL),
    Field("tyre_kind", "Rear tread", "choice", "Knobs dig into soft ground; road rubber does not.",
          choices=TYRE_KINDS, default=DEFAULT_TYRE_KIND, why="the bike's own", link="tread"),
    Field("rider_position", "Rider", "choice",
          "Back loads the rear tyre; forward keeps the front wheel down.",
          choices=tuple(POSITIONS), default="seated", why=_USUAL, link="rider-is"),
    Field("rollout", "Roll-out", "length",
          "Roll it one turn, sitting on it; type the distance. Moving this counts as measured.",
          within=("0.8 m", "2.8 m"), absent="from-size", steps=(5, 0.2),
          accepted="0.8 m to 2.8 m (31 in to 110 in)"),
    Field("slope", "Slope", "slope", "Uphill positive: 10 % climbs 1 m in 10 m.",
          within=("-30 %", "60 %"), default="0 %", why="level ground",
          accepted="-30 % to 60 %, uphill positive"),
    _speed("head_wind", "Head wind", "Against you; a tail wind is negative.", "wind",
           -60, 60, "0 km/h", 1),
    Field("altitude", "Altitude", "altitude", "Thin air takes power and drag away.",
          within=("-400 m", "5000 m"), default="0 m", why="sea level", steps=(50, 100),
          accepted="-400 m to 5000 m (-1300 ft to 16400 ft)"),
    Field("temperature", "Air temperature", "temperature",
          "Warm air takes power away; follows the altitude until moved.",
          within=("-20 °C", "45 °C"), absent="standard",
          accepted="-20 °C to 45 °C (-4 °F to 113 °F)"),
    Field("rider_mass", "Rider with kit", "mass",
          "Everything you ride in, on the bathroom scale.", within=("20 kg", "200 kg"),
          link="rider", accepted="20 kg to 200 kg (44 lb to 441 lb)"),
    _speed("target_speed", "Speed to reach", "From rest, full throttle, best shifts.", "to",
           5, 200, "60 km/h", 5),
    Field("distance", "Distance", "distance", "From rest, full throttle, best shifts.",
          within=("5 m", "1000 m"), default="100 m", why=_USUAL, link="over", steps=(5, 10),
          accepted="5 m to 1000 m (16 ft to 3281 ft)"),
    _speed("roll_from", "From, or speed held", "Clutch lever released.",
           "roll-from", 5, 190, "30 km/h", 5),
    _speed("roll_to", "Roll-on to", "Full throttle, without a shift.", "roll-to",
           10, 200, "60 km/h", 5),
    _speed("cruise_speed", "Cruise speed", "For the last column of the table.", "cruise",
           5, 200, "70 km/h", 5),
    Field("shift_at", "Change up at", "engine speed",
          "The rev at which you shift; the table compares it with other shift points.",
          within=("1000 rpm", "20000 rpm"), link="shift-at", absent="peak-power", steps=(50, 50),
          accepted="1000 rpm to 20000 rpm"),
    Field("roll_gear", "Gear", "gear", "The gear you would be in.", within=(1, 7),
          default="3", why="the usual gear of a roll-on", link="roll-gear", accepted="1 to 7"),
    Field("measure", "Set against top speed", "choice", "What acceleration means to you.",
          choices=MEASURES, default=MEASURES[0], why=_USUAL, link="show"),
    Field("course", "Course", "choice",
          "Invented demo courses.",
          choices=course_ids(), default=DEFAULT_COURSE, why=_USUAL),
    Field("course_rider", "Ridden", "choice",
          "Easy: half of what engine, grip and brakes allow, the clutch let out at low revs, and a "
          "shift only if it saves half a second. Race: all of it (our choice).",
          choices=tuple(RIDERS), default="easy", why="as wants are judged", link="ridden"),
    Field("units", "Units", "choice", "", choices=("metric", "imperial"), default="metric",
          why="the units of the standards used here"),
)  # fmt: skip
"""Every field, in the order of the link."""

SETUP_FIELD: dict[str, Field] = {field.name: field for field in SETUP_FIELDS}

LIMITS: dict[str, Field] = {name: each for name, each in SETUP_FIELD.items() if each.within}
"""Those that are numbers."""


def default_of(name: str) -> float:
    """Number of a new set-up where the bike does not give one [SI]."""
    return SETUP_FIELD[name].si(SETUP_FIELD[name].default)
