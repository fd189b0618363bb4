"""The lesson as it stands: the bike and the pair, the step, and what the class has guessed."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Self

from explorer.records.bikes.bike import Bike
from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.fitting.fit import Measurements
from explorer.records.setups.setup import Setup
from explorer.units import KMH

OPENING = 0
"""In place of a step: where the coach chooses the plan."""

QUESTION, DEMONSTRATION, AGAIN, ANSWER = 0, 1, 2, 3
"""How far a step has been opened."""

MOST_TURNS = 2
"""Turns of the wheel in the first step."""

TEETH = ((9, 20), (28, 75))
"""Front and rear teeth that a pupil's own bike may have [count]."""

SLOWEST, FASTEST = 10 * KMH, 160 * KMH
"""Road speeds of the step on torque, power and pull; the upper end is somewhat beyond what the
fastest demo bike runs in top gear [m/s]."""

CLASS = 40
"""Most people who guess."""

LONGEST_REASON = 60
"""Characters of a "because"."""

DEFAULT_SEED = 1

REAR_MORE = 4
"""Rear teeth of the first change [count]: the rear is changed first, it wears the chain less."""


@dataclass(frozen=True)
class Place:
    """Where in the lesson a link opens it.

    Attributes:
        step: From 1; 0 is the opening.
        seed: Number of the quiz.
        large (bool): Whether letters and lines are large, for a projector.
        other_bike: Id of the bike to compare with in the step on overall ratios; empty for the next
            one of the library.
        road_speed: Of the step on torque, power and pull [m/s].
        travel: Wheel travel used, of the step on slack [m].
        turned: How far the wheel of the first step has been turned [turns].
        own: Front and rear teeth of a pupil's own bike.
        plan: A key of `PLANS`.
        opened: How far each step has been opened (explorer/tasks/lesson/state.py).
        votes: What the class guessed, by step and round (0 before the demonstration, 1 after it):
            the number of an option from 0, or the number typed.
        because: Why, in the class's words, by step.
        experiment: What the class found out, as chosen for its results, a key of `MEASURABLE`;
            empty for the first.
        results: Class results as typed, by the name of the experiment.
    """

    step: int = OPENING
    seed: int = DEFAULT_SEED
    large: bool = True
    other_bike: str = ""
    road_speed: float = 40 * KMH
    travel: float = 0.0
    turned: float = 0.0
    own: tuple[int, int] = (13, 48)
    plan: int = 40
    opened: Mapping[int, int] = field(default_factory=dict)
    votes: Mapping[tuple[int, int], tuple[str, ...]] = field(default_factory=dict)
    because: Mapping[int, str] = field(default_factory=dict)
    experiment: str = ""
    results: Mapping[str, str] = field(default_factory=dict)


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
    """

    bike: Bike
    setup: Setup
    place: Place = field(default_factory=Place)
    picked: Mapping[int, str] = field(default_factory=dict)
    solved: frozenset[int] = frozenset()
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

    def votes(self, which: int) -> tuple[str, ...]:
        """Guesses in this step, before the demonstration (0) or after it (1)."""
        return self.place.votes.get((self.step, which), ())

    def other_bike(self, library: Mapping[str, Bike]) -> str:
        """Id of the bike to compare with: as picked, else the next one of the library."""
        return self.place.other_bike or another(library, self.setup.bike_id)

    def at(self, **fields) -> Self:
        """Copy with some fields of the place changed."""
        return replace(self, place=replace(self.place, **fields))


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
