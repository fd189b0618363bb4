"""A page in a notebook server brings along what our own server has: BokehJS, look, other pages."""

import os
import re
from pathlib import Path

from bokeh.io import output_notebook
from bokeh.resources import INLINE
from IPython.display import display

from explorer.app import VIEW_TYPE
from explorer.data_folder import shipped
from explorer.panels import widgets
from explorer.panels.html import link

_LOOK = Path(__file__).parents[1] / "serve" / "template" / "static" / "explorer.css"

OWN_SERVER = "GEARING_EXPLORER_SERVER"
"""Variable by which our server tells a kernel that its page brings BokehJS along."""


def served_by_us() -> bool:
    """Whether our own server shows the page, and not a notebook server."""
    return os.environ.get(OWN_SERVER) == "yes"


def bring_chart_script() -> None:
    """Write BokehJS into the notebook's output, unless our server's page has it already.

    To be called before the first chart is shown. In a notebook server (JupyterLab, Binder) nobody
    else loads it, and a chart without it is an error message. It is some megabytes, from the
    installed package and from no other host.
    """
    if not served_by_us():
        output_notebook(INLINE, hide_banner=True)


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
    above = f"<style>{scoped_look()}</style><p class='ge-note'>Pages: {ways}</p>"
    return widgets.VBox([widgets.HTML(above), page]).add_class("ge-app")


def display_widget(widget: widgets.DOMWidget, name: str) -> None:
    """Not `display(widget)`: its plain text names hundreds of widgets that nobody reads."""
    view = {"version_major": 2, "version_minor": 0, "model_id": widget.model_id}
    display({"text/plain": name, VIEW_TYPE: view}, raw=True)
