"""Questions and answers of steps 1 to 5: what teeth and ratios are. All numbers are computed."""

import numpy as np

from explorer import units
from explorer.charts.wording import ordinal
from explorer.study.certainty import signed_percent
from explorer.study.study import CHOSEN, FITTED
from explorer.tasks.lesson.facts import SHAFT_TORQUE, Facts
from explorer.tasks.lesson.question import Asked, number


def pair(facts: Facts, index: int) -> str:
    """Front and rear teeth, such as "13/50"."""
    teeth = facts.bike.sprockets if index == FITTED else facts.setup
    return f"{teeth.front}/{teeth.rear}"


def shorter_or_taller(facts: Facts) -> str:
    """How the chosen pair compares with the fitted one, in one word."""
    if facts.pull_change == 0:
        return "the same"
    return "shorter" if facts.pull_change > 0 else "taller"


def lever_question(facts: Facts) -> Asked:
    """Step 1: chain force against the push of the tyre."""
    lever = facts.lever
    tension = units.text(float(lever.tension[CHOSEN]), "force", facts.system)
    torque = units.text(SHAFT_TORQUE, "torque", facts.system)
    share = lever.pull[CHOSEN] / lever.tension[CHOSEN]
    options = ("harder than the chain", "just as hard", "less hard than the chain")
    right = options[0] if share > 1.001 else options[2] if share < 0.999 else options[1]
    return Asked(
        f"{pair(facts, CHOSEN)}: the gearbox turns the front sprocket with {torque}, so the chain "
        f"pulls the rear one with {tension}. How hard does the tyre push on the ground?",
        options,
        right,
    )


def lever_answer(facts: Facts) -> list[str]:
    """Step 1: short arm over long arm, and turns of the front sprocket."""
    lever, system = facts.lever, facts.system
    tension, pull = (
        [units.text(float(each), "force", system) for each in forces]
        for forces in (lever.tension, lever.pull)
    )
    arm, radius = (
        units.text(float(length), "length", system)
        for length in (lever.rear_radius[FITTED], lever.wheel_radius[FITTED])
    )
    said = [
        f"With {pair(facts, FITTED)} the chain pulls with {tension[FITTED]} on an arm of {arm}; "
        f"the tyre passes it on over an arm of {radius}: {tension[FITTED]} × {arm} ÷ {radius} is "
        f"about {pull[FITTED]}.",
        f"The wheel turns slowly and the front sprocket fast: {facts.fitted_ratio:.2f} turns of "
        f"the front sprocket for one turn of the wheel, {facts.bike.sprockets.rear} ÷ "
        f"{facts.bike.sprockets.front}.",
    ]
    if facts.pull_change:
        said.append(
            f"With {pair(facts, CHOSEN)}, {shorter_or_taller(facts)}, the same torque gives "
            f"{pull[CHOSEN]} at the tyre and takes {facts.chosen_ratio:.2f} turns: force against "
            "turns, never more power."
        )
    return said


def teeth_question(facts: Facts) -> Asked:
    """Step 2: how many rear teeth one front tooth is worth."""
    return number(
        f"Fitted is {pair(facts, FITTED)}. How many rear teeth more would do as much as one front "
        "tooth fewer?",
        float(facts.teeth.for_one_fewer),
        "",
        1,
    )


def teeth_answer(facts: Facts) -> list[str]:
    """Step 2: rear ÷ (front − 1), and what each tooth does."""
    sprockets = facts.bike.sprockets
    return [
        f"{facts.teeth.for_one_fewer:.1f}: rear ÷ (front − 1) = {sprockets.rear} ÷ "
        f"{sprockets.front - 1}. One front tooth more is worth {facts.teeth.for_one_more:.1f} rear "
        "teeth fewer.",
        f"One front tooth fewer: {signed_percent(facts.front_tooth)} pull. One rear tooth more: "
        f"{signed_percent(float(facts.rear_teeth[0]))}. The front is coarse and cheap, the rear "
        "fine.",
        "Fewer in front or more at the rear is shorter; more in front or fewer at the rear is "
        "taller.",
    ]


def two_numbers_question(facts: Facts) -> Asked:
    """Step 3: the percentage of speed from that of pull."""
    if not facts.pull_change:
        return number(
            f"Fitted is {pair(facts, FITTED)}, chosen {pair(facts, CHOSEN)}: the same ratio. By "
            "how many per cent does the speed change at the same engine speed?",
            0.0,
            "%",
            1,
        )
    grows = "grows" if facts.pull_change > 0 else "falls"
    falls = "fall" if facts.pull_change > 0 else "grow"
    return number(
        f"From {pair(facts, FITTED)} to {pair(facts, CHOSEN)} the pull {grows} by "
        f"{abs(facts.pull_change) * 100:.1f} %. By how many per cent does the speed {falls} at the "
        "same engine speed?",
        abs(facts.speed_change) * 100,
        "%",
        1,
        trap=abs(facts.pull_change) * 100,
    )


