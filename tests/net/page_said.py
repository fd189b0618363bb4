"""What a page says for a link: every text on it, and the numbers in its charts.

A page is opened as a visitor's kernel opens it: made ahead once in a process, then led along the
link in a fork, which knows nothing of the links before and has half the memory that a kernel may
take. No browser takes part.
"""

import base64
import json
import math
import os
import re
import signal
import sys
from collections.abc import Iterable, Iterator
from contextlib import redirect_stdout
from datetime import date
from io import StringIO
from pathlib import Path
from urllib.parse import unquote

import numpy as np
from bokeh.models import (
    Axis,
    ColorBar,
    ColumnDataSource,
    Label,
    Legend,
    LegendItem,
    Plot,
    Range1d,
    Span,
    Title,
)
from ipywidgets import Widget
from ipywidgets.widgets.widget import _instances

from explorer.serve.visitor_kernel import LARGEST_GROWTH, limit_memory

PRESS = " ! "
"""Stands in a line of links.txt between the link and the name of a button to press then."""

SAMPLES = 12
"""Numbers kept of each column of a chart, evenly spread, beside its length and sum."""

LONGEST_SECONDS = 120

END = "end"
"""The line after what a page said."""

Said = list[tuple[str, str]]
"""Where, and what is said there; in the order of the page."""


def said_by(notebook: Path, queries: Iterable[str]) -> Iterator[Said]:
    """What the page of a notebook says for each link, in a process made for it."""
    os.environ["GEARING_EXPLORER_AHEAD"] = "yes"
    os.environ["GEARING_EXPLORER_SERVER"] = "yes"
    _run(notebook)
    for query in queries:
        yield _in_a_fork(notebook, query)


def _run(notebook: Path) -> None:
    with redirect_stdout(StringIO()):  # outside a kernel a displayed widget is printed
        for cell in json.loads(notebook.read_text("utf-8"))["cells"]:
            if cell["cell_type"] == "code":
                exec("".join(cell["source"]), {})


