"""The one state of the wants page: bike, ground, what was measured, and what the rider wants."""

from dataclasses import dataclass, replace

from explorer.app.state import State
from explorer.records.bikes.bike import Bike
from explorer.records.errors import RecordError
from explorer.records.setups.comparison import MOST, Fitment, encode_also
from explorer.records.setups.setup import Setup
from explorer.study.choice import PageChoice
from explorer.study.wants.complaints import COMPLAINTS
from explorer.study.wants.want import Want
from explorer.study.wants.wants_link import MOST_WANTS, Wishes, decode_wants, encode_wants


@dataclass(frozen=True)
class WantsChoice(PageChoice):
    """A bike, a ground and the wishes on them."""

    wishes: Wishes


class WantsState(State):
    """Holds one choice and tells who listens when it is replaced."""

    choice: WantsChoice

    @classmethod
    def from_link(cls, query: str, library: dict[str, Bike]) -> tuple["WantsState", list[str]]:
        """State that a link describes, and one sentence for each thing it got wrong."""
        plain, sentences = State.from_link(query, library)
        wishes, more = decode_wants(query)
        choice = WantsChoice(plain.bike, plain.setup, plain.measured, wishes)
        return cls(library, choice), sentences + more

    @property
    def wishes(self) -> Wishes:
        """What the rider said."""
        return self.choice.wishes

    @property
    def link(self) -> str:
        """Query that reopens these wants."""
        return self.link_of(self.setup.front, self.setup.rear) + encode_wants(self.wishes)

    def link_of(self, front: int, rear: int, beside: tuple[tuple[int, int], ...] = ()) -> str:
        """Query that opens another page with a pair, and the compare page with some beside it."""
        setup = self.setup.changed(front=front, rear=rear)
        others = [
            replace(Fitment.chosen_in(setup), front=other[0], rear=other[1])
            for other in beside
            if other != (front, rear)
        ]
        also = encode_also(others[: MOST - 1], self.bike, self.setup.units)
        return self.link_with(setup) + also

    def wish(self, wishes: Wishes) -> None:
        """Replace what the rider said."""
        if len(wishes.wants) > MOST_WANTS:
            raise RecordError(f"At most {MOST_WANTS} wants are kept; take some away first.")
        self.choice = replace(self.choice, wishes=wishes)

    def add(self, wants: tuple[Want, ...]) -> None:
        """Add wants; what is wanted already in the same words is not wanted twice."""
        self.wish(replace(self.wishes, wants=self._with(wants)))

    def _with(self, wants: tuple[Want, ...]) -> tuple[Want, ...]:
        known = {each.said for each in self.wishes.wants}
        return (*self.wishes.wants, *(each for each in wants if each.said not in known))

    def tick(self, name: str, ticked: bool) -> None:
        """Want what a complaint asks for, or no more what no other ticked one asks for."""
        wishes, about = self.wishes, COMPLAINTS[name].wants()
        if ticked == (name in wishes.ticked):
            return
        after = tuple(each for each in COMPLAINTS if each in {*wishes.ticked} ^ {name})
        if ticked:
            wants = self._with(about)
        else:
            still = {want.said for each in after for want in COMPLAINTS[each].wants()}
            gone = {want.said for want in about} - still
            wants = tuple(each for each in wishes.wants if each.said not in gone)
        self.wish(replace(wishes, wants=wants, ticked=after))

    def put(self, number: int, want: Want) -> None:
        """Replace one want."""
        wants = list(self.wishes.wants)
        wants[number] = want
        self.wish(replace(self.wishes, wants=tuple(wants)))

    def drop(self, number: int) -> None:
        """Take one want away."""
        wants = self.wishes.wants
        self.wish(replace(self.wishes, wants=wants[:number] + wants[number + 1 :]))

    def share(self, terrain: str, amount: float) -> None:
        """Change the share of one terrain."""
        shares = {**dict(self.wishes.shares), terrain: amount}
        given = tuple((name, each) for name, each in shares.items() if each > 0)
        self.wish(replace(self.wishes, shares=given))

    def _take(self, bike_id: str, bike: Bike) -> None:
        kept = ("surface", "slope", "head_wind", "altitude", "temperature", "units")
        setup = Setup.for_bike(bike_id, bike)
        self._start(bike, setup.changed(**{name: getattr(self.setup, name) for name in kept}))
