"""A page's websocket may break at any moment: nothing is miscounted, and nothing is kept for it."""

import asyncio
import re
import socket
from urllib.parse import urlsplit

import psutil
import pytest

from tests.serve.visitor import Visit, ask, upgrade

OPENING_SECONDS = 2

# A kernel that does not answer a new websocket is waited for no longer.
IMPATIENT = f"""
from explorer.serve.adapters.jsonschema import leave_addresses_out
leave_addresses_out()
from jupyter_server.services.kernels.kernelmanager import MappingKernelManager
MappingKernelManager.kernel_info_timeout.default_value = {OPENING_SECONDS}
"""
PAGE = "import ipywidgets\nipywidgets.HTML('<p>A page of a test.</p>')"


@pytest.fixture(scope="module")
def server(serve_pages):
    return serve_pages({"page": PAGE}, "--pool", "0", before=IMPATIENT)


def opening(visit: Visit) -> socket.socket:
    """A connection on which a websocket has been asked for."""
    parts = urlsplit(visit.url)
    connection = socket.create_connection((parts.hostname, parts.port), timeout=30)
    connection.sendall(upgrade(visit.url, f"{visit.kernel}/channels?session_id=visitor"))
    return connection


def open_and_break(visit: Visit, until: bytes) -> None:
    """Ask for a websocket, and break the connection as soon as so much has been answered."""
    with opening(visit) as connection:
        assert connection.recv(len(until)) == until
        # Closed at once, whatever is still on its way (socket(7), SO_LINGER).
        connection.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, bytes([1, *bytes(7)]))


def websockets_of(visit: Visit) -> int:
    return int(re.search(r'"connections": (-?\d+)', ask(visit.url, visit.kernel).text)[1])


@pytest.mark.long
def test_only_websockets_that_stand_are_counted(server):
    async def try_it() -> None:
        visit = Visit.begin(server.url, "/page")
        for _ in range(20):
            open_and_break(visit, until=b"")
            open_and_break(visit, until=b"HTTP/1.1 101")
            async with visit.websocket() as websocket:
                await websocket.settle()
                assert websockets_of(visit) == 1
        async with visit.websocket(session="second") as websocket:
            while websockets_of(visit) != 1:  # the server may not have missed the other yet
                await websocket.settle()

    asyncio.run(try_it())
    assert server.log.read_text() == ""


def test_a_websocket_that_could_not_be_opened_is_counted_no_more(server):
    async def try_it() -> None:
        [warm] = psutil.Process(server.process.pid).children()
        others = set(warm.children())
        visit = Visit.begin(server.url, "/page")
        [kernel] = set(warm.children()) - others
        kernel.suspend()
        with opening(visit) as connection:
            assert connection.recv(12) == b"HTTP/1.1 101"
            while connection.recv(2**16):
                pass
        kernel.resume()
        assert websockets_of(visit) == 0
        async with visit.websocket() as websocket:
            await websocket.settle()
            assert websockets_of(visit) == 1

    asyncio.run(try_it())
    assert "TimeoutError" in server.log.read_text()
