"""How many files a move of the front slider passes: its figure is held, not only printed."""

import asyncio

from explorer.app.elsewhere import OWN_SERVER
from tests.bench.walk_front_slider import walk_front_slider

MOST = 24
"""Files between the hand and all that answers it [count]."""


def test_a_move_of_the_front_slider_passes_few_files(monkeypatch):
    monkeypatch.setenv(OWN_SERVER, "")  # put back afterwards, for the walk says which it wants
    hand, words = asyncio.run(walk_front_slider(served=True))
    assert "tasks/bench/channel.py" in hand.files and "study/study.py" in words.files
    assert len(hand.files) <= MOST, hand.files
