"""How many rear teeth one front tooth is worth."""

from explorer.charts.lesson.lesson_bars import BarsView
from explorer.study.certainty import signed_percent
from explorer.tasks.lesson.bars import bars, change_bar
from explorer.tasks.lesson.facts import Facts
from explorer.tasks.lesson.question import number
from explorer.tasks.lesson.step import Step

_SEVERAL = 2
"""So many rear teeth are several [count]."""


def _view(facts: Facts) -> BarsView:
    """One front tooth fewer against some rear teeth more."""
    drawn = [change_bar("one front tooth fewer", facts.front_tooth, strong=True)]
    for count, change in enumerate(map(float, facts.rear_teeth), start=1):
        name = "1 rear tooth more" if count == 1 else f"{count} rear teeth more"
        drawn.append(change_bar(name, change))
    return BarsView(tuple(drawn), f"change of the pull, %, from {facts.fitted}")


class FrontTooth(Step):
    """One front tooth against some rear teeth."""

    number = place = 2
    minutes = (4, 4, 6)
    title = "One front tooth against one rear tooth"
    watch = "Each bar is one change. How many rear teeth match one front tooth?"
    take_away = "One tooth in front counts like several at the rear."
    coach = (
        "Rear teeth for one front tooth fewer: rear ÷ (front − 1).",
        "The front is coarse and cheap, the rear fine. Fewer in front or more at the rear is "
        "shorter.",
        "Common answer: three, a rule of thumb. Let them divide their own teeth.",
    )
    figure = bars(_view)

    def shows(self, facts):
        return bool(facts.teeth.for_one_fewer >= _SEVERAL)

    def ask(self, facts):
        text = (
            f"Fitted is {facts.fitted}. How many rear teeth more would do as much as one front "
            "tooth fewer?"
        )
        return number(text, float(facts.teeth.for_one_fewer), "", 1)

    def seen(self, facts):
        sprockets = facts.bike.sprockets
        return [
            f"{sprockets.rear} ÷ ({sprockets.front} − 1) = {facts.teeth.for_one_fewer:.1f}.",
            f"One front tooth fewer: pull {signed_percent(facts.front_tooth)}. One rear tooth "
            f"more: {signed_percent(float(facts.rear_teeth[0]))}.",
            "A small front sprocket bends the chain more sharply: it wears sooner.",
        ]
