"""What to buy for one change of gearing, which old parts stay in use, and why.

The lists follow common practice of the trade; no source. What a bike really needs is in its manual
and its parts list.
"""

from dataclasses import dataclass

from explorer.records.fitting.sprocket_change import (
    AXLE_LOCKS,
    JOINING_LINKS,
    RETAINERS,
    SprocketChange,
)
from explorer.records.prose import read_prose


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
    """An old part that stays in use or in the box.

    Attributes:
        why: Why it stays, and what to look for first.
    """

    name: str
    why: str


@dataclass(frozen=True)
class PartsList:
    """What one change needs.

    Attributes:
        buy: To be bought, in the order of fitting.
        keep: Old parts that stay.
    """

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
    """A part with its number, for a list in a sentence.

    Returns: For example "2 × joining link, clip type".

    >>> said(Part("split-pin", "split pin for the axle nut", 1, "Never use one twice."))
    'split pin for the axle nut'
    """
    return part.name if part.quantity == 1 else f"{part.quantity} × {part.name}"


def parts_list(change: SprocketChange) -> PartsList:
    """What to buy for a change, and what stays.

    Args:
        change: Sprockets, chain and fastenings before and after.

    Returns: Nothing to buy where nothing is changed.

    >>> change = SprocketChange(13, 50, 14, 50, "520", 112, 112, axle_lock="split-pin")
    >>> [part.id for part in parts_list(change).buy]
    ['front-sprocket', 'retainer', 'joining-link', 'spare-joining-link', 'split-pin', 'threadlock']
    """
    if change.nothing_changed:
        return PartsList((), ())
    buy = [*_front(change), *_rear(change), *_chain(change), *_axle(change), *_threadlock(change)]
    return PartsList(tuple(buy), tuple(_kept(change)))


def _front(change: SprocketChange) -> list[Part]:
    if not change.front_changed:
        return []
    return [
        Part(
            "front-sprocket",
            f"front sprocket, {change.front} teeth, for {change.chain_size} chain",
            1,
            "Spline, offset and width must match the one taken off; lay both side by side before "
            "fitting.",
        ),
        Part(
            "retainer",
            f"front sprocket's {RETAINERS[change.retainer]}",
            1,
            "It keeps the sprocket on the shaft and does so reliably only once; renew what the "
            "manual says.",
        ),
    ]


def _rear(change: SprocketChange) -> list[Part]:
    if not change.rear_changed:
        return []
    nuts = "lock nuts for the rear sprocket"
    return [
        Part(
            "rear-sprocket",
            f"rear sprocket, {change.rear} teeth, for {change.chain_size} chain",
            1,
            "Bolt circle, centre hole, offset and width must match the one taken off.",
        ),
        Part(
            "rear-nuts",
            nuts if change.rear_nuts else f"{nuts}, one set",
            change.rear_nuts or 1,
            "A lock nut grips less each time it is turned. Renew the bolts too where threads or "
            "heads are damaged.",
        ),
    ]


