"""What is moved and moved back changes nothing: the link and every text and number of a page.

Without a browser: a page's widgets are sent what a browser sends. The browser's own test is
tests/browser/every_page/test_nothing_changes.py.
"""

import math
import random
import re
from urllib.parse import parse_qsl

import pytest
from ipywidgets import Widget

from explorer.charts import drawing
from explorer.serve.contents import PAGES
from tests.net import corpus, page_said

LINKS = (
    "",
    "bike=sleet-450&front=14&rear=50&slope=7%25&temperature=28C&rider=83.5kg",
    "bike=marram-250&units=imperial&rollout=79.7in&cruise=43mph&altitude=2100ft",
)
SEQUENCES, LONG_SEQUENCES = 1, 2
"""For each page and link, after every control of it has been moved there and back."""


class OpenPage:
    """A page made from its notebook for a link."""

    def __init__(self, notebook, query: str, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setenv("QUERY_STRING", query)
        monkeypatch.setenv("GEARING_EXPLORER_SERVER", "yes")
        # Each axis anew for each state: else it is held, and what came before is seen in it.
        monkeypatch.setattr(drawing, "_LEAST_FILL", math.inf)
        page_said._run(notebook)
        self.root = page_said._root()

    @property
    def says(self) -> list[tuple[str, str]]:
        return list(page_said.of_widget(self.root))

    @property
    def link(self) -> dict[str, str]:
        [link] = [
            each.value
            for each in page_said._inside(self.root)
            if (getattr(each, "description", None) or "").startswith("Link to th")
        ]
        return dict(parse_qsl(link.removeprefix("?"), keep_blank_values=True))

    @property
    def units(self) -> Widget | None:
        named = (getattr(each, "description", None) for each in page_said._inside(self.root))
        if "Units" not in named:
            return None
        return next(
            each
            for each in page_said._inside(self.root)
            if getattr(each, "description", None) == "Units"
        )

    def controls(self) -> list[str]:
        """Names of the controls of numbers that can be seen, without their units."""
        return [
            re.sub(r" \[.*", "", each.children[0].description)
            for each in page_said._inside(self.root)
            if "ge-control" in getattr(each, "_dom_classes", ())
        ]

    def parts(self, name: str) -> tuple[Widget, Widget]:
        """Slider and box of a control."""
        return next(
            each.children[:2]
            for each in page_said._inside(self.root)
            if "ge-control" in getattr(each, "_dom_classes", ())
            and re.sub(r" \[.*", "", each.children[0].description) == name
        )


def say(widget: Widget, **state) -> None:
    """What a browser sends of a widget that a rider used."""
    widget._handle_msg({"content": {"data": {"method": "update", "state": state}}, "buffers": []})


def units_there_and_back(page: OpenPage, rng: random.Random) -> None:
    here = page.units.index
    for place in (1 - here, here) * rng.choice((1, 2)):
        before = page.units
        say(before, index=place)


def moved_and_back(page: OpenPage, name: str, rng: random.Random) -> None:
    slider, box = page.parts(name)
    value, low, step = box.value, slider.min, slider.step
    places = round((slider.max - low) / step)
    for _ in range(rng.choice((1, 2))):
        # Somewhere else: what is not moved stays as the bike has it.
        other = rng.randrange(places)
        place = low + (other + (other >= round((slider.value - low) / step))) * step
        widget = rng.choice((slider, box))
        say(widget, value=place if widget is slider else f"{place:g}")
    say(page.parts(name)[1], value=value)


def of(names: set[str]) -> str:
    return ", ".join(sorted(names))


@pytest.mark.parametrize(
    "query",
    [LINKS[0], *(pytest.param(link, marks=pytest.mark.long) for link in LINKS[1:])],
    ids=("fitted", "changed", "imperial"),
)
@pytest.mark.parametrize(
    "entry",
    [entry for entry in PAGES if entry.name not in ("method", "members", "logbook")],
    ids=lambda entry: entry.name,
)
def test_there_and_back_nothing_has_changed(entry, query, repository, monkeypatch, long_run):
    page = OpenPage(repository / "notebooks" / entry.notebook, query, monkeypatch)
    rng = random.Random(f"{entry.name} {query}")
    for name in page.controls():
        # A number that is moved for the first time may turn into the rider's: a measured roll-out.
        before = page.link
        value = page.parts(name)[1].value
        moved_and_back(page, name, rng)
        # One measured roll-out holds for all set-ups on that tyre.
        changed = {
            re.sub("^also.*", "rollout", each)
            for each in before
            if page.link.get(each) != before[each]
        }
        assert len(changed) <= 1, f"{name} moved and moved back changes {of(changed)}"
        assert page.parts(name)[1].value == value, name
    says, link = page.says, page.link
    for _ in range(LONG_SEQUENCES if long_run else SEQUENCES):
        done = []
        for _ in range(rng.randint(1, 4)):
            if page.units is not None and rng.random() < 0.4:
                units_there_and_back(page, rng)
                done.append("units")
            elif page.controls():
                name = rng.choice(page.controls())
                moved_and_back(page, name, rng)
                done.append(name)
        assert page.link == link, f"after {done}"
        assert not corpus.difference(says, page.says), f"after {done}"
