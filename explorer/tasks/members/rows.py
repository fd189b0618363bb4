"""Members' set-ups as rows and sentences: what is shown of each, and which are picked."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from urllib.parse import quote, urlencode

from markupsafe import Markup

from explorer import units
from explorer.calc.gearing import final_ratio
from explorer.panels.html import page_link
from explorer.records.bikes.bike import Bike
from explorer.records.clubs.members import MemberSetup
from explorer.records.prose import read_prose
from explorer.records.setups.link_quantities import write_quantity
from explorer.records.setups.setup import Units

ALL = ""
"""Stands for no choice in the lists of classes and terrains."""

HEADS = (
    *("Bike or class", "Front/rear", "Final drive ratio", "Verdict", "Terrain", "Checked"),
    *("Ridden", "Month", "Gears", "Rear tyre", "Roll-out, measured", "Links", "Axle position"),
)

_NOT_SAID = "not said"

SAY = read_prose("words/members")
"""Sentences in which nothing is filled in, by name."""


def class_name(bike_class: str, bikes: Mapping[str, Bike]) -> str:
    """Name of the bike that a class is the id of, or the class as the club wrote it."""
    return bikes[bike_class].said_name if bike_class in bikes else bike_class


def terrain_words(setups: Iterable[MemberSetup]) -> list[str]:
    """Each terrain that is named, in the order of the alphabet."""
    return sorted({part for setup in setups for part in _terrains(setup)}, key=str.casefold)


def picked(
    setups: Iterable[MemberSetup], bike_class: str = ALL, terrain: str = ALL
) -> list[MemberSetup]:
    """The set-ups of a class, on a terrain with these words ("woods" finds "steep woods"), the
    newest first."""
    words = set(terrain.casefold().split())
    found = [
        setup
        for setup in setups
        if bike_class in (ALL, setup.bike_class)
        and any(words <= set(part.casefold().split()) for part in _terrains(setup))
    ]
    return sorted(found, key=lambda setup: setup.month, reverse=True)


def table_rows(
    setups: Iterable[MemberSetup], bikes: Mapping[str, Bike], system: Units
) -> list[tuple[str | Markup, ...]]:
    """One row for each set-up, as `HEADS` says; a set-up of one of these bikes can be opened."""
    return [
        (
            class_name(setup.bike_class, bikes),
            _pair(setup, bikes, system),
            f"{ratio(setup):.2f}",
            setup.verdict,
            setup.terrain,
            setup.checked,
            _NOT_SAID if setup.hours is None else f"{setup.hours:g} h",
            f"{setup.month:%Y-%m}",
            setup.gearbox,
            setup.tyre,
            "no" if setup.rollout is None else units.text(setup.rollout, "length", system, 4),
            _NOT_SAID if setup.links is None else str(setup.links),
            _axle(setup, system),
        )
        for setup in setups
    ]


def ratio(setup: MemberSetup) -> float:
    """Final drive ratio [-]."""
    return float(final_ratio(setup.front, setup.rear))


def spread_rows(setups: Collection[MemberSetup]) -> list[tuple[str, str, str, str]]:
    """For each terrain: how many set-ups, from which ratio to which, and those found right.

    They are of one class: ratios of different bikes do not compare.
    """
    rows = []
    for terrain in terrain_words(setups):
        there = picked(setups, terrain=terrain)
        right = [setup for setup in there if setup.verdict == "right"]
        rows.append((terrain, str(len(there)), _span(there), _span(right) or "none"))
    return rows


def count_sentence(setups: Collection[MemberSetup]) -> str:
    """How many set-ups are shown, and how many of them were checked.

    >>> count_sentence([])
    'No set-up of this class on this terrain; pick another.'
    """
    if not setups:
        return SAY["no-set-up"]
    checked = sum(setup.checked != "reported" for setup in setups)
    number = "1 set-up" if len(setups) == 1 else f"{len(setups)} set-ups"
    return f"{number}: {len(setups) - checked} reported, {checked} checked by GPS."


def _terrains(setup: MemberSetup) -> list[str]:
    return [part.strip() for part in setup.terrain.split(",")]


def _span(setups: Sequence[MemberSetup]) -> str:
    ratios = [ratio(setup) for setup in setups]
    return units.ends(min(ratios), max(ratios), 2, units.rounded) if ratios else ""


def _axle(setup: MemberSetup, system: Units) -> str:
    if setup.axle_position is None:
        return _NOT_SAID
    return units.text(setup.axle_position, "length", system, 2)


def _pair(setup: MemberSetup, bikes: Mapping[str, Bike], system: Units) -> str | Markup:
    """Teeth; where the bike is one of those here, as a link to what they do."""
    pair = f"{setup.front}/{setup.rear}"
    if setup.bike_class not in bikes:
        return pair
    given = {"bike": setup.bike_class, "front": setup.front, "rear": setup.rear}
    given |= {"tyre": setup.tyre, "units": system}
    if setup.rollout is not None:
        given["rollout"] = write_quantity(setup.rollout, "rollout", system)
    return page_link("gearing", f"?{urlencode(given, safe='/', quote_via=quote)}", pair) or pair
