"""What a crowd of scripted visitors saw, and what the server took, within a stretch of time."""

import asyncio
import statistics
import time
from collections.abc import Sequence
from dataclasses import dataclass

from tests.bench.visitors.crowd import Crowd
from tests.bench.visitors.seen_answers import Answer
from tests.bench.visitors.server_processes import Memory, ServerProcesses

LOOK_EVERY = 1.0
"""How often the kernels' processor time is read [s]."""


@dataclass(frozen=True)
class Window:
    """One stretch of time.

    Attributes
    ----------
    visitors : int
        How many there were meant to be.
    answers : sequence of Answer
        Those that came within it.
    pages : sequence of float
        How long each page took that came within it [s].
    held_back : float
        Share of the hands' moves that were not sent, for newer ones came while an answer was
        awaited [-].
    refused, errors : int
        How often the waiting page came; what went wrong.
    cores : dict of str to float
        How many processors server, warm process, kernels and visitors kept busy.
    memory : Memory
        At the end.
    """

    visitors: int
    answers: Sequence[Answer]
    pages: Sequence[float]
    held_back: float
    refused: int
    errors: int
    cores: dict[str, float]
    memory: Memory

    def milliseconds(self, part: str) -> tuple[float, float]:
        """Median and 95th percentile of the answers' "done" or "felt" [ms].

        Not a number where there are too few answers.
        """
        times = [1e3 * getattr(answer, part) for answer in self.answers]
        if len(times) < 2:
            return float("nan"), float("nan")
        return statistics.median(times), statistics.quantiles(times, n=20)[-1]

    @property
    def page(self) -> float:
        """Median time to the page [s]; not a number if none was asked for."""
        return statistics.median(self.pages) if self.pages else float("nan")


async def watch(crowd: Crowd, processes: ServerProcesses, seconds: float) -> Window:
    """Look on for so long while the crowd, which is there, does what it does."""
    seen = crowd.seen
    seen.forget()
    errors = len(seen.errors)
    began, before = time.perf_counter(), processes.work()
    end = began + seconds
    while (left := end - time.perf_counter()) > 0:
        await asyncio.sleep(min(left, LOOK_EVERY))
        after = processes.work()
    spent = time.perf_counter() - began

    return Window(
        visitors=len(crowd),
        answers=tuple(seen.answers),
        pages=tuple(seen.pages),
        held_back=max(0.0, 1 - len(seen.answers) / seen.moves) if seen.moves else 0.0,
        refused=seen.refused,
        errors=len(seen.errors) - errors,
        cores={
            part: (getattr(after, part) - getattr(before, part)) / spent
            for part in ("server", "warm", "kernels", "visitors")
        },
        memory=processes.memory(len(crowd)),
    )
