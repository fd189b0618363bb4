"""How many files a move of the front slider passes: its figure is held, not only printed."""

import asyncio

from explorer.app.elsewhere import OWN_SERVER
from tests.bench.walk_front_slider import walk_front_slider
from tests.test_floors import ROOT
from tests.test_structure import imports_between_files

MOST = 24
"""Files until the hand is answered; the words, once it rests, pass more [count]."""


def module_of(function):
    """The module of what a walk calls "folder/file.py function"."""
    return f"explorer.{function.partition('.py ')[0].replace('/', '.')}"


def test_a_move_of_the_front_slider_passes_few_files(monkeypatch):
    monkeypatch.setenv(OWN_SERVER, "")  # put back afterwards, for the walk says which it wants
    hand, words = asyncio.run(walk_front_slider(served=True))
    assert "tasks/bench/channel.py" in hand.files and "study/study.py" in words.files
    assert len(hand.files) <= MOST, hand.files
    # A climb is a callback: its caller knows nothing of the file that it calls.
    known = imports_between_files(ROOT)
    climbs = [each for walk in (hand, words) for each in walk.climbs]
    assert climbs and not [
        (below, above) for below, above in climbs if module_of(above) in known[module_of(below)]
    ]