def _in_a_fork(notebook: Path, query: str) -> Said:
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        signal.alarm(LONGEST_SECONDS)
        os.close(reading)
        try:
            os.environ["GEARING_EXPLORER_AHEAD"] = ""
            os.environ["QUERY_STRING"] = query
            limit_memory(LARGEST_GROWTH // 2)
            link, *presses = query.split(PRESS)
            os.environ["QUERY_STRING"] = link
            _run(notebook)
            root = _root()
            if notebook.stem in ("gearing", "compare"):  # what is under a lid comes when it opens
                for lid in (each for each in _inside(root) if hasattr(each, "selected_index")):
                    lid.set_state({"selected_index": 0})
            for name in presses:
                _press(root, name)
            said = [(where, _settled(text)) for where, text in of_widget(root)]
        except BaseException as error:
            said = [("fault of the page", repr(error))]
        with os.fdopen(writing, "w") as line:
            json.dump(said, line)
        os._exit(0)
    os.close(writing)
    with os.fdopen(reading) as line:
        text = line.read()
    os.waitpid(child, 0)
    return [tuple(each) for each in json.loads(text)] if text else [("fault", "no answer")]


def _root() -> Widget:
    # What the page made ahead stood in its widgets is there again.
    found = [each for each in _instances.values() if "ge-page" in getattr(each, "_dom_classes", ())]
    return found[-1]


def _press(root: Widget, name: str) -> None:
    """Press a button as a visitor does; an accordion opens."""
    widget = next(
        each
        for each in _inside(root)
        if name in (getattr(each, "description", None), *getattr(each, "titles", ()))
    )
    if hasattr(widget, "selected_index"):
        widget.set_state({"selected_index": widget.titles.index(name)})
    else:
        message = {"method": "custom", "content": {"event": "click"}}
        widget._handle_msg({"content": {"data": message}, "buffers": []})


def _inside(widget: Widget) -> Iterator[Widget]:
    """A widget and those in it, but for what is hidden."""
    if getattr(widget.layout, "display", None) == "none":
        return
    yield widget
    for child in getattr(widget, "children", ()):
        yield from _inside(child)


def of_widget(root: Widget) -> Iterator[tuple[str, str]]:
    """What a widget and those in it say."""
    for widget in _inside(root):
        yield from _of_one(widget)


def _of_one(widget: Widget) -> Iterator[tuple[str, str]]:
    kind = type(widget).__name__
    name = getattr(widget, "description", "") or ""
    if hasattr(widget, "table"):
        yield from _of_table(widget.table)
    elif kind == "HTML":
        yield "text", widget.value
    elif hasattr(widget, "_document"):
        for model in widget._document.roots:
            yield from of_chart(model)
    elif hasattr(widget, "options"):
        picked = getattr(widget, "label", None) or getattr(widget, "index", "")
        labels = [str(each) for each in widget._options_labels]
        yield f"{kind} {name}", f"{picked} of {labels}"
    elif kind in ("Button", "FileUpload"):
        yield f"{kind} {name}", f"disabled {widget.disabled}; {widget.tooltip}"
    elif hasattr(widget, "value"):
        ends = f" in {widget.min:g} … {widget.max:g}" if hasattr(widget, "max") else ""
        value = widget.value
        yield f"{kind} {name}", (f"{value:.9g}" if isinstance(value, float) else str(value)) + ends
    if getattr(widget, "titles", None):
        yield "titles", " | ".join(widget.titles)


def _of_table(table) -> Iterator[tuple[str, str]]:
    """Words of the set-ups with names in the bench's table, and the numbers of all its rows."""
    # Only a checkout that has a bench has it.
    from explorer.study.table import unpacked

    meta, arrays = unpacked(base64.b64decode(table.text))
    for row, slot in enumerate(meta["slots"]):
        words = [f"{value}: {what}" for value, what in meta["texts"][row]]
        words += [meta["verdicts"][row], meta["said"][row]]
        yield f"bench {slot['name']}", "\n".join(words)
    for name, array in arrays.items():
        yield f"bench {name}", _column(np.ravel(array))


# --- Charts ---------------------------------------------------------------------------------------


def of_chart(root) -> Iterator[tuple[str, str]]:
    """Words and numbers of a figure, or of each figure in a layout; their order does not count."""
    plots = sorted(
        (model for model in root.references() if isinstance(model, Plot)),
        key=lambda plot: plot.id,
    )
    for plot in plots:
        words = sorted(filter(None, map(_words, plot.references() - _others(plot, plots))))
        title = plot.title.text if plot.title else ""
        yield f"chart {title}", "\n".join(words)


def _others(plot, plots) -> set:
    return {each for each in plots if each is not plot}


def _words(model) -> str:
    if isinstance(model, ColumnDataSource):
        columns = [f"{name}: {_column(data)}" for name, data in sorted(model.data.items())]
        return "source " + "; ".join(columns) if columns else ""
    if isinstance(model, Title):
        return f"title {model.text}" if model.text else ""
    if isinstance(model, Axis):
        return f"axis {model.axis_label}"
    if isinstance(model, Range1d):
        return f"range {_short(model.start)} … {_short(model.end)}"
    if isinstance(model, LegendItem):
        return f"legend {getattr(model.label, 'value', model.label)}"
    if isinstance(model, Label):
        return f"label {model.text} at {_short(model.x)}, {_short(model.y)}" if model.text else ""
    if isinstance(model, Span):
        return f"line at {_short(model.location)}"
    if isinstance(model, (Legend, ColorBar)):
        return f"{type(model).__name__} {model.title}" if model.title else ""
    return ""


def _column(data) -> str:
    values = data.tolist() if isinstance(data, np.ndarray) else list(data)
    kept = values
    if len(values) > SAMPLES:
        kept = [values[round(at)] for at in np.linspace(0, len(values) - 1, SAMPLES)]
    text = f"{len(values)}: " + " ".join(map(_short, kept))
    if len(values) <= SAMPLES:
        return text
    if not isinstance(data, np.ndarray):
        values = [each for each in values if isinstance(each, (int, float, np.number))]
    return f"{text} sum {_short(math.fsum(filter(math.isfinite, values)))}"


def _short(value) -> str:
    """A number to six digits: the order of a sum does not count."""
    if isinstance(value, (list, tuple, np.ndarray)):
        return f"[{_column(value)}]"
    if isinstance(value, (bool, np.bool_)):
        return str(bool(value))
    if isinstance(value, (int, float, np.number)):
        # What is zero but for rounding is zero.
        return "0" if abs(value) < 1e-9 else f"{float(value):.6g}"
    return str(value)


# --- What is another on each day ------------------------------------------------------------------

_BASE64 = re.compile(r"data:([\w/+-]*)(?:;charset=[\w-]+)?;base64,([A-Za-z0-9+/=]+)")
_PLAIN = re.compile(r"data:([\w/+.-]*)(?:;charset=[\w-]+)?,([^\"'\s]*)")
_ENTRY = re.compile(r"\b[0-9a-f]{32}\b")
_CODE = re.compile(r"<code>(?:\w+\.)+(\w+)</code>")


def _settled(text: str) -> str:
    text = _BASE64.sub(_readable, text)
    text = _PLAIN.sub(lambda found: f"data:{found[1]}<<{unquote(found[2])}>>", text)
    # Where a function of calc lives is the house's; what it is called is the page's.
    text = _CODE.sub(r"<code>\1</code>", text)
    return _ENTRY.sub("ENTRY", text.replace(date.today().isoformat(), "TODAY"))


def _readable(found: re.Match) -> str:
    content = base64.b64decode(found[2])
    if found[1].startswith("image/"):
        return f"data:{found[1]} of {len(content)} bytes"
    return f"data:{found[1]}<<{content.decode('utf-8', 'replace')}>>"


def load(notebook: Path) -> None:
    """Load what a notebook imports; nothing of it is run."""
    for cell in json.loads(notebook.read_text("utf-8"))["cells"]:
        lines = "".join(cell["source"]).splitlines()
        exec("\n".join(line for line in lines if line.startswith(("from ", "import "))), {})


def answer(notebook: Path, club: str, queries: Iterable[str]) -> None:
    """Print what a page says, a line for each query, from a process that has made no other page."""
    load(notebook)
    child = os.fork()
    if child:
        os.waitpid(child, 0)
        print(END, flush=True)
        return
    if club:
        os.environ["GEARING_EXPLORER_CLUB"] = club
    for said in said_by(notebook, queries):
        print(json.dumps(said), flush=True)
    # Without the widgets' farewells to browsers that there are not.
    os._exit(0)


if __name__ == "__main__":
    # Each line of the standard input asks for one page. What is loaded stays for the next.
    for asked in sys.stdin:
        page, of_club, links = json.loads(asked)
        answer(Path(page), of_club, links)
