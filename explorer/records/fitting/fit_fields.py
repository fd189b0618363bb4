"""Every question of the fit page, as data/fields/fit.toml declares it."""

from explorer.records.fields import Field, read_fields
from explorer.records.fitting.sprocket_change import (
    AXLE_LOCKS,
    JOINING_LINKS,
    LINKS,
    MOST_NUTS,
    RETAINERS,
    SEALS,
)

FIT_FIELDS: tuple[Field, ...] = read_fields(
    "fit",
    choices={
        "retainer": RETAINERS,
        "joining_link": JOINING_LINKS,
        "seal": SEALS,
        "axle_lock": AXLE_LOCKS,
    },
    within={"new_links": LINKS, "links": LINKS, "rear_nuts": (3, MOST_NUTS)},
)
"""Every question, in the order of the page."""

FIT_FIELD: dict[str, Field] = {field.name: field for field in FIT_FIELDS}
"""The questions by name."""
