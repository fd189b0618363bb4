"""What scripted visitors note: answers to what they told, times to the page, what went wrong."""

from dataclasses import dataclass, field


@dataclass(frozen=True)
class Answer:
    """One pair told to the kernel: times of `time.perf_counter`, and what passed from then [s].

    Attributes:
        moved, sent: When the hand moved last, and when the bench told it.
        done: Until the kernel had said that it had done with it, the link among it.
        words: Until all words were on this pair.
    """

    moved: float
    sent: float
    done: float
    words: float

    @property
    def felt(self) -> float:
        """From the hand's last move to all words [s]."""
        return self.sent - self.moved + self.words


@dataclass
class Seen:
    """What all visitors together have seen."""

    answers: list[Answer] = field(default_factory=list)
    pages: list[float] = field(default_factory=list)
    """How long each page took, from asking for it until its widgets had come [s]."""
    moves: int = 0
    """How often a hand moved a slider, which the browser answers."""
    refused: int = 0
    """How often the waiting page came."""
    visits: int = 0
    errors: list[str] = field(default_factory=list)

    def forget(self) -> None:
        """Begin anew, but for the number of visits and for what went wrong."""
        self.answers.clear()
        self.pages.clear()
        self.moves = self.refused = 0
