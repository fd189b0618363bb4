"""Every field of a bike, as data/fields/bike.toml declares it."""

from explorer.calc.engine.power_correction import REFERENCE_AIRS
from explorer.records.fields import Field, read_fields
from explorer.records.ground.surfaces import TYRE_KINDS
from explorer.records.setups.sprocket_pair import FRONT_TEETH, REAR_TEETH

FIRINGS = {
    "four-stroke single": 0.5,
    "four-stroke twin": 1.0,
    "two-stroke single": 1.0,
    "two-stroke twin": 2.0,
}
"""Kinds of engine, and how often each fires per turn of the crank [-]."""

FIELDS: tuple[Field, ...] = read_fields(
    "bike",
    choices={
        "engine.kind": FIRINGS,
        "engine.curve_air": REFERENCE_AIRS,
        "tyre.kind": TYRE_KINDS,
    },
    within={
        "sprockets.front": FRONT_TEETH,
        "sprockets.rear": REAR_TEETH,
        "sprockets.front_sold": FRONT_TEETH,
        "sprockets.rear_sold": REAR_TEETH,
    },
)
"""Every field, in the order of the file and of the form."""

FIELD_AT: dict[str, Field] = {field.name: field for field in FIELDS}
"""The fields by their path."""

DEFAULTS: dict[str, Field] = {field.name: field for field in FIELDS if field.default}
"""Those that may be left out and are then assumed, with the reason shown to the reader."""
