"""Hostile sizes: a reader refuses before it gathers, so its memory stays bounded.

Each case runs in a process of its own that reports its peak, less what the imports took: they are
made once, and each case is a fork.
"""

import json
import subprocess
import sys

import pytest

LARGEST_MEGABYTES = 250
"""Above the imports. Measured 0 to 132 MB."""

PROGRAM = """
import json, os, resource, sys
from explorer.records.errors import RecordError
from explorer.records.rides import ride_file
point = b'<trkpt lat="45" lon="14"><time>2031-05-04T09:00:00Z</time></trkpt>'
head = b'<gpx version="1.1"><trk><trkseg>'
foot = b"</trkseg></trk></gpx>"
bomb = b'<!DOCTYPE gpx [<!ENTITY a "' + b"a" * 100000 + b'">]><gpx version="1.1">' + b"&a;" * 100000
contents = {
    "hundred megabytes": lambda: b"0,1\\n" * 25_000_000,
    "a million points": lambda: b"time [s],speed [m/s]\\n" + b"0,1\\n" * 1_000_000,
    "a gpx of the largest size": lambda: head + point * (7_900_000 // len(point)) + foot,
    "an entity bomb": lambda: bomb,
    "one long line": lambda: b"time [s],speed [m/s]\\n" + b"1" * 7_900_000,
    "nothing but commas": lambda: b"," * 7_900_000,
    "nothing but lines": lambda: b"time [s],speed [m/s]" + b"\\n" * 7_900_000,
    "nothing but elements": lambda: head + b"<a/>" * 1_900_000,
    "one long attribute": lambda: b'<gpx version="1.1" a="' + b"a" * 7_900_000 + b'"/>',
}
def peak():
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1000
for case in sys.argv[1:]:
    if child := os.fork():
        os.waitpid(child, 0)
        continue
    content = contents[case]()
    before, said = peak(), ""
    try:
        ride_file.read_ride([("x", content)])
    except RecordError as error:
        said = str(error)
    print(json.dumps([case, said, peak() - before]), flush=True)
    os._exit(0)
"""

CASES = (
    "hundred megabytes",
    "a million points",
    "a gpx of the largest size",
    "an entity bomb",
    "one long line",
    "nothing but commas",
    "nothing but lines",
    "nothing but elements",
    "one long attribute",
)


QUICK = ("a gpx of the largest size", "an entity bomb")
"""For every day: what takes most, and what would take most if it were let."""


@pytest.fixture(scope="module")
def told(repository, long_run):
    """By case: the sentence, and the megabytes that it took to find it."""
    run = subprocess.run(
        [sys.executable, "-c", PROGRAM, *(CASES if long_run else QUICK)],
        capture_output=True,
        text=True,
        cwd=repository,
        timeout=240,
        check=True,
    )
    return {case: rest for case, *rest in map(json.loads, run.stdout.splitlines())}


@pytest.mark.parametrize(
    "case",
    [each if each in QUICK else pytest.param(each, marks=pytest.mark.long) for each in CASES],
)
def test_memory_stays_bounded(case, told):
    said, megabytes = told[case]
    assert said
    assert megabytes < LARGEST_MEGABYTES
