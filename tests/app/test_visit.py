"""Pages made ahead: out of every other page's sight until their visitor comes."""

import comm
import ipywidgets as widgets
import pytest
from ipywidgets.widgets.widget import _instances

from explorer.app import visit


class SmallPage:
    """A page of one slider."""

    made = 0
    last = None

    def __init__(self) -> None:
        type(self).made += 1
        self.slider = widgets.IntSlider()
        self.told: list[str] = []

    def follow(self, query: str) -> None:
        self.told.append(query)

    def show(self) -> None:
        self.told.append("shown")
        type(self).last = self


class OtherPage(SmallPage):
    """Another one."""


@pytest.fixture
def only_ours():
    """No widget of another test; what was there is put back."""
    lines = comm.get_comm_manager().comms
    before = dict(_instances), dict(lines)
    _instances.clear()
    for kind in (SmallPage, OtherPage):
        kind.made = 0
        kind.last = None
    yield
    for kind in (SmallPage, OtherPage):
        visit._fetch(kind)
    widgets.Widget.close_all()
    _instances.update(before[0])
    lines.update(before[1])


@pytest.fixture
def ahead(monkeypatch, only_ours):
    """Both pages made ahead, as the warm process does."""
    monkeypatch.setenv(visit.AHEAD, "yes")
    visit.open_page(SmallPage)
    visit.open_page(OtherPage)
    monkeypatch.delenv(visit.AHEAD)


def test_a_page_made_ahead_is_in_nobodys_sight(ahead):
    assert _instances == {}
    assert SmallPage.last is None


def test_the_visitor_gets_the_page_made_ahead_and_no_other(ahead, monkeypatch):
    monkeypatch.setenv("QUERY_STRING", "front=13")
    visit.open_page(SmallPage)
    page = SmallPage.last
    assert SmallPage.made == 1
    assert page.told == ["front=13", "shown"]
    assert page.slider in _instances.values()
    assert not any(widget is not page.slider for widget in sliders())


def test_the_bare_address_is_the_page_as_it_was_made(ahead, monkeypatch):
    monkeypatch.delenv("QUERY_STRING", raising=False)
    visit.open_page(SmallPage)
    assert SmallPage.last.told == ["shown"]


def test_without_a_page_made_ahead_one_is_made(only_ours, monkeypatch):
    monkeypatch.setenv("QUERY_STRING", "rear=50")
    visit.open_page(SmallPage)
    assert SmallPage.made == 1
    assert SmallPage.last.told == ["rear=50", "shown"]


def sliders() -> list[widgets.Widget]:
    return [each for each in _instances.values() if isinstance(each, widgets.IntSlider)]
