"""The link that reopens a set-up: readable parameters with units, checked when they come back.

A link may come from anyone. Nothing in it is trusted: what cannot be used gives one sentence and
the default stands. Sentences repeat at most 40 characters of the link; the page escapes them.
"""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any
from urllib.parse import parse_qsl
from urllib.parse import quote as percent_encode

from explorer.records.errors import RecordError
from explorer.records.ground.course_ids import course_ids
from explorer.records.ground.surfaces import TYRE_KINDS, surfaces
from explorer.records.setups.link_quantities import QUANTITIES, read_quantity, write_quantity
from explorer.records.setups.setup import LIMITS, MEASURES, RIDER_POSITIONS, Setup, Units
from explorer.records.typed_text import quote
from explorer.records.tyre import parse_size
from explorer.units import UnitError

if TYPE_CHECKING:
    from explorer.records.bikes.bike import Bike

LONGEST = 8192
"""Most characters of a link's query that are read."""

MOST_PARAMETERS = 200

_OWN = "own."

FIT = "fit."
"""Begins the parameters that `explorer.records.fitting.fit` reads; here they are passed over."""

WANT = "want."
"""Begins the parameters that `explorer.records.riding.wants_link` reads; here they are passed
over."""

ALSO = "also."
"""Begins the parameters that `records.setups.comparison` reads; here they are passed over."""

LOG = "log."
"""Begins the parameters that `records.logbook.logbook_link` reads; here they are passed over."""

LESSON = ("step", "quiz", "letters")
"""Parameters that `explorer.tasks.lesson.link` reads; here they are passed over."""

_WORDS = {
    "surface": ("surface", tuple(surfaces())),
    "tread": ("tyre_kind", TYRE_KINDS),
    "rider-is": ("rider_position", RIDER_POSITIONS),
    "show": ("measure", tuple(measure.replace("_", "-") for measure in MEASURES)),
    "course": ("course", course_ids()),
    "units": ("units", ("metric", "imperial")),
}


def encode(setup: Setup, base_bike: "Bike", bike: "Bike") -> str:
    """Write a set-up, and what an own bike changes on the bike it started from, as a query.

    Parameters
    ----------
    setup : Setup
        What the rider chose [SI].
    base_bike : Bike
        The bike of the library named by ``setup.bike_id``.
    bike : Bike
        The bike in use; the same as base_bike unless it was edited.

    Returns
    -------
    str
        A query string with its question mark.

    Raises
    ------
    RecordError
        One sentence, if the own bike does not fit in a link.
    """
    system = setup.units
    parameters = [
        ("bike", setup.bike_id),
        ("front", str(setup.front)),
        ("rear", str(setup.rear)),
        ("tyre", setup.tyre),
        ("surface", setup.surface),
        ("tread", setup.tyre_kind),
        ("rider-is", setup.rider_position),
    ]
    parameters += [
        (name, write_quantity(getattr(setup, quantity.field), name, system))
        for name, quantity in QUANTITIES.items()
    ]
    parameters += [
        ("roll-gear", str(setup.roll_gear)),
        ("show", setup.measure.replace("_", "-")),
        ("course", setup.course),
        ("units", system),
    ]
    parameters += [(_OWN + path, text) for path, text in _changes(base_bike, bike).items()]
    query = "?" + "&".join(
        f"{percent_encode(name, safe='')}={percent_encode(text, safe='/:,*()')}"
        for name, text in parameters
    )
    if len(query) > LONGEST or len(parameters) > MOST_PARAMETERS:
        raise RecordError(
            "This bike differs too much from the one it came from to fit in a link; download its "
            "bike file and share that."
        )
    return query


def decode(
    query: str, library: Mapping[str, "Bike"], units: Units = "metric"
) -> tuple[Setup, "Bike", list[str]]:
    """Read a link's query; whatever cannot be used is said in a sentence and left at its default.

    Parameters
    ----------
    query : str
        The query string, with or without its question mark. It may hold anything.
    library : mapping of str to Bike
        Bikes by id, at least one; the first is the default.
    units : {"metric", "imperial"}
        Of a link that says nothing of them.

    Returns
    -------
    tuple of Setup, Bike and list of str
        The set-up [SI], the bike with its own changes, and one sentence for each thing that could
        not be used.
    """
    sentences: list[str] = []
    given = _parameters(query, sentences)
    bike_id = _bike_id(given, library, sentences)
    bike = _own_bike(library[bike_id], given, sentences)
    default = Setup.for_bike(bike_id, bike).changed(units=units)
    fields: dict[str, Any] = {}
    for name, text in given.items():
        if name in ("front", "rear"):
            _read_teeth(name, text, bike, fields, sentences)
        elif name == "tyre":
            _read_tyre(text, fields, sentences)
        elif name == "roll-gear":
            _read_gear(text, bike, fields, sentences)
        elif name in _WORDS:
            _read_word(name, text, fields, sentences)
        elif name in QUANTITIES:
            _read_quantity(name, text, fields, sentences)
        elif name not in ("bike", *LESSON) and not name.startswith((_OWN, FIT, WANT, ALSO, LOG)):
            sentences.append(f"The link's {quote(name)} is not known here and was left out.")
    return _set_up(default, fields, sentences), bike, sentences


