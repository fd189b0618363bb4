"""The link that reopens a set-up: readable parameters with units, checked when they come back.

A link may come from anyone. Nothing in it is trusted: what cannot be used gives one sentence and
the default stands. Sentences repeat at most 40 characters of the link; the page escapes them.
"""

from collections.abc import Mapping, MutableMapping
from contextlib import suppress
from typing import Any
from urllib.parse import parse_qsl, urlencode
from urllib.parse import quote as percent_encode

from explorer.records.bikes.bike import Bike
from explorer.records.errors import RecordError
from explorer.records.fields import Field
from explorer.records.setups.link_quantities import QUANTITIES, read_quantity, write_quantity
from explorer.records.setups.setup import Setup, Units
from explorer.records.setups.setup_fields import SETUP_FIELDS
from explorer.records.typed_text import quote
from explorer.records.tyre import parse_size
from explorer.units import UnitError

LONGEST = 8192
"""Most characters of a link's query that are read."""

MOST_PARAMETERS = 200

_OWN = "own."

MINE = "mine"
"""Id of a bike of one's own: its link carries every value that was given, and no base."""

FIT, WANT, ALSO, LOG = "fit.", "want.", "also.", "log."
"""Begin the parameters that `records.fitting.fit`, `study.wants.wants_link`, `comparison` and
`records.logbook.logbook_link` read; here they are passed over."""

LESSON = ("step", "quiz", "letters", "class")
"""Parameters that `explorer.tasks.lesson.link` reads; here they are passed over."""

_OF_NO_BIKE = (WANT, *LESSON, "units")
"""Begin the parameters that are true of whatever bike."""

_LOST = (
    "Your bike could not be read from the link, so nothing of it is used, and nothing that you "
    "measured on it:"
)

_FIELD_OF = {each.link or each.name: each for each in SETUP_FIELDS}
"""Parameter of the link: field of the set-up."""

_SELDOM = ("ridden",)
"""Parameters that a link leaves out at their default, so that it stays short."""


def encode(setup: Setup, base_bike: Bike, bike: Bike) -> str:
    """Write a set-up, and what an own bike changes on the bike it started from, as a query.

    Args:
        base_bike: The bike of the library named by ``setup.bike_id``.
        bike: The bike in use; the same as base_bike unless it was edited; RecordError if what was
            edited does not fit in a link.
    """
    parameters = [("bike", setup.bike_id)]
    parameters += [
        (name, _written(name, field, setup))
        for name, field in _FIELD_OF.items()
        if name not in _SELDOM or getattr(setup, field.name) != field.default
    ]
    parameters += [(_OWN + path, text) for path, text in _changes(setup, base_bike, bike).items()]
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


def without_defaults(query: str, setup: Setup, base_bike: Bike, bike: Bike) -> str:
    """The same link with nothing in it that a page takes of itself: short enough for a coarse code.

    Args:
        query: What `encode` wrote, and whatever else was added to it.
        base_bike: The bike of the library named by ``setup.bike_id``.

    Returns: Reopens exactly the same set-up. The units always stay: another site may have others.
    """
    as_it_stands = Setup.for_bike(setup.bike_id, bike).changed(units=setup.units)
    taken = set(encode(as_it_stands, base_bike, bike).removeprefix("?").split("&"))
    kept = [
        part
        for part in query.removeprefix("?").split("&")
        if part not in taken or part.startswith(("bike=", "units=", _OWN))
    ]
    return "?" + "&".join(kept)


def decode(
    query: str, library: MutableMapping[str, Bike], units: Units = "metric"
) -> tuple[Setup, Bike, list[str]]:
    """Read a link's query; whatever cannot be used is said in a sentence and left at its default.

    Args:
        query: The query string, with or without its question mark. It may hold anything.
        library: Bikes by id, at least one; the first is the default. A bike of one's own that the
            link carries is put into it as `MINE`.
        units: Of a link that says nothing of them.

    Returns: The set-up, the bike with its own changes, and one sentence for each thing that could
        not be used.
    """
    query, sentences = without_lost_bike(query, library)
    given = _parameters(query, sentences)
    if given.get("bike") == MINE:
        library[MINE] = Bike.from_flat(_own(given))
        given = {name: text for name, text in given.items() if not name.startswith(_OWN)}
    bike_id = given.get("bike") or next(iter(library))
    bike = _own_bike(library[bike_id], given, sentences)
    default = Setup.for_bike(bike_id, bike).changed(units=units)
    fields: dict[str, Any] = {}
    for name, text in given.items():
        if name in _FIELD_OF:
            field = _FIELD_OF[name]
            try:
                fields[field.name] = _READERS.get(field.kind, _quantity)(text, name, field, bike)
            except RecordError as error:
                sentences.extend(error.sentences)
        elif name not in ("bike", *LESSON) and not name.startswith((_OWN, FIT, WANT, ALSO, LOG)):
            sentences.append(f"The link's {quote(name)} is not known here and was left out.")
    return _set_up(default, fields, sentences), bike, sentences


