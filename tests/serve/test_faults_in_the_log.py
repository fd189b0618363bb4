"""A fault of ours stands in the server's log with its number; no traceback goes to the browser."""

import re
from pathlib import Path

import pytest

from tests.serve.test_visitor_limit import ask

BROKEN = "import ipywidgets as w\nsecret = 'a secret word'\nraise RuntimeError(secret)"

# A callback that fails as soon as the page is made for a visitor.
GUARDED = """
import ipywidgets as w
from explorer.app.address import query_string
from explorer.app.faults import Faults

faults = Faults()
if query_string() == "fails":
    faults.guard(lambda: [][1])()
faults.widget
"""


# When a visitor comes, it fails before there is a kernel.
FAILING = """
from explorer.serve.adapters.jsonschema import leave_addresses_out
leave_addresses_out()
from explorer.serve.kernels import VisitorKernelManager

def fail(self):
    raise RuntimeError("a secret word")

VisitorKernelManager.let_in = fail
"""


@pytest.fixture(scope="module")
def server(serve_pages):
    return serve_pages({"broken": BROKEN, "guarded": GUARDED}, "--pool", "0")


def log_of(server) -> str:
    """What the server wrote to its standard error stream."""
    return Path(f"/proc/{server.process.pid}/fd/2").resolve().read_text()


def assert_is_told(log: str, heading: str) -> None:
    """The log has the traceback below its heading, and neither link nor address."""
    found = log.split(heading)
    assert len(found) == 2
    traceback = found[1].split("\nRuntimeError: a secret word\n")[0]
    assert traceback.startswith("Traceback (most recent call last):\n")
    assert "4848" not in log
    assert "127.0.0.1" not in log


def test_the_number_on_the_page_stands_beside_the_traceback(server):
    _, _, html = ask(server.url, "/broken?rear=4848")
    assert "This page could not be prepared." in html
    [number] = re.findall(r"log is ([0-9a-f]{6})\.", html)
    for word in ("secret", "RuntimeError", "Traceback", "raise"):
        assert word not in html
    assert_is_told(log_of(server), f"fault {number}\n")


def test_a_page_that_cannot_even_be_begun_has_a_number_too(serve_pages):
    server = serve_pages({"broken": BROKEN}, "--pool", "0", before=FAILING)
    status, _, html = ask(server.url, "/broken?rear=4848")
    assert status == 500
    [number] = re.findall(r"log is ([0-9a-f]{6})\.", html)
    assert "secret" not in html
    assert_is_told(log_of(server), f"fault {number} at /broken\n")


def test_an_address_with_a_zero_byte_is_no_page_and_no_fault(server):
    """Each handler of files: pages' scripts, Bokeh's, Voilà's, the widget libraries'."""
    before = log_of(server)
    page = ask(server.url, "/guarded")[2]
    scripts = re.findall(r'(?:src|href)="([^"]+\.(?:js|css))"', page)
    assert len(scripts) >= 4
    for script in scripts:
        address = re.sub(r"^https?://[^/]+", "", script).replace(".js", ".js%00.css")
        for path in (address, f"{address}%00"):
            if "%00" in path:
                assert ask(server.url, path)[0] == 404, path
    assert log_of(server) == before


def test_the_traceback_of_a_guarded_callback_goes_to_the_log(server):
    status, _, html = ask(server.url, "/guarded?fails")
    assert status == 200
    assert "IndexError" not in html
    assert re.search(
        r"^fault [0-9a-f]{6}\nTraceback .*(?:\n .*)+\nIndexError: list index out of range$",
        log_of(server),
        re.MULTILINE,
    )
