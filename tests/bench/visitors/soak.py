"""Visitors for a long time: whether anything grows, and whether all is gone when they have gone."""

import asyncio
import time
from dataclasses import dataclass

import numpy as np

from explorer.serve.command import parser
from tests.bench.visitors.crowd import Crowd
from tests.bench.visitors.load_window import watch
from tests.bench.visitors.page_habits import Files
from tests.bench.visitors.server_processes import ServerProcesses
from tests.conftest import RunningServer

MINUTE = 60.0
GONE_SECONDS = 60.0
"""So long after the last visitor no kernel of a visitor's may be left [s]."""

HEADS = (
    "minute",
    "visits ended",
    "answers",
    "link, ms: median, 95 %",
    "server, warm process, MB",
    "a kernel's USS, MB",
    "open files of either",
    "kernels",
    "zombies",
    "refused",
    "errors",
)


@dataclass
class _Grown:
    """What is looked at for growth, minute by minute."""

    visits: list[int]
    server: list[float]
    warm: list[float]


def soak(running: RunningServer, files: Files, minutes: float, visitors: int) -> list[str]:
    """Keep so many visitors for so long and print each minute; returns what went wrong."""
    return asyncio.run(_soak(running, files, minutes, visitors))


async def _soak(running: RunningServer, files: Files, minutes: float, visitors: int) -> list[str]:
    crowd, processes = Crowd(running.url, files), ServerProcesses(running)
    pooled = parser().parse_args([]).pool
    grown = _Grown([], [], [])
    print(" | ".join(HEADS), flush=True)
    await crowd.become(visitors)
    end = time.perf_counter() + minutes * MINUTE
    minute = 0
    while (left := end - time.perf_counter()) > 1:
        window = await watch(crowd, processes, min(left, MINUTE))
        minute += 1
        median, slowest = window.milliseconds("done")
        memory = window.memory
        grown.visits.append(crowd.seen.visits)
        grown.server.append(memory.server)
        grown.warm.append(memory.warm)
        cells = (
            minute,
            crowd.seen.visits,
            len(window.answers),
            f"{median:.0f}, {slowest:.0f}",
            f"{memory.server:.1f}, {memory.warm:.1f}",
            f"{memory.kernel_uss:.0f}",
            "{}, {}".format(*processes.files()),
            len(processes.kernels()),
            processes.zombies(),
            window.refused,
            window.errors,
        )
        print(*cells, sep=" | ", flush=True)
    await crowd.become(0)
    wrong = list(crowd.seen.errors)
    kernels = await _kernels_left(processes, pooled)
    print(
        f"after the last visitor: {kernels} kernels (pool: {pooled}), {processes.zombies()} "
        "zombies, open files {} and {}".format(*processes.files())
    )
    if kernels > pooled:
        wrong.append(
            f"{kernels - pooled} kernels were left {GONE_SECONDS:.0f} s after the last visitor"
        )
    if processes.zombies():
        wrong.append(f"{processes.zombies()} zombies")
    _print_trend("server", grown.visits, grown.server)
    _print_trend("warm process", grown.visits, grown.warm)
    return wrong


async def _kernels_left(processes: ServerProcesses, pooled: int) -> int:
    """How many kernels there are once the visitors' have gone, or after long enough."""
    end = time.perf_counter() + GONE_SECONDS
    while len(processes.kernels()) > pooled and time.perf_counter() < end:
        await asyncio.sleep(0.5)
    return len(processes.kernels())


def _print_trend(name: str, visits: list[int], memory: list[float]) -> None:
    """Growth per visit, by a straight line through all minutes but the first fifth.

    At the beginning everything grows: caches fill, and heaps find their size.
    """
    settled = len(visits) // 5
    if len(visits) - settled < 5:
        print(f"{name}: too few minutes for a trend")
        return
    (slope, _), spread = np.polyfit(visits[settled:], memory[settled:], 1, cov=True)
    print(
        f"{name}: {slope * 1e3:+.1f} kB a visit, give or take {2 * spread[0, 0] ** 0.5 * 1e3:.1f} "
        f"(two standard errors), over {visits[-1] - visits[settled]} visits"
    )
