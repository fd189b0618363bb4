"""Questions and answers of steps 1 to 5: what teeth and ratios are. All numbers are computed."""

from explorer.study.study import CHOSEN, FITTED
from explorer.tasks.lesson.facts import SHAFT_TORQUE, Facts
from explorer.tasks.lesson.question import Asked, number


def instead(facts: Facts) -> str:
    """The chosen pair, and that it is not the fitted one."""
    if facts.chosen == facts.fitted:
        return facts.chosen
    return f"{facts.chosen} instead of {facts.fitted}"


def lever_question(facts: Facts) -> Asked:
    """Step 1: chain force against the push of the tyre."""
    lever = facts.lever
    tension = facts.said(lever.tension[CHOSEN], "force")
    torque = facts.said(SHAFT_TORQUE, "torque")
    share = lever.pull[CHOSEN] / lever.tension[CHOSEN]
    options = ("harder than the chain", "just as hard", "less hard than the chain")
    right = options[0] if share > 1.001 else options[2] if share < 0.999 else options[1]
    return Asked(
        f"{instead(facts)}: the gearbox turns the front sprocket with {torque}, so the chain "
        f"pulls the rear one with {tension}. How hard does the tyre push on the ground?",
        options,
        right,
    )


def teeth_question(facts: Facts) -> Asked:
    """Step 2: how many rear teeth one front tooth is worth."""
    text = (
        f"Fitted is {facts.fitted}. How many rear teeth more would do as much as one front tooth "
        "fewer?"
    )
    return number(text, float(facts.teeth.for_one_fewer), "", 1)


def two_numbers_question(facts: Facts) -> Asked:
    """Step 3: the percentage of speed from that of pull."""
    if not facts.pull_change:
        text = (
            f"Fitted is {facts.fitted}, chosen {facts.chosen}: the same ratio. By how many per "
            "cent does the speed change at the same engine speed?"
        )
        return number(text, 0.0, "%", 1)
    grows, falls = ("grows", "fall") if facts.pull_change > 0 else ("falls", "grow")
    pull = abs(facts.pull_change) * 100
    text = (
        f"From {facts.fitted} to {facts.chosen} the pull {grows} by {pull:.1f} %. By how many per "
        f"cent does the speed {falls} at the same engine speed?"
    )
    return number(text, abs(facts.speed_change) * 100, "%", 1, trap=pull)


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


def _turns(facts: Facts) -> list[float]:
    """Engine turns for a metre in top gear: this bike and the other."""
    return [float(facts.turns_per_metre(each)[-1]) for each in (facts.bike, facts.other)]


def overall_question(facts: Facts) -> Asked:
    """Step 5: two bikes with the same pair."""
    this, other = _turns(facts)
    names = (f"{facts.bike.name} (this one)", f"{facts.other_name} (the other)", "both the same")
    same = abs(this / other - 1) < 0.01
    return Asked(
        f"{facts.bike.name} and {facts.other_name} both get {facts.chosen}. Whose engine "
        "makes more turns for a metre of road in top gear?",
        names,
        names[2] if same else names[0] if this > other else names[1],
    )


def overall_answer(facts: Facts) -> list[str]:
    """Step 5: primary, gear and roll-out belong to it."""
    both, said = _turns(facts), []
    for bike, turns in zip((facts.bike, facts.other), both, strict=True):
        vehicle, ratio = bike.vehicle(), float(facts.overall_of(bike)[-1])
        said.append(
            f"{bike.name}, top gear: {vehicle.primary:.4g} (primary) × {vehicle.gears[-1]:.4g} "
            f"(gear) × {facts.chosen_ratio:.3f} (final) = {ratio:.1f} overall, {turns:.2f} engine "
            "turns for a metre of road."
        )
    difference = max(both) / min(both) - 1
    return [
        *said,
        f"The same sprockets, {difference * 100:.0f} % apart: the final drive ratio alone compares "
        "nothing but sprockets.",
    ]
