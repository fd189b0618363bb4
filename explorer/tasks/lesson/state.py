"""The one state of the lesson page, and what changes it."""

from dataclasses import replace
from typing import Self

from traitlets import Instance

from explorer.app.state import BikeState
from explorer.records.bikes.bike import Bike
from explorer.records.clubs.club import units_offered
from explorer.records.fitting.fit import decode_fit, encode_fit
from explorer.records.lessons.quiz import LARGEST_SEED
from explorer.records.setups.link import decode, encode
from explorer.records.setups.setup import Setup
from explorer.records.typed_text import tidy
from explorer.tasks.lesson.lesson import (
    CLASS,
    LONGEST_REASON,
    OPENING,
    Lesson,
    Place,
    others,
    starting_pair,
)
from explorer.tasks.lesson.link import decode_place, encode_place, with_known_bike
from explorer.tasks.lesson.plans import PLANS


class LessonState(BikeState):
    """The state of the lesson."""

    choice = Instance(Lesson)

    @classmethod
    def from_link(cls, query: str, library: dict[str, Bike]) -> tuple[Self, list[str]]:
        """State that a link describes, and one sentence for each thing it got wrong."""
        place, rest, sentences = decode_place(query)
        setup, bike, slips = decode(rest, library, units_offered())
        sentences += slips
        # Measured for the fit page; here it serves the step on slack and is carried along.
        measured, slips = decode_fit(rest, bike)
        sentences += slips
        place, slips = with_known_bike(place, setup.bike_id, others(library, setup.bike_id))
        sentences += slips
        if not {part.partition("=")[0] for part in rest.split("&")} & {"front", "rear"}:
            # A lesson about changes begins with one; a pair that the link names stays, fitted or
            # not.
            setup = setup.changed(**starting_pair(bike))
        return cls(library, Lesson(bike, setup, place, measured=measured, asked=setup)), sentences

    @property
    def lesson(self) -> Lesson:
        """All that the page is about."""
        return self.choice

    @property
    def plan(self) -> tuple[int, ...]:
        """The steps of the plan, the opening before them."""
        return (OPENING, *PLANS[self.lesson.place.plan])

    @property
    def setup_link(self) -> str:
        """Query that opens another page with the set-up."""
        lesson = self.choice
        setup = encode(lesson.asked or lesson.setup, self.base_bike, lesson.bike)
        return setup + encode_fit(lesson.measurements, lesson.bike)

    @property
    def link(self) -> str:
        """Query that reopens this step, set as it is now."""
        return self.link_to(self.choice.step)

    @property
    def sheet_link(self) -> str:
        """The same for a sheet: its code stays coarse without what a class found."""
        return self.link_to(self.choice.step, results={}, experiment="")

    def link_to(self, step: int, **fields) -> str:
        """Query that opens another step with this set-up, some fields of the place changed."""
        place = encode_place(self.choice.at(step=step, **fields).place, self.choice.setup.units)
        return f"?{place}&{self.setup_link.removeprefix('?')}"

    def put(self, **fields) -> None:
        """Change some fields of the lesson."""
        self.choice = replace(self.choice, **fields)

    def change(self, **fields) -> None:
        """Change some fields of the set-up; RecordError says what cannot be."""
        setup, asked = self.lesson.setup.changed(**fields), self.lesson.asked
        if asked is not None and "units" in fields:
            asked = asked.changed(units=fields["units"])
        self.put(setup=setup, asked=asked)

    def pick_bike(self, bike_id: str) -> None:
        """Take another bike of the library, as it stands; the units and the ground stay.

        What the class found out with the bike before goes.
        """
        bike, setup = self.library[bike_id], self.lesson.setup
        fresh = Setup.for_bike(bike_id, bike)
        kept = {name: getattr(setup, name) for name in _OF_THE_GROUND}
        place = replace(self.lesson.place, opened={}, votes={}, because={}, results={})
        if place.other_bike == bike_id:
            place = replace(place, other_bike="")
        begun = fresh.changed(**kept, **starting_pair(bike))
        self.put(bike=bike, measured=None, setup=begun, asked=begun, place=place)

    def move(self, **fields) -> None:
        """Change some fields of the place."""
        self.choice = self.lesson.at(**fields)

    def go(self, step: int) -> None:
        """Show another step, its demonstration as it begins; beyond the ends it stays."""
        asked = self.lesson.asked or self.lesson.setup
        self.choice = replace(self.lesson.at(step=step, turned=0.0), setup=asked)

    def pass_on(self, by: int) -> None:
        """Go to the next step of the plan, or back to the one before."""
        every = [OPENING, *PLANS[max(PLANS)]]
        here = every.index(self.lesson.step)
        # The step that is shown may be none of the plan's.
        there = [each for each in self.plan if by * (every.index(each) - here) > 0]
        if there:
            self.go(min(there, key=lambda each: abs(every.index(each) - here)))

    def vote(self, *guesses: str) -> None:
        """Add guesses to this step's round, as many as there may be people."""
        lesson = self.lesson
        kept = (*lesson.votes(lesson.round), *guesses)[:CLASS]
        self.move(votes={**lesson.place.votes, (lesson.step, lesson.round): kept})

    def take_back(self) -> None:
        """Take the last guess back."""
        lesson = self.lesson
        kept = lesson.votes(lesson.round)[:-1]
        self.move(votes={**lesson.place.votes, (lesson.step, lesson.round): kept})

    def reason(self, text: str) -> None:
        """Keep why the class guesses so."""
        kept = tidy(text)[:LONGEST_REASON]
        self.move(because={**self.lesson.place.because, self.lesson.step: kept})

    def found(self, name: str, text: str) -> None:
        """Keep what the class found in an experiment, as typed."""
        self.move(results={**self.lesson.place.results, name: text})

    def open(self, stage: int) -> None:
        """Show a stage of this step."""
        self.move(opened={**self.lesson.place.opened, self.lesson.step: stage})

    def quiz(self, seed: int) -> None:
        """Another quiz, nothing picked yet."""
        self.choice = replace(self.lesson.at(seed=seed), picked={}, solved=frozenset())

    def reset(self) -> None:
        """For the next group: the opening, first pair, level ground, the usual measure, nothing
        guessed or shown, other quiz numbers."""
        lesson = self.lesson
        usual = Setup.for_bike(lesson.setup.bike_id, lesson.bike)
        begun = lesson.setup.changed(
            **starting_pair(lesson.bike), slope=usual.slope, measure=usual.measure
        )
        self.choice = Lesson(
            bike=lesson.bike,
            measured=lesson.measured,
            setup=begun,
            asked=begun,
            place=Place(
                seed=(lesson.place.seed + 1) % (LARGEST_SEED + 1),
                large=lesson.place.large,
                plan=lesson.place.plan,
                other_bike=lesson.place.other_bike,
            ),
        )


_OF_THE_GROUND = (
    "surface", "slope", "head_wind", "altitude", "temperature", "units", "measure",
)  # fmt: skip
