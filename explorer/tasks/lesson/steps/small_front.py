"""What a small front sprocket costs the chain."""

from explorer.calc.sprockets import chordal_speed_variation
from explorer.charts.lesson.lesson_bars import Bar, BarsView
from explorer.tasks.lesson.bars import bars
from explorer.tasks.lesson.facts import Facts
from explorer.tasks.lesson.question import number
from explorer.tasks.lesson.step import Step


def bend(teeth: int) -> float:
    """How far each link bends as it runs on to a sprocket [degrees]."""
    return 360 / teeth


def _view(facts: Facts) -> BarsView:
    """How far a link bends, and how unevenly it runs, from the fitted front sprocket down."""
    front, chosen = facts.bike.sprockets.front, facts.setup.front
    drawn = []
    for teeth in sorted({front, front - 1, front - 2, chosen}, reverse=True):
        swing = float(chordal_speed_variation(teeth)) * 100
        said = f"{bend(teeth):.1f}°, speed drops by {swing:.1f} % in each tooth"
        drawn.append(Bar(f"{teeth} teeth", bend(teeth), said, strong=teeth == chosen))
    return BarsView(tuple(drawn), "bend of each link on the front sprocket, degrees")


class SmallFront(Step):
    """How much further a chain bends on one front tooth fewer."""

    number, place = 11, 2.5
    minutes = (0, 2, 4)
    name = "Small front sprocket"
    title = "what it costs the chain"
    controls = ("front",)
    watch = "Make the front sprocket smaller: see how far each link bends."
    take_away = "A small front sprocket is cheap to buy; the chain pays."
    coach = (
        "A chain lies on a sprocket as a polygon: the fewer teeth, the less evenly it runs.",
        "At the same pull of the tyre the chain is pulled no harder, for the rear sprocket is the "
        "same.",
        "Fit no fewer teeth than the maker of the bike allows.",
    )
    figure = bars(_view)

    def ask(self, facts):
        front = facts.bike.sprockets.front
        text = (
            f"From {front} to {front - 1} front teeth: by how many per cent does each link of the "
            "chain bend further?"
        )
        return number(text, (bend(front - 1) / bend(front) - 1) * 100, "%", 1)

    def seen(self, facts):
        front = facts.bike.sprockets.front
        return [
            f"{bend(front):.1f}° become {bend(front - 1):.1f}°: chain and sprocket wear faster.",
            "The chain also runs nearer to its slider and guide. Look there before you buy.",
        ]
