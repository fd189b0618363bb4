"""The widgets that a kernel has, by id: a private name of ipywidgets, seen in 8.1.8 and 8.1.9."""

from typing import Any

from ipywidgets.widgets import widget


def live_widgets() -> dict[str, Any] | None:
    """The library's own table, to be changed in place; None where a version has none of that name.

    Pages are then not made ahead, and each page has looks of its own.
    """
    return getattr(widget, "_instances", None)
