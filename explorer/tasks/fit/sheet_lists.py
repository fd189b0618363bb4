"""The lists of the fitting sheet: torques to look up, tools, what to check again, first ride.

Common practice of the trade, no source.
"""

from explorer.calc.gearing import final_ratio
from explorer.records.fitting.sprocket_change import SprocketChange

RIDING_WORDS = {
    "mud": "Mud",
    "engine-note": "Engine note",
    "too-tall": "Taller gearing",
    "too-short": "Shorter gearing",
    "engine-braking": "Slick ground",
    "two-stroke-descent": "Two-stroke downhill",
    "approval": "Road approval, warranty",
}
"""What each caution of the first ride is about."""

SHAKE_DOWN_WORDS = {"chain-breaks": "Chain", "speedometer": "Speedometer"}
"""What each caution of the shake-down is about."""

SHAKE_DOWN = (
    "Axle nut, its pin, adjuster nuts",
    "Front sprocket's retainer",
    "Rear sprocket nuts",
    "Chain: joining link, slack, alignment",
    "Rear brake works, hub stays cool",
    "Rub marks on slider, guide, case, tyre",
)
"""What is looked at again after five minutes and after the first hour."""


def riding_words(change: SprocketChange) -> dict[str, str]:
    """The cautions of the first ride that concern this change.

    Returns: Ids of hazards, each with what its caution is about.

    >>> "too-short" in riding_words(SprocketChange(13, 50, 14, 50, "520", 112, 112))
    False
    """
    old = final_ratio(change.old_front, change.old_rear)
    new = final_ratio(change.front, change.rear)
    beside = {"too-tall": new < old, "too-short": new > old}
    return {hazard: word for hazard, word in RIDING_WORDS.items() if beside.get(hazard, True)}


def torque_rows(change: SprocketChange, rear_brake: str) -> list[str]:
    """Fastenings whose torque the manual gives.

    Returns: Names only: torques are never ours to give.
    """
    front = {
        "ring": [],
        "tab-washer": ["Front sprocket nut"],
        "bolt": ["Front sprocket bolt"],
        "plate": ["Front sprocket plate bolts"],
        "unknown": ["Front sprocket nut or bolts"],
    }[change.retainer]
    brake = [] if rear_brake == "disc" else ["Brake plate's torque arm"]
    return [*front, "Rear sprocket nuts", "Axle nut", "Adjuster lock nuts", *brake]


def tools(change: SprocketChange) -> list[str]:
    """What should lie ready."""
    retainer = {
        "ring": ["circlip pliers"],
        "tab-washer": ["chisel for the tab"],
        "unknown": ["circlip pliers or chisel for the tab"],
    }
    cutting = change.new_chain or change.links_changed
    return [
        "the bike's manual",
        "firm stand",
        "torque wrench, sockets",
        *(retainer.get(change.retainer, []) if change.front_changed else []),
        *(["chain breaker"] if cutting or change.joining_link == "rivet" else []),
        *(["riveting tool"] if change.joining_link == "rivet" and change.chain_opened else []),
        "pliers",
        "rule or vernier, tape",
        "chalk, camera",
        {"sealed": "rag, soft brush (no wire brush, no solvent)"}.get(change.seal, "rag, brush"),
        {"sealed": "lubricant for ring chains", "plain": "chain lubricant"}.get(
            change.seal, "chain lubricant (one for ring chains if it has rings)"
        ),
    ]