def without_lost_bike(query: str, library: Mapping[str, Bike]) -> tuple[str, list[str]]:
    """A link without all that is about its bike, where that is not in the library or, one's own,
    cannot be read from the link.

    What was chosen for it, measured on it or paid for it is true of no other bike: only the rider's
    wants, units and the place in the lesson stay.

    Returns: The query, and sentences that say so; the query as it is, and none, for any other link.
    """
    given = _parameters(query, [])
    try:
        if given.get("bike") == MINE:
            Bike.from_flat(_own(given))
        elif given.get("bike", "") not in ("", *library):
            raise RecordError(
                f"The link's bike {quote(given['bike'])} is not in the library, so nothing of it "
                "is used, and nothing that you measured on it; "
                f"{next(iter(library.values())).name} is shown instead."
            )
        return query, []
    except RecordError as error:
        kept = [(name, text) for name, text in given.items() if name.startswith(_OF_NO_BIKE)]
        said = [_LOST] if given["bike"] == MINE else []
        return urlencode(kept), [*said, *error.sentences]


def parameters(query: str, start: str) -> list[tuple[str, str]]:
    """Names and texts of the parameters whose names begin so; none of a link that is too long,
    which `decode` says."""
    query = query.removeprefix("?")
    if len(query) > LONGEST:
        return []
    given = parse_qsl(query, keep_blank_values=True, errors="replace")
    return [(name, text) for name, text in given if name.startswith(start)]


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
    for name, text in parameters(query, ""):
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


def _changes(setup: Setup, base_bike: Bike, bike: Bike) -> dict[str, str]:
    """Fields of an own bike that differ from its base; an empty text takes a field away."""
    mine = setup.bike_id == MINE
    if bike is base_bike and not mine:
        return {}
    base, own = {} if mine else base_bike.flat(), bike.flat()
    removed = {path: "" for path in base if path not in own}
    return removed | {path: text for path, text in own.items() if base.get(path) != text}


def _own(given: Mapping[str, str]) -> dict[str, str]:
    return {name.removeprefix(_OWN): text for name, text in given.items() if name.startswith(_OWN)}


def _own_bike(base: Bike, given: Mapping[str, str], sentences: list[str]) -> Bike:
    """Apply the link's own values together, or one by one where together they do not go."""
    changes = _own(given)
    if not changes:
        return base
    with suppress(RecordError):
        return base.with_changes(changes)
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


def _written(name: str, field: Field, setup: Setup) -> str:
    value = getattr(setup, field.name)
    if name in QUANTITIES:
        return write_quantity(value, name, setup.units)
    return value.replace("_", "-") if name == "show" else str(value)


def _teeth(text: str, name: str, field: Field, bike: Bike) -> int:
    """Teeth must be fitted to, or sold for, this bike: that is what the sliders offer."""
    fitted = getattr(bike.sprockets, name)
    low, high = getattr(bike.sprockets, f"{name}_sold")
    teeth = int(text) if text.isascii() and text.isdigit() and len(text) <= 3 else None
    if teeth is not None and field.holds(teeth) and (low <= teeth <= high or teeth == fitted):
        return teeth
    raise RecordError(
        f"The link's {name} {quote(text)} is not among the sprockets given for this bike, "
        f"{low} to {high} teeth; the fitted {fitted} stands."
    )


def _gear(text: str, name: str, _: Field, bike: Bike) -> int:
    gears = len(bike.gearbox.ratios)
    if text.isascii() and text.isdigit() and len(text) == 1 and 1 <= int(text) <= gears:
        return int(text)
    raise RecordError(
        f"The link's {name} {quote(text)} is not a gear of this bike, 1 to {gears}; the "
        "default stands."
    )


def _tyre(text: str, *_: Any) -> str:
    try:
        parse_size(text)
    except RecordError as error:
        raise RecordError(f"{error} The tyre of the bike stands.") from None
    return text


def _word(text: str, name: str, field: Field, _: Bike) -> str:
    words = {each.replace("_", "-") if name == "show" else each: each for each in field.choices}
    if text in words:
        return words[text]
    raise RecordError(
        f"The link's {name} {quote(text)} is not known; one of {', '.join(words)} was expected and "
        "the default stands."
    )


def _quantity(text: str, name: str, field: Field, _: Bike) -> float | None:
    if field.absent and text == field.absent:
        return None
    try:
        value = read_quantity(text, name)
    except UnitError:
        value = None
    if value is not None and field.holds(value):
        return value
    raise RecordError(
        f"The link's {name} {quote(text)} cannot be used; a number with its unit from "
        f"{field.accepted} was expected and the default stands."
    )


_READERS = {"teeth": _teeth, "gear": _gear, "tyre": _tyre, "choice": _word}


def _set_up(default: Setup, fields: dict[str, Any], sentences: list[str]) -> Setup:
    try:
        return default.changed(**fields)
    except RecordError as error:
        # Single values were checked above; what is left is the order of the roll-on's speeds.
        sentences.append(f"{error} The link's roll-on speeds were left out.")
        for field in ("roll_from", "roll_to"):
            fields.pop(field, None)
        return default.changed(**fields)
