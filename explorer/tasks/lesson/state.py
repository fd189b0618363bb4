"""The one state of the lesson page: the set-up, the step, and what the class has guessed."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Self

from traitlets import Instance

from explorer.app.state import BikeState
from explorer.records.bikes.bike import Bike
from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.clubs.club import units_offered
from explorer.records.fitting.fit import Measurements, decode_fit, encode_fit
from explorer.records.lessons.quiz import LARGEST_SEED
from explorer.records.setups.link import decode, encode
from explorer.records.setups.setup import Setup
from explorer.records.typed_text import tidy
from explorer.tasks.lesson.link import (
    CLASS,
    LONGEST_REASON,
    OPENING,
    PLANS,
    Place,
    decode_place,
    encode_place,
    with_known_bike,
)

QUESTION, DEMONSTRATION, AGAIN, ANSWER = 0, 1, 2, 3
"""How far a step has been opened."""


REAR_MORE = 4
"""Rear teeth of the first change [count]: the rear is changed first, it wears the chain less."""


@dataclass(frozen=True)
class Lesson:
    """All that the page shows follows from this.

    Attributes:
        bike: The bike that the class looks at.
        setup: The pair chosen for it, the ground, the reader's units: what a demonstration moves.
        asked: The set-up that the questions are about, whatever a demonstration moves; None for
            `setup`.
        place: All else that a link brings back: step, quiz, size of the letters, and how the
            demonstrations are set.
        picked: Options picked in the quiz, by the number of the question from 0.
        solved: Questions of the quiz whose solution is shown.
        results: Class results as typed, by the name of the experiment.
    """

    bike: Bike
    setup: Setup
    place: Place = field(default_factory=Place)
    picked: Mapping[int, str] = field(default_factory=dict)
    solved: frozenset[int] = frozenset()
    results: Mapping[str, str] = field(default_factory=dict)
    measured: Measurements | None = None
    asked: Setup | None = None

    @property
    def measurements(self) -> Measurements:
        """What was measured on the bike, at least what its file says."""
        return self.measured or Measurements.for_bike(self.bike)

    @property
    def step(self) -> int:
        """The step that is shown, from 1; `OPENING` before the first."""
        return self.place.step

    @property
    def stage(self) -> int:
        """How far that step has been opened."""
        return self.place.opened.get(self.step, QUESTION)

    @property
    def when_asked(self) -> Self:
        """The lesson as the questions have it: no demonstration has moved anything."""
        usual = Place(self.step, self.place.seed, self.place.large, plan=self.place.plan)
        return replace(self, setup=self.asked or self.setup, place=usual)

    @property
    def round(self) -> int:
        """The round in which the class guesses now: 1 after the demonstration."""
        return int(self.stage >= AGAIN)

    def order(self, step: int) -> int:
        """Where a step stands in the lesson, before (negative) or after the one that is shown."""
        every = [OPENING, *PLANS[max(PLANS)]]
        return every.index(step) - every.index(self.step)

    @property
    def following(self) -> tuple[int, ...]:
        """The steps of the plan, the opening before them."""
        return (OPENING, *PLANS[self.place.plan])

    def votes(self, which: int) -> tuple[str, ...]:
        """Guesses in this step, before the demonstration (0) or after it (1)."""
        return self.place.votes.get((self.step, which), ())

    def other_bike(self, library: Mapping[str, Bike]) -> str:
        """Id of the bike to compare with: as picked, else the next one of the library."""
        return self.place.other_bike or another(library, self.setup.bike_id)

    def at(self, **fields) -> Self:
        """Copy with some fields of the place changed."""
        return replace(self, place=replace(self.place, **fields))


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
    def setup_link(self) -> str:
        """Query that opens another page with the set-up."""
        lesson = self.choice
        setup = encode(lesson.asked or lesson.setup, self.base_bike, lesson.bike)
        return setup + encode_fit(lesson.measurements, lesson.bike)

    @property
    def link(self) -> str:
        """Query that reopens this step, set as it is now."""
        return self.link_to(self.choice.step)

    def link_to(self, step: int) -> str:
        """Query that opens another step with this set-up."""
        place = encode_place(self.choice.at(step=step).place, self.choice.setup.units)
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
        place = replace(self.lesson.place, opened={}, votes={}, because={})
        if place.other_bike == bike_id:
            place = replace(place, other_bike="")
        begun = fresh.changed(**kept, **starting_pair(bike))
        self.put(bike=bike, measured=None, setup=begun, asked=begun, place=place, results={})

    def move(self, **fields) -> None:
        """Change some fields of the place."""
        self.choice = self.lesson.at(**fields)

    def go(self, step: int) -> None:
        """Show another step, its demonstration as it begins; beyond the ends it stays."""
        asked = self.lesson.asked or self.lesson.setup
        self.choice = replace(self.lesson.at(step=step, turned=0.0), setup=asked)

    def pass_on(self, by: int) -> None:
        """Go to the next step of the plan, or back to the one before."""
        there = [each for each in self.lesson.following if by * self.lesson.order(each) > 0]
        if there:
            self.go(min(there, key=lambda each: abs(self.lesson.order(each))))

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


def starting_pair(bike: Bike) -> dict[str, int]:
    """A pair to begin with, other than the fitted one: some rear teeth more where they are sold."""
    sprockets = bike.sprockets
    more = min(sprockets.rear_sold[1] - sprockets.rear, REAR_MORE)
    return {"front": sprockets.front, "rear": sprockets.rear + (more if more > 0 else -REAR_MORE)}


def others(library: Mapping[str, Bike], bike_id: str) -> dict[str, Bike]:
    """Bikes to compare one with: all others of the library, those of the demo where there are
    none."""
    there = {each: bike for each, bike in library.items() if each != bike_id}
    return there or {each: bike for each, bike in demo_bikes().items() if each != bike_id}


def another(library: Mapping[str, Bike], bike_id: str) -> str:
    """Id of a bike to compare with: the next one of the library, or the first of the demo."""
    ids = list(library)
    following = ids[(ids.index(bike_id) + 1) % len(ids) if bike_id in ids else 0]
    return next(iter(others(library, bike_id))) if following == bike_id else following


_OF_THE_GROUND = (
    "surface", "slope", "head_wind", "altitude", "temperature", "units", "measure",
)  # fmt: skip
