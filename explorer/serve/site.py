"""What the pages say of themselves: the explorer's own words, or those of a club."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from importlib.metadata import version
from typing import NamedTuple
from urllib.parse import urlencode

from explorer.calc.gearing import final_ratio, pull_change, speed_change
from explorer.records.bikes.bike import Bike
from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.clubs.club import Club, read_club
from explorer.serve.contents import PageEntry


class WorkedRider(NamedTuple):
    """An invented rider's question and its answer in plain sentences, which the template escapes.

    The query opens the set-up on any page.
    """

    story: str
    answer: str
    query: str


def worked_rider(bikes: Mapping[str, Bike]) -> WorkedRider:
    """A rider who finds first gear too tall, and one tooth fewer at the front.

    >>> from explorer.records.bikes.bike_library import demo_bikes
    >>> worked_rider(demo_bikes()).answer
    'With 12/50 each gear pulls 8.3 % harder at the same rpm and runs 7.7 % slower.'
    """
    bike_id, bike = next(iter(bikes.items()))
    front, rear = bike.sprockets.front, bike.sprockets.rear
    fitted, shorter = final_ratio(front, rear), final_ratio(front - 1, rear)
    more, less = 100 * pull_change(fitted, shorter), -100 * speed_change(fitted, shorter)
    return WorkedRider(
        f"Ines (invented) rides a {bike.name} with {front}/{rear} on tight trails. First gear is "
        "too tall for walking pace, so she slips the clutch. What would one tooth fewer at the "
        "front do?",
        f"With {front - 1}/{rear} each gear pulls {more:.1f} % harder at the same rpm and runs "
        f"{less:.1f} % slower.",
        urlencode({"bike": bike_id, "front": front - 1, "rear": rear}),
    )


@dataclass(frozen=True)
class Site:
    """One published explorer.

    Attributes:
        pages: The only pages that are served, in the order of the front page.
        title, text, contact: Shown on the front page, and title and contact below each page;
            templates escape them.
        units: What a page opens with if its link says nothing.
        rider: The example on the front page.
    """

    pages: tuple[PageEntry, ...]
    title: str = "Gearing explorer"
    text: str = (
        "Gearing for small off-road motorcycles: what a sprocket or a tyre changes, before you "
        "buy it."
    )
    contact: str = ""
    units: str = "metric"
    frame_hosts: tuple[str, ...] = ()
    is_club: bool = False
    version: str = version("gearing-explorer")
    rider: WorkedRider | None = None

    def serves(self, name: str) -> bool:
        """Whether a page of this name may be opened, and so be linked or written."""
        return any(page.name == name for page in self.pages)


def club_in(folder: str, pages: Sequence[PageEntry]) -> Club | None:
    """The club of a folder, if one is named; `RecordError` tells every problem in a sentence."""
    return read_club(folder, [page.name for page in pages]) if folder else None


def what_is_there(club: Club | None) -> str:
    """What a check found sound, on one line; `RecordError` if the demo's bikes are not.

    >>> what_is_there(None)
    "No club's folder was given; the demo has 5 bikes, all sound."
    """
    if club is None:
        return f"No club's folder was given; the demo has {len(demo_bikes())} bikes, all sound."
    named = [] if club.members is None else sorted({each.bike_class for each in club.members})
    in_words = [each for each in named if each not in club.bikes]
    there = [
        f"{len(club.bikes)} {'bikes' if club.own_bikes else 'demo bikes'}, first "
        f"{next(iter(club.bikes))}",
        "no members.csv"
        if club.members is None
        else f"{len(club.members)} members' set-ups"
        # A slip of the pen in a bike's name would make a class in words of it.
        + (f" (classes that name no bike file: {', '.join(in_words)})" if in_words else ""),
        f"pages: {'all' if club.pages is None else ' '.join(club.pages)}",
        f"{club.units} units",
        f"frames on {' '.join(club.frame_hosts) or 'no host'}",
    ]
    return f"{club.title}: {'; '.join(there)}; all sound."


def site_of(club: Club | None, pages: Sequence[PageEntry]) -> Site:
    """The site of a club, or ours, with those of all pages that it allows.

    A page of members' set-ups is there only where there are some.
    """
    members = club is not None and club.members is not None
    there = {page.name: page for page in pages if members or not page.shows_members}
    if club is None:
        return Site(tuple(there.values()), rider=worked_rider(demo_bikes()))
    allowed = there if club.pages is None else club.pages
    return Site(
        pages=tuple(there[name] for name in allowed),
        title=club.title,
        text=club.text or Site.text,
        contact=club.contact,
        units=club.units,
        frame_hosts=club.frame_hosts,
        is_club=True,
        rider=worked_rider(club.bikes),
    )
