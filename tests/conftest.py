"""What tests of every folder share: a quiet hypothesis, and the real server to ask."""

import gc
import json
import os
import select
import signal
import subprocess
import sys
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path
from typing import Any

import psutil
import pytest
from hypothesis import settings

from explorer.serve.adapters.jsonschema import leave_addresses_out

# Examples are not timed: the tests share their two processors with browsers and kernels. Each run
# draws the same, so that it tells of a change and not of luck; "--hypothesis-profile=other draws"
# looks further.
settings.register_profile("other draws", deadline=None)
settings.register_profile("shared processors", deadline=None, derandomize=True)
settings.register_profile("quick", deadline=None, derandomize=True, max_examples=40)


def share_the_processors() -> None:
    """For the hundred processes of a run, before they load what they compute with.

    The libraries are compiled once, not in each process anew: where the environment asks not to
    write bytecode beside the sources, it goes into a cache. And a product of two matrices is one
    thread's work, as in a kernel: two would wait for each other on processors that are busy.
    """
    os.environ |= {"OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1"}
    if os.environ.pop("PYTHONDONTWRITEBYTECODE", ""):
        cache = Path(__file__).resolve().parents[1] / ".pytest_cache" / "bytecode"
        os.environ["PYTHONPYCACHEPREFIX"] = sys.pycache_prefix = str(cache)
        sys.dont_write_bytecode = False


share_the_processors()
leave_addresses_out()  # as the server's command does: every worker loads its libraries too

START_SECONDS = 120

pytest_plugins = ["tests.static_site"]


def pytest_addoption(parser: pytest.Parser) -> None:
    """``--long``: what takes minutes, too: each property at its full number of draws.

    A test asks the fixture ``long_run`` how much to do. Without the option it still draws enough to
    fail when the property is broken; ``.ci/run`` gives the option.
    """
    parser.addoption("--long", action="store_true", help="every property at its full length")


def pytest_configure(config: pytest.Config) -> None:
    """How many examples a property has, unless another profile is named."""
    if not config.getoption("--hypothesis-profile"):
        settings.load_profile("shared processors" if config.getoption("--long") else "quick")


def pytest_xdist_auto_num_workers() -> int:
    """How many workers ``-n auto`` starts: browsers and kernels are waited for much of the time."""
    return (os.cpu_count() or 1) + 1


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """What takes longest begins first: a file is one worker's (``--dist loadfile``).

    Tests of the server wait for much of their time; they stand between those that compute.
    Without ``--long`` tests that are marked so are left out.
    """
    if not config.getoption("--long"):
        items[:] = [item for item in items if item.get_closest_marker("long") is None]
    folders = [item.nodeid.partition("/")[2].partition("/")[0] for item in items]
    kinds = {"browser": [], "serve": [], "": []}
    for item, folder in zip(items, folders, strict=True):
        kinds[folder if folder in kinds else ""].append(item)
    items[:] = kinds["browser"] + [
        item for file in _evenly(_files(kinds["serve"]), _files(kinds[""])) for item in file
    ]


def pytest_collection_finish() -> None:
    """Thousands of tests stay to the end: the garbage collector need not look at them again."""
    gc.freeze()


def _files(items: list[pytest.Item]) -> list[list[pytest.Item]]:
    """Items by the file that they stand in."""
    return [list(some) for _, some in groupby(items, lambda item: item.path)]


def _evenly(some: list, others: list) -> list:
    """Both in their order, the one spread over the other."""
    places = [
        ((at + 0.5) / len(each), item) for each in (some, others) for at, item in enumerate(each)
    ]
    return [item for _, item in sorted(places, key=lambda place: place[0])]


@pytest.fixture(scope="module", autouse=True)
def charts_are_for_no_browser(request: pytest.FixtureRequest) -> Iterator[None]:
    """Pages that are made and asked in Python: nobody opens their charts, so none is packed.

    Packing takes a third of the time in which a page is made; tests of app and browser hold it.
    """
    folder = request.path.relative_to(request.config.rootpath).parts[:2]
    with pytest.MonkeyPatch.context() as patch:
        if folder in (("tests", "tasks"), ("tests", "net")):
            patch.setattr("explorer.app.chart_widget.ChartWidget._model_to_traits", lambda *_: {})
        yield


