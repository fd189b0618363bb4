"""The ten steps of the lesson, in order: what each asks, shows and answers."""

from collections.abc import Callable
from dataclasses import dataclass

from explorer.tasks.lesson import words as ratios
from explorer.tasks.lesson import words_riding as riding
from explorer.tasks.lesson.facts import Facts
from explorer.tasks.lesson.question import Asked


@dataclass(frozen=True)
class Step:
    """One step.

    Attributes:
        number: From 1.
        title: What it is about.
        minutes: How long it takes without a class experiment.
        controls: Names of the controls that matter, as `lesson_controls` knows them.
        watch: What to do with the demonstration and what to look at.
        ask: The question, from the computed numbers.
        answer: The answer in sentences, from the computed numbers.
    """

    number: int
    title: str
    minutes: int
    controls: tuple[str, ...]
    watch: str
    ask: Callable[[Facts], Asked]
    answer: Callable[[Facts], list[str]]


STEPS = (
    Step(
        1,
        "Lever and wheel",
        4,
        ("front", "rear"),
        "Make the rear sprocket larger: its arm grows, the wheel's stays. Watch the force of the "
        "tyre; the torque of the gearbox stays the same.",
        ratios.lever_question,
        ratios.lever_answer,
    ),
    Step(
        2,
        "One front tooth against one rear tooth",
        4,
        (),
        "Each bar is one change of the fitted pair. Which bar of rear teeth comes next to one "
        "front tooth?",
        ratios.teeth_question,
        ratios.teeth_answer,
    ),
    Step(
        3,
        "Pull and speed are two numbers",
        4,
        ("front", "rear"),
        "Move a sprocket a long way, up and down: the two bars never have the same length.",
        ratios.two_numbers_question,
        ratios.two_numbers_answer,
    ),
    Step(
        4,
        "A sprocket moves every gear, a gear change moves one",
        4,
        ("front", "rear"),
        "The bars of the gears stay where they are, whatever the sprockets do.",
        ratios.gears_question,
        ratios.gears_answer,
    ),
    Step(
        5,
        "Final against overall ratio",
        4,
        ("other_bike", "front", "rear"),
        "Both bikes have the same pair all the time. Look at first gear and at top gear.",
        ratios.overall_question,
        ratios.overall_answer,
    ),
    Step(
        6,
        "Torque, power and pull at one road speed",
        5,
        ("road_speed", "rear"),
        "Move the road speed. Which gear pulls hardest, and has it the most torque, or the most "
        "power?",
        riding.one_speed_question,
        riding.one_speed_answer,
    ),
    Step(
        7,
        "Shift points on the sawtooth",
        4,
        ("front", "rear"),
        "The thick line climbs a gear, falls back, climbs the next. Move a sprocket: the saw is "
        "squeezed or stretched, and each change still takes the same share of the revs.",
        riding.shift_question,
        riding.shift_answer,
    ),
    Step(
        8,
        "Top speed where power is the limit",
        4,
        ("front", "rear", "slope"),
        "The top speed is where pull meets resistance, or where the curve ends. Gear taller, or "
        "tilt the ground.",
        riding.top_speed_question,
        riding.top_speed_answer,
    ),
    Step(
        9,
        "Why slack changes with travel",
        4,
        ("travel",),
        "Move the wheel up slowly and find where the chain is tightest.",
        riding.slack_question,
        riding.slack_answer,
    ),
    Step(
        10,
        "Reading the trade-off",
        5,
        ("front", "rear", "measure"),
        "Every point is a pair. Look for a point that is better in both directions.",
        riding.tradeoff_question,
        riding.tradeoff_answer,
    ),
)


def minutes() -> int:
    """How long the whole lesson takes without class experiments [min]."""
    return sum(step.minutes for step in STEPS)
