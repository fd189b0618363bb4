"""Showing a page to its visitor: the last line of every notebook.

Making a page takes much of a second, and nearly all of it is the same for every visitor. So the
process that visitors' kernels are forked from (explorer/serve/warm_process.py) runs each notebook
once beforehand, with `AHEAD` set: the page is made, put away, and not shown. A fork finds it
there and has it follow the visitor's link.
"""

import os
from typing import Any, Protocol

import comm
from ipykernel.kernelbase import Kernel

from explorer.app.address import query_string
from explorer.panels.widgets import live_widgets
from explorer.records.bikes.last_bike import last_bike

AHEAD = "GEARING_EXPLORER_AHEAD"
"""Variable by which a process says that it only makes pages ahead."""


class Page(Protocol):
    """What a notebook opens: made as the bare address shows it, then led along a link."""

    def follow(self, query: str) -> None:
        """Take what a link carries; what it got wrong is said on the page."""

    def show(self) -> None:
        """Display the page."""


_put_away: dict[type, tuple[Page, dict[str, Any], dict[str, Any]]] = {}
"""Pages made ahead, each with its widgets and comms, as the browser would find them in a kernel."""


def open_page(kind: type[Page]) -> None:
    """Show a page with the set-up of the visitor's link, or only make it, if made ahead."""
    if os.environ.get(AHEAD) == "yes":
        page = kind()
        if live_widgets() is not None:
            _put_away[kind] = page, *_take_out_of_sight()
        return
    page = _fetch(kind) or kind()
    # A kernel of the pool waits here for its visitor, with the page made.
    query = query_string()
    if query or last_bike():
        page.follow(query)
    page.show()


def _take_out_of_sight() -> tuple[dict[str, Any], dict[str, Any]]:
    """Move all widgets and comms to where no other page's visitor is told of them."""
    # Looked up each time: ipykernel puts its own in place of the package's when it is loaded.
    tables = live_widgets(), comm.get_comm_manager().comms
    widgets, comms = map(dict, tables)
    for table in tables:
        table.clear()
    return widgets, comms


def _fetch(kind: type[Page]) -> Page | None:
    """The page made ahead, with its widgets in their places again; None if there is none."""
    if kind not in _put_away:
        return None
    page, widgets, comms = _put_away.pop(kind)
    live_widgets().update(widgets)
    for line in comms.values():
        # It remembers the kernel that it was opened in; now it is for the one it is used in. A
        # widget whose line has none tells the browser nothing.
        line.kernel = Kernel.instance() if Kernel.initialized() else None
    comm.get_comm_manager().comms.update(comms)
    return page
