"""Who has the processors when they are busy: who asks for too much has no more than the others.

A kernel works for what it is told only, so its inbox sets its pace; niceness is for one that is at
a long computation, and for one that goes on asking for too much. Whoever waits for an answer
before the next question, as a page's controls do, is never held up.
"""

import os
import statistics
from collections import Counter
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from typing import NamedTuple, Protocol

import psutil

from explorer.serve.visitor_limit import LOOK_SECONDS

MEMORY_OF_WORK = 0.95
"""What is left of a kernel's work after each look [-]: half of it after 7 s."""
MUCH_WORK = 5.0
"""Who has worked for more than this, forgotten at that pace, is set back [s]: half of a processor
for long, or all of one for 7 s. Whoever drags a slider takes an eighth, making a page 1 s."""
SET_BACK = 15
"""The niceness of a kernel that is set back (nice(2)): a thirtieth of what others get beside it."""

MEMORY_OF_RATE = 0.7
"""The same for what a kernel takes now [-]: half of it is forgotten after 1 s."""
BUSY = 75.0
"""From here on the processors count as busy [%]; until then everybody may have what there is."""
AT_WORK = 0.02
"""Who takes less than this of a processor does not count among those that share [-]."""
WAITING = 4
"""Who has no more messages than these that are not dealt with is not paced [count]."""
ALWAYS_ALLOWED = 0.05
"""What it may take whatever others do [-], of a processor."""
OFTEN_OVER = 4
"""Looks at which a kernel took too much until it is set back [count]; one burst is up to three."""


class Inbox(Protocol):
    """What a kernel is told comes through here."""

    @property
    def backlog(self) -> int:
        """How many messages the kernel has not dealt with [count]."""

    def pause(self, paused: bool) -> None:
        """Tell the kernel nothing more for the time being, or go on."""


class Work(NamedTuple):
    """Processor time of a kernel [s]: all of it, and of late, forgotten slowly and fast."""

    so_far: float = 0.0
    long: float = 0.0
    now: float = 0.0

    def after(self, so_far: float) -> "Work":
        """The same at the next look."""
        done = max(0.0, so_far - self.so_far)
        return Work(so_far, self.long * MEMORY_OF_WORK + done, self.now * MEMORY_OF_RATE + done)

    @property
    def rate(self) -> float:
        """Processors taken now [-]."""
        return self.now * (1.0 - MEMORY_OF_RATE) / LOOK_SECONDS


def allowed(rates: list[float]) -> float:
    """What a kernel may take beside others that take these of the processors [-]: as much as they.

    >>> allowed([0.15, 0.16, 0.14, 0.15]), allowed([0.01])
    (0.15, inf)
    """
    at_work = [rate for rate in rates if rate > AT_WORK]
    return max(ALWAYS_ALLOWED, statistics.median(at_work)) if at_work else float("inf")


class FairShare:
    """Looks at all kernels now and then, and paces those that take too much."""

    def __init__(self) -> None:
        self._work: dict[str, Work] = {}
        self._over: Counter[str] = Counter()
        self.busy()

    def busy(self) -> bool:
        """Whether the processors have been since this was asked last."""
        return psutil.cpu_percent() > BUSY

    def look(self, kernels: Mapping[str, tuple[int, Inbox]]) -> None:
        """See what kernels have done, each with its process and its inbox."""
        self._work = {
            each: self._work.get(each, Work()).after(work_of(process))
            for each, (process, _) in kernels.items()
        }
        busy = self.busy()
        for each, (process, inbox) in kernels.items():
            work = self._work[each]
            others = [self._work[other].rate for other in kernels if other != each]
            over = busy and inbox.backlog > WAITING and work.rate > allowed(others)
            inbox.pause(over)
            self._over[each] += over
            if work.long > MUCH_WORK or self._over[each] >= OFTEN_OVER:
                set_back(process)
        self._over = Counter({each: self._over[each] for each in kernels})


def set_back(process: int) -> None:
    """Give a process the processor when others leave it: by its niceness, and by its session's.

    Where the autogroup feature is on, niceness counts within a session only (sched(7)).
    """
    with suppress(OSError, AttributeError):
        os.setpriority(os.PRIO_PROCESS, process, SET_BACK)
    with suppress(OSError):
        Path(f"/proc/{process}/autogroup").write_text(str(SET_BACK))


def work_of(process: int) -> float:
    """Processor time that a process has taken so far [s]; zero if it has ended."""
    with suppress(psutil.Error):
        return sum(psutil.Process(process).cpu_times()[:2])
    return 0.0
