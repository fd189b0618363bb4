"""What every step of the lesson is: its question, answer, words and demonstration in one class.

A step is one file in :mod:`explorer.tasks.lesson.steps`, found there by itself; its oracle is one
file in tests/tasks/lesson/oracles. Every number that it says is computed from the facts.
"""

from typing import ClassVar

from markupsafe import Markup

from explorer.app.parts import Figure
from explorer.records.bikes.bike import Bike
from explorer.tasks.lesson.facts import Facts
from explorer.tasks.lesson.question import Asked

WHOLE = (20, 40, 90)
"""A plan of the lesson for each length of a class [min]; the longest has every step."""


class Step:
    """One step.

    Attributes:
        number: In links, from 1; it stays the step's for ever.
        place: Where it comes in the lesson. A step with a name may stand between two numbers.
        minutes: What it wants of each of the plans in `WHOLE` [min]; 0 of one that has it not.
        name: Of a step that is none of the numbered ones; empty for those.
        controls: Names of the controls that matter, keys of `CONTROLS`.
        watch: What to do with the demonstration and what to look at.
        take_away: At most twelve words.
        coach: What the coach says beside the answer.
        elsewhere: Said instead of the last two where its idea does not show.
        figure: The chart of the demonstration; its view is None where it cannot be computed.
    """

    number: ClassVar[int]
    place: ClassVar[float]
    minutes: ClassVar[tuple[int, int, int]]
    name: ClassVar[str] = ""
    title: ClassVar[str]
    controls: ClassVar[tuple[str, ...]] = ()
    watch: ClassVar[str]
    take_away: ClassVar[str]
    coach: ClassVar[tuple[str, ...]]
    elsewhere: ClassVar[str] = "This bike does not show it here: take another bike or ground."
    figure: ClassVar[Figure | None] = None

    def ask(self, facts: Facts) -> Asked:
        """What the class is asked; the facts are those before a demonstration moves anything."""
        raise NotImplementedError

    def seen(self, facts: Facts) -> list[str]:
        """The answer that the class sees: one or two short sentences, numbers first."""
        raise NotImplementedError

    def more(self, facts: Facts) -> list[str]:
        """Numbers beside it for the coach."""
        return []

    def shows(self, facts: Facts) -> bool:
        """Whether its idea holds for this bike and ground; if not, it is not claimed."""
        return True

    def beside(self, facts: Facts, base: Bike) -> Markup:
        """What stands above the chart of the demonstration.

        `base` is the bike of the library from which that of the lesson came.
        """
        return Markup("")

    def answer(self, facts: Facts) -> list[str]:
        """The answer in full, for the coach."""
        coach = self.coach if self.shows(facts) else ()
        return [*self.seen(facts), *self.more(facts), *coach]

    def look(self, facts: Facts) -> str:
        """What to look at; on a bike on which it can't be seen, that."""
        return self.watch if self.shows(facts) else self.elsewhere

    def remember(self, facts: Facts) -> str:
        """What to remember, where it holds."""
        return self.take_away if self.shows(facts) else self.elsewhere

    def wants(self, whole: int) -> int:
        """Minutes that it wants of the plan of so many; 0 where that does without it."""
        return dict(zip(WHOLE, self.minutes, strict=True))[whole]

    @property
    def heading(self) -> str:
        """What stands above it, such as "Step 3: ..."."""
        return f"{self.name or f'Step {self.number}'}: {self.title}"

    @property
    def label(self) -> str:
        """What a list calls it."""
        return self.name or self.title


def every_step() -> tuple[Step, ...]:
    """All steps that have been read, in the order of their numbers."""
    return tuple(each() for each in sorted(Step.__subclasses__(), key=lambda each: each.number))
