"""The one state of the bench: bike, ground, and the set-ups beside the fitted one."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from explorer.app.state import State
from explorer.records.bikes.bike import Bike
from explorer.records.errors import RecordError
from explorer.records.setups.comparison import (
    MOST,
    NAMES,
    Fitment,
    checked,
    decode_also,
    decode_places,
    encode_also,
    encode_places,
    with_one_fitted_tyre,
)
from explorer.records.setups.setup import Setup, fitted_rollout
from explorer.records.tyre import same_size
from explorer.study.choice import PageChoice


@dataclass(frozen=True)
class BenchChoice(PageChoice):
    """A bike, a ground, and the set-ups on them; ``setup`` has that under the sliders.

    Attributes:
        others: One to three, beside the fitted one.
        at: Which of them is under the sliders [-].
        names: What the rider calls each place, whatever stands in it.
        sizes: Tyres that set-ups had on this bike: a slider keeps them while one is dragged away.
    """

    others: tuple[Fitment, ...]
    at: int
    names: tuple[str, ...] = NAMES
    sizes: tuple[str, ...] = ()

    @property
    def question(self) -> tuple:
        """What a table's rows depend on: two choices that agree in it can use the same one.

        The set-ups on another tyre than the one under the sliders have rows of their own.
        """
        unasked = {"front": 0, "rear": 0, "course": "", "course_rider": ""}
        on = self.setup.tyre, self.setup.rollout
        elsewhere = tuple(None if (each.tyre, each.rollout) == on else each for each in self.others)
        return self.bike, self.setup.model_copy(update=unasked), self.measured, elsewhere


class BenchState(State):
    """Holds one choice and tells who listens when it is replaced."""

    choice: BenchChoice

    @classmethod
    def from_link(cls, query: str, library: dict[str, Bike]) -> tuple["BenchState", list[str]]:
        """State that a link describes, and one sentence for each thing it got wrong."""
        plain, sentences = State.from_link(query, library)
        bike, setup = plain.bike, plain.setup
        also, slips_also = decode_also(query, bike)
        # A link without sprockets of its own is about the others, or about none.
        own = "front=" in query or "rear=" in query
        given = (*([Fitment.chosen_in(setup)] if own else []), *also)
        if _measured_twice(given, bike):
            slips_also.append(f"{_TWICE}; the first one counts. {_ADVICE}")
        fitted = Fitment.fitted_to(bike, Fitment.chosen_in(setup), *given)
        given = with_one_fitted_tyre(given, bike, fitted.rollout)
        picked, names, slips = decode_places(query, len(given))
        others = given[:MOST]
        if not also:
            # What else to look at is proposed beside it.
            measured = with_one_fitted_tyre((Fitment.chosen_in(setup),), bike, fitted.rollout)
            on = {"tyre": setup.tyre, "rollout": measured[0].rollout}
            more = (replace(each, **on) for each in proposed(bike, fitted))
            if own:
                # Beside what the link chose, first what lies on the other side of the fitted one.
                taller = _taller(given[0], fitted)
                more = sorted(more, key=lambda each: _taller(each, fitted) == taller)
                # A taller pair is no "Trail", whose place is the first.
                picked = 1 if taller and names == NAMES else picked
            more = (each for each in more if each not in others)
            others = (*others, *more)[:2]
            picked = min(picked, len(others) - 1)
        # The link's own sprockets are those of the set-up under the sliders, which keeps its place.
        others = (*others[1 : picked + 1], *others[:1], *others[picked + 1 :])
        choice = BenchChoice(bike, others[picked].on(setup), plain.measured, others, picked, names)
        return cls(library, choice), sentences + slips_also + slips

    @property
    def others(self) -> tuple[Fitment, ...]:
        """The set-ups beside the fitted one."""
        return self.choice.others

    @property
    def link(self) -> str:
        """Query that reopens this bench; other pages read the set-up under the sliders."""
        choice = self.choice
        more = (*self.others[: choice.at], *self.others[choice.at + 1 :])
        return (
            self.link_of(self.others[choice.at])
            + encode_also(more, self.bike, self.setup.units)
            + encode_places(choice.at, choice.names)
        )

    def link_of(self, fitment: Fitment) -> str:
        """Query that opens another page with one of the set-ups."""
        return self.link_with(fitment.on(self.setup))

    def change(self, **fields) -> None:
        """Change some fields of the set-up under the sliders, or of the ground."""
        self._put(self.others, self.choice.at, self.setup.changed(**fields))

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
        others = (*self.others[: self.choice.at], *self.others[self.choice.at + 1 :])
        at = min(self.choice.at, len(others) - 1)
        self._put(others, at, others[at].on(self.setup))

    def take(self, others: tuple[Fitment, ...]) -> None:
        """Replace all set-ups, as a file gives them; RecordError if they cannot be on one bike."""
        if _measured_twice(others, self.bike):
            raise RecordError(f"{_TWICE}; give it one. {_ADVICE}")
        others = with_one_fitted_tyre(others, self.bike, fitted_rollout(self.bike, *others))
        self._put(others, 0, others[0].on(self.setup))

    def told(self, slots: Sequence[tuple[str, int, int, str]], picked: int) -> None:
        """Take the set-ups as the rider left them in the browser: name, front, rear, tyre.

        A tyre keeps the roll-out that a set-up here has for it. RecordError says what this bike
        cannot have.
        """
        known = {each.tyre: each.rollout for each in reversed(self.others)}
        in_place = [(each.tyre, each.rollout) for each in self.others]
        others = []
        for place, (_, front, rear, tyre) in enumerate(slots):
            turn = dict(in_place[place : place + 1]).get(tyre, known.get(tyre))
            others.append(checked(Fitment(front, rear, tyre, turn), self.bike))
        names = tuple(name for name, *_ in slots)
        under = others[picked].on(self.setup)
        self._put(tuple(others), picked, under, (*names, *NAMES[len(names) :]))

    def _take(self, bike_id: str, bike: Bike) -> None:
        names = ("surface", "slope", "head_wind", "altitude", "temperature", "course", "units")
        kept = {name: getattr(self.setup, name) for name in names}
        self._start(bike, Setup.for_bike(bike_id, bike).changed(**kept))

    def reset(self) -> None:
        """Back to the bike of the library as it stands, the fitted gearing under the sliders."""
        before = self.others
        super().reset()
        fitted = Fitment.fitted_to(self.bike, *before)
        self.take((fitted, *self.others[1:]))

    def _start(self, bike: Bike, setup: Setup) -> None:
        """What is proposed first, on this bike."""
        others = proposed(bike, Fitment.fitted_to(bike))
        measured, names = self._measured_on(bike), self.choice.names
        self.choice = BenchChoice(bike, others[0].on(setup), measured, others, 0, names)

    def _put(
        self, others: tuple[Fitment, ...], at: int, setup: Setup, names: tuple[str, ...] = ()
    ) -> None:
        """Put a set-up in its place; what it says of the fitted tyre holds for the others too."""
        now, rest = Fitment.chosen_in(setup), (*others[:at], *others[at + 1 :])
        # A set-up that comes back to the fitted tyre brings no measurement and takes the others'.
        stays = all(same_size(each.tyre, self.bike.tyre.rear) for each in (others[at], now))
        turn = now.rollout if stays else fitted_rollout(self.bike, *rest, now)
        others = with_one_fitted_tyre((*others[:at], now, *others[at + 1 :]), self.bike, turn)
        had = (each.tyre for each in (*self.others, *others))
        sizes = tuple(dict.fromkeys((*self.choice.sizes, *had)))[-_KEPT_SIZES:]
        setup, names = others[at].on(setup), names or self.choice.names
        self.choice = replace(
            self.choice, sizes=sizes, setup=setup, others=others, at=at, names=names
        )


_KEPT_SIZES = 24

_TWICE = "The set-ups give the fitted tyre more than one roll-out"
_ADVICE = (
    "To compare two tyres of one size, first give the roll-out of the fitted one under “This bike” "
    "on the gearing page."
)


def _measured_twice(fitments: tuple[Fitment, ...], bike: Bike) -> bool:
    """Whether set-ups on the fitted tyre were given different measurements of it."""
    given = {each.rollout for each in fitments if same_size(each.tyre, bike.tyre.rear)} - {None}
    return bike.tyre.rollout is None and len(given) > 1


def _taller(each: Fitment, fitted: Fitment) -> bool:
    return each.rear * fitted.front < fitted.rear * each.front


def proposed(bike: Bike, fitted: Fitment) -> tuple[Fitment, ...]:
    """What to look at first: one front tooth fewer and one more, as far as they are sold."""
    low, high = bike.sprockets.front_sold
    fronts = [each for each in (fitted.front - 1, fitted.front + 1) if low <= each <= high]
    return tuple(replace(fitted, front=front) for front in fronts) or (fitted,)
