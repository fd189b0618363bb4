"""How slack changes as the wheel moves up."""

from dataclasses import replace

from explorer.app.parts import Figure
from explorer.charts.fit import slack_chart
from explorer.charts.fit.slack_chart import SlackView
from explorer.study.fit_slack import SlackThroughTravel, slack_result
from explorer.tasks.fit.views import slack_view
from explorer.tasks.lesson.facts import Facts, kept
from explorer.tasks.lesson.question import Asked
from explorer.tasks.lesson.step import Step

_SHAPES = (
    "it grows all the way",
    "it shrinks all the way",
    "it shrinks, then grows",
    "it stays the same",
)

_NOT_MEASURED = "The swingarm of this bike has not been measured."

_BASIS = {
    "manual": "your manual's value",
    "tightest": "your slack at the tightest",
    "taut": "shape only, no setting",
}
"""What the curves of the slack start from."""


@kept
def slack(facts: Facts) -> SlackThroughTravel | None:
    """Slack through the travel with the fitted pair; None where the swingarm is not known."""
    sprockets = facts.bike.sprockets
    fitted = facts.setup.model_copy(update={"front": sprockets.front, "rear": sprockets.rear})
    return slack_result(facts.bike, fitted, facts.measured, 0.0)


def _view(facts: Facts) -> SlackView | None:
    """Slack over the travel; None where the swingarm is not known."""
    found = slack(facts)
    if found is None:
        return None
    travel = min(facts.lesson.place.travel, float(found.heights[-1]))
    view = slack_view(found, travel, _BASIS, facts.system)
    # As many digits as the answer has.
    decimals = 0 if facts.system == "metric" else 1
    return replace(view, measured=found.basis != "taut", decimals=decimals)


class Slack(Step):
    """Why slack changes with travel."""

    number = place = 9
    minutes = (0, 0, 7)
    title = "Why slack changes with travel"
    controls = ("travel",)
    watch = "Move the wheel up slowly and find where the chain is tightest."
    take_away = "Slack changes with travel: set it as your manual says."
    coach = (
        "The chain is tightest where output shaft, pivot and axle are nearest to being in line.",
        "Slack is set by the bike's own manual, at its place and in its state of the suspension. "
        "No figure of this lesson is a setting.",
    )
    elsewhere = "Measure the swingarm for the page “Does it fit?”, or take another bike."
    figure = Figure(slack_chart.SlackChart, slack_chart.describe, _view)

    def shows(self, facts):
        return slack(facts) is not None

    def ask(self, facts):
        found = slack(facts)
        text = (
            "The rear wheel moves up, from hanging to fully compressed. What does the slack of "
            "the chain do?"
        )
        if found is None:
            return Asked(f"{text} ({_NOT_MEASURED})", (), "")
        span = found.highest - found.lowest
        if found.tightest <= found.lowest + 0.001 * span:
            right = _SHAPES[0]
        elif found.tightest >= found.highest - 0.001 * span:
            right = _SHAPES[1]
        else:
            right = _SHAPES[2]
        return Asked(text, _SHAPES, right)

    def seen(self, facts):
        found = slack(facts)
        if found is None:
            return [_NOT_MEASURED]
        height = facts.said(found.tight_height, "length")
        if found.lowest < found.tightest < found.highest:
            return [
                f"Tightest after {height} of travel: output shaft, pivot and axle are in line.",
                "Set slack as the bike's own manual says.",
            ]
        end = "with the wheel hanging" if found.tightest <= found.lowest else "fully compressed"
        return [f"Tightest {end}.", "Set slack as the bike's own manual says."]
