"""The method page: how everything is computed, what is left out, and how well it agrees."""

from itertools import groupby

from markupsafe import Markup

from explorer.app.layout import html
from explorer.app.page import Item, OpenPage, Page
from explorer.app.state import NoState
from explorer.panels import widgets
from explorer.panels.html import page_links, sentences, tiles
from explorer.records.clubs.club import bikes_in_words
from explorer.records.prose import read_prose
from explorer.records.references import Comparison, compare, references
from explorer.tasks.method import html as method_html
from explorer.tasks.method.formulas import GROUPS

LEFT_OUT = "What is left out"
SURFACES = "Surfaces and tyres"
AGAINST = "Predicted against reference"
FORMULAS = "Formulas"
SAY = read_prose("words/method")


def _heading(title: str) -> Markup:
    return Markup('<h2 id="{}">{}</h2>').format(method_html.anchor(title), title)


def _intro() -> str:
    """With links to the pages whose numbers these are."""
    pages = ("gearing", "", "gearing"), ("ground", "", "on the ground"), ("fit", "", "does it fit?")
    others = page_links(*pages, between=", ")
    said = (
        "How every number of these pages is computed, what is left out, and how well it agrees "
        f"with published values. {bikes_in_words()}. "
    )
    return said + (f"The other pages: {others}" if others else "")


def _against(page: OpenPage) -> widgets.Widget:
    rows: tuple[Comparison, ...] = page.result
    tables = (
        method_html.comparisons(subject, [*each])
        for subject, each in groupby(rows, key=lambda row: row.reference.subject)
    )
    return _card(_heading(AGAINST), *_summary(rows), *tables)(page)


def _card(*texts: str) -> Item:
    return html(Markup("").join(texts), "ge-card")


def _summary(rows: tuple[Comparison, ...]) -> tuple[str, str]:
    agreeing = sum(row.agrees for row in rows)
    published = sum(row.reference.origin == "published" for row in rows)
    worked_out = "are worked out from the definition, outside this project"
    figures = (
        (f"{agreeing} of {len(rows)}", "values agree within their tolerance"),
        (f"{published}", "of them are printed in the source named"),
        (f"{len(rows) - published}", worked_out),
    )
    return tiles(figures), sentences([SAY["computed-now"]], "ge-said")


MethodPage = Page(
    title="Method",
    intro=_intro,
    state=NoState,
    # Every reference value with what is computed for it when the page is made.
    ask=lambda _: tuple(map(compare, references())),
    charts=False,
    css="ge-method",
    main=(
        _card(method_html.contents((LEFT_OUT, SURFACES, AGAINST, FORMULAS))),
        lambda page: _card(_heading(LEFT_OUT), method_html.assumptions())(page),
        lambda page: _card(_heading(SURFACES), method_html.surface_ranges())(page),
        _against,
        lambda page: _card(
            _heading(FORMULAS),
            sentences([SAY["in-si"]], "ge-said"),
            method_html.contents(group.title for group in GROUPS),
            *map(method_html.group, GROUPS),
        )(page),
    ),
)
