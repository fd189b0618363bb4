"""Every field of a logbook entry, as data/fields/logbook.toml declares it."""

from explorer.records.fields import Field, read_fields
from explorer.records.fitting.sprocket_change import LINKS
from explorer.records.setups.sprocket_pair import FRONT_TEETH, REAR_TEETH

LOG_FIELDS: tuple[Field, ...] = read_fields(
    "logbook", {"front": FRONT_TEETH, "rear": REAR_TEETH, "links": LINKS}
)

LOG_FIELD = {field.name: field for field in LOG_FIELDS}