def _parameters(query: str, sentences: list[str]) -> dict[str, str]:
    """Split the query; the first of repeated parameters counts."""
    query = query.removeprefix("?")
    if len(query) > LONGEST or query.count("&") >= MOST_PARAMETERS:
        sentences.append(
            f"The link is too long (at most {LONGEST} characters and {MOST_PARAMETERS} "
            "parameters), so the page opens with its defaults."
        )
        return {}
    given: dict[str, str] = {}
    for name, text in parse_qsl(query, keep_blank_values=True, errors="replace"):
        if not _readable(name, text):
            sentences.append(
                f"The link's {quote(name)} holds characters that cannot be read and was left out."
            )
        elif name in given:
            sentences.append(f"The link gives {quote(name)} more than once; the first one counts.")
        else:
            given[name] = text
    return given


def _readable(name: str, text: str) -> bool:
    """No control characters or broken encoding; a note of an own bike may have line ends."""
    if name.startswith(_OWN):
        text = "".join(text.split())
    return (name + text).isprintable() and "\N{REPLACEMENT CHARACTER}" not in name + text


def _bike_id(given: Mapping[str, str], library: Mapping[str, "Bike"], sentences: list[str]) -> str:
    default = next(iter(library))
    bike_id = given.get("bike", default)
    if bike_id in library:
        return bike_id
    sentences.append(
        f"The link's bike {quote(bike_id)} is not in the library; {default} is shown instead."
    )
    return default


def _changes(base_bike: "Bike", bike: "Bike") -> dict[str, str]:
    """Fields of an own bike that differ from its base; an empty text takes a field away."""
    base, own = base_bike.flat(), bike.flat()
    removed = {path: "" for path in base if path not in own}
    return removed | {path: text for path, text in own.items() if base.get(path) != text}


def _own_bike(base: "Bike", given: Mapping[str, str], sentences: list[str]) -> "Bike":
    """Apply the link's own values together, or one by one where together they do not go."""
    changes = {
        name.removeprefix(_OWN): text for name, text in given.items() if name.startswith(_OWN)
    }
    if not changes:
        return base
    try:
        return base.with_changes(changes)
    except RecordError:
        pass
    bike = base
    for path, text in changes.items():
        try:
            bike = bike.with_changes({path: text})
        except RecordError:
            sentences.append(
                f"The link's {quote(_OWN + path)} cannot be {quote(text)}; the bike's own "
                "value stands."
            )
    return bike


def _read_teeth(
    name: str, text: str, bike: "Bike", fields: dict[str, Any], sentences: list[str]
) -> None:
    """Teeth must be fitted to, or sold for, this bike: that is what the sliders offer."""
    fitted = getattr(bike.sprockets, name)
    low, high = getattr(bike.sprockets, f"{name}_sold")
    teeth = int(text) if text.isascii() and text.isdigit() and len(text) <= 3 else None
    if (
        teeth is not None
        and LIMITS[name].holds(teeth)
        and (low <= teeth <= high or teeth == fitted)
    ):
        fields[name] = teeth
    else:
        sentences.append(
            f"The link's {name} {quote(text)} is not among the sprockets given for this bike, "
            f"{low} to {high} teeth; the fitted {fitted} stands."
        )


def _read_gear(text: str, bike: "Bike", fields: dict[str, Any], sentences: list[str]) -> None:
    gears = len(bike.gearbox.ratios)
    if text.isascii() and text.isdigit() and len(text) == 1 and 1 <= int(text) <= gears:
        fields["roll_gear"] = int(text)
    else:
        sentences.append(
            f"The link's roll-gear {quote(text)} is not a gear of this bike, 1 to {gears}; the "
            "default stands."
        )


def _read_tyre(text: str, fields: dict[str, Any], sentences: list[str]) -> None:
    try:
        parse_size(text)
    except RecordError as error:
        sentences.append(f"{error} The tyre of the bike stands.")
    else:
        fields["tyre"] = text


def _read_word(name: str, text: str, fields: dict[str, Any], sentences: list[str]) -> None:
    field, words = _WORDS[name]
    if text in words:
        fields[field] = text.replace("-", "_") if name == "show" else text
    else:
        sentences.append(
            f"The link's {name} {quote(text)} is not known; one of {', '.join(words)} was "
            "expected and the default stands."
        )


def _read_quantity(name: str, text: str, fields: dict[str, Any], sentences: list[str]) -> None:
    quantity = QUANTITIES[name]
    limit = LIMITS[quantity.field]
    if text == quantity.absent:
        fields[quantity.field] = None
        return
    try:
        value = read_quantity(text, name)
    except UnitError:
        value = None
    if value is not None and limit.holds(value):
        fields[quantity.field] = value
    else:
        sentences.append(
            f"The link's {name} {quote(text)} cannot be used; a number with its unit from "
            f"{limit.accepted} was expected and the default stands."
        )


def _set_up(default: Setup, fields: dict[str, Any], sentences: list[str]) -> Setup:
    try:
        return default.changed(**fields)
    except RecordError as error:
        # Single values were checked above; what is left is the order of the roll-on's speeds.
        sentences.append(f"{error} The link's roll-on speeds were left out.")
        for field in ("roll_from", "roll_to"):
            fields.pop(field, None)
        return default.changed(**fields)
