"""A visitor tries to fill the server's memory; what is short is taken from who took too much.

Two servers: one as it is, and one whose limits are so tight that a test meets them at once.
"""

import asyncio
import contextlib
import json
import socket
import sys
import time
from collections.abc import Callable
from urllib.parse import urlsplit

import psutil
import pytest
from tornado.websocket import WebSocketClosedError

from explorer.serve import visitor_websocket
from explorer.serve.forked_kernel import can_fork
from explorer.serve.visitor_limit import own_memory
from explorer.serve.visitor_websocket import (
    BYTE_BURST,
    MESSAGE_BURST,
    MOST_HELD,
    MOST_IN_FLIGHT,
    MOST_UNANSWERED,
    POLICY_VIOLATION,
    KernelInbox,
    Message,
)
from tests.conftest import start_server, write_notebook
from tests.serve.visitor import Visit, ask

pytestmark = pytest.mark.skipif(not can_fork(), reason="only forks have so small a memory")

MIB = 2**20
PATIENCE = 60.0
IDLE = 2.0
"""How long the tight server keeps a connection that says nothing [s]."""

PAGE = """
import os, time
import ipywidgets as w

text, work, greed = w.Text(), w.IntSlider(max=100), w.Button()
process = w.HTML(str(os.getpid()))
taken = []
work.observe(lambda change: time.sleep(change["new"]), "value")
greed.on_click(lambda _: taken.append(b"x" * (150 * 2**20)))
w.VBox([text, work, greed, process])
"""

TIGHT = f"""
import sys
from pathlib import Path
from explorer.serve import kernels, server, visitor_websocket
from explorer.serve.command import parser, serve
from explorer.serve.contents import PageEntry

folder = Path(sys.argv.pop(1))
visitor_websocket.MOST_IN_FLIGHT = 200_000
kernels.LEFT_SECONDS = {{1.0: 3}}
server.IDLE_CONNECTION_SECONDS = {IDLE}
kernels.visitor_limit.room_here = lambda: 0 if Path(folder, "short").exists() else 2**40
pages = [PageEntry("page", "page", "A page of a test.")]
sys.exit(serve(parser().parse_args(), pages, folder))
"""


@pytest.fixture(scope="module")
def server(serve_pages):
    return serve_pages({"page": PAGE}, "--pool", "0", "--visitors", "8")


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("tight")


@pytest.fixture(scope="module")
def tight(folder):
    write_notebook(folder / "page.ipynb", PAGE)
    command = [sys.executable, "-c", TIGHT, str(folder), "--port", "0", "--no-browser"]
    running = start_server([*command, "--pool", "0", "--visitors", "8"], folder / "errors.txt")
    yield running
    running.stop()


@pytest.fixture
def visit(server):
    visit = Visit.begin(server.url, "/page")
    yield visit
    visit.end()


def wait_until(holds: Callable[[], bool], what: str) -> None:
    until = time.monotonic() + PATIENCE
    while not holds():
        assert time.monotonic() < until, what


async def widgets(visit: Visit) -> dict[str, str]:
    """Ids of the page's widgets by model, and its process by the name "process"."""
    async with visit.websocket() as websocket:
        states = await websocket.states()
    ids = {state["_model_name"]: number for number, state in states.items()}
    return ids | {"process": states[ids["HTMLModel"]]["value"]}


@pytest.mark.long
def test_who_asks_and_leaves_is_not_waited_for(visit, server):
    """Stock keeps all that the kernel still says, for a websocket that may never come back, and
    has each answer three times until it has dealt with it: by the websocket's channel, and by those
    that hear whether a kernel is at work."""
    found = asyncio.run(widgets(visit))

    async def ask_and_leave():
        async with visit.websocket() as websocket:
            await websocket.update(found["TextModel"], value="x" * (2 * MIB))
            await websocket.settle()
            opening = {"comm_id": "c", "target_name": "jupyter.widget.control", "data": {}}
            await websocket.say("comm_open", opening, metadata={"version": "1.0.0"})
            asking = {"comm_id": "c", "data": {"method": "request_states"}}
            for _ in range(200):
                await websocket.say("comm_msg", asking)

    kernel = psutil.Process(int(found["process"]))
    before = own_memory(server.process.pid)
    asyncio.run(ask_and_leave())
    most = 0

    def done() -> bool:
        nonlocal most
        most = max(most, own_memory(server.process.pid))
        with contextlib.suppress(psutil.NoSuchProcess):
            return kernel.cpu_percent(interval=1.0) < 5
        return True  # it was not done within the time that it has without a websocket

    wait_until(done, "the kernel goes on answering")
    # 400 MiB of answers, of which a busy machine may hold once what is asked for at once.
    assert most - before < MOST_UNANSWERED * 2 * MIB
    ended = ask(visit.url, visit.kernel).status == 404
    assert ended or asyncio.run(widgets(visit))["process"] == found["process"]


