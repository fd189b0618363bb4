"""Set-up that the tests of this folder share."""

import pytest

from tests.serve.read_only.every_control import PAGE
from tests.serve.visitor import Visit


@pytest.fixture(scope="module")
def log(tmp_path_factory):
    return tmp_path_factory.mktemp("log") / "access.log"


@pytest.fixture(scope="module")
def server(serve_pages, log):
    """Two pages, the same; kernels stand ready for one of them. The logbook is the rider's own."""
    options = ("--pool", "1", "--visitors", "12", "--access-log", str(log), "--logbook", "home")
    return serve_pages({"one": PAGE, "other": PAGE}, *options)


@pytest.fixture(scope="module")
def visit(server):
    """An open page, shared by the tests that leave its kernel as it is."""
    visit = Visit.begin(server.url, "/one")
    yield visit
    visit.end()
