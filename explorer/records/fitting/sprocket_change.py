"""One change of gearing on one bike: sprockets, chain and their fastenings, before and after."""

from collections.abc import Mapping
from dataclasses import dataclass

from explorer.records.errors import Problems
from explorer.records.fitting.chains import chain_size
from explorer.records.prose import read_prose
from explorer.records.setups.sprocket_pair import FRONT_TEETH, REAR_TEETH
from explorer.records.typed_text import quote

LINKS = (60, 180)
"""Fewest and most links of a final drive that are not a slip of the pen [links]."""

MOST_NUTS = 12

_PROSE = read_prose("parts")
RETAINERS: Mapping[str, str] = _PROSE["retainers"]
"""What holds the front sprocket on its shaft, by short name."""

JOINING_LINKS: Mapping[str, str] = _PROSE["joining_links"]
"""How the chain is closed, by short name."""

SEALS: Mapping[str, str] = _PROSE["seals"]
"""Whether the chain's joints are sealed, by short name."""

AXLE_LOCKS: Mapping[str, str] = _PROSE["axle_locks"]
"""What keeps the axle nut from turning, by short name."""


@dataclass(frozen=True)
class SprocketChange:
    """What is on the bike, what goes on it, and how it is held.

    Attributes:
        old_front, old_rear: Teeth of the fitted sprockets.
        front, rear: Teeth of the sprockets to be fitted.
        old_links: Links of the fitted chain, joining link included; even.
        links: Links of the chain to go on; an odd number holds an offset link.
        new_chain (bool): Whether a new chain goes on instead of the fitted one.
        joining_link: How the chain is closed, a key of `JOINING_LINKS`.
        retainer: What holds the front sprocket, a key of `RETAINERS`.
        rear_nuts: Lock nuts of the rear sprocket; None if not counted.
        axle_lock: What secures the axle nut, a key of `AXLE_LOCKS`.
        seal: Whether the chain's joints are sealed, a key of `SEALS`.
        slips_off (bool or None): Whether a closed chain can be lifted over the rear sprocket's
            teeth with the wheel fully forward; None if the room is not known.
    """

    old_front: int
    old_rear: int
    front: int
    rear: int
    chain_size: str
    old_links: int
    links: int
    new_chain: bool = False
    joining_link: str = "clip"
    retainer: str = "unknown"
    rear_nuts: int | None = None
    axle_lock: str = "unknown"
    seal: str = "unknown"
    slips_off: bool | None = None

    def __post_init__(self) -> None:
        problems = Problems(
            [
                *_teeth("fitted front sprocket", self.old_front, FRONT_TEETH),
                *_teeth("fitted rear sprocket", self.old_rear, REAR_TEETH),
                *_teeth("front sprocket to be fitted", self.front, FRONT_TEETH),
                *_teeth("rear sprocket to be fitted", self.rear, REAR_TEETH),
                *_links("fitted chain", self.old_links, even=True),
                *_links("chain to go on", self.links, even=False),
                *_known("joining link", self.joining_link, JOINING_LINKS),
                *_known("retainer of the front sprocket", self.retainer, RETAINERS),
                *_known("lock of the axle nut", self.axle_lock, AXLE_LOCKS),
                *_known("seal of the chain", self.seal, SEALS),
            ]
        )
        with problems.of():
            chain_size(self.chain_size)
        if self.rear_nuts is not None and not _whole(self.rear_nuts, (3, MOST_NUTS)):
            problems.append(
                f"{quote(str(self.rear_nuts))} lock nuts cannot hold a rear sprocket; count them "
                f"on the hub, 3 to {MOST_NUTS}, or leave the number out."
            )
        problems.refuse()

    @property
    def front_changed(self) -> bool:
        """Whether the front sprocket comes off."""
        return self.front != self.old_front

    @property
    def rear_changed(self) -> bool:
        """Whether the rear sprocket comes off."""
        return self.rear != self.old_rear

    @property
    def links_changed(self) -> bool:
        """Whether the fitted chain is made shorter or longer."""
        return not self.new_chain and self.links != self.old_links

    @property
    def nothing_changed(self) -> bool:
        """Whether the bike stays as it is."""
        return not (self.front_changed or self.rear_changed or self.links_changed or self.new_chain)

    @property
    def offset_link(self) -> bool:
        """Whether the chain to go on needs an offset (cranked) link."""
        return self.links % 2 == 1

    @property
    def chain_opened(self) -> bool:
        """Whether the chain is taken apart; a riveted one of the same length stays closed."""
        return self.new_chain or self.links_changed or self.joining_link == "clip"

    @property
    def links_taken_out(self) -> int:
        """Links cut off the fitted chain; one more than it loses if an offset link goes in."""
        if self.new_chain:
            return 0
        return max(self.old_links - (self.links - self.offset_link), 0)

    @property
    def links_put_in(self) -> int:
        """Links put into the fitted chain, the offset link not counted."""
        if self.new_chain:
            return 0
        return max(self.links - self.offset_link - self.old_links, 0)


def _whole(number: object, bounds: tuple[int, int]) -> bool:
    return type(number) is int and bounds[0] <= number <= bounds[1]


def _teeth(name: str, teeth: object, bounds: tuple[int, int]) -> list[str]:
    if _whole(teeth, bounds):
        return []
    low, high = bounds
    return [
        f"The {name} cannot have {quote(str(teeth))} teeth; count them, {low} to {high} are "
        "accepted."
    ]


def _links(name: str, links: object, even: bool) -> list[str]:
    low, high = LINKS
    if not _whole(links, LINKS):
        return [
            f"The {name} cannot have {quote(str(links))} links; count the pins of the whole "
            f"chain with its joining link, {low} to {high} are accepted."
        ]
    if even and links % 2:
        return [
            f"The {name} cannot have {links} links: a chain closed with a joining link has an "
            "even number; count the pins again, with those of the joining link."
        ]
    return []


def _known(name: str, given: object, names: Mapping[str, str]) -> list[str]:
    if given in names:
        return []
    return [f"The {name} {quote(str(given))} is not known; choose one of {', '.join(names)}."]
