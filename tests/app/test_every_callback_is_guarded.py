"""Whatever a browser can set off on a page runs inside `Faults.guard`.

Each page is built from its notebook. Every widget is sent what a browser sends when a rider uses
it, and the first function of ours that runs then raises an error, as if it had a fault. Neither
callbacks nor widgets are listed here: a new one is tested because it is there.
"""

import inspect
import json
import re
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, redirect_stdout, suppress
from io import StringIO
from pathlib import Path
from types import CodeType, FrameType
from typing import Any

import ipywidgets as widgets
import pytest
from ipywidgets.widgets.widget import _instances
from ipywidgets.widgets.widget_selection import _MultipleSelection, _Selection

import explorer
from explorer.app import elsewhere
from explorer.app.chart_widget import ChartWidget
from explorer.app.debounce import Debounce
from explorer.app.faults import Faults
from explorer.serve.contents import PAGES
from explorer.serve.warm_process import cells

OURS = Path(explorer.__file__).parent
[GUARDED] = [
    part
    for part in Faults.guard.__code__.co_consts
    if isinstance(part, CodeType) and part.co_name == "guarded"
]
"""Its frame is on the stack while a guarded callback runs."""

RELAYS = {
    # A panel knows nothing of faults. Each of these hands what was typed or picked to the callback
    # that the page gave it, unless the page itself has just put it there, and does no more.
    "panels/controls.py NumberControl._moved",
    "panels/controls.py NumberControl._differ",
    "panels/controls.py _Control._set",
    # Hands on a click to what the page gave.
    "panels/widgets.py button.<locals>.<lambda>",
    # Looks whether a number is in the range, and hands it to the widget library.
    "panels/widgets.py _Ranged.set_state",
    # Waits, then calls the action; tested by itself below.
    "app/debounce.py Debounce.ask",
    "app/debounce.py Debounce._do",
    "app/faults.py Faults.guard.<locals>.guarded",
}


class Injected(RuntimeError):
    """The fault that a test puts in."""


def stack(frame: FrameType | None) -> Iterator[FrameType]:
    while frame is not None:
        yield frame
        frame = frame.f_back


class Fault:
    """Makes the first function of ours fail that is called; notes which, and whether guarded."""

    def __init__(self) -> None:
        self.at: str | None = None
        self.guarded = False

    def __call__(self, frame: FrameType, event: str, _: Any) -> None:
        path = Path(frame.f_code.co_filename)
        if event != "call" or not path.is_relative_to(OURS):
            return
        name = f"{path.relative_to(OURS)} {frame.f_code.co_qualname}"
        if name not in RELAYS:
            sys.setprofile(None)
            self.at = name
            self.guarded = any(each.f_code is GUARDED for each in stack(frame))
            raise Injected(name)


@contextmanager
def a_fault() -> Iterator[Fault]:
    fault = Fault()
    sys.setprofile(fault)
    try:
        yield fault
    finally:
        sys.setprofile(None)


# --- What a browser sends -------------------------------------------------------------------------


def moved(widget: widgets.Widget) -> dict[str, Any] | None:
    """What a browser reports when a rider changes the value; None if nothing can change."""
    if isinstance(widget, _MultipleSelection):
        return {"index": [] if widget.index else [0]} if widget.options else None
    if isinstance(widget, _Selection):
        others = [place for place in range(len(widget.options)) if place != widget.index]
        return {"index": others[-1]} if others else None
    if isinstance(widget, widgets.Accordion):
        return {"selected_index": None if widget.selected_index == 0 else 0}
    if isinstance(widget, widgets.FileUpload):
        file = {"name": "a.toml", "type": "", "size": 1, "content": b"?", "last_modified": 0}
        return {"value": [file]}
    if isinstance(widget, (widgets.Checkbox, widgets.ToggleButton)):
        return {"value": not widget.value}
    if isinstance(widget, (widgets.Text, widgets.Textarea)):
        return {"value": f"{widget.value}7"}
    if hasattr(widget, "step") and hasattr(widget, "max"):
        up = widget.value + widget.step
        value = up if up <= widget.max else widget.value - widget.step
        return {"value": value} if widget.min <= value else None
    return None


