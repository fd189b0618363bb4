"""Parts that show a result: words, charts, the link. See explorer/app/page.py."""

import functools
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from explorer.app.chart_widget import ChartWidget
from explorer.app.page import Item, OpenPage
from explorer.panels import widgets
from explorer.panels.html import bullet_list, figures_in_words, page_links, sentences


class Words:
    """A text of a result, escaped HTML; `now` it answers the hand, else when that rests."""

    def __init__(self, says: Callable[[Any], str], css: str = "", now: bool = False) -> None:
        self.work, self.late = says, not now
        self.widget = widgets.dressed(widgets.HTML(), css)

    def put(self, text: str) -> None:
        """Show a text."""
        self.widget.value = text


def words(says: Callable[[Any], str], css: str = "", now: bool = False) -> Item:
    """A text of a result, as `Words` has it."""
    return lambda _: Words(says, css, now)


def sentence_list(says: Callable[[Any], Iterable[str]]) -> Item:
    """Sentences of a result."""
    return words(lambda result: sentences(filter(None, says(result)), "ge-said"))


def assumed(defaults: Callable[[Any], Sequence[str]]) -> Item:
    """What is assumed where nothing was given."""
    nothing = ["Nothing: the bike file gives every number."]
    return words(lambda result: bullet_list(defaults(result) or nothing), "ge-help")


@dataclass(frozen=True)
class Figure:
    """A chart of a result.

    Attributes:
        chart: Made of a view, and with a tap what a tap calls with front and rear teeth.
        describe: Says a view in a sentence, for whoever cannot see it.
        view: From a result to what the chart shows.
        title: Its heading where several stand side by side.
        tap: What a tap on a pair does, given the page, front and rear teeth.
    """

    chart: Callable[..., Any]
    describe: Callable[[Any], str]
    view: Callable[[Any], Any]
    title: str = ""
    tap: Callable[[OpenPage, int, int], None] | None = None


class Charts:
    """Figures that the browser draws together, and what they show in words: its `parts`."""

    def __init__(self, page: OpenPage, figures: Sequence[Figure], late: bool = False) -> None:
        self._figures, self.late = figures, late
        self._shown = self._views = [each.view(page.result) for each in figures]
        self._of: Any = page.result
        self._charts = [self._chart(page, *each) for each in zip(figures, self._shown, strict=True)]
        page.add(self)  # before its summary, which says the views that were worked out last
        summary = page.add(Words(self._describe, "ge-visually-hidden"))
        self.parts = (self, summary)
        self.chart_widget = ChartWidget(
            *(chart.figure for chart in self._charts),
            titles=tuple(each.title for each in figures if each.title),
            guard=functools.partial(page.faults.guard, clears=False),
        )
        self.widgets = [self.chart_widget, summary.widget]

    @staticmethod
    def _chart(page: OpenPage, figure: Figure, view: Any) -> Any:
        if figure.tap is None:
            return figure.chart(view)
        return figure.chart(view, page.faults.guard(functools.partial(figure.tap, page)))

    def work(self, result: Any) -> list[Any]:
        """What each figure shows of a result."""
        if result is not self._of:
            self._views = [each.view(result) for each in self._figures]
        self._of = None
        return self._views

    def put(self, views: list[Any]) -> None:
        """Show other views; a chart that changes has to be written out once more."""
        if views is self._shown:
            return
        self._shown = views
        for chart, view in zip(self._charts, views, strict=True):
            chart.update(view)

    def flush(self) -> None:
        """Have the browser draw."""
        self.chart_widget.flush()

    def _describe(self, _: Any) -> str:
        shown = zip(self._figures, self._views, strict=True)
        said = [(each.title, each.describe(view)) for each, view in shown]
        if len(said) > 1:
            return figures_in_words(said)
        return sentences(filter(None, [said[0][1]]), "ge-summary")


def charts(*figures: Figure, late: bool = False) -> Item:
    """Figures that the browser draws together, and what they show in words."""
    return lambda page: Charts(page, figures, late)


def _as_it_is(page: str, address: str) -> str:
    """The method page takes no set-up along."""
    return "" if page == "method" else address


class ShareLink:
    """The link that reopens what is shown, and links that take it to other pages.

    Args:
        entries: Names of pages, with what their links say.
        address_on: From the name of a page and the link to what that page opens with.
    """

    def __init__(
        self,
        page: OpenPage,
        name: str,
        entries: Sequence[tuple[str, str]],
        address_on: Callable[[str, str], str] = _as_it_is,
        tooltip: str = "Copy it to come back to exactly this",
    ) -> None:
        self._state, self._entries, self._address_on = page.state, entries, address_on
        self._text = widgets.Text(description=name, tooltip=tooltip)
        self._pages = widgets.HTML()
        self.widgets = [self._text, *([self._pages] if entries else [])]

    def work(self, _: Any) -> str:
        """The link; RecordError if what is shown does not go into one."""
        return self._state.link

    def put(self, address: str) -> None:
        """Show a link."""
        self._text.value = address
        self.show()

    def show(self) -> None:
        """Show the links to other pages, once every part has followed the state."""
        address = self._text.value
        self._pages.value = page_links(
            *((name, self._address_on(name, address), text) for name, text in self._entries)
        )


def share_link(name: str, *entries: tuple[str, str]) -> Item:
    """The link to what is shown; entries are names of pages with what their links say."""
    return lambda page: ShareLink(page, name, entries)


def other_pages(*entries: tuple[str, str], address: Callable[[Any], str] = lambda _: "") -> Item:
    """Links to pages, by their names and what the links say, with what a result takes along."""
    return words(
        lambda result: page_links(*((name, address(result), text) for name, text in entries)),
        now=True,
    )
