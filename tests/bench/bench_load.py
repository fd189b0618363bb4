"""How many visitors a server bears: `python -m tests.bench.bench_load`.

Scripted visitors come to the served command over HTTP and real websockets, drag front, rear,
slope and wind of the ground page, each as often, stay for 30 to 120 s and leave, and others come.
Each checks that it is told of its own set-up. The numbers of visitors grow until the 95th
percentile of the answers exceeds the limit, then come a number in between, and twice the largest
number within the limit.
Prints a table and writes a plot to load.png beside this file.

`--numbers 8 16` watches these numbers of visitors only, in a minute and a half, and draws nothing.

`python -m tests.bench.bench_load --soak MINUTES [--visitors N]` keeps N visitors for so long and
prints each minute what server, warm process and kernels take; at its end all must be gone.

All visitors are one process on the same processors, not pinned to any: the table shows its share,
which a server whose visitors sit elsewhere would have besides. Visitors come with an empty cache.
Exit code 1 means that something went wrong; what, is printed.
"""

import argparse
import asyncio
import platform
import sys
import tempfile
import time
from datetime import date
from pathlib import Path

import psutil
from tornado.httpclient import AsyncHTTPClient

from tests.bench.bench_drag import processor
from tests.bench.bench_kernels import wait_until_warm
from tests.bench.visitors.crowd import Crowd
from tests.bench.visitors.load_plot import draw
from tests.bench.visitors.load_window import Window, watch
from tests.bench.visitors.page_habits import Files, files_of_the_page
from tests.bench.visitors.server_processes import ServerProcesses
from tests.bench.visitors.soak import soak
from tests.conftest import RunningServer, start_server

LIMIT = 250.0
"""The 95th percentile of the answers to sliders shall stay below this [ms] (issue 7)."""
NUMBERS = (1, 2, 4, 8, 16, 24, 32, 48, 64, 96)
SECONDS = 25.0
"""How long each number of visitors is watched [s]."""
SETTLING = 3.0
"""After the last newcomer has its page, so long until the watch begins [s]."""
PLOT = Path(__file__).with_name("load.png")

HEADS = (
    "visitors",
    "answers",
    "all done, ms: median, 95 %",
    "from the hand's move, ms: 95 %",
    "moves skipped",
    "page, s",
    "a kernel's USS, PSS, MB",
    "server, warm process, MB",
    "busy processors: server, kernels, visitors",
    "refused",
    "errors",
)


def row(window: Window) -> str:
    """A line of the table."""
    memory, cores = window.memory, window.cores
    done = window.milliseconds("done")
    return " | ".join(
        (
            str(window.visitors),
            str(len(window.answers)),
            f"{done[0]:.0f}, {done[1]:.0f}",
            f"{window.milliseconds('felt')[1]:.0f}",
            f"{window.held_back:.0%}",
            f"{window.page:.1f}",
            f"{memory.kernel_uss:.0f}, {memory.kernel_pss:.0f}",
            f"{memory.server:.0f}, {memory.warm:.0f}",
            f"{cores['server']:.2f}, {cores['kernels'] + cores['warm']:.2f}, "
            f"{cores['visitors']:.2f}",
            str(window.refused),
            str(window.errors),
        )
    )


def is_good(window: Window) -> bool:
    return window.milliseconds("done")[1] <= LIMIT


async def fill_table(crowd: Crowd, processes: ServerProcesses, numbers: tuple) -> list[Window]:
    """Watch the numbers of visitors until there are too many; then look more closely."""
    windows: list[Window] = []

    async def measure(number: int) -> Window:
        await crowd.become(number)
        await asyncio.sleep(SETTLING)
        windows.append(await watch(crowd, processes, SECONDS))
        print(row(windows[-1]), flush=True)
        return windows[-1]

    print(" | ".join(HEADS), flush=True)
    borne = 0
    for number in numbers:
        if not is_good(await measure(number)):
            between = (borne + number) // 2
            if between > borne and is_good(await measure(between)):
                borne = between
            await measure(2 * borne)
            break
        borne = number
    await crowd.become(0)
    return windows


def machine() -> str:
    """What it was measured on, for the plot's title."""
    cores = psutil.cpu_count()
    gigabytes = psutil.virtual_memory().total / 2**30
    return f"{cores} processors ({platform.machine()}), {gigabytes:.0f} GB, {date.today()}"


async def watch_each(crowd: Crowd, processes: ServerProcesses, numbers: tuple) -> list[Window]:
    """Watch these numbers of visitors, whatever is seen."""
    windows = []
    print(" | ".join(HEADS), flush=True)
    for number in numbers:
        await crowd.become(number)
        await asyncio.sleep(SETTLING)
        windows.append(await watch(crowd, processes, SECONDS))
        print(row(windows[-1]), flush=True)
    await crowd.become(0)
    return windows


def table(running: RunningServer, files: Files, numbers: tuple) -> list[str]:
    """Measure, print and draw; returns what went wrong."""
    processor()
    crowd = Crowd(running.url, files)
    watched = watch_each if numbers else fill_table
    windows = asyncio.run(watched(crowd, ServerProcesses(running), numbers or NUMBERS))
    processor()
    borne = [window.visitors for window in windows if is_good(window)]
    print(f"N_max, 95th percentile within {LIMIT:.0f} ms: {max(borne, default=0)} visitors")
    if numbers:
        return crowd.seen.errors
    title = f"Visitors who drag front, rear, slope or wind at once · {machine()}"
    draw(windows, LIMIT, title, PLOT)
    print(f"plot: {PLOT.name}, {PLOT.stat().st_size / 1e3:.0f} kB")
    return crowd.seen.errors


def main(options: argparse.Namespace) -> int:
    AsyncHTTPClient.configure(None, max_clients=10_000)  # waiting is the server's part
    began = time.perf_counter()
    with tempfile.TemporaryDirectory() as folder:
        command = [sys.executable, "-m", "explorer.serve.command", "--port", "0", "--no-browser"]
        command += ["--behind", "127.0.0.1"]
        running = start_server(command, Path(folder, "errors.txt"))
        try:
            files = files_of_the_page(running.url)
            wait_until_warm(running)
            print(f"A visitor asks for {len(files)} scripts and styles.")
            if options.soak:
                wrong = soak(running, files, options.soak, options.visitors)
            else:
                wrong = table(running, files, tuple(options.numbers or ()))
        finally:
            left = running.stop()
        wrong += [f"outlived the server: {process}" for process in left]
        wrong += Path(folder, "errors.txt").read_text().splitlines()
    print(f"took {time.perf_counter() - began:.0f} s; went wrong: {len(wrong) or 'nothing'}")
    print(*wrong[:50], sep="\n")
    return 1 if wrong else 0


def parsed() -> argparse.Namespace:
    command = argparse.ArgumentParser(prog="python -m tests.bench.bench_load")
    command.add_argument("--soak", type=float, metavar="MINUTES", help="instead of the table")
    command.add_argument("--numbers", type=int, nargs="+", metavar="N", help="only these numbers")
    command.add_argument("--visitors", type=int, default=8, help="of the soak (default: 8)")
    return command.parse_args()


if __name__ == "__main__":
    sys.exit(main(parsed()))