@pytest.fixture(scope="session")
def long_run(request: pytest.FixtureRequest) -> bool:
    """Whether the properties are tested at full length (``--long``)."""
    return request.config.getoption("--long")


PLACES = ("--visitors", "30")
"""Places do not depend on the memory that is free on the machine just then."""


@dataclass
class RunningServer:
    """A server started by its own command, as a person starts it."""

    process: subprocess.Popen
    url: str
    """Address of the front page, as the command printed it; ends with a slash."""
    log: Path
    """What it writes to its standard error stream."""

    def stop(self) -> list[psutil.Process]:
        """Stop it as Ctrl+C does; returns processes of its that outlive it, which it must not."""
        started = psutil.Process(self.process.pid).children(recursive=True)
        self.process.send_signal(signal.SIGINT)
        self.process.wait(timeout=60)
        self.process.stdout.close()
        _, left = psutil.wait_procs(started, timeout=10)
        return left


def stop_all(servers: Iterable[RunningServer]) -> None:
    """Stop those that still run, all at once."""
    running = [server for server in servers if server.process.poll() is None]
    with ThreadPoolExecutor() as pool:
        list(pool.map(RunningServer.stop, running))


def start_server(command: list[str], log: Path, **settings: Any) -> RunningServer:
    """Start a server, by `subprocess.Popen`, and wait for the line with its address."""
    with log.open("w") as errors:
        process = subprocess.Popen(
            command, stdout=subprocess.PIPE, stderr=errors, text=True, **settings
        )
    ready, _, _ = select.select([process.stdout], [], [], START_SECONDS)
    line = process.stdout.readline() if ready else ""
    prefix = "The pages are at "
    if not line.startswith(prefix):
        process.kill()
        process.wait()
        process.stdout.close()
        pytest.fail(f"the server did not say that it listens: {line!r}\n{log.read_text()}")
    return RunningServer(process, line.removeprefix(prefix).strip(), log)


@pytest.fixture(scope="session")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[RunningServer]:
    """The pages that the project ships, served by the shipped command on a free port."""
    log = tmp_path_factory.mktemp("server") / "errors.txt"
    command = [sys.executable, "-m", "explorer.serve.command", "--port", "0", "--no-browser"]
    running = start_server([*command, *PLACES], log)
    yield running
    running.stop()


# Serves a folder of test pages with the real server. Run in a process of its own.
_SERVE_FOLDER = """
import sys
from pathlib import Path
from explorer.serve.command import parser, serve
from explorer.serve.contents import PageEntry

folder = Path(sys.argv.pop(1))
pages = [PageEntry(path.stem, path.stem, "A page of a test.") for path in folder.glob("*.ipynb")]
sys.exit(serve(parser().parse_args(), pages, folder))
"""


def write_notebook(path: Path, source: str) -> None:
    """A notebook with one cell."""
    cell = {
        "cell_type": "code",
        "id": "page",
        "execution_count": None,
        "metadata": {},
        "outputs": [],
        "source": source,
    }
    kernel = {"name": "python3", "language": "python", "display_name": "Python"}
    notebook = {
        "cells": [cell],
        "metadata": {"kernelspec": kernel},
        "nbformat": 4,
        "nbformat_minor": 5,
    }
    path.write_text(json.dumps(notebook))


@pytest.fixture(scope="module")
def serve_pages(
    tmp_path_factory: pytest.TempPathFactory,
) -> Iterator[Callable[..., RunningServer]]:
    """Start the real server over pages written by a test: ``serve_pages({name: source}, …)``.

    What stands in ``before`` is run in its process first: a limit that a test can reach.
    """
    running: list[RunningServer] = []

    def start(sources: dict[str, str], *options: str, before: str = "") -> RunningServer:
        folder = tmp_path_factory.mktemp("pages")
        for name, source in sources.items():
            write_notebook(folder / f"{name}.ipynb", source)
        program = f"{before}\n{_SERVE_FOLDER}"
        command = [sys.executable, "-c", program, str(folder), "--port", "0", "--no-browser"]
        log = folder / "errors.txt"
        running.append(start_server([*command, *PLACES, *options], log))
        return running[-1]

    yield start
    stop_all(running)


@pytest.fixture(scope="session")
def repository() -> Path:
    """The top folder of the checkout."""
    return Path(__file__).resolve().parents[1]
