"""The static site's pages without a bench: what bothers a rider, the lesson, sheets to print.

Each is made by what makes the served page, of the state that its bare link opens.
"""

from collections.abc import Iterable, Iterator
from datetime import date
from itertools import chain
from urllib.parse import quote

from bokeh.core.json_encoder import serialize_json
from bokeh.document import Document
from bokeh.embed.util import standalone_docs_json_and_render_items
from bokeh.models import Plot
from jinja2 import Environment
from markupsafe import Markup

from explorer.records.bikes.bike import Bike
from explorer.records.errors import RecordError
from explorer.study.fit_result import FitResult
from explorer.study.study import Study
from explorer.study.wants.complaints import COMPLAINTS
from explorer.study.wants.wants_result import compute
from explorer.study.wants.wants_short_list import ShortList, short_list
from explorer.tasks.bench.state import BenchState
from explorer.tasks.fit import fitting_sheet
from explorer.tasks.fit.parts import sheet_of
from explorer.tasks.fit.state import FitState
from explorer.tasks.lesson import sheet
from explorer.tasks.lesson.demonstration import Demonstration
from explorer.tasks.lesson.facts import Facts
from explorer.tasks.lesson.misconceptions import of_step
from explorer.tasks.lesson.page import CAUTIONS
from explorer.tasks.lesson.state import LessonState
from explorer.tasks.lesson.steps import COUNTED, STEPS
from explorer.tasks.wants.state import WantsState
from explorer.tasks.wants.views import list_table
from explorer.tasks.wants.words import SAY, recommendation

_DRAWING = 440
"""Least width of a drawing to scale; on a phone it is moved sideways [px]."""


def more_files(
    environment: Environment, about: dict, library: dict[str, Bike], bike_id: str, units: str
) -> Iterator[tuple[str, str]]:
    """Name and text of each file of a bike in one system of units, for the pages of the site.

    Args:
        environment: Has the templates, the site, and the address of the served pages, or none.
        about: What each page is told of the bike.
    """
    site = environment.globals["site"]
    folder, query = f"more/{bike_id}/{units}", f"bike={quote(bike_id)}&units={units}"
    files: list[Iterator[tuple[str, str]]] = []
    if site.serves("wants") or site.serves("fit"):
        files.append(_riding_files(environment, about, library, query))
    if site.serves("lesson"):
        files.append(_lesson_files(environment, about, library, query))
    for name, text in chain.from_iterable(files):
        yield f"{folder}/{name}", text


def _riding_files(
    environment: Environment, about: dict, library: dict[str, Bike], query: str
) -> Iterator[tuple[str, str]]:
    """The fitting sheets, and the page of the short lists that leads to them."""
    site, served_at = environment.globals["site"], str(environment.globals["served_at"])
    lists = _short_lists(query, library) if site.serves("wants") else {}
    sheets: dict[str, str | RecordError] = {}
    if site.serves("fit"):
        sheets = dict(_fitting_sheets(query, library, served_at, lists.values()))
    for pair, text in sheets.items():
        if isinstance(text, str):
            yield f"fitting-{pair.replace('/', '-')}.html", text
    asked = [
        (COMPLAINTS[name], *recommendation(each), Markup(list_table(each)), _pairs(each))
        for name, each in lists.items()
    ]
    said = {"asked": asked, "sheets": sheets, "cautions": (SAY["careful"], SAY["before-buying"])}
    page = environment.get_template("static_riding.html.j2")
    yield "riding.html", page.render(about, **said)


def _lesson_files(
    environment: Environment, about: dict, library: dict[str, Bike], query: str
) -> Iterator[tuple[str, str]]:
    """The sheets of the lesson, and its steps in the order of the served page."""
    served_at = str(environment.globals["served_at"])
    state = LessonState.from_link(query, library)[0]
    facts = Facts(state.lesson, library, state.lesson.measurements)
    address = served_at and f"{served_at}lesson"
    for reader in ("pupil", "coach"):
        paper = sheet.Worksheet(facts, date.today(), state.link, address)
        yield f"{reader}.html", sheet.render(paper, reader)
    steps = sorted(STEPS, key=lambda each: each.place)
    shown = [
        Demonstration(step, facts, False, lambda *_: None, step.ask(facts).options)
        for step in steps
    ]
    figures = serialize_json([each.figure and _described(each.figure) for each in shown])
    told = {"steps": steps, "shown": shown, "facts": facts, "heard": of_step, "cautions": CAUTIONS}
    told |= {"figures": Markup(figures.replace("<", "\\u003c")), "counted": COUNTED}
    yield "lesson.html", environment.get_template("static_lesson.html.j2").render(about, **told)


def _short_lists(query: str, library: dict[str, Bike]) -> dict[str, ShortList]:
    """The short list of each complaint, as the served page draws it up when only this is ticked."""
    lists = {}
    for name in COMPLAINTS:
        state = WantsState.from_link(query, library)[0]
        state.tick(name, True)
        choice = state.choice
        found = compute(choice.bike, choice.setup, choice.measured, choice.wishes, {}, "")
        lists[name] = short_list(found)
    return lists


def _pairs(listing: ShortList) -> list[str]:
    now = listing.result.now
    return [f"{each.front}/{each.rear}" for each in listing.entries if each.index != now]


def _fitting_sheets(
    query: str, library: dict[str, Bike], served_at: str, lists: Iterable[ShortList]
) -> Iterator[tuple[str, str | RecordError]]:
    """The sheet, or why there is none, of each pair listed and of those a bench begins with.

    Without an address its code would lead nowhere, so there is none.
    """
    others = BenchState.from_link(query, library)[0].others
    pairs = {f"{each.front}/{each.rear}": None for each in others}
    pairs |= {pair: None for listing in lists for pair in _pairs(listing)}
    for pair in pairs:
        front, rear = pair.split("/")
        state = FitState.from_link(f"{query}&front={front}&rear={rear}", library)[0]
        result = FitResult(Study.of(state.bike, state.setup), state.measured)
        try:
            paper = sheet_of(
                result, served_at and state.short_link, served_at and f"{served_at}fit"
            )
            yield pair, fitting_sheet.render(paper, state.setup.units)
        except RecordError as error:
            yield pair, error


def _described(figure: Plot) -> dict:
    """What BokehJS draws a figure from; one stop for the keyboard, without tools of its own."""
    figure.toolbar_location = None
    if figure.match_aspect:  # a drawing to scale: narrower, its letters run out of it
        figure.min_width = _DRAWING
    document = Document()
    document.add_root(figure)
    docs, _ = standalone_docs_json_and_render_items(document, suppress_callback_warning=True)
    return {"root_id": figure.id, "doc": next(iter(docs.values()))}
