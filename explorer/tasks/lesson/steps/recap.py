"""What to remember, and what it means for each pupil's own teeth."""

from markupsafe import Markup

from explorer.calc import gearing
from explorer.charts.lesson.lesson_bars import BarsView
from explorer.panels.html import page_link
from explorer.records.setups.link import encode
from explorer.records.setups.setup import Setup
from explorer.study.certainty import signed_percent
from explorer.tasks.lesson.bars import bars, change_bar
from explorer.tasks.lesson.facts import Facts
from explorer.tasks.lesson.question import Asked
from explorer.tasks.lesson.step import Step, every_step

_LONGEST_NAME = 60
"""Of a bike [characters]."""

_ONE_SCREEN = 40
"""The take-aways of this plan are as many as one screen bears [minutes]."""


def _view(facts: Facts) -> BarsView:
    """One tooth more or fewer on a pupil's own bike."""
    front, rear = facts.lesson.place.own
    old = rear / front
    drawn = []
    for name, new in (
        ("one front tooth fewer", rear / (front - 1)),
        ("one rear tooth more", (rear + 1) / front),
    ):
        drawn.append(change_bar(name, float(gearing.pull_change(old, new)), strong=not drawn))
    return BarsView(tuple(drawn), f"change of the pull, %, from {front}/{rear} = {old:.2f}")


class Recap(Step):
    """The exit ticket: nothing is guessed."""

    number, place = 15, 11
    minutes = (4, 3, 4)
    name = "Recap"
    title = "exit ticket"
    controls = ("own_front", "own_rear")
    watch = "Set your own teeth."
    take_away = "Change one thing at a time, then measure."
    coach = ("Collect the tickets. A pupil's whole bike can be entered on the gearing page.",)
    figure = bars(_view)

    def ask(self, facts):
        text = "On paper: one thing to remember, one change for your bike, its price."
        return Asked(text, (), "To remember")

    def seen(self, facts):
        """The take-aways of the numbered steps of the plan, as far as this bike shows them."""
        plans = facts.lesson.place.plan, _ONE_SCREEN
        return [
            each.take_away
            for each in every_step()
            if all(map(each.wants, plans)) and not each.name and each.shows(facts)
        ]

    def more(self, facts):
        """What each pupil's own numbers say."""
        front, rear = facts.lesson.place.own
        teeth = gearing.rear_teeth_per_front_tooth(front, rear)
        fewer = gearing.pull_change(rear / front, rear / (front - 1))
        return [
            f"{front}/{rear}: {rear / front:.2f}. One front tooth fewer: {signed_percent(fewer)} "
            f"pull, as much as {teeth.for_one_fewer:.1f} rear teeth more. One rear tooth more: "
            f"{signed_percent(1 / rear)}."
        ]

    def beside(self, facts, base):
        """The way on from a pupil's own teeth: the bench with them, where the rest is entered."""
        front, rear = facts.lesson.place.own
        # Sold, counted and measured for another pair.
        others = "sprockets.front_sold", "sprockets.rear_sold", "chain.links", "fit.centre_distance"
        own = dict.fromkeys(others, "")
        own |= {"sprockets.front": str(front), "sprockets.rear": str(rear)}
        own["name"] = f"{front}/{rear} on {facts.bike.name}"[:_LONGEST_NAME]
        bike = facts.bike.with_changes(own)
        setup = Setup.for_bike(facts.setup.bike_id, bike).changed(units=facts.system)
        query = encode(setup, base, bike)
        taken = page_link("gearing", query, f"{front}/{rear} on the bench")
        return Markup('<p class="ge-line">{}</p>').format(taken)
