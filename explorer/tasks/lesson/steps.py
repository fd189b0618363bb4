"""The ten steps of the lesson, in order: what each asks, shows and answers."""

from collections.abc import Callable
from dataclasses import dataclass

from explorer.tasks.lesson import seen
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
        controls: Names of the controls that matter, as `lesson_controls` knows them.
        watch: What to do with the demonstration and what to look at.
        take_away: What to remember, in at most twelve words.
        ask: The question, from the computed numbers.
        seen: The answer that the class sees.
        answer: The answer in full, for the coach.
    """

    number: int
    title: str
    controls: tuple[str, ...]
    watch: str
    take_away: str
    ask: Callable[[Facts], Asked]
    seen: Callable[[Facts], list[str]]
    answer: Callable[[Facts], list[str]]


STEPS = (
    Step(
        1,
        "Lever and wheel",
        ("front", "rear"),
        "Make the rear sprocket larger: its arm grows. Watch the force of the tyre.",
        "A larger rear sprocket trades speed for pull, never more power.",
        ratios.lever_question,
        seen.lever,
        ratios.lever_answer,
    ),
    Step(
        2,
        "One front tooth against one rear tooth",
        (),
        "Each bar is one change. How many rear teeth match one front tooth?",
        "One tooth in front counts like several at the rear.",
        ratios.teeth_question,
        seen.teeth,
        ratios.teeth_answer,
    ),
    Step(
        3,
        "Pull and speed are two numbers",
        ("front", "rear"),
        "Move a sprocket a long way: the two bars never have the same length.",
        "Pull and speed change by different percentages: say which.",
        ratios.two_numbers_question,
        seen.two_numbers,
        ratios.two_numbers_answer,
    ),
    Step(
        4,
        "A sprocket moves every gear, a gear change moves one",
        ("front", "rear"),
        "Move a sprocket: the bars of the gears stay.",
        "Sprockets move every gear; only gearbox parts change the gaps.",
        ratios.gears_question,
        seen.gears,
        ratios.gears_answer,
    ),
    Step(
        5,
        "Final against overall ratio",
        ("other_bike", "front", "rear"),
        "Both bikes have the same pair. Look at first gear and at top gear.",
        "Compare engine turns per metre, not sprockets, between two bikes.",
        ratios.overall_question,
        seen.overall,
        ratios.overall_answer,
    ),
    Step(
        6,
        "Torque, power and pull at one road speed",
        ("road_speed", "rear"),
        "Move the road speed. Which gear pulls hardest?",
        "At one road speed, the gear with most power pulls hardest.",
        riding.one_speed_question,
        seen.one_speed,
        riding.one_speed_answer,
    ),
    Step(
        7,
        "Shift points on the sawtooth",
        ("front", "rear"),
        "The line climbs a gear, falls back, climbs the next. Move a sprocket.",
        "Shift when the next gear accelerates as hard, or at the limit.",
        riding.shift_question,
        seen.shift,
        riding.shift_answer,
    ),
    Step(
        8,
        "Top speed where power is the limit",
        ("front", "rear", "slope"),
        "Gear taller, or tilt the ground: where does pull meet resistance?",
        "Rev limit, power or ground sets top speed: find out which.",
        riding.top_speed_question,
        seen.top_speed,
        riding.top_speed_answer,
    ),
    Step(
        9,
        "Why slack changes with travel",
        ("travel",),
        "Move the wheel up slowly and find where the chain is tightest.",
        "Slack changes with wheel travel: set it as your manual says.",
        riding.slack_question,
        seen.slack,
        riding.slack_answer,
    ),
    Step(
        10,
        "Reading the trade-off",
        ("front", "rear", "measure"),
        "Every point is a pair. Follow the line: what does each gain cost?",
        "Say what you need first: each gain on the line costs something.",
        riding.tradeoff_question,
        seen.tradeoff,
        riding.tradeoff_answer,
    ),
)
