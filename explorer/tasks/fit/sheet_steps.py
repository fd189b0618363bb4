"""What the fitting sheet lists for one change: what is done in which order, torques, tools.

The fixed words are in data/fitting_sheet.toml; which of them stand on a sheet is said here.
"""

from dataclasses import dataclass
from typing import Any

from explorer.calc.gearing import final_ratio
from explorer.records.fitting.sprocket_change import RETAINERS, SprocketChange
from explorer.records.prose import read_prose

_PROSE = read_prose("fitting_sheet")

RIDING, SHAKE_DOWN = _PROSE["riding"], _PROSE["shake_down"]


@dataclass(frozen=True)
class Step:
    """One step of the work.

    Attributes:
        hazards: Ids of the hazards whose cautions stand beside it.
        blanks: What is measured here and written down.
    """

    title: str
    text: str
    hazards: tuple[str, ...] = ()
    blanks: tuple[str, ...] = ()


@dataclass(frozen=True)
class Stage:
    """Steps that belong together.

    Attributes:
        place: Name by which a hazard finds its stage.
    """

    place: str
    title: str
    steps: tuple[Step, ...]


def stages(change: SprocketChange, rear_brake: str, axle_target: str) -> list[Stage]:
    """The whole sequence up to the first ride.

    Args:
        axle_target: Where the axle goes, as the end of "turn both adjusters equally until".

    Returns: Stages without a step for this change are left out.
    """
    holds = _conditions(change, rear_brake)
    words = _words(change, rear_brake) | {"axle_target": axle_target}
    found = []
    for stage in _PROSE["stage"]:
        rows = [row for row in stage["step"] if holds[row.get("condition", "")]]
        if rows:
            steps = tuple(_step(row, words) for row in rows)
            found.append(Stage(stage["place"], stage["title"], steps))
    return found


def _step(row: dict[str, Any], words: dict[str, str]) -> Step:
    hazards = (each.format_map(words) for each in row.get("hazards", ()))
    return Step(
        row["title"].format_map(words),
        row["text"].format_map(words),
        tuple(filter(None, hazards)),
        tuple(row.get("blanks", ())),
    )


def _conditions(change: SprocketChange, rear_brake: str) -> dict[str, bool]:
    """Which conditions of a step hold."""
    clip = change.joining_link == "clip"
    return {
        "": True,
        "front sprocket stays": not change.front_changed,
        "front sprocket changed": change.front_changed,
        "front sprocket changed, no snap ring": change.front_changed and change.retainer != "ring",
        "rear sprocket changed": change.rear_changed,
        "clip": clip,
        "rivet, chain opened": not clip and change.chain_opened,
        "rivet, chain closed": not clip and not change.chain_opened,
        "disc brake": rear_brake == "disc",
        "drum brake": rear_brake == "drum",
        "brake unknown": rear_brake not in ("disc", "drum"),
    }


def _words(change: SprocketChange, rear_brake: str) -> dict[str, str]:
    """What is filled in; as a hazard, nothing leaves it out."""
    ring, retainer = change.retainer == "ring", _PROSE["retainer"][change.retainer]
    seal = _PROSE["seal"][change.seal]
    return {
        "fastening": retainer["loosened"],
        "chain_off": _chain_off(change),
        "front": f"{change.front}",
        "front_size": "big-front" if change.front > change.old_front else "small-front",
        "retainer": RETAINERS[change.retainer],
        "retainer_later": "" if ring else " Tighten it fully later, once the chain is on.",
        "snap_ring": "snap-ring" if change.retainer in ("ring", "unknown") else "",
        "rear": f"{change.rear}",
        # Said with the front sprocket if that comes off too.
        "rear_side": "" if change.front_changed else "reversed-sprocket",
        "rear_size": "big-rear" if change.rear > change.old_rear else "",
        "chain_length": _chain_length(change),
        "rings": seal["rings"],
        "brake_held": " Drum brake: pedal held down." if rear_brake != "disc" else "",
        "front_tightened": "" if ring or not change.front_changed else retainer["tightened"],
        "axle_lock": _PROSE["axle_lock"][change.axle_lock],
        "lubricant": seal["lubricant"],
    }


def _chain_off(change: SprocketChange) -> str:
    """How the chain is got off; one that stays closed, according to the room there is."""
    if change.joining_link == "clip":
        return "Take clip, plate and joining link off and draw the chain away."
    if change.chain_opened:
        return "Press a riveted pin out with the chain breaker and draw the chain away."
    lift = "lift it off the rear sprocket, turning the wheel by hand (fingers clear)"
    how = {
        True: f"{lift}.",
        False: "there is too little room to lift it over the teeth: take the wheel out.",
        None: f"{lift}; if it does not come, take the wheel out.",
    }[change.slips_off]
    front = " Slide the front sprocket off its shaft with the chain round it."
    return f"The chain stays closed: {how}{front if change.front_changed else ''}"


def _chain_length(change: SprocketChange) -> str:
    offset = " with an offset link" if change.offset_link else ""
    if change.new_chain:
        return f"New chain: count {change.links} links, joining link included, twice; then cut."
    if change.links_taken_out:
        return (
            f"Take {change.links_taken_out} links out{offset}: {change.links} links, joining link "
            "included. Count twice before you cut."
        )
    if not change.links_changed:
        return f"The chain keeps its {change.links} links; count them."
    added = "Lengthen the chain"
    if put_in := change.links_put_in:
        added = f"Put {put_in} links in (a piece of {put_in - 1} and a second joining link)"
    return f"{added}{offset}: {change.links} links, joining links included."


def riding_words(change: SprocketChange) -> dict[str, str]:
    """The cautions of the first ride that concern this change.

    Returns: Ids of hazards, each with what its caution is about.

    >>> "too-short" in riding_words(SprocketChange(13, 50, 14, 50, "520", 112, 112))
    False
    """
    old = final_ratio(change.old_front, change.old_rear)
    new = final_ratio(change.front, change.rear)
    beside = {"too-tall": new < old, "too-short": new > old}
    return {hazard: word for hazard, word in RIDING.items() if beside.get(hazard, True)}


def torque_rows(change: SprocketChange, rear_brake: str) -> list[str]:
    """Fastenings whose torque the manual gives.

    Returns: Names only: torques are never ours to give.
    """
    front = _PROSE["retainer"][change.retainer]["torques"]
    brake = [] if rear_brake == "disc" else ["Brake plate's torque arm"]
    return [*front, "Rear sprocket nuts", "Axle nut", "Adjuster lock nuts", *brake]


def tools(change: SprocketChange) -> list[str]:
    """What should lie ready."""
    rivet = change.joining_link == "rivet"
    breaker = rivet or change.new_chain or change.links_changed
    brush, lubricant = _PROSE["seal"][change.seal]["tools"]
    return [
        "the bike's manual",
        "firm stand",
        "torque wrench, sockets",
        *(_PROSE["retainer"][change.retainer]["tools"] if change.front_changed else ()),
        *(["chain breaker"] if breaker else ()),
        *(["riveting tool"] if rivet and change.chain_opened else ()),
        "pliers",
        "rule or vernier, tape",
        "chalk, camera",
        brush,
        lubricant,
    ]
