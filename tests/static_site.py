"""The exported site that tests look at: written once, whichever worker asks first."""

import fcntl
import os
from pathlib import Path

import pytest

from explorer.records.bikes.bike_library import demo_bikes
from explorer.serve.contents import PAGES
from explorer.serve.export import export
from explorer.serve.site import site_of

SERVED_AT = "https://club.example/gearing/"
FIRST = next(iter(demo_bikes()))


@pytest.fixture(scope="session")
def static_site(tmp_path_factory) -> Path:
    """The site of the first demo bike."""
    shared = tmp_path_factory.getbasetemp()
    if "PYTEST_XDIST_WORKER" in os.environ:
        shared = shared.parent
    made, out = shared / "static-site.made", shared / "static-site"
    with (shared / "static-site.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not made.exists():
            list(export({FIRST: demo_bikes()[FIRST]}, site_of(None, PAGES), out, SERVED_AT))
            made.touch()
    return out
