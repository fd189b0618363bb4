"""The members page; and what the other pages offer and link to on a club's server."""

import html
import json
import re
import shutil
from dataclasses import replace
from pathlib import Path
from urllib.parse import urlsplit

import ipywidgets as widgets
import pytest
from ipywidgets.widgets.widget import _instances

from explorer.app.state import State
from explorer.panels.html import table
from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.clubs.club import CLUB_VARIABLE, bikes_offered, club_here
from explorer.records.setups.link import decode
from explorer.serve.contents import PAGES
from explorer.serve.warm_process import cells
from explorer.tasks.bench.page import GearingPage
from explorer.tasks.lesson.page import LessonPage
from explorer.tasks.logbook.page import LogbookPage
from explorer.tasks.members import rows
from explorer.tasks.members.page import (
    MembersPage,
    bike_class,
    count,
    setups,
    spread,
    terrain,
    units,
)

SCRIPT = "<script>alert(1)</script>"


@pytest.fixture
def club_folder(tmp_path: Path, repository: Path, monkeypatch: pytest.MonkeyPatch):
    """A copy of the club that comes with the project; the pages are in a kernel of its server."""
    folder = Path(shutil.copytree(repository / "data" / "club", tmp_path / "club"))
    monkeypatch.setenv(CLUB_VARIABLE, str(folder))
    club_here.cache_clear()
    yield folder
    club_here.cache_clear()


def change_settings(folder: Path, **settings) -> None:
    """Replace the settings of the club by a title and these."""
    lines = ['title = "Ours"', *(f"{name} = {json.dumps(it)}" for name, it in settings.items())]
    (folder / "club.toml").write_text("\n".join(lines))


def texts_of(widget: widgets.Widget) -> list[str]:
    """All HTML of a page."""
    found = [widget.value] if isinstance(widget, widgets.HTML) else []
    for child in getattr(widget, "children", ()):
        found += texts_of(child)
    return found


def links_in(texts: list[str]) -> list[str]:
    return [html.unescape(each) for text in texts for each in re.findall(r'href="([^"]*)"', text)]


def test_a_row_opens_the_gearing_page_with_that_set_up(club_folder):
    page = MembersPage()
    opened = [
        link for link in links_in([page.part(setups).widget.value]) if link.startswith("gearing?")
    ]
    of_the_club = [setup for setup in club_here().members if setup.bike_class in bikes_offered()]
    assert len(opened) == len(of_the_club) == 8
    newest_first = sorted(of_the_club, key=lambda each: each.month, reverse=True)
    for link, setup in zip(opened, newest_first, strict=True):
        state, complaints = State.from_link(urlsplit(link).query, dict(bikes_offered()))
        assert complaints == []
        assert state.setup.bike_id == setup.bike_class
        assert (state.setup.front, state.setup.rear) == (setup.front, setup.rear)
        assert (state.setup.tyre, state.setup.rollout) == (setup.tyre, setup.rollout)


def test_filters_and_counts(club_folder):
    page = MembersPage()
    assert "10 set-ups: 7 reported, 3 checked by GPS." in page.part(count).widget.value
    page.part(terrain)._control._choice.value = "woods"
    assert "4 set-ups" in page.part(count).widget.value  # woods twice, steep woods, tight woods
    page.part(bike_class)._control._choice.value = "club-trail-200"
    assert "2 set-ups: 1 reported, 1 checked by GPS." in page.part(count).widget.value
    assert page.part(setups).widget.value.count("<tr>") == 1 + 2
    page.part(terrain)._control._choice.value = "motocross"
    assert "No set-up of this class on this terrain" in page.part(count).widget.value
    assert page.part(setups).widget.value == ""


def test_the_spread_is_of_one_class_only(club_folder):
    page = MembersPage()
    assert "ratios of different bikes do not compare" in page.part(spread).widget.value
    page.part(bike_class)._control._choice.value = "club-trail-200"
    # 45/12 and 45/13 on gravel, of which the first was found right.
    row = '<th scope="row">gravel</th><td>2</td><td>3.46 to 3.75</td><td>3.75</td>'
    assert row in page.part(spread).widget.value


