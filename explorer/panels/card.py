"""A card: a piece of a page with a title and a frame."""

from explorer.panels import widgets


def card(title: str, *children: widgets.Widget) -> widgets.VBox:
    """Put widgets into a card.

    Args:
        title: Heading, our own words; empty for none.
    """
    head = [widgets.HTML(f"<h2>{title}</h2>")] if title else []
    return widgets.VBox([*head, *children]).add_class("ge-card")


def heading(title: str) -> widgets.HTML:
    """A small heading inside a card; our own words."""
    return widgets.HTML(f"<h3>{title}</h3>")
