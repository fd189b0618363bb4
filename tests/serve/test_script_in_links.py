"""A script in a link is text on every page: no widget is told to make an element of it."""

import asyncio
from html.parser import HTMLParser

import pytest

from tests.serve.hostile_link import SCRIPTS, hostile_query, parameter_names
from tests.serve.visitor import Visit


class Dangers(HTMLParser):
    """Elements and attributes that would run something."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.found: list[str] = []
        self.text = ""
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        for name, value in attrs:
            if name.startswith("on") or (value or "").strip().lower().startswith("javascript:"):
                self.found.append(f"<{tag} {name}={value}>")
        if tag in ("script", "svg", "iframe", "object", "embed", "base"):
            self.found.append(f"<{tag}>")

    def handle_data(self, data: str) -> None:
        self.text += data


def test_the_parser_finds_what_it_looks_for():
    assert [bool(Dangers(f"<p>{script}</p>").found) for script in SCRIPTS[:3]] == [True] * 3
    assert Dangers(f"<a href='{SCRIPTS[3]}'>x</a>").found
    assert not Dangers("<p class=one>&lt;script&gt;</p>").found


def test_the_link_holds_every_family():
    names = parameter_names()
    assert len(names) == len(set(names)) > 50
    assert {"bike", "front", "slope", "surface", "units", "step", "quiz"} <= set(names)
    assert len(hostile_query(*SCRIPTS)) < 8192  # else it is not read


# Those that read a family of parameters of their own, and the first.
@pytest.mark.parametrize("page", ["gearing", "fit", "wants", "compare", "lesson", "logbook"])
def test_a_script_in_a_link_is_text(server, page):
    visit = Visit.begin(server.url, f"/{page}?{hostile_query(*SCRIPTS)}")
    # As text it may stand in what is shown before the widgets have come.
    assert not any(script in visit.html for script in SCRIPTS if "<" in script)
    assert '="javascript:' not in visit.html

    async def states() -> dict[str, dict]:
        async with visit.websocket() as websocket:
            return await websocket.states()

    shown = ""
    for state in asyncio.run(states()).values():
        # A description is text unless the page says otherwise.
        assert not state.get("description_allow_html")
        if state["_model_name"] in ("HTMLModel", "HTMLMathModel"):
            html = Dangers(state["value"])
            assert html.found == [], state["value"]
            shown += html.text
    assert visit.end().status == 204
    # It was read, and is told as it was typed.
    assert any(script[:20] in shown for script in SCRIPTS)
