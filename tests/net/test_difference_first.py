"""No page prints two figures with their bands where it means their difference.

"7 ± 3 → 8 ± 3" hides that both are the same motorcycle on the same ground. So of two set-ups one
figure has its band at most, and the difference stands before the other with a band of its own.
Read from what every page said for every link of the corpus.
"""

import re
from collections import Counter

import pytest

from tests.net import corpus
from tests.printed_bands import banded

UNIT = r"(?:km/h|mph|s|N|lbf|%|rpm)"
LEVEL = re.compile(r"(?<![+−\d.,/])" + banded(UNIT, r"\d[\d.,]*"))
DIFFERENCE = re.compile(banded(UNIT, r"[+−]\d[\d.,]*"))
FIRST = re.compile(rf"(?:.* Top speed: )?{DIFFERENCE.pattern}")
"""At a tile's beginning; the verdict names what it is of."""
PAGES = ("gearing", "ground", "compare", "lesson", "fit", "wants")
"""The check page sets what was measured against what was computed; that is no difference of two
set-ups."""


def levels(text):
    """Value and unit of each figure with its band that is no difference."""
    return [(said.split()[0], re.search(UNIT, said)[0]) for said in LEVEL.findall(text)]


def statements(where, text):
    """Sentences, rows of a table, tiles, or all the labels of a chart."""
    apart = r"\n" if where.startswith("bench") else r"</tr>|</li>|</p>|(?<=[a-z)])\. "
    for each in re.split(apart, text):
        yield re.sub(r"<[^>]+>", " ", each)


@pytest.mark.parametrize("page", PAGES)
def test_no_two_figures_with_bands_side_by_side(page):
    seen = 0
    for query, said in corpus.read(page).items():
        for where, text in said:
            for each in statements(where, text):
                # A difference that is printed as zero has no sign.
                found = Counter(unit for value, unit in levels(each) if float(value))
                assert all(count == 1 for count in found.values()), (query, each)
                seen += len(found)
    assert seen or page in ("lesson", "fit", "wants")


def test_what_is_found():
    assert levels("0 to 60: 7 ± 3 s, chosen 8 s (6 to 11)") == [("7", "s"), ("8", "s")]
    assert not levels("+0.40 ± 0.07 s (7.7 s), −7 km/h (−15 to −1)")


@pytest.mark.parametrize("page", ["gearing", "compare"])
def test_the_difference_stands_first_on_the_bench(page):
    """In a tile: the difference, then what it is and the figure."""
    seen = 0
    for query, said in corpus.read(page).items():
        for where, text in said:
            if not where.startswith("bench"):
                continue
            for tile in text.splitlines():
                if DIFFERENCE.search(tile):
                    assert FIRST.match(tile), (query, tile)
                    seen += 1
    assert seen > 100