def test_another_line_to_the_same_kernel_admit_no_more(visit):
    async def try_it():
        found = await widgets(visit)
        async with visit.websocket() as websocket:
            await websocket.update(found["IntSliderModel"], value=20)  # at work for so many seconds
            for _ in range(int(BYTE_BURST // (3 * MIB)) - 1):
                await websocket.update(found["TextModel"], value="x" * (3 * MIB))
        async with visit.websocket(session="another") as websocket:
            with contextlib.suppress(WebSocketClosedError):
                for _ in range(5):
                    await websocket.update(found["TextModel"], value="x" * (3 * MIB))
            assert await websocket.closing_code() == POLICY_VIOLATION

    asyncio.run(try_it())


def published(state: str, number: str) -> list[bytes]:
    """What a kernel publishes about a message ("Messaging in Jupyter", "The Wire Protocol")."""
    parent, content = json.dumps({"msg_id": number}), json.dumps({"execution_state": state})
    parts = ("kernel.x.status", "<IDS|MSG>", "signature", "{}", parent, "{}", content)
    return [part.encode() for part in parts]


def test_so_much_may_lie_before_a_kernel_at_work(monkeypatch):
    """However slowly it came."""
    now = 0.0
    monkeypatch.setattr(visitor_websocket.time, "monotonic", lambda: now)
    inbox = KernelInbox()
    size = MOST_IN_FLIGHT // 8
    for number in range(8):
        now += 60.0
        assert inbox.admit(size)
        assert inbox.put(str(number), Message(size, number, lambda: None))
    now += 60.0
    assert not inbox.admit(1)
    inbox.hear(published("busy", "3"))
    assert not inbox.admit(1)
    inbox.hear(published("idle", "3"))
    assert inbox.admit(size)
    # Under way already, and would be forgotten with it.
    assert not inbox.put("4", Message(1, 4, lambda: None))


def test_a_kernel_is_given_so_many_messages_and_the_rest_go_with_their_websocket():
    inbox, sent = KernelInbox(), []
    for number in range(MOST_UNANSWERED + MOST_HELD):
        assert inbox.admit(1)
        line = "other" if number == MOST_UNANSWERED else "own"
        inbox.put(str(number), Message(1, line, lambda number=number: sent.append(number)))
    assert sent == list(range(MOST_UNANSWERED)) and len(inbox) == MOST_UNANSWERED
    assert inbox.is_full  # the websockets are left unread
    # The word for the first two was lost on the way.
    inbox.hear(published("idle", "2"))
    assert sent[MOST_UNANSWERED:] == [50, 51, 52] and len(inbox) == MOST_UNANSWERED
    assert not inbox.is_full
    inbox.forget("own")
    inbox.hear(published("idle", str(MOST_UNANSWERED - 1)))
    assert len(sent) == 53 and len(inbox) == 3
    inbox.hear(published("idle", "52"))
    assert len(inbox) == 1  # the other websocket's


@pytest.mark.long
def test_a_kernel_that_works_for_a_line_that_is_gone_ends(tight):
    """Hundreds of changes, one second of work each; the server is told to wait one second."""
    visit = Visit.begin(tight.url, "/page")

    async def send_and_leave():
        found = await widgets(visit)
        async with visit.websocket() as websocket:
            for _ in range(MOST_UNANSWERED + MOST_HELD):
                await websocket.update(found["IntSliderModel"], value=1)
                await websocket.update(found["IntSliderModel"], value=0)
            await websocket.next()
        return int(found["process"])

    process = asyncio.run(send_and_leave())
    wait_until(lambda: ask(tight.url, visit.kernel).status == 404, "it is kept")
    wait_until(lambda: not psutil.pid_exists(process), "it goes on working")


def test_a_kernel_that_has_done_its_work_waits_for_its_line(tight):
    visit = Visit.begin(tight.url, "/page")

    async def come_back():
        found = await widgets(visit)
        async with visit.websocket() as websocket:
            for number in range(MOST_UNANSWERED + MOST_HELD // 2):
                await websocket.update(found["TextModel"], value=str(number))
            await websocket.update(found["IntSliderModel"], value=2)
            # What is held back goes with the line, so all is given out first.
            await websocket.settle()
            await websocket.update(found["IntSliderModel"], value=3)
        async with visit.websocket(session="later") as websocket:
            await websocket.settle()
            states = await websocket.states()
            return states[found["TextModel"]]["value"], states[found["IntSliderModel"]]["value"]

    assert asyncio.run(come_back()) == ("299", 3)
    assert visit.end().status == 204


def test_pings_count_as_well(server):
    visit = Visit.begin(server.url, "/page")

    async def ping():
        async with visit.websocket() as websocket:
            with contextlib.suppress(WebSocketClosedError):
                for _ in range(int(MESSAGE_BURST) + 2000):
                    websocket.connection.ping()
            assert await websocket.closing_code() == POLICY_VIOLATION

    asyncio.run(ping())
    visit.end()


@pytest.mark.long
def test_what_a_kernel_has_dealt_with_lies_before_it_no_longer(tight):
    """Of the tight server: 4 MB one after the other, where 0.2 MB may lie before a kernel."""
    visit = Visit.begin(tight.url, "/page")

    async def try_it():
        found = await widgets(visit)
        async with visit.websocket() as websocket, visit.websocket(session="another") as neighbour:
            for number in range(80):
                await websocket.update(found["TextModel"], value=f"{number:50000d}")
                await websocket.settle()
            await neighbour.settle()
            await websocket.update(found["IntSliderModel"], value=1)
            with contextlib.suppress(WebSocketClosedError):
                for number in range(80):
                    await websocket.update(found["TextModel"], value=f"{number:50000d}")
            assert await websocket.closing_code() == POLICY_VIOLATION

    asyncio.run(try_it())
    visit.end()


@pytest.mark.parametrize(
    "half",
    [
        b"GET / HTTP/1.1\r\nHost: h\r\n",
        b"POST / HTTP/1.1\r\nHost: h\r\nContent-Length: 60000\r\n\r\nx",
        b"POST / HTTP/1.1\r\nHost: h\r\nTransfer-Encoding: chunked\r\n\r\n1\r\nx",
    ],
)
def test_half_a_request_is_not_waited_for(tight, half):
    parts = urlsplit(tight.url)
    with socket.create_connection((parts.hostname, parts.port), timeout=PATIENCE) as connection:
        connection.sendall(half)
        while connection.recv(65536):
            pass


def test_who_never_reads_an_answer_has_a_piece_of_it(server):
    """Voilà's script with its parts has some 3 MB."""
    parts = urlsplit(server.url)
    script = ask(server.url, "/page").text.split('voila.js"')[0].rpartition('src="')[2] + "voila.js"
    request = f"GET {script} HTTP/1.1\r\nHost: {parts.netloc}\r\n\r\n".encode()
    assert len(ask(server.url, script).text) > 2 * MIB
    before = own_memory(server.process.pid)
    with contextlib.ExitStack() as connections:
        for _ in range(40):
            connection = connections.enter_context(socket.socket())
            # Little is left to the system, which would take it all off the server's hands.
            connection.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 4096)
            connection.settimeout(PATIENCE)
            connection.connect((parts.hostname, parts.port))
            connection.sendall(request)
            assert connection.recv(12) == b"HTTP/1.1 200"
        assert ask(server.url, "/health").status == 200
        assert own_memory(server.process.pid) - before < 40 * MIB


def test_when_memory_is_short_who_took_too_much_goes(tight, folder):
    greedy, modest = (Visit.begin(tight.url, "/page") for _ in range(2))
    found = asyncio.run(widgets(greedy))
    asyncio.run(widgets(modest))

    async def take():
        async with greedy.websocket() as websocket:
            click = {"method": "custom", "content": {"event": "click"}}
            await websocket.say("comm_msg", {"comm_id": found["ButtonModel"], "data": click})
            await websocket.settle()

    asyncio.run(take())
    assert own_memory(int(found["process"])) > 150 * MIB
    assert ask(tight.url, greedy.kernel).status == 200
    (folder / "short").touch()
    try:
        wait_until(lambda: ask(tight.url, greedy.kernel).status == 404, "it is kept")
        wait_until(lambda: not psutil.pid_exists(int(found["process"])), "its process is kept")
        assert ask(tight.url, "/page").status == 503  # asked to wait
        assert ask(tight.url, modest.kernel).status == 200
    finally:
        (folder / "short").unlink()
    asyncio.run(widgets(modest))
    assert "Memory is short" in (folder / "errors.txt").read_text()
    modest.end()
    assert json.loads(ask(tight.url, "/health").text)["status"] == "ok"
