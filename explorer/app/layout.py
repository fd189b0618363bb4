"""What frames the parts of a page: cards, lids, columns, cautions. See explorer/app/page.py."""

from collections.abc import Callable, Iterable

from explorer.app.page import Item, OpenPage
from explorer.panels import card as cards
from explorer.panels import widgets
from explorer.panels.html import bullet_list, help_line, sentences

Made = Callable[[OpenPage], widgets.Widget]


def card(title: str, *items: Item, css: str = "") -> Made:
    """A card with a heading, our own words; empty for none."""
    return lambda page: widgets.dressed(cards.card(title, *page.make(*items)), css)


def group(*items: Item, css: str = "") -> Made:
    """Items below one another, or as the style sheet lays out the classes."""
    return lambda page: widgets.dressed(widgets.VBox(page.make(*items)), css)


def beside(*items: Item) -> Made:
    """Items in one line."""
    return lambda page: widgets.HBox(page.make(*items))


def columns(*sides: Iterable[Item]) -> Made:
    """Side by side where there is room, below one another on a phone."""
    return group(*(group(*side) for side in sides), css="ge-columns")


def fold(title: str, *items: Item, css: str = "") -> Made:
    """Items under one lid that is closed at first."""
    return lambda page: widgets.dressed(page.make_under_lid(title, *items), css)


def heading(title: str) -> Made:
    """A small heading inside a card; our own words."""
    return lambda _: cards.heading(title)


def help_text(text: str) -> Made:
    """One quiet line."""
    return lambda _: help_line(text)


def said(*texts: str, css: str = "") -> Made:
    """Sentences that no result changes."""
    return lambda _: widgets.dressed(widgets.HTML(sentences(texts, "ge-said")), css)


def listed(texts: Iterable[str]) -> Made:
    """A list that no result changes."""
    return lambda _: widgets.HTML(bullet_list(texts))


def cautions(texts: Iterable[str]) -> Made:
    """What must be kept in mind for one's safety."""
    return lambda _: widgets.HTML(bullet_list(texts)).add_class("ge-caution")


def html(text: str, css: str = "") -> Made:
    """HTML that no result changes; our own, or escaped."""
    return lambda _: widgets.dressed(widgets.HTML(text), css)
