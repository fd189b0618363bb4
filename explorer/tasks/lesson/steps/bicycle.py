"""Force against distance by hand, on a bicycle."""

from markupsafe import Markup

from explorer.panels.html import sentences
from explorer.tasks.lesson.experiments import EXPERIMENTS
from explorer.tasks.lesson.question import Asked
from explorer.tasks.lesson.step import Step


class Bicycle(Step):
    """What a scale at the tyre shows after a change to a smaller rear sprocket."""

    number, place = 13, 1.5
    minutes = (0, 5, 6)
    name = "Bicycle"
    title = "force against distance, by hand"
    watch = (
        "Weight on the level pedal that points to the rear wheel, scale at the tyre's edge. Then a "
        "smaller sprocket."
    )
    take_away = "A gear trades force for distance and adds no power."
    coach = (
        "With the smaller rear sprocket less force at the tyre, and more way of it for one turn of "
        "the pedals. A larger one does the reverse.",
        "Try the brakes and the stand before the class comes.",
    )

    def ask(self, facts):
        text = (
            "A weight hangs on the level pedal, a scale holds the tyre. On a smaller rear sprocket "
            "the scale shows …"
        )
        return Asked(text, ("more", "just as much", "less"), "less")

    def seen(self, facts):
        return ["Less force at the tyre, more way for one pedal turn."]

    def beside(self, facts, base):
        """The cautions of the experiment, where it is done."""
        return Markup("").join(
            sentences(each.cautions, "ge-caution ge-line")
            for each in EXPERIMENTS
            if each.step == self.number
        )
