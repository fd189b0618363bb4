"""The steps of the lesson: what each asks, shows and answers. Their fixed texts are data."""

from collections.abc import Callable
from dataclasses import dataclass

from explorer.records.prose import read_prose
from explorer.tasks.lesson import interludes, seen
from explorer.tasks.lesson import words as ratios
from explorer.tasks.lesson import words_riding as riding
from explorer.tasks.lesson.facts import Facts
from explorer.tasks.lesson.question import Asked

_Words = tuple[Callable[[Facts], Asked], Callable[[Facts], list[str]], Callable[[Facts], list[str]]]

NUMBERED = 10
"""Steps with a number; what has a name stands between them or after them."""


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
        name: Of a step between the numbered ones; empty for those.
    """

    number: int
    title: str
    controls: tuple[str, ...]
    watch: str
    take_away: str
    ask: Callable[[Facts], Asked]
    seen: Callable[[Facts], list[str]]
    answer: Callable[[Facts], list[str]]
    name: str = ""

    @property
    def heading(self) -> str:
        """What stands above it, such as "Step 3 of 10: ..."."""
        return f"{self.name or f'Step {self.number} of {NUMBERED}'}: {self.title}"

    @property
    def label(self) -> str:
        """What a list calls it."""
        return self.name or self.title


_WORDS: tuple[_Words, ...] = (
    (ratios.lever_question, seen.lever, ratios.lever_answer),
    (ratios.teeth_question, seen.teeth, ratios.teeth_answer),
    (ratios.two_numbers_question, seen.two_numbers, ratios.two_numbers_answer),
    (ratios.gears_question, seen.gears, ratios.gears_answer),
    (ratios.overall_question, seen.overall, ratios.overall_answer),
    (riding.one_speed_question, seen.one_speed, riding.one_speed_answer),
    (riding.shift_question, seen.shift, riding.shift_answer),
    (riding.top_speed_question, seen.top_speed, riding.top_speed_answer),
    (riding.slack_question, seen.slack, riding.slack_answer),
    (riding.tradeoff_question, seen.tradeoff, riding.tradeoff_answer),
    (interludes.bend_question, interludes.bend_seen, interludes.bend_answer),
    (interludes.run_question, interludes.run_seen, interludes.run_answer),
    (interludes.bicycle_question, interludes.bicycle_seen, interludes.bicycle_answer),
    (interludes.challenge_question, interludes.challenge_seen, interludes.challenge_answer),
    (interludes.recap_question, interludes.recap_seen, interludes.recap_answer),
)

STEPS = tuple(
    Step(number, row["title"], tuple(row["controls"]), row["watch"], row["take_away"], *words,
         name=row.get("name", ""))
    for number, (row, words) in enumerate(
        zip(read_prose("lesson")["step"], _WORDS, strict=True), start=1
    )
)  # fmt: skip
