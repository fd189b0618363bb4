"""Small pieces of text for the page; everything that is not ours is escaped here."""

import re
from collections.abc import Iterable

from markupsafe import Markup, escape

from explorer.panels import widgets
from explorer.records.clubs.club import is_served


def help_line(text: str) -> widgets.HTML:
    """One quiet line under a control."""
    return widgets.HTML(escape(text)).add_class("ge-help")


def sentences(texts: Iterable[str], css_class: str = "ge-sentence") -> str:
    """Sentences as paragraphs, escaped."""
    paragraph = Markup('<p class="{}">{}</p>')
    return Markup("").join(paragraph.format(css_class, text) for text in texts)


def verdict(whose: str, what: str, why: str, css_class: str = "") -> Markup:
    """A page's answer in large letters, beginning with whose bike it is about, and why; escaped."""
    about = Markup("<span>{}: </span>").format(whose) if whose else ""
    return Markup('<p class="{}" role="status">{}{}</p><p class="ge-in-short">{}</p>').format(
        f"ge-verdict {css_class}".strip(), about, what, why
    )


def bullet_list(texts: Iterable[str]) -> str:
    """Sentences as a list, escaped."""
    items = Markup("").join(Markup("<li>{}</li>").format(text) for text in texts)
    return Markup("<ul>{}</ul>").format(items)


def link(address: str, text: str, download: str = "") -> str:
    """A link, or with a file name a download; all parts escaped."""
    name = Markup('class="ge-download" download="{}" ').format(download) if download else ""
    return Markup('<a {}href="{}">{}</a>').format(name, address, text)


def page_link(page: str, query: str, text: str) -> Markup:
    """A link to a page by its name, or nothing where that page is not served.

    The query is what it opens with, with its question mark; empty for the page as it stands.
    """
    return Markup(link(f"{page}{query}", text)) if is_served(page) else Markup("")


def page_links(*entries: tuple[str, str, str], between: str = " · ") -> Markup:
    """Links to those of some pages that are served, each given as for `page_link`.

    >>> page_links(("gearing", "?rear=48", "Gearing"), ("members", "", "What members ride"))
    Markup('<a href="gearing?rear=48">Gearing</a>')
    """
    return Markup(between).join(filter(None, (page_link(*entry) for entry in entries)))


def figures(rows: Iterable[tuple[str, str, str, str]], heads: tuple[str, str, str]) -> str:
    """A table of named figures for fitted, chosen and change; escaped."""
    return table(("", *heads), rows)


def table(heads: Iterable[str], rows: Iterable[Iterable[str]], stacks: str = "") -> str:
    """A table whose first column names the rows; escaped. One with a class in `stacks` has its
    cells below one another on a phone, each with its head."""
    names = tuple(heads)
    head = Markup("").join(Markup('<th scope="col">{}</th>').format(text) for text in names)
    row = Markup('<tr><th scope="row">{}</th>{}</tr>')
    cell = Markup('<td data-label="{}">{}</td>' if stacks else "<td>{1}</td>")
    body = Markup("").join(
        row.format(first, Markup("").join(map(cell.format, names[1:], cells)))
        for first, *cells in rows
    )
    css = Markup(' class="ge-stack {}"').format(stacks) if stacks else ""
    shown = Markup("<table{}><thead><tr>{}</tr></thead><tbody>{}</tbody></table>")
    return shown.format(css, head, body)


def tiles(entries: Iterable[tuple[str, str]]) -> str:
    """Large figures, each with what it is, no unit on another line than its number and a range in
    brackets smaller beside it; escaped."""
    tile = Markup('<div class="ge-tile"><strong>{}</strong><span>{}</span></div>')
    shown = Markup("").join(tile.format(_with_small_range(one), what) for one, what in entries)
    return Markup('<div class="ge-tiles">{}</div>').format(
        Markup(re.sub(r"(?<=\d) (?=[%°a-zA-Z])", "\N{NO-BREAK SPACE}", shown))
    )


def _with_small_range(figure: str) -> Markup | str:
    """
    >>> _with_small_range("−7 km/h (−15 to −1)")
    Markup('−7 km/h <small>(−15 to −1)</small>')
    """
    number, bracket, ends = figure.partition(" (")
    return Markup("{} <small>({}</small>").format(number, ends) if bracket else figure


def figures_in_words(entries: Iterable[tuple[str, str]]) -> str:
    """What each chart shows, for whoever cannot see it: its title and a text; escaped."""
    row = Markup("<dt>{}</dt><dd>{}</dd>")
    return Markup('<dl class="ge-figures-in-words">{}</dl>').format(
        Markup("").join(row.format(*entry) for entry in entries)
    )
