"""The typed table without a browser: rows are typed, added, taken out, and never lost."""

import ipywidgets as widgets
import pytest

from explorer.panels.entry_table import Column, EntryTable

COLUMNS = (
    Column("with", "Gearing", "Which.", choices=(("chosen", "1"), ("fitted", "0"))),
    Column("gear", "Gear", "1 for first.", "3"),
)


@pytest.fixture
def seen():
    return []


@pytest.fixture
def table(seen):
    return EntryTable(COLUMNS, [{}], 3, lambda: seen.append(1))


def all_of(root, kind):
    found = [root] if isinstance(root, kind) else []
    return found + [each for child in getattr(root, "children", ()) for each in all_of(child, kind)]


def press(table, name, place=0):
    [b for b in all_of(table.widget, widgets.Button) if b.description == name][place].click()


def test_a_blank_row_holds_its_first_choice(table, seen):
    assert table.rows == [{"with": "1", "gear": ""}]
    assert seen == []


def test_typing_is_reported(table, seen):
    all_of(table.widget, widgets.Text)[0].value = "4"
    assert table.rows == [{"with": "1", "gear": "4"}] and len(seen) == 1


def test_a_new_row_repeats_what_was_picked_and_the_most_is_kept(table):
    all_of(table.widget, widgets.Dropdown)[0].value = "0"
    for _ in range(5):
        press(table, "Add a row")
    assert table.rows == [{"with": "0", "gear": ""}] * 3
    assert "at most 3 rows" in all_of(table.widget, widgets.HTML)[-1].value


def test_taking_out_keeps_the_other_rows_and_numbers_them(table, seen):
    table.show([{"gear": "1"}, {"gear": "2"}])
    press(table, "Remove", 0)
    assert [row["gear"] for row in table.rows] == ["2"]
    assert "<b>1</b>" in [html.value for html in all_of(table.widget, widgets.HTML)]
    press(table, "Remove", 0)
    assert table.rows == [{"with": "1", "gear": ""}]
    assert len(seen) == 2
