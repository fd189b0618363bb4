"""Set-ups to stand beside the fitted gearing: in a link, and in a small TOML file.

A set-up here is what can be changed without a spanner at the engine: both sprockets, the rear tyre
and its roll-out. Bike, ground, air and rider are the same for all. In a link each is one parameter,
such as ``also.1=12/48`` on the fitted tyre, or ``also.2=12/48;tyre 110/100-18;rollout 2.02m``.
Links and files may come from anyone: each thing that cannot be used gives one sentence.
"""

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any
from urllib.parse import quote as percent_encode

import tomli_w

from explorer.records.bikes.bike import Bike
from explorer.records.errors import Problems, RecordError
from explorer.records.setups.link import ALSO, parameters
from explorer.records.setups.link_quantities import read_quantity, write_quantity
from explorer.records.setups.setup import Setup, fitted_rollout
from explorer.records.setups.setup_fields import LIMITS
from explorer.records.setups.sprocket_pair import parse_pair
from explorer.records.typed_text import quote, tidy
from explorer.records.tyre import parse_size, same_size
from explorer.units import UnitError

MOST = 3
"""Set-ups beside the fitted gearing: four in all."""

NAMES = ("Trail", "Road", "Third")
"""What the places are called until the rider calls them something else."""

LONGEST_NAME = 16
"""Most characters of such a name."""

_AT, _NAMES = f"{ALSO}at", f"{ALSO}names"

LARGEST = 1_000_000
"""Bytes of the largest file that is read, as for a bike file."""

_FROM_SIZE = "from-size"
_FIELDS = ("front", "rear", "tyre", "rollout")


@dataclass(frozen=True)
class Fitment:
    """Sprockets and rear tyre of one set-up.

    Attributes:
        tyre: Rear tyre size as typed.
        rollout: Measured roll-out; None to compute it from the size [m].
    """

    front: int
    rear: int
    tyre: str
    rollout: float | None = None

    @classmethod
    def fitted_to(cls, bike: Bike, *chosen: "Fitment") -> "Fitment":
        """What is on the motorcycle now, its tyre as measured for one of the chosen set-ups."""
        sprockets, turn = bike.sprockets, fitted_rollout(bike, *chosen)
        return cls(sprockets.front, sprockets.rear, bike.tyre.rear, turn)

    @classmethod
    def chosen_in(cls, setup: Setup) -> "Fitment":
        """What a set-up chose."""
        return cls(setup.front, setup.rear, setup.tyre, setup.rollout)

    def on(self, setup: Setup) -> Setup:
        """The same ground, air and rider with these sprockets and this tyre."""
        return setup.changed(**{name: getattr(self, name) for name in _FIELDS})

    @property
    def pair(self) -> str:
        """Front and rear teeth, such as "13/50"."""
        return f"{self.front}/{self.rear}"


def with_one_fitted_tyre(
    fitments: Sequence[Fitment], bike: Bike, measured: float | None
) -> tuple[Fitment, ...]:
    """Give every set-up on the fitted tyre the same roll-out: it is one tyre.

    Args:
        bike: The motorcycle in use. If its file gives a roll-out, nothing changes: then another one
            on the same size is another tyre, see `fitted_rollout`.
        measured: What the rider measured on the fitted tyre; None to compute it from the size [m].
    """
    if bike.tyre.rollout is not None:
        return tuple(fitments)
    return tuple(
        replace(each, rollout=measured) if same_size(each.tyre, bike.tyre.rear) else each
        for each in fitments
    )


def encode_also(fitments: Sequence[Fitment], bike: Bike, system: str) -> str:
    """Write set-ups as parameters to put behind a set-up's link, each with a leading ampersand; the
    bike's own tyre is left out. `decode_also` reads them back."""
    return "".join(
        f"&{ALSO}{number}={percent_encode(_text(each, bike, system), safe='/:,;*()')}"
        for number, each in enumerate(fitments, 1)
    )


