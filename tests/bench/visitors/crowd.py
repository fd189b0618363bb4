"""So many scripted visitors at once: whoever leaves is followed by another."""

import asyncio
import contextlib
import itertools
import random
import time

from tests.bench.visitors.page_habits import Files
from tests.bench.visitors.page_visitor import NoPlaceError
from tests.bench.visitors.scripted_visitor import Visitor
from tests.bench.visitors.seen_answers import Seen

STAY = (30.0, 120.0)
"""Shortest and longest visit [s]."""
BETWEEN_ARRIVALS = 0.5
"""Newcomers of a growing crowd come one after the other in this distance [s]."""
AFTER_A_FAULT = 1.0
"""A place stays empty so long after a fault, lest faults come by the thousand [s]."""

# Sold for each demo bike, so that every visitor's link can carry a pair of its own.
_BIKES = {
    "bracken-125": ((10, 17), (38, 68)),
    "fogbank-650": ((13, 17), (39, 47)),
    "marram-250": ((12, 15), (44, 53)),
    "sleet-450": ((12, 15), (45, 53)),
    "wagtail-85": ((13, 15), (46, 52)),
}
_LIGHTEST, _WEIGHTS = 50, 61
"""Lightest rider [kg] and how many weights there are; no divisor of the number of bikes, so that
all combinations come before one comes again."""


class Crowd:
    """Visitors of one server.

    Args:
        url: Address of the front page.
        files: Paths of what a browser asks for besides.
        seed: Of everything random: the same crowd each time, as far as the server's pace allows.

    Attributes:
        seen: What all visitors have seen so far.
    """

    def __init__(self, url: str, files: Files, seed: int = 1) -> None:
        self.seen = Seen()
        self._url, self._files = url, files
        self._numbers = itertools.count()
        self._chance = random.Random(seed)
        self._places: list[tuple[asyncio.Task, asyncio.Event, asyncio.Event]] = []

    def __len__(self) -> int:
        return len(self._places)

    async def become(self, size: int) -> None:
        """Grow or shrink; returns when all newcomers have their page or were refused it."""
        while len(self._places) < size:
            settled, leave = asyncio.Event(), asyncio.Event()
            task = asyncio.create_task(self._keep_place(settled, leave))
            self._places.append((task, settled, leave))
            await asyncio.sleep(BETWEEN_ARRIVALS)
        leaving = self._places[size:]
        del self._places[size:]
        for _, _, leave in leaving:
            leave.set()
        await asyncio.gather(
            *(task for task, _, _ in leaving),
            *(settled.wait() for _, settled, _ in self._places),
        )

    async def _keep_place(self, settled: asyncio.Event, leave: asyncio.Event) -> None:
        """One visitor after the other, until told that no more shall come."""
        while not leave.is_set():
            empty_for = 0.0
            number = next(self._numbers)
            visitor = Visitor(
                self._url,
                self._files,
                link_of(number, self._chance),
                self.seen,
                random.Random(self._chance.random()),
            )
            stay = self._chance.uniform(*STAY)
            try:
                try:
                    await visitor.come()
                    settled.set()
                    await visitor.drag_until(time.perf_counter() + stay, leave)
                finally:
                    await visitor.go()
                self.seen.visits += 1
            except NoPlaceError as refusal:
                self.seen.refused += 1
                empty_for = refusal.seconds
            except Exception as fault:
                self.seen.errors.append(f"visitor {number}: {type(fault).__name__}: {fault}")
                empty_for = AFTER_A_FAULT
            settled.set()
            if empty_for:
                with contextlib.suppress(TimeoutError):
                    await asyncio.wait_for(leave.wait(), empty_for)


def link_of(number: int, chance: random.Random) -> dict[str, str]:
    """A set-up that no other visitor of the same time has."""
    bike = list(_BIKES)[number % len(_BIKES)]
    front, rear = (chance.randint(*sold) for sold in _BIKES[bike])
    weight = f"{_LIGHTEST + number % _WEIGHTS}kg"
    return {"bike": bike, "front": str(front), "rear": str(rear), "rider": weight}
