"""A page asks for few scripts: the parts of Voilà and of the widget libraries come as one."""

from urllib.parse import urlsplit

import pytest

from explorer.serve.contents import PAGES

ALONE = (
    "own/page.js",
    "own/drafts.js",
    "own/fields.js",
    "own/kept_entries.js",
    "own/ride_files.js",
    "own/typed.js",
    "own/no_formulas.js",
    "bokeh/bokeh.min.js",
    "voila/voila.js",
)
"""Scripts that are addressed one by one; besides, each widget library has its entry."""

BENCH = tuple(
    f"own/bench{part}.js"
    for part in (
        *("", "_charts", "_glide", "_offers", "_picture", "_plot", "_run", "_table", "_touch"),
    )
)
LESSON, FRONT = ("own/lesson_stage.js",), ("own/front_page.js",)
"""The bench's own, the lesson's and the front page's."""


@pytest.mark.long
def test_every_page_asks_for_voila_and_the_libraries_once(server, open_url):
    page = open_url(server.url)
    asked = []
    page.on("request", lambda request: asked.append(urlsplit(request.url).path))
    for entry in PAGES:
        if entry.shows_members:  # a club's own page
            continue
        page.goto(f"{server.url}{entry.name}", wait_until="commit")
        page.wait_for_selector("html[data-ready]", state="attached")
    scripts = {path for path in asked if path.endswith(".js")}
    entries = {path for path in scripts if "/static/remoteEntry." in path}
    assert len(entries) == 3
    # What is asked for besides belongs into explorer/serve/together.py.
    assert {"/".join(path.split("/")[3:]) for path in scripts - entries} == {
        *ALONE,
        *BENCH,
        *LESSON,
        *FRONT,
    }