def decode_also(query: str, bike: Bike) -> tuple[tuple[Fitment, ...], list[str]]:
    """Up to `MOST` set-ups of a link, and one sentence for each parameter that could not be used
    and was left out."""
    found: dict[int, Fitment] = {}
    problems = Problems()
    for name, text in parameters(query, ALSO):
        if name in (_AT, _NAMES):
            continue
        number = name.removeprefix(ALSO)
        with problems.of(f"The link's {quote(name)}: "):
            if number not in map(str, range(1, MOST + 1)) or int(number) in found:
                raise RecordError(
                    f"it has no place; {ALSO}1 to {ALSO}{MOST} are read, each once, and this was "
                    "left out."
                )
            found[int(number)] = _read_text(text, bike)
    return tuple(each for _, each in sorted(found.items())), problems


def encode_places(at: int, names: Sequence[str]) -> str:
    """Which place the link's own sprockets have, and what the places are called.

    >>> encode_places(1, ("Trail", "Woods", "Third")), encode_places(0, NAMES)
    ('&also.at=2&also.names=Trail%3BWoods%3BThird', '')
    """
    said = f"&{_AT}={at + 1}" if at else ""
    if tuple(names) != NAMES:
        said += f"&{_NAMES}={percent_encode(';'.join(names), safe='')}"
    return said


def decode_places(query: str, count: int) -> tuple[int, tuple[str, ...], list[str]]:
    """Read back what `encode_places` wrote into a link of so many set-ups.

    Returns: Place counted from 0, names, and a sentence for each thing that could not be used.
    """
    given = dict(parameters(query, ALSO))
    problems, at, names = Problems(), 0, NAMES
    if text := given.get(_AT):
        if text in map(str, range(1, count + 1)):
            at = int(text) - 1
        else:
            problems.append(
                f"The link's {quote(_AT)} names a place that it has no set-up for, so the first "
                "one was taken."
            )
    if text := given.get(_NAMES):
        with problems.of(f"The link's {quote(_NAMES)}: "):
            said = tuple(slot_name(each) for each in text.split(";"))
            if len(said) != len(NAMES):
                raise RecordError(f"it needs {len(NAMES)} names, with ; between.")
            names = said
    return at, names, problems


def slot_name(text: str) -> str:
    """The name of a set-up, as the rider typed it.

    >>> slot_name("  Woods  loop ")
    'Woods loop'
    """
    name = tidy(text)
    if not name or len(name) > LONGEST_NAME or not name.isprintable() or ";" in name:
        raise RecordError(
            f"{quote(name)} cannot name a set-up; give 1 to {LONGEST_NAME} characters, no ;."
        )
    return name


def write_file(fitments: Sequence[Fitment], bike_name: str) -> str:
    """Write set-ups as a small TOML file, which `read_file` reads back without loss; the bike's
    name is for whoever opens it."""
    rows = []
    for each in fitments:
        row: dict[str, Any] = {"front": each.front, "rear": each.rear, "tyre": each.tyre}
        if each.rollout is not None:
            row["rollout"] = write_quantity(each.rollout, "rollout", "metric")
        rows.append(row)
    return "# Set-ups to compare\n" + tomli_w.dumps({"bike": bike_name, "setup": rows})


def read_file(content: bytes, bike: Bike) -> tuple[Fitment, ...]:
    """One to `MOST` set-ups of a file that `write_file` wrote or somebody typed; it may hold
    anything."""
    rows = _tables(content).get("setup")
    if not isinstance(rows, list) or not rows or not all(isinstance(row, dict) for row in rows):
        raise RecordError(
            "The file has no set-ups; write for each a line [[setup]] and below it front = 12, "
            'rear = 50 and tyre = "4.10-18".'
        )
    if len(rows) > MOST:
        raise RecordError(
            f"The file has {len(rows)} set-ups; at most {MOST} stand beside the fitted gearing, "
            "so leave some out."
        )
    found, problems = [], Problems()
    for number, row in enumerate(rows, 1):
        with problems.of(f"Set-up {number} of the file: "):
            found.append(_read_row(row, bike))
    problems.refuse()
    return tuple(found)


