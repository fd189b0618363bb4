"""Every field of the set-up, as data/fields/setup.toml declares it."""

from typing import Literal, get_args

from explorer.calc.course.course_rider import RIDERS
from explorer.calc.drivetrain.rider_position import POSITIONS
from explorer.records.fields import Field, read_fields
from explorer.records.ground.course_ids import course_ids
from explorer.records.ground.surfaces import TYRE_KINDS, surfaces
from explorer.records.setups.sprocket_pair import FRONT_TEETH, REAR_TEETH

Measure = Literal[
    "clutch_out", "roll_on", "slope_in_gear", "walking_revs", "throttle_to_hold", "time_to_speed",
    "time_over_distance", "steepest_slope", "walking_pull",
]  # fmt: skip
MEASURES: tuple[Measure, ...] = get_args(Measure)

SETUP_FIELDS: tuple[Field, ...] = read_fields(
    "setup",
    choices={
        "surface": surfaces(),
        "tyre_kind": TYRE_KINDS,
        "rider_position": POSITIONS,
        "course": course_ids(),
        "course_rider": RIDERS,
        "measure": MEASURES,
    },
    within={"front": FRONT_TEETH, "rear": REAR_TEETH},
)
"""Every field, in the order of the link."""

SETUP_FIELD: dict[str, Field] = {field.name: field for field in SETUP_FIELDS}

LIMITS: dict[str, Field] = {name: each for name, each in SETUP_FIELD.items() if each.within}
"""Those that are numbers."""


def default_of(name: str) -> float:
    """Number of a new set-up where the bike does not give one [SI]."""
    return SETUP_FIELD[name].si(SETUP_FIELD[name].default)