def _chain(change: SprocketChange) -> list[Part]:
    sealed = change.seal == "sealed"
    joining = JOINING_LINKS[change.joining_link] + (", with its rings and grease" if sealed else "")
    again = (
        "A clip is not used again"
        if change.joining_link == "clip"
        else "A riveted pin is not used again"
    )
    suits = "of the same size and make of chain"
    parts = []
    if change.new_chain:
        parts.append(
            Part(
                "chain",
                f"{change.chain_size} chain{', sealed' if sealed else ''}, {change.links} links, "
                f"with {joining}",
                1,
                "Longer chains can be cut to length; count the links before cutting."
                + (
                    " Sealed chains are wider over the pins: check the room at case and guard."
                    if sealed
                    else ""
                ),
            )
        )
    if change.links_put_in:
        piece = change.links_put_in - 1
        parts.append(
            Part(
                "chain-piece",
                f"piece of {change.chain_size} chain, {piece} {_links(piece)}, inner link at each "
                "end",
                1,
                f"With the second joining link it makes the chain {change.links_put_in} links "
                "longer. A new piece in a worn chain has a shorter pitch than the rest: a whole "
                "new chain runs more evenly.",
            )
        )
    if change.offset_link:
        parts.append(
            Part(
                "offset-link",
                f"offset (cranked) link for {change.chain_size} chain",
                1,
                f"An odd number of links needs it, and it is weaker than the rest: a last resort. "
                f"{change.links - 1} or {change.links + 1} links are better wherever the axle "
                "position allows.",
            )
        )
    if change.chain_opened and not change.new_chain:
        number = 2 if change.links_put_in else 1
        parts.append(Part("joining-link", joining, number, f"{again}; take one {suits}."))
    parts.append(
        Part(
            "spare-joining-link",
            f"spare {joining}",
            1,
            f"To carry on the ride, {suits}.",
            optional=True,
        )
    )
    return parts


def _axle(change: SprocketChange) -> list[Part]:
    if change.axle_lock == "split-pin":
        return [Part("split-pin", "split pin for the axle nut", 1, "A split pin is bent once.")]
    if change.axle_lock == "lock-nut":
        return [
            Part(
                "axle-nut",
                "self-locking axle nut",
                1,
                "Needed where the manual says to renew it, or where it turns by hand.",
                optional=True,
            )
        ]
    return [
        Part(
            "split-pin",
            "split pin or self-locking nut for the axle",
            1,
            "The axle has to be loosened; look what secures its nut.",
        )
    ]


def _threadlock(change: SprocketChange) -> list[Part]:
    if not (change.front_changed or change.rear_changed):
        return []
    return [
        Part(
            "threadlock",
            "threadlock",
            1,
            "Only where the manual asks for it and of the strength it names; the strongest is "
            "usually wrong for sprocket nuts.",
            optional=True,
        )
    ]


def _kept(change: SprocketChange) -> list[KeptPart]:
    going_back = (
        "Not needed now; keep it, so that you can go back if the new gearing does not suit."
    )
    shape = "if its teeth are even on both sides, not hooked and not pointed"
    if change.front_changed:
        front = KeptPart(f"Old front sprocket, {change.old_front} teeth", going_back)
    else:
        front = KeptPart(
            f"Front sprocket, {change.front} teeth",
            f"It is not changed; it stays {shape}: look under its cover.",
        )
    if change.rear_changed:
        rear = KeptPart(f"Old rear sprocket, {change.old_rear} teeth", going_back)
    else:
        rear = KeptPart(
            f"Rear sprocket, {change.rear} teeth", f"It is not changed; it stays {shape}."
        )
    kept = [front, rear, _kept_chain(change)]
    if change.links_taken_out:
        kept.append(
            KeptPart(
                f"The {change.links_taken_out} links taken out",
                "Keep them with the spare joining links for going back.",
            )
        )
    if change.axle_lock == "lock-nut":
        kept.append(
            KeptPart(
                f"Axle's {AXLE_LOCKS['lock-nut']}",
                "It stays if the manual allows it and it still grips.",
            )
        )
    return kept


def _kept_chain(change: SprocketChange) -> KeptPart:
    chain = f"{change.chain_size} chain"
    if change.new_chain:
        return KeptPart(
            f"Old {chain}, {change.old_links} links",
            "Not needed now; keep it only if it is within the manual's wear limit.",
        )
    within = (
        "It stays if its length over several links is within the manual's limit and it bends freely"
    )
    if change.links_taken_out:
        return KeptPart(chain, f"{within}, shortened to {change.links} links.")
    if change.links_changed:
        return KeptPart(chain, f"{within}, lengthened to {change.links} links.")
    return KeptPart(f"{chain}, {change.links} links", f"{within}; the axle takes up the change.")


def _links(number: int) -> str:
    return "link" if number == 1 else "links"
