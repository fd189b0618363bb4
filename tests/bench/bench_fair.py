"""Whether one visitor spoils it for four others: `python -m tests.bench.bench_fair [ROUNDS]`.

Four scripted visitors drag sliders of the ground page: by themselves, beside a program that sends
400 changes a second, and beside one that fetches pages four at a time, by turns on one server.
Prints the 95th percentile of the four's answers, and what it is of that by themselves (1.5 times
at most is wanted). The programs have a lower priority, for they would be on another machine.
"""

import asyncio
import random
import statistics
import sys
import tempfile
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from subprocess import Popen

from tornado.websocket import WebSocketClosedError

from tests.bench.bench_drag import processor
from tests.bench.bench_kernels import wait_until_warm
from tests.bench.visitors.crowd import Crowd
from tests.bench.visitors.load_window import watch
from tests.bench.visitors.server_processes import ServerProcesses
from tests.conftest import start_server
from tests.serve.visitor import Visit, ask

VISITORS = 4
SECONDS = 25.0
CHANGES_PER_SECOND = 400
FETCHES_AT_ONCE = 4
CALM = 5.0
"""Between two cases: what one program has left is not the next case's [s]."""


async def flood(url: str) -> None:
    """Send changes of a slider, whatever is answered; come again when the websocket is closed."""
    chance = random.Random(1)
    while True:
        visit = Visit.begin(url, "/ground", {"X-Real-IP": "192.0.2.1"})
        with suppress(WebSocketClosedError, ConnectionError):
            async with visit.websocket() as websocket:
                states = await websocket.states()
                [slope] = [
                    name
                    for name, state in states.items()
                    if state.get("description") == "Slope [%]"
                ]
                while True:
                    for _ in range(CHANGES_PER_SECOND // 20):
                        await websocket.update(slope, value=float(chance.randrange(-20, 20)))
                    await asyncio.sleep(1 / 20)


def fetch(url: str) -> None:
    """Fetch pages, and open none of them."""

    def again() -> None:
        while True:
            ask(url, "/ground", headers={"X-Real-IP": "192.0.2.2"})

    threads = [threading.Thread(target=again) for _ in range(FETCHES_AT_ONCE)]
    for thread in threads:
        thread.start()


@contextmanager
def beside(what: str, url: str) -> Iterator[None]:
    """A program that does this meanwhile; nothing without a name."""
    if not what:
        yield
        return
    program = Popen(["nice", "-n", "5", sys.executable, "-m", __spec__.name, what, url])
    try:
        yield
    finally:
        program.kill()
        program.wait()


async def measure(crowd: Crowd, processes: ServerProcesses, what: str, url: str) -> float:
    """95th percentile of the answers to the four [ms]."""
    with beside(what, url):
        await asyncio.sleep(CALM)
        window = await watch(crowd, processes, SECONDS)
    print(
        f"{what or 'by themselves':13} | {len(window.answers)} answers, median and 95 % "
        "{:.0f}, {:.0f} ms".format(*window.milliseconds("done")),
        "| busy processors:",
        *(f"{part} {share:.2f}" for part, share in window.cores.items()),
        f"| errors {window.errors}",
        flush=True,
    )
    await asyncio.sleep(CALM)
    return window.milliseconds("done")[1]


async def compare(url: str, processes: ServerProcesses, rounds: int) -> None:
    """All cases by turns."""
    crowd = Crowd(url, ())
    await crowd.become(VISITORS)
    seen: dict[str, list[float]] = {"": [], "flood": [], "fetch": []}
    for _ in range(rounds):
        for what, times in seen.items():
            times.append(await measure(crowd, processes, what, url))
    await crowd.become(0)
    for what in ("flood", "fetch"):
        ratios = [beside / alone for beside, alone in zip(seen[what], seen[""], strict=True)]
        print(f"beside {what}: {statistics.median(ratios):.2f} times", [f"{r:.2f}" for r in ratios])
    print(*crowd.seen.errors[:10], sep="\n")


def main(rounds: int) -> None:
    """Serve and compare."""
    with tempfile.TemporaryDirectory() as folder:
        command = [sys.executable, "-m", "explorer.serve.command", "--port", "0", "--no-browser"]
        command += ["--behind", "127.0.0.1", "--visitors", "32"]
        running = start_server(command, Path(folder, "errors.txt"))
        try:
            wait_until_warm(running)
            processor()
            asyncio.run(compare(running.url, ServerProcesses(running), rounds))
        finally:
            running.stop()


if __name__ == "__main__":
    if sys.argv[1:2] == ["flood"]:
        asyncio.run(flood(sys.argv[2]))
    elif sys.argv[1:2] == ["fetch"]:
        fetch(sys.argv[2])
    else:
        main(int(sys.argv[1]) if len(sys.argv) > 1 else 2)
