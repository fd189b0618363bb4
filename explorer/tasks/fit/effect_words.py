"""What the fit page says beside the verdict: stance, slack, speedometer and wear in sentences."""

import numpy as np

from explorer import units
from explorer.app.fit_notes import length
from explorer.calc.drivetrain.speedometer import R39_SOURCE_STATUS, Pickup, largest_indicated
from explorer.study.certainty import signed_percent
from explorer.study.compared import SAME
from explorer.study.fit_result import FitResult
from explorer.tasks.fit.words import SAY


def stance_sentences(result: FitResult) -> list[str]:
    """What the axle's new place does to wheelbase, height, trail and weight."""
    stance, system = result.stance, result.setup.units
    if stance is None:
        return []

    def change(value: float, more: str, less: str, what: str) -> str:
        amount = length(abs(value), system)
        if amount == length(0.0, system):
            return f"{what}: no change to speak of"
        return f"{what}: {amount} {more if value > 0 else less}"

    shares = [f"{100 * share:.1f} %" for share in stance.front_share]
    carries = shares[0] if shares[0] == shares[1] else " before, ".join(shares) + " after"
    said = [
        f"{change(stance.wheelbase, 'longer', 'shorter', 'Wheelbase')}; "
        f"{change(stance.rear_height, 'higher', 'lower', 'rear of the frame').lower()}. "
        f"Weight on the front wheel, standing on level ground: {carries}."
    ]
    if stance.trail is not None:
        # Tenths of a millimetre: the effect is that small, which is the message.
        number, unit = units.display(stance.trail, "length", system)
        digits = 1 if system == "metric" else 3
        said.append(f"Trail: {units.signed(number, digits)} {unit} (computed).")
    else:
        said.append(SAY["no-trail"])
    if stance.arm_level:
        said.append(SAY["arm-level"])
    return said


def ring_sentences(result: FitResult) -> list[str]:
    """What the rings of a sealed chain cost; nothing without rings, or before it is known."""
    load = result.load
    if load is None or result.measured.get("seal") != "sealed":
        return []
    per_unit, unit = units.display(1.0, "force", result.setup.units)
    drag = units.ends(*(each * per_unit for each in load.ring_drag), 1, units.rounded)
    return [
        f"The chain's rings drag about {drag} {unit} at the tyre; rolling resistance is "
        f"about {load.rolling * per_unit:.0f} {unit} (estimate: 0.01 to 0.05 N·m bend a joint). "
        "Too little to choose a gearing by."
    ]


def slack_sentences(result: FitResult) -> list[str]:
    """The manual's value first, then what geometry says about it."""
    slack, measured, system = result.slack, result.measured, result.setup.units
    said = []
    if measured.known("manual_slack"):
        where = measured.text("slack_place") or "place not entered"
        state = measured.text("slack_state") or "state not entered"
        said.append(
            f"Your manual's value: {measured.text('manual_slack')}, {where}, {state}. It stays "
            "the authority."
        )
    else:
        said.append(SAY["manual-slack"])
    if slack is None:
        return [*said, SAY["no-swingarm"]]
    if not result.axle_known and not result.nothing_changed:
        said.append(SAY["axle-unknown"])
    where = SAY["in-line" if slack.lowest < slack.tightest < slack.highest else "not-in-line"]
    height = length(slack.tight_height, system)
    said.append(f"The chain is tightest at {height} of wheel travel{where}")
    chosen, tight = slack.at_rest[1], slack.at_tightest[1]
    if slack.basis == "manual" and np.isnan(tight):
        said.append(SAY["drawn-taut"])
    elif slack.basis == "manual":
        said.append(
            f"Set to the manual's value, {length(tight, system)} are left at the tightest "
            "position (computed, straight runs). That is no better than the measures of the "
            "swingarm: 2 mm in one of them can be several millimetres here."
        )
    elif slack.basis == "taut":
        said.append(
            f"A chain only just taut at the tightest position would show {length(chosen, system)} "
            "where it is measured: a lower bound from geometry, not a setting."
        )
    if slack.rest_for_tight is not None:
        said.append(
            f"To leave {measured.text('tight_slack')} at the tightest position, "
            f"{length(slack.rest_for_tight[1], system)} where it is measured (computed; with the "
            f"fitted pair {length(slack.rest_for_tight[0], system)}). Where the manual says "
            "otherwise, the manual is right."
        )
    return [*said, SAY["tightest-place"]]


def speedometer_sentences(result: FitResult) -> list[str]:
    """What the change does to it, what it shows then, and what the approval rule says."""
    reading, system = result.speedometer, result.setup.units
    if reading is None:
        return [SAY["speedometer"]]
    place = {
        Pickup.GEARBOX: "the gearbox",
        Pickup.REAR_WHEEL: "the rear wheel",
        Pickup.FRONT_WHEEL: "the front wheel",
        Pickup.SATELLITE: "satellites",
    }[reading.pickup]
    true, shown = (
        units.text(value, "speed", system) for value in (reading.true_speed, reading.indicated)
    )
    # An error measured before the change is none of its doing.
    before = result.measured.si("speedometer_before")
    change = reading.factor / before - 1
    altered, right = abs(change) >= SAME, abs(reading.factor - 1) < SAME
    if altered:
        effect, then = f"alters what it shows by {signed_percent(change)}", "After the change it"
    else:
        effect, then = "does not alter what it shows", "It still"
    said = [f"Driven from {place}: the change {effect}."]
    known_error = altered and abs(before - 1) >= SAME
    earlier = f", before the change {signed_percent(before - 1)}" if known_error else ""
    if not right:
        said.append(
            f"{then} shows {signed_percent(reading.factor - 1)} against the true speed{earlier}. "
            f"At a true {true} it shows {shown}; multiply what it shows by "
            f"{reading.correction:.3f}."
        )
    elif altered:
        said.append(f"{then} shows the true speed{earlier}.")
    if altered:
        said.append(SAY["odometer"])
    if reading.under_reads and not right:
        said.append(SAY["shows-less"])
    most = units.text(float(largest_indicated(reading.true_speed)), "speed", system)
    yours = "is within that" if reading.within_approval or right else f"shows {shown}"
    allowed = f"{true.split()[0]} to {most}"
    said.append(
        f"At a true {true} a new vehicle may show {allowed}; yours {yours}. {R39_SOURCE_STATUS}"
    )
    if not result.measured.text("speedometer_before"):
        said.append(SAY["taken-as-exact"])
    return said


def wear_sentences(result: FitResult) -> list[str]:
    """Measured wear against the manual's limit and the published spread."""
    wear = result.wear
    if wear is None:
        return [SAY["wear"]]
    read_to = "0.3 mm" if result.setup.units == "metric" else "0.01 in"
    said = [
        f"Elongation {100 * wear.elongation:.1f} %, give or take "
        f"{100 * wear.uncertainty:.1f} % for a rule read to {read_to} (computed from your length)."
    ]
    if wear.elongation < -wear.uncertainty:
        said.append(SAY["shorter-than-new"])
    if wear.miscounted:
        return [
            f"By this length the chain would be {100 * wear.elongation:.0f} % longer than new, and "
            "no chain runs like that: count the pitches again, pins less one. Until then "
            "everything else is computed for a chain as new."
        ]
    if wear.used is None:
        said.append(SAY["no-limit"])
    elif wear.worn_out:
        said.append(SAY["worn-out"])
    else:
        said.append(f"That is {100 * wear.used:.0f} % of the limit you entered from the manual.")
        if wear.may_be_worn_out:
            said.append(SAY["may-be-worn-out"])
    return said
