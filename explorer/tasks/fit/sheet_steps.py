"""What is done in which order, for one change, with the caution at the step where it bites.

The sequence is common practice of the trade, no source. The cautions come from
explorer.records.fitting.hazards; a step only says which of them belong to it.
"""

from dataclasses import dataclass

from explorer.records.fitting.sprocket_change import RETAINERS, SprocketChange


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


BOTH_SIDES = ("left", "right")


def stages(change: SprocketChange, rear_brake: str, axle_target: str) -> list[Stage]:
    """The whole sequence up to the first ride.

    Args:
        axle_target: Where the axle goes, as the end of "turn both adjusters equally until".

    Returns: Stages without a step for this change are left out.
    """
    found = [
        Stage("before", "Before", _before()),
        Stage("loosen", "Loosen, chain off", tuple(_loosen(change))),
        Stage("front-sprocket", "Front sprocket", tuple(_front_sprocket(change))),
        Stage("rear-sprocket", "Rear sprocket", tuple(_rear_sprocket(change))),
        Stage("chain-on", "Chain on", tuple(_chain_on(change))),
        Stage("alignment", "Alignment", _alignment(axle_target)),
        Stage("slack", "Slack", _slack()),
        Stage("tighten", "Tighten and secure", tuple(_tighten(change, rear_brake))),
        Stage("brake", "Rear brake", (_brake(rear_brake),)),
        Stage("check", "Check, engine still off", _check(change.seal)),
    ]
    return [stage for stage in found if stage.steps]


def _before() -> tuple[Step, ...]:
    return (
        Step(
            "Make it safe",
            "Bike upright on a firm stand, engine off and cold, gearbox in neutral, key out.",
            ("running-engine",),
        ),
        Step(
            "Inspect",
            "Front cover off. Look at chain, teeth of both sprockets, slider, guide, shaft seal. "
            "Lay the new parts beside the old.",
            ("new-on-worn", "wrong-part"),
        ),
        Step(
            "Photograph and mark",
            "Both sides: chain run, dished side and offset of each sprocket, spacers, brake. "
            "Mark the axle on both sides. Pivot centre to axle centre before:",
            blanks=BOTH_SIDES,
        ),
    )


def _loosen(change: SprocketChange) -> list[Step]:
    steps = []
    if change.front_changed and change.retainer != "ring":
        fastening = {
            "tab-washer": "Bend the tab flat, then loosen the nut",
            "bolt": "Loosen the bolt",
            "plate": "Loosen the plate's bolts",
        }.get(change.retainer, "A nut, bolt or plate (not a snap ring): loosen it")
        steps.append(
            Step(
                "Front sprocket's fastening",
                f"{fastening} now; leave it on by a few threads.",
                ("front-nut-last",),
            )
        )
    off = (
        "Take clip, plate and joining link off and draw the chain away."
        if change.joining_link == "clip"
        else "Press a riveted pin out with the chain breaker and draw the chain away."
        if change.chain_opened
        else _closed_chain_off(change)
    )
    steps.append(
        Step(
            "Axle and chain",
            "Pin out, axle nut and adjuster lock nuts slack. Turn both adjusters equally, count "
            f"the turns, push the wheel forward. {off}",
        )
    )
    return steps


def _closed_chain_off(change: SprocketChange) -> str:
    """How a riveted chain that stays closed is got off, according to the room there is."""
    front = " Slide the front sprocket off its shaft with the chain round it."
    lift = "lift it off the rear sprocket, turning the wheel by hand (fingers clear)"
    return (
        "The chain stays closed: "
        + {
            True: f"{lift}.",
            False: "there is too little room to lift it over the teeth: take the wheel out.",
            None: f"{lift}; if it does not come, take the wheel out.",
        }[change.slips_off]
        + (front if change.front_changed else "")
    )


def _front_sprocket(change: SprocketChange) -> list[Step]:
    if not change.front_changed:
        return [
            Step(
                "It stays",
                "Look at its teeth and its retainer: nothing worn, loose or out of its seat, a "
                "ring in its groove all round. If anything is, renew it as the manual says before "
                "the bike is ridden.",
            )
        ]
    size = "big-front" if change.front > change.old_front else "small-front"
    ring = ("snap-ring",) if change.retainer in ("ring", "unknown") else ()
    later = "" if change.retainer == "ring" else " Tighten it fully later, once the chain is on."
    return [
        Step(
            f"Swap to {change.front} teeth",
            "Old sprocket and spacers off, shaft cleaned. New one on with the same side out, "
            "spacers as photographed.",
            ("reversed-sprocket", size),
        ),
        Step(
            "New retainer",
            f"Fit the new {RETAINERS[change.retainer]}.{later}",
            ("front-retainer", *ring),
        ),
    ]


def _rear_sprocket(change: SprocketChange) -> list[Step]:
    if not change.rear_changed:
        return []
    big = ("big-rear",) if change.rear > change.old_rear else ()
    # Said with the front sprocket if that comes off too.
    reversed_ = () if change.front_changed else ("reversed-sprocket",)
    return [
        Step(
            f"Swap to {change.rear} teeth",
            "Wheel out. Hub cleaned and free of cracks, same side out. New lock nuts crosswise "
            "to the torque written at the top. Wheel in, with its spacers.",
            ("rear-bolts", *reversed_, *big),
        )
    ]


