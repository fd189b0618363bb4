"""Every page with charts draws them in servers that are not ours: stock Voilà, and JupyterLab.

There nobody but the page itself brings BokehJS. A notebook server is what Binder shows.
"""

import json
import os
import re
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Locator, Page, expect

from tests.browser.lids import open_lids

CHARTS = {"gearing": 3, "compare": 4, "ground": 3, "fit": 3, "check": 3, "wants": 1, "lesson": 1}
"""Charts that each page shows at least, once what it asks for first has been given."""

QUICK = ("fit",)
"""For every day, in Voilà: a page whose charts stand at once; with --long all, in both."""

PAINTED = """canvases => canvases.filter(canvas => canvas.width && new Set(new Uint32Array(
    canvas.getContext("2d").getImageData(0, 0, canvas.width, canvas.height).data.buffer)).size > 9
).length"""
"""How many canvases have a picture on them: axes, lines and their smoothed edges."""

START_SECONDS = 120


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    if "name" in metafunc.fixturenames:
        every = metafunc.config.getoption("--long")
        metafunc.parametrize("name", list(CHARTS) if every else QUICK)


@dataclass
class StockServer:
    """A server as its own project ships it."""

    process: subprocess.Popen
    url: str

    def stop(self) -> None:
        self.process.terminate()
        self.process.wait(timeout=60)


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def started(folder: Path, log: Path, *arguments: str) -> subprocess.Popen:
    """A program of Jupyter, with settings and data of its own and no other's."""
    own = {f"JUPYTER_{kind}_DIR": str(folder / kind) for kind in ("CONFIG", "RUNTIME")}
    with log.open("w") as output:
        return subprocess.Popen(
            [sys.executable, "-m", *arguments], env=os.environ | own, stdout=output, stderr=output
        )


def until(answer, process: subprocess.Popen, log: Path):
    """What `answer` gives once it gives something."""
    end = time.monotonic() + START_SECONDS
    while process.poll() is None and time.monotonic() < end:
        if found := answer():
            return found
        time.sleep(0.1)
    process.kill()
    pytest.fail(log.read_text())


@pytest.fixture(scope="module")
def voila(tmp_path_factory, repository) -> Iterator[StockServer]:
    """Voilà with its own template and settings."""
    folder = tmp_path_factory.mktemp("voila")
    log = folder / "log.txt"
    arguments = ("--no-browser", f"--port={free_port()}", str(repository / "notebooks"))
    process = started(folder, log, "voila", *arguments)
    found = until(lambda: re.search(r"http://localhost:\d+/", log.read_text()), process, log)
    server = StockServer(process, found[0].replace("localhost", "127.0.0.1"))
    yield server
    server.stop()


@pytest.fixture(scope="module")
def lab(tmp_path_factory, repository) -> Iterator[StockServer]:
    """JupyterLab over a notebook with the cells of all: one kernel reads the libraries, once."""
    folder = tmp_path_factory.mktemp("lab")
    notebooks = folder / "notebooks"
    notebooks.mkdir()
    cells = []
    for name in CHARTS:
        shipped = json.loads((repository / "notebooks" / f"{name}.ipynb").read_text())
        [cell] = shipped["cells"]
        cells.append(cell | {"id": name})
    (notebooks / "pages.ipynb").write_text(json.dumps(shipped | {"cells": cells}))
    log = folder / "log.txt"
    arguments = ("--no-browser", "--allow-root", "--port=0", f"--ServerApp.root_dir={notebooks}")
    process = started(folder, log, "jupyterlab", *arguments, "--LabApp.news_url=None")
    card = folder / "RUNTIME" / f"jpserver-{process.pid}.json"
    until(lambda: card.exists() and "is running at" in log.read_text(), process, log)
    told = json.loads(card.read_text())
    server = StockServer(
        process,
        f"http://127.0.0.1:{told['port']}/lab/tree/pages.ipynb?token={told['token']}",
    )
    yield server
    server.stop()


@pytest.fixture(scope="module")
def profile(chromium: Browser) -> Iterator[BrowserContext]:
    """Of all pages here: what it keeps of a server's scripts is asked for and compiled once."""
    context = chromium.new_context(viewport={"width": 1280, "height": 900})
    context.set_default_timeout(START_SECONDS * 1000)
    yield context
    context.close()


def opened(profile: BrowserContext, address: str) -> Page:
    page = profile.new_page()
    page.faults = []
    page.on("console", lambda said: page.faults.append(said.text) if said.type == "error" else None)
    page.goto(address)
    return page


@pytest.fixture(scope="module")
def notebook(profile, lab) -> Page:
    """The notebook, open and idle, none of its cells run."""
    page = opened(profile, lab.url)
    page.get_by_text("| Idle").wait_for()
    return page


def see_charts(page: Page, name: str, where: Locator) -> None:
    """Wait until the charts of a page are drawn, not only laid out."""
    if name == "check":
        where.get_by_role("button", name="Open the demo ride").click()
    if name == "wants":
        where.get_by_role("checkbox", name="First is too tall").check()
    if name == "lesson":
        where.get_by_role("button", name="3", exact=True).click()
        where.get_by_role("button", name="Demonstration").click()
    open_lids(page)
    figures = where.locator(".bk-Figure")
    expect(figures.nth(CHARTS[name] - 1)).to_be_attached()
    end = time.monotonic() + START_SECONDS
    while figures.locator("canvas").evaluate_all(PAINTED) < CHARTS[name]:
        open_lids(page)
        assert time.monotonic() < end, "the charts stay empty"
        page.wait_for_timeout(100)
    assert not [fault for fault in page.faults if "Could not create a view" in fault]
    assert page.get_by_text("Click to show javascript error").count() == 0


def test_in_stock_voila(profile, voila, name):
    page = opened(profile, f"{voila.url}voila/render/{name}.ipynb")
    see_charts(page, name, page.locator("body"))
    page.close()


@pytest.mark.long
def test_in_a_notebook_server(notebook, name):
    """A page brings BokehJS itself: what another one has brought is taken away."""
    notebook.evaluate("delete window.Bokeh")
    cell = notebook.locator(".jp-CodeCell").nth(list(CHARTS).index(name))
    cell.locator(".cm-content").first.click()
    notebook.keyboard.press("Control+Enter")
    see_charts(notebook, name, cell)
