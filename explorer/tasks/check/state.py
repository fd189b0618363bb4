"""The one state of the check page: that of a gearing, with the wants that a link brings along."""

from explorer.app.state import State
from explorer.records.bikes.bike import Bike
from explorer.study.wants.wants_link import encode_wants
from explorer.tasks.wants.state import WantsChoice, WantsState


class CheckState(State):
    """Holds one choice and tells who listens when it is replaced."""

    choice: WantsChoice

    @classmethod
    def from_link(cls, query: str, library: dict[str, Bike]) -> tuple["CheckState", list[str]]:
        """State that a link describes, and one sentence for each thing it got wrong."""
        given, sentences = WantsState.from_link(query, library)
        return cls(library, given.choice), sentences

    @property
    def link(self) -> str:
        """Query that reopens this state, on this page or on another."""
        return super().link + encode_wants(self.choice.wishes)
