"""Pull and speed change by different percentages."""

from explorer.charts.lesson.lesson_bars import BarsView
from explorer.study.certainty import signed_percent
from explorer.tasks.lesson.bars import bars, change_bar
from explorer.tasks.lesson.facts import Facts
from explorer.tasks.lesson.question import number
from explorer.tasks.lesson.step import Step


def _view(facts: Facts) -> BarsView:
    drawn = (
        change_bar("pull at the tyre", facts.pull_change, strong=True),
        change_bar("speed at the same rpm", facts.speed_change),
    )
    return BarsView(drawn, f"change, %, from {facts.fitted} to {facts.chosen}")


class TwoNumbers(Step):
    """The percentage of speed from that of pull."""

    number = place = 3
    minutes = (4, 3, 6)
    title = "Pull and speed are two numbers"
    controls = ("front", "rear")
    watch = "Move a sprocket a long way: the two bars never have the same length."
    take_away = "Pull and speed change by different percentages."
    coach = (
        "Pull: new ratio ÷ old − 1. Speed at the same rpm: old ÷ new − 1.",
        "Multiplied by each other the two factors give one: what the pull gains the speed pays "
        "for.",
        "Common answer: the same percentage, with a minus.",
    )
    figure = bars(_view)

    def ask(self, facts):
        if not facts.pull_change:
            text = (
                f"Fitted is {facts.fitted}, chosen {facts.chosen}: the same ratio. By how many per "
                "cent does the speed change at the same engine speed?"
            )
            return number(text, 0.0, "%", 1)
        grows, falls = ("grows", "fall") if facts.pull_change > 0 else ("falls", "grow")
        pull = abs(facts.pull_change) * 100
        text = (
            f"From {facts.fitted} to {facts.chosen} the pull {grows} by {pull:.1f} %. By how many "
            f"per cent, to one decimal, does the speed {falls} at the same engine speed?"
        )
        return number(text, abs(facts.speed_change) * 100, "%", 1, trap=pull)

    def seen(self, facts):
        return [
            f"{facts.fitted} to {facts.chosen}, at the same rpm: pull "
            f"{signed_percent(facts.pull_change)}, speed {signed_percent(facts.speed_change)}."
        ]
