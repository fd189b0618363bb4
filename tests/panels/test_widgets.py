"""All widgets of a page share one layout and one style, and each can be hidden all the same."""

import re

import comm
import pytest
from ipywidgets.widgets.widget import _instances

from explorer.panels import widgets


@pytest.fixture
def in_sight():
    """The widgets that a browser would be told of: none at first; what was there is put back."""
    lines = comm.get_comm_manager().comms
    before = dict(_instances), dict(lines)
    _instances.clear()
    lines.clear()
    yield _instances
    widgets.Widget.close_all()
    _instances.update(before[0])
    lines.update(before[1])


def kinds(in_sight) -> list[str]:
    return sorted(type(widget).__name__ for widget in in_sight.values())


def test_each_kind_of_look_is_there_once(in_sight):
    made = [widgets.HTML("a"), widgets.HTML("b"), widgets.Text(), widgets.VBox()]
    assert kinds(in_sight) == ["HTML", "HTML", "HTMLStyle", "Layout", "Text", "TextStyle", "VBox"]
    assert len({widget.layout.model_id for widget in made}) == 1


def test_the_browser_is_told_of_the_kind_it_knows():
    ours = widgets.Dropdown(options=["a"]).get_state()
    assert (ours["_model_name"], ours["_view_name"]) == ("DropdownModel", "DropdownView")
    assert ours["_model_module"] == "@jupyter-widgets/controls"


def test_hiding_one_hides_no_other(in_sight):
    one, two, other = widgets.HTML(), widgets.VBox(), widgets.HTML()
    widgets.show_if(False, one, two)
    assert [each.layout.display for each in (one, two, other)] == ["none", "none", None]
    widgets.show_if(True, two)
    assert two.layout is other.layout
    assert kinds(in_sight).count("Layout") == 2


def test_a_page_out_of_sight_keeps_its_look_and_the_next_has_another(in_sight):
    first = widgets.HTML()
    in_sight.clear()  # as explorer.app.visit puts a page away
    second = widgets.HTML()
    assert second.layout is not first.layout
    assert second.layout.model_id in in_sight


def test_after_a_page_was_closed_the_next_one_has_a_look(in_sight):
    widgets.HTML()
    widgets.Widget.close_all()
    assert widgets.HTML().layout.model_id in in_sight


def test_no_page_changes_the_look_that_all_share(repository):
    changes = re.compile(r"\.(layout|style)\.\w+ = |\b(layout|style)=")
    for floor in ("panels", "app", "tasks"):
        for path in (repository / "explorer" / floor).rglob("*.py"):
            found = changes.search(path.read_text("utf-8"))
            assert found is None, f"{path.name}: {found[0]!r}; hide a widget by show_if"