def _chain_on(change: SprocketChange) -> list[Step]:
    odd = ("odd-links",)
    if change.new_chain:
        length = (
            f"New chain: count {change.links} links, joining link included, twice; then cut.",
            odd,
        )
    elif change.links_taken_out:
        length = (
            f"Take {change.links_taken_out} links out{_with_offset(change)}: "
            f"{change.links} links, joining link included. Count twice before you cut.",
            odd,
        )
    elif change.links_changed:
        added = (
            f"Put {change.links_put_in} links in (a piece of {change.links_put_in - 1} and a "
            "second joining link)"
            if change.links_put_in
            else "Lengthen the chain"
        )
        length = (
            f"{added}{_with_offset(change)}: {change.links} links, joining links included.",
            odd,
        )
    else:
        length = (f"The chain keeps its {change.links} links; count them.", odd)
    steps = [Step("Length", *length)]
    rings = (
        " Its four rings greased, one at each end of each pin." if change.seal == "sealed" else ""
    )
    if change.joining_link == "clip":
        steps.append(
            Step(
                "Close it",
                f"Joining link from behind, plate fully on, new clip.{rings} Direction of travel: "
                "the upper run goes forward.",
                ("clip-direction",),
            )
        )
    elif change.chain_opened:
        steps.append(
            Step(
                "Close it",
                "New joining link, plate pressed, pins riveted to the chain maker's figures."
                f"{rings} The link must flex freely. Maker's figure and measured:",
                blanks=("plates", "measured", "rivet", "measured "),
            )
        )
    else:
        steps.append(Step("Lay it on", "Chain on both sprockets, no tooth skipped."))
    return steps


def _with_offset(change: SprocketChange) -> str:
    return " with an offset link" if change.offset_link else ""


def _alignment(axle_target: str) -> tuple[Step, ...]:
    return (
        Step(
            "Equal turns",
            f"Turn both adjusters by equal turns until {axle_target}. The slack decides.",
            ("wheel-cocked",),
        ),
        Step(
            "And measure",
            "Pivot centre to axle centre, both sides equal. After:",
            ("swingarm-marks",),
            BOTH_SIDES,
        ),
    )


def _slack() -> tuple[Step, ...]:
    return (
        Step(
            "Find the tightest place",
            "Turn the wheel by hand, a quarter turn at a time, and chalk the place where the chain "
            "is tightest.",
            ("tight-place", "one-slack-for-all"),
        ),
        Step(
            "Set the slack there",
            "To the manual's value (top of the sheet), both adjusters equally. Measured:",
            ("chain-too-tight",),
            ("tightest", "loosest"),
        ),
    )


def _tighten(change: SprocketChange, rear_brake: str) -> list[Step]:
    held = " Drum brake: pedal held down." if rear_brake != "disc" else ""
    front = " Front sprocket's fastening with the chain on and the rear brake held" + {
        "tab-washer": "; bend the tab.",
        "unknown": "; bend the tab, if there is one.",
    }.get(change.retainer, ".")
    return [
        Step(
            "Axle against the adjusters",
            "Rag between upper run and rear sprocket, wheel turned backwards by hand (fingers "
            f"clear) until both adjusters touch; axle nut tight.{held} Rag out.",
            ("adjuster-contact",),
        ),
        Step(
            "To the manual's torques",
            "Axle nut, adjuster lock nuts and all others of the table; tick each one."
            + (front if change.front_changed and change.retainer != "ring" else ""),
            ("other-bikes-torque",),
        ),
        Step(
            "Secure and measure again",
            {
                "split-pin": "New split pin through nut and axle, legs bent.",
                "lock-nut": "Threads show beyond the self-locking nut.",
                "unknown": "Axle nut secured as the manual shows: new split pin, or lock nut.",
            }[change.axle_lock]
            + " Slack and both sides once more.",
            ("axle-nut",),
        ),
    ]


def _brake(rear_brake: str) -> Step:
    drum = "rod's free play at the pedal to the manual's value, torque arm secured, brake light"
    disc = "pads and hose free, pedal pumped until it is firm, brake light"
    if rear_brake == "disc":
        return Step("Disc", f"{disc.capitalize()}.")
    if rear_brake == "drum":
        return Step("Drum", f"{drum.capitalize()}.", ("drum-brake",))
    return Step("Drum or disc", f"Drum: {drum}. Disc: {disc}.", ("drum-brake",))


def _check(seal: str) -> tuple[Step, ...]:
    return (
        Step(
            "Spin by hand",
            "Several turns of the wheel: nothing rubs at case, cover, guide, slider, swingarm or "
            "tyre; the chain runs straight; fingers stay clear of it.",
        ),
        Step(
            "Lubricate",
            "Inside of the lower run, wheel turned by hand."
            + {"sealed": " Ring-chain lubricant; no solvent, no wire brush.", "plain": ""}.get(
                seal, " With rings: ring-chain lubricant, no solvent, no wire brush."
            ),
        ),
        Step(
            "Covers and bench",
            "Front cover, case guard and chain guard on. No part and no tool left over.",
        ),
    )
