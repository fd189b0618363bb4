"""Columns of a table on the check page: shown, put right by the rider, remembered."""

import re

import pytest

from explorer.records.logbook.logbook_place import FOLDER_VARIABLE
from explorer.records.rides.column_memory import ColumnMemory
from explorer.study.check.demo import PHONE
from explorer.tasks.check.page import CheckPage, rides
from tests.tasks.check.check_widgets import named, open_demo, shown, upload

STRANGE = ("Zeit;Tempo;U\n" + "".join(f"{n};10;{3000 + n}\n" for n in range(40))).encode()


def say_column(page, place, field, unit):
    named(page, "Column to put right").value = place
    named(page, "It is").value = field
    named(page, "In").value = unit
    named(page, "Read it so").click()


def test_columns_are_shown_and_put_right_and_remembered(page, tmp_path, monkeypatch):
    monkeypatch.setenv(FOLDER_VARIABLE, str(tmp_path))
    page = CheckPage("?bike=marram-250&rear=51")
    upload(page, ("strange.csv", STRANGE))
    text = shown(page)
    assert "No column was recognised as" in text
    assert "Zeit" in text and "Tempo" in text and page.part(rides).result is None
    say_column(page, 1, "speed", "m/s")
    assert page.part(rides).result.top.speed == pytest.approx(10.0)
    say_column(page, 2, "engine_speed", "rpm")
    assert page.part(rides).result.found is not None
    assert "engine speed rpm you" in re.sub(r"\s+", " ", shown(page))
    # The next file of the same kind, and the next visit, know it; and it can be said otherwise.
    for again in (page, CheckPage("?bike=marram-250&rear=51")):
        upload(again, ("next.csv", STRANGE))
        assert again.part(rides).result.top.speed == pytest.approx(10.0)
    say_column(page, 1, "speed", "km/h")
    assert page.part(rides).result.top.speed == pytest.approx(10 / 3.6)
    open_demo(page, PHONE)
    assert "Tempo" not in shown(page)


def test_nothing_said_of_columns_is_stored_on_a_server(page, tmp_path, monkeypatch):
    monkeypatch.delenv(FOLDER_VARIABLE, raising=False)
    monkeypatch.chdir(tmp_path)
    upload(page, ("strange.csv", STRANGE))
    say_column(page, 1, "speed", "m/s")
    upload(page, ("strange.csv", STRANGE))
    assert page.part(rides).result.top.speed == pytest.approx(10.0)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    "content", ["", "[1]", '[{"headings": ["a"], "columns": [[0, "x", "y"]]}]']
)
def test_a_damaged_memory_of_columns_costs_nothing(tmp_path, content):
    (tmp_path / "ride-columns.json").write_text(content)
    memory = ColumnMemory(tmp_path / "ride-columns.json")
    assert memory.said == {}
    memory.say(("a", "b"), 0, "time", "ms")
    assert ColumnMemory(tmp_path / "ride-columns.json").said == {("a", "b"): {0: ("time", "ms")}}
