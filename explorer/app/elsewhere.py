"""A page in a notebook server: it brings its own look, and the way to the other pages."""

import re
from pathlib import Path

from explorer.app.chart_script import served_by_us
from explorer.panels import widgets
from explorer.panels.html import link
from explorer.records.data_folder import shipped

_LOOK = Path(__file__).parents[1] / "serve" / "template" / "static" / "explorer.css"


def scoped_look() -> str:
    """The style sheet of our own server's pages, kept to the page: the rest is somebody else's.

    What is said there of the whole document is said of the page here (CSS Cascading and Inheritance
    Level 6, ``@scope``).
    """
    own = re.sub(r"(?m)^( *)(?::root|html|body)(?=[ :{,])", r"\1:scope", _LOOK.read_text("utf-8"))
    return f"@scope (.ge-app) {{\n{own}\n}}"


def as_shown_here(page: widgets.DOMWidget) -> widgets.DOMWidget:
    """The page as it is on our own server; elsewhere with its look and links to its neighbours."""
    if served_by_us():
        return page
    names = sorted(each.stem for each in shipped("notebooks").glob("*.ipynb"))
    ways = " · ".join(link(f"{name}.ipynb", name) for name in names)
    around = widgets.VBox(
        [widgets.HTML(f"<style>{scoped_look()}</style><p class='ge-note'>Pages: {ways}</p>"), page]
    )
    around.add_class("ge-app")
    return around
