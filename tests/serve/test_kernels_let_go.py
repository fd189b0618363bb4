"""Kernels that nobody uses any more are let go, and only those."""

import asyncio
import json
import logging
import time
from datetime import UTC, datetime, timedelta

import pytest
from jupyter_server.services.kernels.kernelmanager import ServerKernelManager

from explorer.serve.kernels import (
    NEVER_LOOKED_AT_SECONDS,
    UNSEEN_SECONDS,
    SamePythonKernelSpec,
    VisitorKernelManager,
)
from explorer.serve.settings import IDLE_SECONDS
from explorer.serve.visitor_limit import LOOK_SECONDS
from tests.serve.visitor import Visit, ask

# Kernels are looked at each second instead of each minute.
IMPATIENT = """
from explorer.serve.adapters.jsonschema import leave_addresses_out
leave_addresses_out()
from explorer.serve import kernels, settings
settings.IDLE_CHECK_SECONDS = 1
kernels.UNSEEN_SECONDS = 2
kernels.NEVER_LOOKED_AT_SECONDS = 4
"""
PAGE = "import ipywidgets\nipywidgets.HTML('<p>A page of a test.</p>')"

# A page that computes for ever as soon as its slider is moved.
AT_WORK = """
import ipywidgets

def compute(change):
    while True:
        pass

slider = ipywidgets.IntSlider()
slider.observe(compute, "value")
slider
"""

# Whether a browser has ever had a websocket to it, its state, for how long it has done nothing, and
# for how long its page has not asked for it.
KERNELS = {
    "just coming": (False, None, None, None),
    "being opened": (False, "idle", UNSEEN_SECONDS - 9, None),
    "over a slow connection": (False, "idle", NEVER_LOOKED_AT_SECONDS - 9, 4),
    "fetched by a program": (False, "idle", UNSEEN_SECONDS + 9, None),
    "given up while it was loaded": (False, "idle", UNSEEN_SECONDS + 99, UNSEEN_SECONDS + 9),
    "asked for by a program": (False, "idle", NEVER_LOOKED_AT_SECONDS + 9, 0),
    "of the pool": (False, "busy", IDLE_SECONDS + 60, None),
    "back in a minute": (True, "idle", IDLE_SECONDS - 60, None),
    "forsaken": (True, "idle", IDLE_SECONDS + 60, None),
}


@pytest.fixture
def manager(monkeypatch):
    """A manager of kernels without a server, and without the process that it forks them from."""
    manager = VisitorKernelManager.__new__(VisitorKernelManager)
    manager.log = logging.getLogger("culling")
    manager.looked_at, manager.asked_for, manager.holders = set(), {}, {}
    manager.cull_idle_timeout = IDLE_SECONDS
    now = datetime.now(UTC)
    for name, (looked_at, state, seconds, unasked) in KERNELS.items():
        kernel = ServerKernelManager(kernel_spec_manager=SamePythonKernelSpec())
        if state:
            kernel.execution_state = state
            kernel.last_activity = now - timedelta(seconds=seconds)
            manager.holders[name] = "192.0.2.7"
        if unasked is not None:
            manager.asked_for[name] = now - timedelta(seconds=unasked)
        manager._kernels[name] = kernel
        if looked_at:
            manager.notify_connect(name)
    return manager


def test_only_kernels_that_nobody_will_use_again_are_let_go(manager, monkeypatch, caplog):
    let_go = []

    async def shutdown_kernel(kernel_id: str, now: bool = False) -> None:
        let_go.append(kernel_id)

    monkeypatch.setattr(manager, "shutdown_kernel", shutdown_kernel)
    del manager.holders["of the pool"]
    asyncio.run(manager.cull_kernels())
    asyncio.run(manager.cull_kernel_if_idle("ended meanwhile"))
    assert let_go == ["forsaken"]
    for _ in KERNELS:  # one at a time
        asyncio.run(manager.end_the_unseen())
    assert sorted(let_go[1:]) == [
        "asked for by a program",
        "fetched by a program",
        "given up while it was loaded",
    ]
    assert not [record for record in caplog.records if record.levelno >= logging.ERROR]


@pytest.mark.long
def test_who_fetches_a_page_and_opens_no_line_takes_no_place_for_long(serve_pages):
    server = serve_pages({"page": PAGE}, "--pool", "1", before=IMPATIENT)

    async def visit() -> None:
        opened = Visit.begin(server.url, "/page")
        async with opened.websocket() as websocket:
            asked, _ = (Visit.begin(server.url, "/page") for _ in range(2))
            while json.loads(ask(server.url, "/health").text)["taken"] > 2:
                assert ask(server.url, asked.kernel).status == 200
                await websocket.settle()
                await asyncio.sleep(LOOK_SECONDS)  # a page sends no 500 messages a second for long
            while ask(server.url, asked.kernel).status == 200:
                await websocket.settle()
                await asyncio.sleep(LOOK_SECONDS)
            await websocket.settle()
        # Its websocket has ended; it may come back.
        assert ask(server.url, opened.kernel).status == 200
        # The pool's kernel still waits for its visitor.
        assert Visit.begin(server.url, "/page").html

    asyncio.run(visit())
    assert "Traceback" not in server.log.read_text()


def test_a_kernel_at_work_ends_at_once_and_without_a_word(serve_pages):
    server = serve_pages({"page": AT_WORK}, "--pool", "0")

    async def move_and_leave() -> None:
        visit = Visit.begin(server.url, "/page")
        async with visit.websocket() as websocket:
            states = await websocket.states()
            slider = next(
                name for name, state in states.items() if state["_model_name"] == "IntSliderModel"
            )
            moved = await websocket.update(slider, value=50)
            while "status" not in websocket.answered({moved}):
                await websocket.next()
        began = time.monotonic()
        assert visit.end().status == 204
        # After half of five seconds the server would help (jupyter_client, shutdown_wait_time).
        assert time.monotonic() - began < 2
        assert ask(server.url, visit.kernel).status == 404

    asyncio.run(move_and_leave())
    assert server.log.read_text() == ""
