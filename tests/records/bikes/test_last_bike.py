"""The last bike of one's own: kept in the rider's folder, offered on every page, nowhere else."""

import pytest

from explorer.app.state import State
from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.bikes.last_bike import FILE_NAME, keep_last_bike, last_bike
from explorer.records.bikes.own_bike import read_own_bike
from explorer.records.errors import RecordError
from explorer.records.logbook.logbook_place import FOLDER_VARIABLE
from explorer.records.setups.link import MINE
from explorer.tasks.bench.page import GearingPage
from explorer.tasks.fit.page import FitPage
from tests.records.bikes.test_own_bike import MEADOW

BIKE = read_own_bike(MEADOW).bike


@pytest.fixture
def home(tmp_path, monkeypatch):
    monkeypatch.setenv(FOLDER_VARIABLE, str(tmp_path / "data"))
    return tmp_path / "data"


def test_it_comes_back_whole_and_the_newer_one_replaces_it(home):
    assert last_bike() is None
    keep_last_bike(BIKE)
    assert last_bike() == BIKE
    other = BIKE.with_changes({"name": "Other"})
    keep_last_bike(other)
    assert last_bike() == other
    assert [each.name for each in home.iterdir()] == [FILE_NAME]


def test_on_a_published_server_nothing_is_stored(tmp_path, monkeypatch):
    monkeypatch.delenv(FOLDER_VARIABLE, raising=False)
    monkeypatch.chdir(tmp_path)
    keep_last_bike(BIKE)
    assert last_bike() is None and not any(tmp_path.iterdir())


@pytest.mark.parametrize("content", [b"", b"\xff\xfe", b"name = 'x'", b"[", b"a" * 3_000_000])
def test_a_file_of_no_use_is_passed_over(home, content):
    home.mkdir()
    (home / FILE_NAME).write_bytes(content)
    assert last_bike() is None
    assert MINE not in State.from_link("", dict(demo_bikes()))[0].library


def test_a_folder_that_cannot_be_written_is_said_and_the_bike_is_used(home):
    home.write_text("a file where the folder should be")
    state, _ = State.from_link("", dict(demo_bikes()))
    with pytest.raises(RecordError, match=r"Meadow is on the page, but .* cannot be written"):
        state.use_own(BIKE)
    assert state.bike == BIKE


@pytest.mark.parametrize("kind", [GearingPage, FitPage])
def test_a_page_made_ahead_offers_it_and_takes_it(home, kind):
    page = kind()
    before = page.state.link
    assert MINE not in page.state.library
    keep_last_bike(BIKE)
    page.follow("")
    assert page.state.link == before and page.state.library[MINE] == BIKE
    page.state.pick_bike(MINE)
    assert page.state.bike == BIKE and "own.name=Meadow" in page.state.link


def test_what_is_entered_or_edited_is_kept_and_a_demo_bike_is_not(home):
    state, _ = State.from_link("", dict(demo_bikes()))
    state.use_bike(state.bike.with_changes({"mass.bike": "120 kg"}))
    assert last_bike() is None
    state.use_own(BIKE)
    state.use_bike(BIKE.with_changes({"mass.bike": "120 kg"}))
    assert last_bike().flat()["mass.bike"] == "120 kg"
