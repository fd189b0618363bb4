"""What to buy for one change of gearing, which old parts stay in use, and why.

The lists follow common practice of the trade; no source. What a bike really needs is in its manual
and its parts list. Names and reasons are those of data/parts.toml.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from explorer.records.fitting.sprocket_change import JOINING_LINKS, RETAINERS, SprocketChange
from explorer.records.prose import read_prose

_PROSE = read_prose("parts")


@dataclass(frozen=True)
class Part:
    """One line of the shopping list.

    Attributes:
        id: Short name: the key of its price.
        name: What to ask for.
        quantity: How many; a set counts as one.
        why: Why it is bought, and what must match.
        optional (bool): Whether the change can be done without it.
    """

    id: str
    name: str
    quantity: int
    why: str
    optional: bool = False


@dataclass(frozen=True)
class KeptPart:
    """An old part that stays in use or in the box: why, and what to look for first."""

    name: str
    why: str


@dataclass(frozen=True)
class PartsList:
    """What one change needs: what is bought, in the order of fitting, and old parts that stay."""

    buy: tuple[Part, ...]
    keep: tuple[KeptPart, ...]

    @property
    def sentence(self) -> str:
        """The list in one sentence."""
        needed = [said(part) for part in self.buy if not part.optional]
        if not needed:
            return "Nothing to buy: sprockets and chain stay as they are."
        return f"To buy: {'; '.join(needed)}."


@dataclass(frozen=True)
class Side:
    """One side of a question on which the trade disagrees."""

    name: str
    arguments: tuple[str, ...]


def sides(question: str) -> tuple[Side, ...]:
    """The sides of one question of data/arguments.toml."""
    return tuple(Side(**row) for row in read_prose("arguments")[question])


TOGETHER_OR_WORN = sides("together_or_worn")
"""All three parts together, or only what is worn: the trade does not agree; no source."""


def said(part: Part) -> str:
    """A part for a list in a sentence, with its number, such as "2 × joining link, clip type".

    >>> said(Part("split-pin", "split pin for the axle nut", 1, "Never use one twice."))
    'split pin for the axle nut'
    """
    return part.name if part.quantity == 1 else f"{part.quantity} × {part.name}"


def parts_list(change: SprocketChange) -> PartsList:
    """What to buy for a change, and what stays; nothing to buy where nothing is changed.

    >>> change = SprocketChange(13, 50, 14, 50, "520", 112, 112, axle_lock="split-pin")
    >>> [part.id for part in parts_list(change).buy]
    ['front-sprocket', 'retainer', 'joining-link', 'spare-joining-link', 'split-pin', 'threadlock']
    """
    if change.nothing_changed:
        return PartsList((), ())
    words = _words(change)
    buy = tuple(_part(row, number, words) for row, number in _to_buy(change))
    keep = tuple(KeptPart(*_prose(_PROSE["keep"][row], words)) for row in _to_keep(change))
    return PartsList(buy, keep)


def _part(row: str, number: int, words: dict[str, Any]) -> Part:
    prose = _PROSE["buy"][row]
    name, why = _prose(prose, words)
    return Part(prose.get("id", row), name, number, why, prose.get("optional", False))


def _prose(table: dict[str, str], words: dict[str, Any]) -> tuple[str, str]:
    return table["name"].format(**words), table["why"].format(**words)


def _words(change: SprocketChange) -> dict[str, Any]:
    """What stands in the braces of data/parts.toml."""
    rings = ", with its rings and grease" if change.seal == "sealed" else ""
    piece = change.links_put_in - 1
    return vars(change) | {
        "retainer_name": RETAINERS[change.retainer],
        "joining": JOINING_LINKS[change.joining_link] + rings,
        "once": "A clip" if change.joining_link == "clip" else "A riveted pin",
        "links_put_in": change.links_put_in,
        "links_taken_out": change.links_taken_out,
        "piece": f"{piece} {'link' if piece == 1 else 'links'}",
        "one_fewer": change.links - 1,
        "one_more": change.links + 1,
    }


def _to_buy(change: SprocketChange) -> Iterator[tuple[str, int]]:
    """Tables of the parts in the order of fitting, and how many of each."""
    if change.front_changed:
        yield "front-sprocket", 1
        yield "retainer", 1
    if change.rear_changed:
        yield "rear-sprocket", 1
        yield ("rear-nuts", change.rear_nuts) if change.rear_nuts else ("rear-nuts-uncounted", 1)
    if change.new_chain:
        yield "chain-sealed" if change.seal == "sealed" else "chain", 1
    if change.links_put_in:
        yield "chain-piece", 1
    if change.offset_link:
        yield "offset-link", 1
    if change.chain_opened and not change.new_chain:
        yield "joining-link", 2 if change.links_put_in else 1
    yield "spare-joining-link", 1
    yield (
        {"split-pin": "split-pin", "lock-nut": "axle-nut"}.get(change.axle_lock, "axle-unknown"),
        1,
    )
    if change.front_changed or change.rear_changed:
        yield "threadlock", 1


def _to_keep(change: SprocketChange) -> Iterator[str]:
    """Tables of the old parts."""
    yield "old-front" if change.front_changed else "front"
    yield "old-rear" if change.rear_changed else "rear"
    if change.new_chain:
        yield "old-chain"
    elif change.links_taken_out:
        yield "chain-shortened"
    else:
        yield "chain-lengthened" if change.links_changed else "chain"
    if change.links_taken_out:
        yield "links"
    if change.axle_lock == "lock-nut":
        yield "axle-lock"
