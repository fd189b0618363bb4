"""What scripted visitors note: answers to their sliders, times to the page, what went wrong."""

from dataclasses import dataclass, field


@dataclass(frozen=True)
class Answer:
    """One value sent by a slider: times of `time.perf_counter`, and what passed from sending [s].

    Attributes
    ----------
    moved, sent : float
        When the hand moved there, and when it was sent.
    done : float
        Until the kernel had said that it had done with it; the texts have come before.
    """

    moved: float
    sent: float
    done: float

    @property
    def felt(self) -> float:
        """From the hand's move [s]."""
        return self.sent - self.moved + self.done


@dataclass
class Seen:
    """What all visitors together have seen."""

    answers: list[Answer] = field(default_factory=list)
    pages: list[float] = field(default_factory=list)
    """How long each page took, from asking for it until its widgets had come [s]."""
    moves: int = 0
    """How often a hand moved a slider, sent or not."""
    refused: int = 0
    """How often the waiting page came."""
    visits: int = 0
    errors: list[str] = field(default_factory=list)

    def forget(self) -> None:
        """Begin anew, but for the number of visits and for what went wrong."""
        self.answers.clear()
        self.pages.clear()
        self.moves = self.refused = 0
