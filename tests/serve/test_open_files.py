"""More connections than the server may have open: a sentence, a short log, and it goes on."""

import resource
import socket
import subprocess
import sys
import time
from urllib.parse import urlsplit

import pytest

from explorer.serve.open_files import ENOUGH, KEPT_FREE, has_room, limit
from tests.conftest import PLACES, start_server, write_notebook
from tests.serve.visitor import Visit, ask

# The server with a limit that a test can reach.
SERVER = """
import resource, sys
from pathlib import Path
from explorer.serve import open_files
from explorer.serve.command import parser, serve
from explorer.serve.contents import PageEntry

{0}
resource.setrlimit(resource.RLIMIT_NOFILE, (260, 260))
folder = Path(sys.argv.pop(1))
sys.exit(serve(parser().parse_args(), [PageEntry("page", "Page", "A page of a test.")], folder))
"""
PAGE = "import ipywidgets\nipywidgets.HTML('<p>A page of a test.</p>')"
TOO_MANY = 60


@pytest.fixture(
    params=["", "open_files.has_room = lambda *_: True"], ids=["refused", "none left at all"]
)
def small_server(tmp_path, request):
    program = SERVER.format(request.param)
    write_notebook(tmp_path / "page.ipynb", PAGE)
    command = [sys.executable, "-c", program, str(tmp_path), "--port", "0", "--no-browser"]
    running = start_server([*command, "--pool", "0", *PLACES], tmp_path / "errors.txt")
    running.refuses = not request.param
    yield running
    running.stop()


@pytest.mark.long
def test_connections_too_many_are_refused_in_a_sentence_and_the_log_stays_short(small_server):
    visit = Visit.begin(small_server.url, "/page")
    parts = urlsplit(small_server.url)
    most = 260 + TOO_MANY - (KEPT_FREE if small_server.refuses else 0)
    lines = [socket.create_connection((parts.hostname, parts.port)) for _ in range(most)]
    try:
        if small_server.refuses:
            said = lines[-1].recv(1000)
            assert said.startswith(b"HTTP/1.1 503 ") and b"Try again in a minute." in said
        ask_for = f"GET {visit.kernel} HTTP/1.1\r\nHost: {parts.netloc}\r\n\r\n".encode()
        for line in lines[:50]:  # those inside are served all the same
            line.sendall(ask_for)
            assert line.recv(1000).startswith(b"HTTP/1.1 200 ")
    finally:
        for line in lines:
            line.close()
    # Each attempt to accept one more had a traceback in it: megabytes a second.
    assert small_server.log.stat().st_size < 10_000
    assert "127.0.0.1" not in small_server.log.read_text()
    end = time.monotonic() + 60
    while True:  # its places are free again
        with_room = ask(small_server.url, "/health").status
        if with_room == 200:
            break
        assert time.monotonic() < end


def test_the_command_raises_the_limit_that_its_shell_gave_it():
    program = """
import resource
resource.setrlimit(resource.RLIMIT_NOFILE, (128, resource.getrlimit(resource.RLIMIT_NOFILE)[1]))
from explorer.serve.open_files import limit, raise_limit
raise_limit()
print(limit())
"""
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True)
    hard = resource.getrlimit(resource.RLIMIT_NOFILE)[1]
    assert int(done.stdout) == (ENOUGH if hard < 0 else min(ENOUGH, hard))


def test_how_many_files_are_open_is_told_by_the_lowest_free_number():
    assert has_room()
    assert has_room(limit() - KEPT_FREE - 1)
    assert not has_room(limit() - KEPT_FREE)
