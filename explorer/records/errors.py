"""What a record answers when something given cannot be used.

Whatever reads, checks or changes what somebody gave raises a `RecordError`, one sentence for each
thing that is wrong. A docstring speaks of it only where it says more.
"""

from collections.abc import Iterator
from contextlib import contextmanager


class RecordError(ValueError):
    """One or more plain sentences: what is wrong, what is accepted, what to do.

    Attributes:
        sentences: One sentence for each thing that is wrong.
    """

    def __init__(self, *sentences: str) -> None:
        super().__init__(*sentences)
        self.sentences = sentences

    def __str__(self) -> str:
        return " ".join(self.sentences)


class Problems(list[str]):
    """Sentences that are gathered while reading, so that all are said at once.

    >>> problems = Problems()
    >>> with problems.of("Row 2: "):
    ...     raise RecordError("it is blank.")
    >>> problems
    ['Row 2: it is blank.']
    """

    @contextmanager
    def of(self, place: str = "") -> Iterator[None]:
        """What is refused inside is noted, each sentence with its place before it."""
        try:
            yield
        except RecordError as error:
            self.extend(f"{place}{sentence}" for sentence in error.sentences)

    def shorten(self, most: int) -> None:
        """Keep so many, and say how many more there are."""
        if (left := len(self) - most) > 0:
            self[most:] = [f"There are {left} more things like these to put right."]

    def refuse(self, *more: str) -> None:
        """RecordError with all of them and what is to be said behind them, if there are any."""
        if self:
            raise RecordError(*self, *more)
