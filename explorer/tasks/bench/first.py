"""The bench's first answer: HTML that stands before any script has come, and the table behind it.

Served pages and pages without a server begin with it; bench.js takes it from there. Its classes and
attributes are the contract between this file, bench.js and bench.css.
"""

import base64
import json
from functools import cache

from markupsafe import Markup

from explorer.app.printed import template
from explorer.charts import palette
from explorer.charts.gearing.bench_figures import COLOURS, DASHES, figures_for_browser
from explorer.records.prose import read_prose
from explorer.study.table import unpacked
from explorer.tasks.bench.offers import WISHES
from explorer.tasks.bench.table import BenchTable

CHARTS = (
    ("shift", "Shifting up: engine speed against road speed", "Shifting"),
    ("pull", "Pull at the tyre, and what holds the bike back", "Pull"),
    ("tradeoff", "Every pair: speed against what you gain", "Trade-off"),
)
CAUTIONS = tuple(read_prose("cautions")["bench"])

_TEMPLATE, _STILL = "bench/first.html.j2", "bench/still.svg.j2"
_SLOTS = 4
_WIDTH, _HEIGHT, _LEFT, _FOOT = 400, 300, 46, 34


def prepare() -> None:
    """Make what is the same for every visitor, with the page that is made ahead."""
    template(_TEMPLATE)
    template(_STILL)
    _empty_charts()


def first_answer(table: BenchTable, served: bool) -> str:
    """The whole instrument as HTML; `served` where a kernel listens."""
    meta = table.meta
    row, slots, tyres = meta["picked"], meta["slots"], meta["tyres"]
    front, rear, tyre = (slots[row][name] for name in ("front", "rear", "tyre"))
    tyres_at, tyre_said = tyres.index(tyre), tyre if meta["tyre_known"] else "?"
    numbers = zip(meta["tiles"], meta["texts"][row], strict=True)
    return template(_TEMPLATE).render(
        served=served,
        table=table,
        charts=CHARTS,
        asks=meta["asks"],
        tiles=[(name, *texts) for name, texts in numbers],
        verdict=meta["verdicts"][row],
        said=meta["said"][row],
        still="" if "shift" in meta["asks"] else still_picture(table),
        slots=[*slots, *[None] * (_SLOTS - len(slots))],
        picked=row,
        sliders=(
            ("front", "Front", "Front sprocket", *meta["sold"]["front"], front, front),
            ("rear", "Rear", "Rear sprocket", *meta["sold"]["rear"], rear, rear),
            ("tyre", "Tyre", "Rear tyre", 0, len(tyres) - 1, tyres_at, tyre_said),
        ),
        wishes=WISHES,
        figures=_empty_charts(),
        cautions=CAUTIONS,
    )


@cache
def _empty_charts() -> Markup:
    """The empty charts as JSON that cannot end the element it stands in; the same on every page."""
    return Markup(json.dumps(figures_for_browser()).replace("<", "\\u003c"))


def still_picture(table: BenchTable) -> Markup:
    """The sawtooth of every set-up as a small SVG, drawn from the table's own rows."""
    meta, arrays = table.meta, unpacked(base64.b64decode(table.text))[1]
    named = len(meta["slots"])
    factor, unit = meta["speed"]
    fastest = float(arrays["limiter_speed"][:named].max()) * factor
    most = meta["limiter"] * 1.15

    def x(speed: float) -> float:
        return _LEFT + (_WIDTH - _LEFT - 8) * speed / fastest

    def y(rpm: float) -> float:
        return (_HEIGHT - _FOOT) * (1 - rpm / most)

    lines = []
    for at in sorted(range(named), key=lambda at: at == meta["picked"]):
        path = zip(arrays["path_speed"][at], arrays["path_rpm"][at], strict=True)
        points = " ".join(f"{x(speed * factor):.1f},{y(rpm):.1f}" for speed, rpm in path)
        dash = DASHES[at] if DASHES[at] != "solid" else "none"
        lines.append((COLOURS[at], 3.5 if at == meta["picked"] else 2, dash, points))
    speeds = range(0, int(fastest) + 1, 20 if fastest > 60 else 10)
    marks = [(x(value), _HEIGHT - _FOOT + 16, "middle", value) for value in speeds]
    marks += [(_LEFT - 5, y(value) + 4, "end", value) for value in range(0, int(most) + 1, 2000)]
    size = {"width": _WIDTH, "height": _HEIGHT, "left": _LEFT, "under": _FOOT}
    inks = {"ink": palette.INK, "quiet": palette.INK_QUIET, "limit_ink": palette.LIMIT}
    shown = {"lines": lines, "marks": marks, "limit": y(meta["limiter"]), "unit": unit}
    return Markup(template(_STILL).render(size | inks | shown))
