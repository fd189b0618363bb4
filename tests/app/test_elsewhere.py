"""A page in a notebook server has its look and a way to the other pages; on our server neither."""

import ipywidgets
import pytest

from explorer.app.elsewhere import OWN_SERVER, as_shown_here, scoped_look


@pytest.fixture
def page():
    return ipywidgets.HTML("A page of a test.")


def test_on_our_own_server_a_page_stands_alone(page, monkeypatch):
    monkeypatch.setenv(OWN_SERVER, "yes")
    assert as_shown_here(page) is page


def test_in_a_notebook_server_it_brings_its_look_and_links_to_its_neighbours(page, monkeypatch):
    monkeypatch.delenv(OWN_SERVER, raising=False)
    around = as_shown_here(page)
    assert "ge-app" in around._dom_classes
    before, inside = around.children
    assert inside is page
    for name in ("gearing", "compare", "method"):
        assert f'href="{name}.ipynb"' in before.value
    assert "@scope (.ge-app)" in before.value


def test_the_look_says_nothing_of_the_document_around_it():
    look = scoped_look()
    assert ":scope {\n  color-scheme: light;" in look
    assert not any(
        line.lstrip().startswith((":root", "html", "body")) for line in look.splitlines()
    )
    assert look.count("{") == look.count("}")
