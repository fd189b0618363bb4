"""The steps of the lesson: what each asks, shows and answers. Their fixed texts are data."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from explorer.records.prose import read_prose
from explorer.tasks.lesson import interludes, seen
from explorer.tasks.lesson import words as ratios
from explorer.tasks.lesson import words_riding as riding
from explorer.tasks.lesson.facts import Facts
from explorer.tasks.lesson.question import Asked

_Said = Callable[[Facts], list[str]]
_Words = tuple[Callable[[Facts], Asked], _Said] | tuple[Callable[[Facts], Asked], _Said, _Said]

_ELSEWHERE = "This bike does not show it here: take another bike or ground."


@dataclass(frozen=True)
class Step:
    """One step.

    Attributes:
        number: From 1.
        seen: The answer that the class sees.
        more: Numbers beside it for the coach.
        controls: Names of the controls that matter, keys of `CONTROLS`.
        watch: What to do with the demonstration and what to look at.
        name: Of a step between the numbered ones; empty for those.
    """

    number: int
    ask: Callable[[Facts], Asked]
    seen: _Said
    more: _Said
    title: str
    controls: tuple[str, ...]
    watch: str
    take_away: str
    coach: tuple[str, ...]
    name: str = ""

    def answer(self, facts: Facts) -> list[str]:
        """The answer in full, for the coach."""
        coach = self.coach if facts.shows(self.number) else ()
        return [*self.seen(facts), *self.more(facts), *coach]

    def look(self, facts: Facts) -> str:
        """What to look at; on a bike on which it can't be seen, that."""
        return self.watch if facts.shows(self.number) else _ELSEWHERE

    def remember(self, facts: Facts) -> str:
        """What to remember, where it holds."""
        return self.take_away if facts.shows(self.number) else _ELSEWHERE

    @property
    def heading(self) -> str:
        """What stands above it, such as "Step 3: ..."."""
        return f"{self.name or f'Step {self.number}'}: {self.title}"

    @property
    def label(self) -> str:
        """What a list calls it."""
        return self.name or self.title


def _nothing(_: Facts) -> list[str]:
    return []


_WORDS: tuple[_Words, ...] = (
    (ratios.lever_question, seen.lever),
    (ratios.teeth_question, seen.teeth),
    (ratios.two_numbers_question, seen.two_numbers),
    (ratios.gears_question, seen.gears),
    (ratios.overall_question, seen.overall, ratios.overall_answer),
    (riding.one_speed_question, seen.one_speed),
    (riding.shift_question, seen.shift),
    (riding.top_speed_question, seen.top_speed, riding.top_speed_answer),
    (riding.slack_question, seen.slack),
    (riding.tradeoff_question, seen.tradeoff, riding.tradeoff_answer),
    (interludes.bend_question, interludes.bend_seen),
    (interludes.run_question, interludes.run_seen),
    (interludes.bicycle_question, interludes.bicycle_seen),
    (interludes.challenge_question, interludes.challenge_seen),
    (interludes.recap_question, interludes.recap_seen, interludes.recap_answer),
)


def _step(number: int, row: dict[str, Any], words: _Words) -> Step:
    names = row | {"controls": tuple(row["controls"]), "coach": tuple(row["coach"])}
    return Step(number, *words[:2], more=(*words[2:], _nothing)[0], **names)


STEPS = tuple(
    _step(number, row, words)
    for number, (row, words) in enumerate(
        zip(read_prose("lesson")["step"], _WORDS, strict=True), start=1
    )
)
