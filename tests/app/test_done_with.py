"""What a page has done with goes at once and leaves nothing for the collector, which seldom comes.

A kernel's tables of numbers weigh hundreds of kilobytes and are few objects. The collector counts
objects, so it would let dozens pile up: 0.4 MB more for each rest of the hand.
"""

import gc

import numpy as np
import pytest

from explorer.tasks.bench.page import GearingPage
from explorer.tasks.check.page import CheckPage
from explorer.tasks.fit.page import FitPage
from explorer.tasks.ground.page import GroundPage
from explorer.tasks.wants.page import WantsPage

PAGES = (GearingPage, GroundPage, WantsPage, FitPage, CheckPage)
LINKS = [f"?bike=sleet-450&front={front}&rear=48" for front in (13, 14, 15)]
MOST = 10_000
"""Of numbers in what only the collector finds [byte]."""


@pytest.fixture
def collector():
    gc.collect()
    gc.disable()
    yield gc
    gc.set_debug(0)
    gc.garbage.clear()
    gc.enable()


@pytest.mark.parametrize("kind", PAGES, ids=lambda kind: kind.title)
def test_a_page_leaves_no_numbers_to_the_collector(kind, collector):
    page = kind()
    for link in LINKS[:2]:
        page.follow(link)
    collector.collect()
    page.follow(LINKS[2])
    collector.set_debug(gc.DEBUG_SAVEALL)
    collector.collect()
    kinds = sorted({type(each).__name__ for each in gc.garbage})
    held = [each for one in gc.garbage for each in gc.get_referents(one)]
    sizes = {id(each): each.nbytes for each in held if isinstance(each, np.ndarray)}
    assert sum(sizes.values()) < MOST, kinds