def test_units_of_the_reader(club_folder):
    page = MembersPage("bike=club-trail-200&units=imperial&front=nonsense")
    assert page.state.choice.units == "imperial"
    assert "79.3 in" in page.part(setups).widget.value  # 2015 mm / 25.4
    page.part(units)._control._choice.value = "metric"
    assert "2015 mm" in page.part(setups).widget.value
    assert "79.3" not in page.part(setups).widget.value
    assert all("units=metric" in link for link in links_in([page.part(setups).widget.value]))


def test_a_page_that_follows_a_link_is_the_page_of_that_link(club_folder):
    led = MembersPage()
    led.follow("?units=imperial&bike=club-youth-80")
    assert texts_of(led.widget) == texts_of(MembersPage("?units=imperial").widget)
    assert led.state.choice.units == "imperial"
    led.follow("?front=13")
    assert texts_of(led.widget) == texts_of(MembersPage().widget)


def test_reported_is_not_called_verified(club_folder):
    said = " ".join(texts_of(MembersPage().widget))
    assert "Reported is what somebody wrote down. Nobody has verified it." in said
    assert "does not mean that it fits yours" in said


def test_nothing_from_the_files_is_markup_on_the_page(club_folder):
    bike = club_folder / "bikes" / "club-trail-200.toml"
    bike.write_text(bike.read_text().replace('"Club trail 200"', f'"{SCRIPT}"'))
    page = MembersPage()
    page.part(bike_class)._control._choice.value = "club-trail-200"
    said = " ".join(texts_of(page.widget))
    assert html.escape(SCRIPT) in said
    assert "<script" not in said


def test_rows_escape_whatever_a_reader_let_through(club_folder):
    [setup, *_] = club_here().members
    bad = replace(
        setup, bike_class=SCRIPT, terrain=SCRIPT, verdict=SCRIPT, checked=SCRIPT, gearbox=SCRIPT
    )
    shown = table(rows.HEADS, rows.table_rows([bad], bikes_offered(), "metric"))
    assert shown.count(html.escape(SCRIPT)) == 5
    assert "<script" not in shown


def test_without_a_club_the_page_is_empty_and_whole(monkeypatch):
    monkeypatch.delenv(CLUB_VARIABLE, raising=False)
    club_here.cache_clear()
    page = MembersPage()
    assert page.part(setups).widget.value == ""


def test_a_page_without_a_link_opens_with_the_clubs_bike_and_units(club_folder):
    change_settings(club_folder, bike="club-youth-80", units="imperial")
    for page in (GearingPage(), LessonPage()):
        setup = page.state.choice.setup
        assert (setup.bike_id, setup.units) == ("club-youth-80", "imperial")
        assert "are the club&#39;s" in " ".join(texts_of(page.widget))
    assert "bike=club-youth-80" in LogbookPage().state.choice.address
    assert "units=imperial" in LogbookPage().state.choice.address
    # A link that says its units is shown in them.
    state, _ = State.from_link("units=metric", dict(bikes_offered()))
    assert state.setup.units == "metric"


def test_a_link_with_a_demo_bike_is_told_that_it_is_not_here(club_folder):
    bike_id = next(iter(demo_bikes()))
    _, _, complaints = decode(f"bike={bike_id}", bikes_offered())
    assert complaints == [
        f'The link\'s bike "{bike_id}" is not in the library, so nothing of it is used, and '
        "nothing that you measured on it; Club trail 200 is shown instead."
    ]


@pytest.mark.parametrize("name", [page.name for page in PAGES])
def test_a_page_that_is_served_alone_links_to_no_other(club_folder, repository, name, monkeypatch):
    change_settings(club_folder, pages=[name])
    # As in a kernel of the server, whose template brings the charts' script.
    monkeypatch.setenv("GEARING_EXPLORER_SERVER", "yes")
    before = set(_instances)
    for source in cells(repository / "notebooks" / f"{name}.ipynb"):
        exec(source, {})
    made = [widget for key, widget in _instances.items() if key not in before]
    texts = [widget.value for widget in made if isinstance(widget, widgets.HTML)]
    assert texts
    for link in links_in(texts):
        address = urlsplit(link)
        assert address.scheme in ("data", "https") or address.path in ("", name), link


def test_links_of_a_club_are_only_to_its_pages(club_folder):
    links = links_in(texts_of(GearingPage().widget))
    pages = {urlsplit(link).path for link in links if not urlsplit(link).scheme}
    assert pages == {"fit", "ground", "method"}  # not compare, which is not allowed
