"""The plot of a load test, drawn by Bokeh in Chromium: answers above, memory below."""

from collections.abc import Sequence
from pathlib import Path

from bokeh.embed import file_html
from bokeh.layouts import column
from bokeh.models import FixedTicker, Range1d
from bokeh.plotting import figure
from bokeh.resources import INLINE
from playwright.sync_api import sync_playwright

from explorer.charts import palette
from tests.bench.visitors.load_window import Window
from tests.browser.conftest import find_chromium

WIDTH, ANSWERS_HEIGHT, MEMORY_HEIGHT = 760, 360, 240


def draw(windows: Sequence[Window], limit: float, title: str, path: Path) -> None:
    """Write the plot as PNG.

    Parameters
    ----------
    windows : sequence of Window
        One for each number of visitors.
    limit : float
        Up to here the 95th percentile of the answers is good enough [ms].
    title : str
        Machine and date.
    path : Path
        Where to.
    """
    windows = sorted(windows, key=lambda window: window.visitors)
    page = file_html(column(_answers(windows, limit, title), _memory(windows)), INLINE, title)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=find_chromium(), args=["--no-sandbox", "--disable-gpu"]
        )
        tab = browser.new_page(
            viewport={"width": WIDTH + 16, "height": ANSWERS_HEIGHT + MEMORY_HEIGHT + 16}
        )
        tab.set_content(page)
        tab.wait_for_function("() => window.Bokeh?.documents[0]?.is_idle")
        # Drawn, and the frame handed over.
        tab.evaluate("() => new Promise(done => requestAnimationFrame(() => setTimeout(done)))")
        tab.screenshot(path=path)
        browser.close()


def _answers(windows: Sequence[Window], limit: float, title: str) -> figure:
    numbers = [window.visitors for window in windows]
    times = [window.milliseconds("done") for window in windows]
    medians, slowest = zip(*times, strict=True)
    plot = _plot(windows, ANSWERS_HEIGHT, "answer to a slider [ms]", max(limit, *slowest) * 1.08)
    plot.title.text = title
    plot.title.text_font_size = palette.TITLE_SIZE
    for name, values, colour, marker in (
        ("95 of 100 answers are faster", slowest, palette.CHOSEN, "circle"),
        ("half of the answers are faster", medians, palette.FITTED, "square"),
    ):
        plot.line(numbers, values, color=colour, line_width=2.5, legend_label=name)
        plot.scatter(numbers, values, color=colour, size=9, marker=marker, legend_label=name)
    plot.line(
        [0, max(numbers) * 2],
        [limit, limit],
        color=palette.LIMIT,
        line_dash=palette.FITTED_DASH,
        line_width=2,
        legend_label=f"{limit:.0f} ms",
    )
    plot.legend.location = "top_left"
    plot.legend.label_text_font_size = palette.LABEL_SIZE
    return plot


def _memory(windows: Sequence[Window]) -> figure:
    numbers = [window.visitors for window in windows]
    shared = [window.memory.kernel_pss for window in windows]
    own = [window.memory.kernel_uss for window in windows]
    plot = _plot(windows, MEMORY_HEIGHT, "memory per visitor [MB]", max(*shared, *own) * 1.5)
    plot.xaxis.axis_label = "visitors at once"
    for name, values, colour, marker in (
        ("own (USS)", own, palette.CHOSEN, "circle"),
        ("with a share of the common (PSS)", shared, palette.FITTED, "square"),
    ):
        plot.line(numbers, values, color=colour, line_width=2.5, legend_label=name)
        plot.scatter(numbers, values, color=colour, size=9, marker=marker, legend_label=name)
    plot.legend.orientation = "horizontal"
    plot.legend.location = "top_left"
    plot.legend.label_text_font_size = palette.LABEL_SIZE
    return plot


def _plot(windows: Sequence[Window], height: int, label: str, top: float) -> figure:
    numbers = [window.visitors for window in windows]
    plot = figure(
        width=WIDTH,
        height=height,
        toolbar_location=None,
        y_axis_label=label,
        x_range=Range1d(0, max(numbers) * 1.04),
        y_range=Range1d(0, top),
    )
    # Small numbers of visitors stand too close for a label each.
    labelled = [number for number in numbers if number >= 4 or number == 1]
    plot.xaxis.ticker = FixedTicker(ticks=labelled)
    for axis in (*plot.xaxis, *plot.yaxis):
        axis.axis_label_text_font = axis.major_label_text_font = palette.FONT
        axis.axis_label_text_font_size = palette.AXIS_SIZE
        axis.axis_label_text_font_style = "normal"
        axis.major_label_text_font_size = palette.TICK_SIZE
    plot.outline_line_color = None
    return plot
