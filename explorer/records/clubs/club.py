"""A club's own folder: its bikes, its members' set-ups, and how its pages present themselves.

club.toml      title, text, units and so on
bikes/         bike files, as in data/bikes; without it the demo bikes are shown
members.csv    what members ride (`explorer.records.clubs.members`); may be left out
"""

import os
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Literal

from explorer.records.bikes.bike import Bike
from explorer.records.bikes.bike_library import (
    demo_bikes,
    entry_named,
    load_folder,
    start_of,
    visible,
)
from explorer.records.clubs.club_settings import LARGEST as MOST_SETTINGS
from explorer.records.clubs.club_settings import ClubSettings, read_settings
from explorer.records.clubs.members import LARGEST as MOST_MEMBERS
from explorer.records.clubs.members import MemberSetup, read_members
from explorer.records.errors import Problems, RecordError
from explorer.records.typed_text import quote

CLUB_VARIABLE = "GEARING_EXPLORER_CLUB"
"""Environment variable by which the server tells the pages' kernels the club's folder."""

SETTINGS_FILE = "club.toml"
MEMBERS_FILE = "members.csv"
BIKES_FOLDER = "bikes"

PARTS = (SETTINGS_FILE, MEMBERS_FILE, BIKES_FOLDER)

MEMBERS_PAGE = "members"
"""Name of the page that shows members' set-ups; there is none where there are no set-ups."""


@dataclass(frozen=True)
class Club:
    """A club's folder, read and checked.

    Attributes:
        title, text, contact: As the club wrote them, not escaped; text and contact may be empty.
        units: What a page without a link starts with.
        bikes: What the bike picker offers; the first is what a page without a link starts with.
        pages: Names of the only pages that are served; None for all.
        frame_hosts: Hosts whose pages may show these in a frame, for example
            "https://club.example".
        members: Members' set-ups; None if the folder has no such file.
        own_bikes (bool): Whether the bikes are the club's; else they are the demo bikes.
    """

    title: str
    text: str
    contact: str
    units: Literal["metric", "imperial"]
    bikes: Mapping[str, Bike]
    pages: tuple[str, ...] | None
    frame_hosts: tuple[str, ...]
    members: tuple[MemberSetup, ...] | None
    own_bikes: bool


def read_club(path: str | Path, pages: Collection[str] | None = None) -> Club:
    """Read a club's folder; all problems of all files are said at once.

    Args:
        pages: Names of the pages there are; without it, the pages that the club names are not
            checked.
    """
    folder = Path(path)
    if not folder.is_dir():
        raise RecordError(
            f"{quote(str(path))} is not a folder; give the folder that holds {SETTINGS_FILE}."
        )
    problems = Problems(_misnamed(folder))
    parts = {name: entry_named(folder, name) for name in PARTS}
    settings = members = None
    with problems.of(f"{SETTINGS_FILE}: "):
        settings = read_settings(_start(parts[SETTINGS_FILE], MOST_SETTINGS))
    own_bikes, has_members = parts[BIKES_FOLDER].exists(), parts[MEMBERS_FILE].exists()
    bikes = {} if own_bikes else demo_bikes()
    if own_bikes:
        with problems.of():
            bikes = load_folder(parts[BIKES_FOLDER], f"{BIKES_FOLDER}/")
    if has_members:
        with problems.of(f"{MEMBERS_FILE}: "):
            members = read_members(_start(parts[MEMBERS_FILE], MOST_MEMBERS))
    if settings is not None:
        said = [*_page_problems(settings, pages, has_members), *_bike_problems(settings, bikes)]
        problems += [f"{SETTINGS_FILE}: {sentence}" for sentence in said]
    problems.refuse()
    first = settings.bike or next(iter(bikes))
    return Club(
        title=settings.title,
        text=settings.text,
        contact=settings.contact,
        units=settings.units,
        bikes=MappingProxyType({first: bikes[first]} | dict(bikes)),
        pages=None if settings.pages is None else tuple(settings.pages),
        frame_hosts=tuple(dict.fromkeys(settings.frame_hosts)),
        members=members,
        own_bikes=own_bikes,
    )


@cache
def club_here() -> Club | None:
    """The club whose pages these are, as the server says in the environment; None without one. A
    changed file is seen when the server is started again."""
    folder = os.environ.get(CLUB_VARIABLE)
    return read_club(folder) if folder else None


def bikes_offered() -> Mapping[str, Bike]:
    """The bikes to choose from here by their id, the club's or the demo bikes; the first is what a
    page without a link starts with."""
    club = club_here()
    return demo_bikes() if club is None else club.bikes


def units_offered() -> Literal["metric", "imperial"]:
    """What a page shows if its link says nothing of units: the club's choice, or metric."""
    club = club_here()
    return "metric" if club is None else club.units


def bikes_in_words() -> str:
    """Whose bikes these are: a sentence, or its beginning.

    >>> bikes_in_words()
    'All but a bike of your own are invented demo bikes'
    """
    club = club_here()
    whose = "the club's" if club is not None and club.own_bikes else "invented demo bikes"
    return f"All but a bike of your own are {whose}"


def is_served(page: str) -> bool:
    """Whether a page may be opened here, so that others may link to it.

    >>> is_served("gearing"), is_served("members")
    (True, False)
    """
    club = club_here()
    if page == MEMBERS_PAGE and (club is None or club.members is None):
        return False
    return club is None or club.pages is None or page in club.pages


def _misnamed(folder: Path) -> list[str]:
    """A sentence for each part that is missing while something stands there that may be meant."""
    others = {each.name.lower(): each for each in visible(folder)}
    problems = []
    for name in PARTS:
        if name in others:
            continue
        near = get_close_matches(name, others.keys() - set(PARTS), n=1, cutoff=0.7)
        if name == BIKES_FOLDER:
            near = [other for other, each in others.items() if _holds_bikes(each)] or near
        if near:
            found = quote(others[near[0]].name)
            problems.append(f"{found} is not read; if it is meant for {name}, give it that name.")
    return problems


def _holds_bikes(entry: Path) -> bool:
    return entry.is_dir() and any(each.suffix.lower() == ".toml" for each in visible(entry))


def _start(file: Path, most: int) -> bytes:
    try:
        return start_of(file, most)
    except OSError:
        raise RecordError(
            "the file cannot be opened; check that it is there and readable."
        ) from None


def _page_problems(
    settings: ClubSettings, pages: Collection[str] | None, has_members: bool
) -> list[str]:
    if settings.pages is None or pages is None:
        return []
    found = [
        f"there is no page {quote(name)}; the pages are {', '.join(pages)}."
        for name in settings.pages
        if name not in pages
    ]
    if len(set(settings.pages)) < len(settings.pages):
        found.append("the setting pages names a page twice; name each once.")
    if MEMBERS_PAGE in settings.pages and not has_members:
        found.append(
            f"the page {MEMBERS_PAGE} shows {MEMBERS_FILE}, which is not in the folder; put it "
            "there or take the page out of the list."
        )
    return found


def _bike_problems(settings: ClubSettings, bikes: Mapping[str, Bike]) -> list[str]:
    if settings.bike is None or not bikes or settings.bike in bikes:
        return []
    return [f"there is no bike {quote(settings.bike)}; the bikes are {', '.join(bikes)}."]
