"""The course table without a browser: rows are typed, added, taken out, and never lost."""

import ipywidgets as widgets
import pytest

from explorer.panels.course_table import ROWS_SHOWN, CourseTable, Row

SURFACES = [("Forest soil", "forest-soil"), ("Loose sand", "loose-sand")]


def row(number: int) -> Row:
    return Row(f"part {number}", f"{number} m", "-", "0 %", "forest-soil")


@pytest.fixture
def seen() -> list:
    return []


@pytest.fixture
def table(seen) -> CourseTable:
    return CourseTable(SURFACES, [row(n) for n in range(1, 21)], 22, seen.append)


def all_of(root, kind):
    found = [root] if isinstance(root, kind) else []
    return found + [each for child in getattr(root, "children", ()) for each in all_of(child, kind)]


def fields(table, name):
    return [each for each in all_of(table.widget, widgets.Text) if each.description == name]


def press(table, name, place=0):
    buttons = [each for each in all_of(table.widget, widgets.Button) if each.description == name]
    buttons[place].click()


def said(table):
    return " ".join(str(each.value) for each in all_of(table.widget, widgets.HTML))


def test_showing_rows_reports_nothing(table, seen):
    assert table.rows[0] == row(1) and len(table.rows) == 20
    assert seen == []
    assert "Rows 1 to 8 of 20" in said(table)


def test_a_typed_cell_is_reported_once_with_all_rows(table, seen):
    fields(table, "Length")[1].value = "far"
    assert len(seen) == 1
    assert seen[0][1] == row(2)._replace(length="far") and len(seen[0]) == 20


def test_what_was_typed_stays_while_other_rows_are_shown(table, seen):
    fields(table, "Slope")[0].value = "steep"
    press(table, "Later rows")
    assert fields(table, "Length")[0].value == f"{ROWS_SHOWN + 1} m"
    press(table, "Earlier rows")
    assert fields(table, "Slope")[0].value == "steep"
    assert len(seen) == 1


def test_a_surface_is_picked(table, seen):
    all_of(table.widget, widgets.Dropdown)[2].value = "loose-sand"
    assert seen[-1][2].surface == "loose-sand"


def test_a_row_is_added_behind_and_taken_out(table, seen):
    press(table, "Add", 0)
    assert table.rows[:3] == (row(1), row(1), row(2))
    press(table, "Remove", 1)
    assert table.rows[:2] == (row(1), row(2)) and len(seen) == 2


def test_the_last_line_shows_the_row_added_behind_it(table):
    press(table, "Add", ROWS_SHOWN - 1)
    assert fields(table, "Length")[-1].value == f"{ROWS_SHOWN} m"
    assert "Rows 2 to 9 of 21" in said(table)


def test_too_many_and_too_few_rows_are_answered(table, seen):
    for _ in range(2):
        press(table, "Add")
    press(table, "Add")
    assert len(table.rows) == 22 and "at most 22 rows" in said(table)
    table.show([row(1)])
    press(table, "Remove")
    assert table.rows == (row(1),) and "at least one row" in said(table)


def test_a_short_course_hides_the_lines_without_a_row(table):
    table.show([row(1), row(2)])
    fields(table, "Length")[5].value = "7 m"
    assert table.rows == (row(1), row(2))


def test_an_answer_is_escaped(table):
    table.answer("<i>far</i> is no length.")
    assert "<i>" not in said(table) and "&lt;i&gt;" in said(table)


def test_every_control_has_a_line_of_help(table):
    for each in all_of(table.widget, widgets.Text) + all_of(table.widget, widgets.Button):
        assert each.tooltip
