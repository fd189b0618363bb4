"""A link with a script in every parameter that any page reads, and in a parameter's name."""

from itertools import cycle
from urllib.parse import parse_qsl, quote

from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.fitting.fit_fields import FIT_FIELDS
from explorer.records.setups.link import ALSO, FIT, LOG, WANT, encode
from explorer.records.setups.setup import Setup
from explorer.tasks.lesson.lesson import Place
from explorer.tasks.lesson.link import encode_place

SCRIPTS = (
    "<img src=x onerror=window.hacked=1>",
    '"><script>window.hacked=1</script>',
    "<svg onload=window.hacked=1>",
    "javascript:window.hacked=1",
)


def parameter_names() -> list[str]:
    """Every parameter's name: those that the link modules write, and those of each family."""
    bike_id, bike = next(iter(demo_bikes().items()))
    written = encode(Setup.for_bike(bike_id, bike), bike, bike).removeprefix("?")
    written += "&" + encode_place(Place(step=2, large=True))
    return [
        *dict(parse_qsl(written)),
        *(f"own.{path}" for path in ("name", "note", "sprockets.front", "no.such.path")),
        *(f"{FIT}{field.name.replace('_', '-')}" for field in FIT_FIELDS),
        *(f"{WANT}{name}" for name in ("1", "2", "mix", "other")),
        *(f"{ALSO}{name}" for name in ("1", "2", "other")),
        *(f"{LOG}{name}" for name in ("measured", "predicted", "verdict", "other")),
    ]


def hostile_query(*scripts: str) -> str:
    """The scripts in turn as the parameters' values, and the first as a name."""
    given = list(zip([*parameter_names(), scripts[0]], cycle(scripts), strict=False))
    return "&".join(f"{quote(name, safe='.')}={quote(text)}" for name, text in given)