def two_numbers_answer(facts: Facts) -> list[str]:
    """Step 3: pull by R2/R1 − 1, speed by R1/R2 − 1."""
    if not facts.pull_change:
        return ["The chosen pair is as fitted: nothing changes. Move a sprocket and look again."]
    old, new = facts.fitted_ratio, facts.chosen_ratio
    kept = (1 + facts.pull_change) * (1 + facts.speed_change)
    return [
        f"Pull: {new:.3f} ÷ {old:.3f} − 1 = {signed_percent(facts.pull_change)}. Speed at the same "
        f"engine speed: {old:.3f} ÷ {new:.3f} − 1 = {signed_percent(facts.speed_change)}.",
        f"They are two numbers, and they belong together: {1 + facts.pull_change:.4f} × "
        f"{1 + facts.speed_change:.4f} = {kept:.3f}. What the pull gains the speed pays for.",
        f"{pair(facts, CHOSEN)} is {shorter_or_taller(facts)} than {pair(facts, FITTED)}.",
    ]


def gears_question(facts: Facts) -> Asked:
    """Step 4: which change is the largest."""
    changes = {
        "one rear tooth more": float(facts.rear_teeth[0]),
        "one front tooth fewer": facts.front_tooth,
    }
    if facts.gear_steps.size:
        changes["one gear down, from top gear"] = float(facts.gear_steps[FITTED][-1])
    return Asked(
        "Which of these changes the pull most?", tuple(changes), max(changes, key=changes.get)
    )


def gears_answer(facts: Facts) -> list[str]:
    """Step 4: every gear against one gear, and gaps that stay."""
    fitted, chosen = facts.gear_steps
    moved = facts.result.drive.overall[CHOSEN, :, 0] / facts.result.drive.overall[FITTED, :, 0] - 1
    teeth = (
        f"One rear tooth {signed_percent(float(facts.rear_teeth[0]))}, one front tooth "
        f"{signed_percent(facts.front_tooth)}"
    )
    if not fitted.size:
        return [f"{teeth}. This bike has a single gear, so there is no gear change to compare."]
    stay = np.allclose(fitted, chosen, rtol=1e-12)
    return [
        f"{teeth}, one gear {fitted.min() * 100:.0f} to {fitted.max() * 100:.0f} % on this bike.",
        f"From {pair(facts, FITTED)} to {pair(facts, CHOSEN)} every gear moves by "
        f"{signed_percent(float(moved[0]))}, 1st and {ordinal(len(moved))} alike.",
        "The gaps between the gears "
        + ("stay as they are: " if stay else "do not stay: ")
        + ", ".join(
            f"{gear}→{gear + 1} {step * 100:.0f} %" for gear, step in enumerate(chosen, start=1)
        )
        + ", before and after.",
    ]


def _turns(facts: Facts) -> tuple[float, float]:
    """Engine turns for a metre in top gear: this bike and the other."""
    return (
        float(facts.turns_per_metre(facts.bike)[-1]),
        float(facts.turns_per_metre(facts.other)[-1]),
    )


def overall_question(facts: Facts) -> Asked:
    """Step 5: two bikes with the same pair."""
    this, other = _turns(facts)
    names = (f"{facts.bike.name} (this one)", f"{facts.other_name} (the other)", "both the same")
    same = abs(this / other - 1) < 0.01
    return Asked(
        f"{facts.bike.name} and {facts.other_name} both get {pair(facts, CHOSEN)}. Whose engine "
        "makes more turns for a metre of road in top gear?",
        names,
        names[2] if same else names[0] if this > other else names[1],
    )


def overall_answer(facts: Facts) -> list[str]:
    """Step 5: primary, gear and roll-out belong to it."""
    this, other = _turns(facts)
    bikes = (facts.bike, facts.other)
    overall = [float(facts.overall_of(bike)[-1]) for bike in bikes]
    vehicles = [bike.vehicle() for bike in bikes]
    said = [
        f"{bike.name}, top gear: {vehicle.primary:.4g} (primary) × {vehicle.gears[-1]:.4g} (gear) "
        f"× {facts.chosen_ratio:.3f} (final) = {ratio:.1f} overall, {turns:.2f} engine turns for a "
        "metre of road."
        for bike, vehicle, ratio, turns in zip(bikes, vehicles, overall, (this, other), strict=True)
    ]
    difference = max(this, other) / min(this, other) - 1
    return [
        *said,
        f"The same sprockets, {difference * 100:.0f} % apart: the final drive ratio alone compares "
        "nothing but sprockets.",
    ]
