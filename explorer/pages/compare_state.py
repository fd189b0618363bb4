"""The one state of the compare page: bike, ground, and the set-ups beside the fitted one."""

from dataclasses import dataclass, replace

from explorer.pages.gearing_state import GearingState, PageChoice
from explorer.records.bike import Bike
from explorer.records.comparison import (
    MOST,
    Fitment,
    checked,
    decode_also,
    encode_also,
)
from explorer.records.errors import RecordError
from explorer.records.fit import Measurements
from explorer.records.setup import Setup


@dataclass(frozen=True)
class CompareChoice(PageChoice):
    """A bike, a ground, and the set-ups on them.

    The sprockets and the tyre of ``setup`` are those of the set-up under the sliders.

    Attributes
    ----------
    others : tuple of Fitment
        One to three, beside the fitted one.
    at : int
        Which of them is under the sliders [-].
    """

    others: tuple[Fitment, ...]
    at: int


class CompareState(GearingState):
    """Holds one choice and tells who listens when it is replaced.

    Parameters
    ----------
    library : dict of str to Bike
        The bikes to choose from.
    choice : CompareChoice
        What to start with.
    """

    choice: CompareChoice

    @classmethod
    def from_link(cls, query: str, library: dict[str, Bike]) -> tuple["CompareState", list[str]]:
        """State that a link describes, and one sentence for each thing it got wrong."""
        plain, sentences = GearingState.from_link(query, library)
        bike, setup = plain.bike, plain.setup
        also, more = decode_also(query, bike)
        chosen, fitted = Fitment.chosen_in(setup), Fitment.fitted_to(bike)
        others = tuple(dict.fromkeys((chosen, *also)))
        others = tuple(each for each in others if each != fitted)[:MOST] or proposed(bike)
        choice = CompareChoice(bike, others[0].on(setup), plain.measured, others, 0)
        return cls(library, choice), sentences + more

    @property
    def others(self) -> tuple[Fitment, ...]:
        """The set-ups beside the fitted one."""
        return self.choice.others

    @property
    def link(self) -> str:
        """Query that reopens this comparison, and of which other pages read the first set-up."""
        first, *more = self.others
        return self.link_of(first) + encode_also(more, self.bike, self.setup.units)

    def link_of(self, fitment: Fitment) -> str:
        """Query that opens another page with one of the set-ups."""
        return self.link_with(fitment.on(self.setup))

    def change(self, **fields) -> None:
        """Change some fields of the set-up under the sliders, or of the ground."""
        setup = self.setup.changed(**fields)
        self._put(self.others, self.choice.at, setup)

    def select(self, at: int) -> None:
        """Put another set-up under the sliders."""
        self._put(self.others, at, self.others[at].on(self.setup))

    def add(self) -> None:
        """Add a set-up: the one under the sliders, with another rear sprocket."""
        if len(self.others) >= MOST:
            raise RecordError(
                f"{MOST + 1} set-ups are compared at most; remove one or change one instead."
            )
        now, (_, highest) = self.others[self.choice.at], self.bike.sprockets.rear_sold
        step = 2 if now.rear + 2 <= highest else -2
        added = checked(replace(now, rear=now.rear + step), self.bike)
        others = (*self.others, added)
        self._put(others, len(others) - 1, added.on(self.setup))

    def remove(self) -> None:
        """Take the set-up under the sliders away."""
        if len(self.others) == 1:
            raise RecordError("One set-up stays beside the fitted one; change it instead.")
        others = tuple(each for at, each in enumerate(self.others) if at != self.choice.at)
        at = min(self.choice.at, len(others) - 1)
        self._put(others, at, others[at].on(self.setup))

    def take(self, others: tuple[Fitment, ...]) -> None:
        """Replace all set-ups, as a file gives them."""
        self._put(others, 0, others[0].on(self.setup))

    def _take(self, bike_id: str, bike: Bike) -> None:
        as_it_stands = Setup.for_bike(bike_id, bike)
        kept = ("surface", "slope", "head_wind", "altitude", "temperature", "course", "units")
        self._start(
            bike, as_it_stands.changed(**{name: getattr(self.setup, name) for name in kept})
        )

    def _start(self, bike: Bike, setup: Setup) -> None:
        """What is proposed first, on this bike."""
        others = proposed(bike)
        measured = self.measured if bike == self.bike else Measurements.for_bike(bike)
        self.choice = CompareChoice(bike, others[0].on(setup), measured, others, 0)

    def _put(self, others: tuple[Fitment, ...], at: int, setup: Setup) -> None:
        others = (*others[:at], Fitment.chosen_in(setup), *others[at + 1 :])
        self.choice = replace(self.choice, setup=setup, others=others, at=at)


def proposed(bike: Bike) -> tuple[Fitment, ...]:
    """What to look at first: one front tooth fewer and one more, as far as they are sold."""
    fitted, (low, high) = Fitment.fitted_to(bike), bike.sprockets.front_sold
    fronts = [each for each in (fitted.front - 1, fitted.front + 1) if low <= each <= high]
    return tuple(replace(fitted, front=front) for front in fronts) or (fitted,)