def taps(chart: ChartWidget) -> Iterator[dict[str, Any]]:
    """Taps on whatever of the chart listens for them, as the chart's script sends them."""
    for model in chart._document.models:
        for name in model._event_callbacks:
            values = {"type": "map", "entries": [["model", {"id": model.id}]]}
            values["entries"] += [["x", 48.0], ["y", 13.0], ["sx", 1.0], ["sy", 1.0]]
            values["entries"].append(["modifiers", None])
            event = {"type": "event", "name": name, "values": values}
            yield {
                "event": "jsevent",
                "kind": "MessageSent",
                "msg_type": "bokeh_event",
                "msg_data": event,
            }


def sent_by_browser(widget: widgets.Widget) -> Iterator[dict[str, Any]]:
    """Every message with which a browser may set something off."""
    if isinstance(widget, widgets.Button):
        yield {"method": "custom", "content": {"event": "click"}}
    elif isinstance(widget, ChartWidget):
        yield from ({"method": "custom", "content": tap} for tap in taps(widget))
    elif state := moved(widget):
        yield {"method": "update", "state": state, "buffer_paths": []}


def send(widget: widgets.Widget, data: dict[str, Any]) -> None:
    widget._handle_msg({"content": {"data": data}, "buffers": []})


def listeners(widget: widgets.Widget) -> list[Callable]:
    """Our functions that this widget calls."""
    kinds = ("_msg_callbacks", "_click_handlers", "_submission_callbacks")
    found = [
        callback
        for kind in kinds
        if hasattr(widget, kind)
        for callback in getattr(widget, kind).callbacks
    ]
    for by_kind in widget._trait_notifiers.values():
        found += [callback for callbacks in by_kind.values() for callback in callbacks]
    return [
        each
        for each in found
        if callable(each) and (inspect.getmodule(each) or sys).__name__.startswith("explorer.")
    ]


# --- The pages ------------------------------------------------------------------------------------


class OpenPage:
    """A page built from its notebook, with everything that belongs to it."""

    def __init__(self, notebook: Path, query: str, monkeypatch: pytest.MonkeyPatch) -> None:
        self._older = set(_instances)
        self.later: list[Debounce] = []
        plain = Debounce.__init__

        def noted(later: Debounce, action: Callable[[], None]) -> None:
            plain(later, action)
            self.later.append(later)

        monkeypatch.setattr(Debounce, "__init__", noted)
        monkeypatch.setenv(elsewhere.OWN_SERVER, "yes")
        monkeypatch.setenv("QUERY_STRING", query)
        with redirect_stdout(StringIO()):  # outside a kernel a displayed widget is printed
            for source in cells(notebook):
                exec(source, {})
        [self.root] = [each for each in self.parts if "ge-page" in each._dom_classes]
        for lid in self.parts:  # what is under one may come only when it opens
            if isinstance(lid, widgets.Accordion):
                lid.selected_index = 0
                lid.selected_index = None

    @property
    def parts(self) -> list[widgets.DOMWidget]:
        return [
            widget
            for key, widget in list(_instances.items())
            if key not in self._older and isinstance(widget, widgets.DOMWidget)
        ]

    @property
    def said(self) -> str:
        """The sentences of faults that stand on the page."""
        faults = (each for each in inside(self.root) if "ge-fault" in each._dom_classes)
        return " ".join(getattr(each, "value", "") for each in faults)

    def named(self, start: str) -> widgets.Widget:
        """The first widget on the page with such a description."""
        return next(
            each
            for each in inside(self.root)
            if (getattr(each, "description", "") or "").startswith(start)
        )


def inside(widget: widgets.Widget) -> Iterator[widgets.Widget]:
    yield widget
    for child in getattr(widget, "children", ()):
        yield from inside(child)


def visible(widget: widgets.Widget) -> Iterator[widgets.Widget]:
    """What a rider can press: neither hidden nor grey, nor inside something hidden."""
    if widget.layout.display != "none" and not getattr(widget, "disabled", False):
        yield widget
        for child in getattr(widget, "children", ()):
            yield from visible(child)


# Sprockets other than the fitted ones: there is something to buy and to compare.
QUERY = "front=12&rear=52"


