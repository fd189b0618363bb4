"""What turns between crankshaft and ground beside the sprockets: two bikes with one pair."""

from explorer.charts.lesson.lesson_bars import Bar, BarsView
from explorer.study.wording import listed
from explorer.tasks.lesson.bars import bars
from explorer.tasks.lesson.facts import Facts
from explorer.tasks.lesson.question import Asked
from explorer.tasks.lesson.step import Step

_ALIKE = 0.002
"""Ratios and roll-outs closer than this are alike [-]."""


def _turns(facts: Facts) -> list[float]:
    """Engine turns for a metre, or a yard, in top gear: this bike and the other."""
    way = facts.way[1]
    return [float(facts.turns_per_metre(each)[-1]) * way for each in (facts.bike, facts.other)]


def _view(facts: Facts) -> BarsView:
    """Engine turns for a metre, in first gear and top gear."""
    drawn, (way, length) = [], facts.way
    for which in (0, -1):
        for bike in (facts.bike, facts.other):
            turns = float(facts.turns_per_metre(bike)[which]) * length
            gear = "1st gear" if which == 0 else "top gear"
            drawn.append(
                Bar(f"{bike.name}, {gear}", turns, f"{turns:.1f}", strong=bike is facts.bike)
            )
    axis = f"engine turns for a {way} of road, both with {facts.chosen}"
    return BarsView(tuple(drawn), axis)


class OverallRatio(Step):
    """Two bikes with the same pair."""

    number = place = 5
    minutes = (0, 0, 7)
    title = "Final against overall ratio"
    controls = ("other_bike", "front", "rear")
    watch = "Both bikes have the same pair. Look at first gear and at top gear."
    take_away = "Compare engine turns for the same way, not sprockets."
    coach = (
        "Common answer: “same sprockets, same gearing”. Ask what else turns between crankshaft "
        "and ground.",
    )
    figure = bars(_view)

    def ask(self, facts):
        this, other = _turns(facts)
        names = (
            f"{facts.bike.name} (this one)",
            f"{facts.other_name} (the other)",
            "both the same",
        )
        same = abs(this / other - 1) < 0.01
        return Asked(
            f"{facts.bike.name} and {facts.other_name} both get {facts.chosen}. Whose engine "
            f"makes more turns for a {facts.way[0]} of road in top gear?",
            names,
            names[2] if same else names[0] if this > other else names[1],
        )

    def seen(self, facts):
        bikes, turns = (facts.bike, facts.other), _turns(facts)
        made = [bike.vehicle() for bike in bikes]
        rollouts = [facts.overall_of(bike)[-1] / facts.turns_per_metre(bike)[-1] for bike in bikes]
        apart = {
            "primary reduction": [each.primary for each in made],
            "top gear": [each.gears[-1] for each in made],
            "roll-out": rollouts,
        }
        differ = [name for name, (this, other) in apart.items() if abs(this / other - 1) > _ALIKE]
        return [
            f"Engine turns for a {facts.way[0]} in top gear: {turns[0]:.2f} and {turns[1]:.2f}.",
            f"Same sprockets, different {listed(differ)}."
            if differ
            else "Nothing differs between crankshaft and ground.",
        ]

    def more(self, facts):
        both, said = _turns(facts), []
        for bike, turns in zip((facts.bike, facts.other), both, strict=True):
            vehicle, ratio = bike.vehicle(), float(facts.overall_of(bike)[-1])
            said.append(
                f"{bike.name}, top gear: {vehicle.primary:.4g} (primary) × "
                f"{vehicle.gears[-1]:.4g} (gear) × {facts.chosen_ratio:.3f} (final) = "
                f"{ratio:.1f} overall, {turns:.2f} engine turns for a {facts.way[0]} of road."
            )
        difference = max(both) / min(both) - 1
        return [
            *said,
            f"The same sprockets, {difference * 100:.0f} % apart: the final drive ratio alone "
            "compares nothing but sprockets.",
        ]