def checked(fitment: Fitment, bike: Bike) -> Fitment:
    """The same set-up, if this bike can have it."""
    sentences: list[str] = []
    for name in ("front", "rear"):
        teeth, fitted = getattr(fitment, name), getattr(bike.sprockets, name)
        low, high = getattr(bike.sprockets, f"{name}_sold")
        if not (low <= teeth <= high or teeth == fitted):
            sentences.append(
                f"a {name} sprocket of {teeth} teeth is not among those given for this bike; "
                f"choose one of {low} to {high} teeth."
            )
    if fitment.rollout is not None and not LIMITS["rollout"].holds(fitment.rollout):
        sentences.append(
            f"the roll-out cannot be used as given; give one from {LIMITS['rollout'].accepted}."
        )
    try:
        parse_size(fitment.tyre)
    except RecordError as error:
        sentences += error.sentences
    if sentences:
        raise RecordError(*sentences)
    return fitment


def check_sold(bike: Bike, front: int, rear: int) -> None:
    """Refuse teeth that are neither fitted nor sold: a link would not bring them back.

    >>> from explorer.records.bikes.bike_library import demo_bikes
    >>> check_sold(demo_bikes()["bracken-125"], 13, 52)
    """
    problems = Problems()
    for name, teeth in (("front", front), ("rear", rear)):
        low, high = getattr(bike.sprockets, f"{name}_sold")
        if not low <= teeth <= high and teeth != getattr(bike.sprockets, name):
            problems.append(
                f"A {name} sprocket of {teeth} teeth is not among those given for this bike, "
                f"{low} to {high} teeth; choose one of them, or give the range under “This bike” "
                "on the gearing page."
            )
    problems.refuse()


def _text(fitment: Fitment, bike: Bike, system: str) -> str:
    fitted = Fitment.fitted_to(bike)
    if (fitment.tyre, fitment.rollout) == (fitted.tyre, fitted.rollout):
        return fitment.pair
    turn = write_quantity(fitment.rollout, "rollout", system)
    return f"{fitment.pair};tyre {fitment.tyre};rollout {turn}"


def _read_text(text: str, bike: Bike) -> Fitment:
    if not text.isprintable() or "\N{REPLACEMENT CHARACTER}" in text:
        raise RecordError("it holds characters that cannot be read and was left out.")
    first, *parts = (tidy(part) for part in text.split(";"))
    pair, fitted = parse_pair(first), Fitment.fitted_to(bike)
    given = dict(part.partition(" ")[::2] for part in parts if part)
    if unknown := [name for name in given if name not in ("tyre", "rollout")]:
        raise RecordError(
            f"{quote(unknown[0])} is not known; a pair, tyre and rollout are read, for example "
            "12/48;tyre 110/100-18;rollout 2.02m."
        )
    tyre = given.get("tyre", fitted.tyre)
    if "rollout" in given:
        turn = _turn(given["rollout"])
    else:
        turn = None if "tyre" in given else fitted.rollout
    return checked(Fitment(pair.front, pair.rear, tyre, turn), bike)


def _turn(text: str) -> float | None:
    if text == _FROM_SIZE:
        return None
    try:
        return read_quantity(text, "rollout")
    except UnitError:
        raise RecordError(
            f"the roll-out {quote(text)} cannot be used; give a number with its unit from "
            f"{LIMITS['rollout'].accepted}."
        ) from None


def _read_row(row: dict[str, Any], bike: Bike) -> Fitment:
    problems = Problems(
        f"{quote(name)} has no place in a set-up; leave it out."
        for name in row
        if name not in _FIELDS
    )
    for name in ("front", "rear"):
        if type(row.get(name)) is not int:
            problems.append(f"{name} is not a number of teeth; write for example {name} = 13.")
    for name, example in (("tyre", "4.10-18"), ("rollout", "2.02 m")):
        if not isinstance(row.get(name, "" if name == "rollout" else None), str):
            problems.append(f'{name} is not a text; write for example {name} = "{example}".')
    problems.refuse()
    turn = _turn(tidy(row["rollout"])) if row.get("rollout", "").strip() else None
    return checked(Fitment(row["front"], row["rear"], tidy(row["tyre"]), turn), bike)


def _tables(content: bytes) -> dict[str, Any]:
    if len(content) > LARGEST:
        raise RecordError("The file is larger than 1 MB; a file of set-ups is a few lines of TOML.")
    try:
        return tomllib.loads(content.decode("utf-8-sig"))
    except (ValueError, RecursionError):
        raise RecordError(
            "The file cannot be read as TOML text; download the set-ups of this page to see what "
            "belongs in it."
        ) from None