@pytest.fixture
def open_page(repository, monkeypatch):
    return lambda entry: OpenPage(repository / "notebooks" / entry.notebook, QUERY, monkeypatch)


def numbers_in_log(caplog: pytest.LogCaptureFixture) -> list[str]:
    """Numbers of the faults that were put in, each logged with its traceback."""
    return [
        record.getMessage().removeprefix("fault ")
        for record in caplog.records
        if record.name == "explorer" and record.exc_info and record.exc_info[0] is Injected
    ]


def check_said_and_logged(page: OpenPage, fault: Fault, caplog: pytest.LogCaptureFixture) -> None:
    [number] = numbers_in_log(caplog)
    assert re.fullmatch("[0-9a-f]{6}", number)
    assert f"error {number} in the server" in page.said, fault.at
    assert fault.at not in page.said
    # Nothing else failed by the way.
    assert len([record for record in caplog.records if record.exc_info]) == 1
    caplog.clear()


@pytest.mark.parametrize("entry", PAGES, ids=lambda entry: entry.name)
def test_whatever_a_browser_sets_off_is_guarded(entry, open_page, caplog):
    page = open_page(entry)
    unguarded: list[str] = []
    unheard: list[str] = []
    tried: set[widgets.Widget] = set()

    def try_all() -> None:
        for widget in page.parts:
            if widget in tried:
                continue
            tried.add(widget)
            caplog.clear()
            heard = False
            messages = list(sent_by_browser(widget))
            for message in messages:
                with a_fault() as fault, suppress(Injected):
                    send(widget, message)
                if fault.at is None:
                    continue
                heard = True
                if fault.guarded:
                    check_said_and_logged(page, fault, caplog)
                else:
                    unguarded.append(fault.at)
            if messages and listeners(widget) and not heard:
                unheard.append(f"{type(widget).__name__} {getattr(widget, 'description', '')}")

    try_all()
    # Now without faults: everything is pressed and opened once, which brings further widgets.
    for widget in list(visible(page.root)):
        if isinstance(widget, (widgets.Button, widgets.Accordion)):
            for message in sent_by_browser(widget):
                send(widget, message)
    assert not [record for record in caplog.records if record.exc_info]
    try_all()
    for later in page.later:
        with a_fault() as fault, suppress(Injected):
            later._do()
        if fault.guarded:
            check_said_and_logged(page, fault, caplog)
        else:
            unguarded.append(f"later: {fault.at}")

    assert not unguarded
    # The messages are those that the widgets listen to: else this test would find nothing.
    assert not unheard


WITH_A_SPROCKET = [
    entry for entry in PAGES if entry.name in ("gearing", "compare", "ground", "fit", "check")
]


@pytest.mark.parametrize("entry", WITH_A_SPROCKET, ids=lambda entry: entry.name)
def test_a_page_goes_on_after_a_fault(entry, open_page, caplog):
    page = open_page(entry)
    link = page.named("Link to th")
    tells = [each for each in page.parts if "bn-tell" in each._dom_classes]

    def move(front: int) -> None:
        if not tells:
            slider = page.named("Front sprocket")
            send(slider, {"method": "update", "state": {"value": front}, "buffer_paths": []})
            return
        said = {"serial": front, "picked": 1, "slots": [["Trail", front, 50, "4.10-18"]]}
        state = {"value": json.dumps(said)}
        send(tells[0], {"method": "update", "state": state, "buffer_paths": []})

    before = link.value
    assert "front=12" in before
    with a_fault():
        move(13)
    [number] = numbers_in_log(caplog)
    assert number in page.said
    assert link.value == before
    move(14)
    assert "front=14" in link.value
    assert page.said == ""


def test_nothing_but_later_waits(repository):
    # What an event loop calls has no guard around it, unless it was asked for by way of Debounce.
    waiting = re.compile(r"call_(?:later|soon|at)|create_task|ensure_future|add_callback|Thread\(")
    found = {
        path.name
        for floor in ("study", "app", "tasks", "panels", "charts")
        for path in (repository / "explorer" / floor).rglob("*.py")
        if waiting.search(path.read_text("utf-8"))
    }
    assert found == {"debounce.py"}
