"""What the charts of an open page show, asked from Bokeh in the browser."""

from playwright.sync_api import Page

ALL_SHOW = """pair => {
    const bench = document.getElementById("bench");
    if (bench) {
        const said = bench.querySelector("[data-tile=ratio] [data-value]").textContent;
        if (bench.dataset.charts !== "live" || said !== pair) return false;
        const { charts, slots, picked, table } = bench.bench;
        const { row } = slots[picked];
        const path = table.arrays.path_rpm.at(row);
        const drawn = charts.shift.sources.lines.data.ys.at(-1);
        const shown = charts.tradeoff.sources.marks.data.text.includes(pair);
        return shown && drawn.every((rpm, at) => Math.abs(rpm - path[at]) < 0.01);
    }
    const charts = Bokeh.documents.flatMap(page => page.roots());
    return charts.length > 0 && charts.every(chart =>
        [...chart.references()].some(part => part.type === "ColumnDataSource"
            && JSON.stringify([...part.data.values?.() ?? Object.values(part.data)])
                .includes(`chosen ${pair}`)));
}"""
"""True in the browser once every chart shows the chosen pair."""


def wait_for_pair(page: Page, pair: str) -> None:
    """Wait until readout and every chart show a pair as the chosen one."""
    # A phone's bench says it by the sliders alone.
    page.get_by_text(pair, exact=True).first.wait_for(state="attached")
    page.wait_for_function(ALL_SHOW, arg=pair)


CHART_SHOWS = """text => Bokeh.documents.flatMap(page => page.roots()).some(chart =>
    [...chart.references()].some(part => part.type === "ColumnDataSource"
        && JSON.stringify([...part.data.values?.() ?? Object.values(part.data)]).includes(text)))"""
"""True in the browser once some chart holds a text."""


def wait_for_chart_text(page: Page, text: str) -> None:
    """Wait until a chart carries a label."""
    page.wait_for_function(CHART_SHOWS, arg=text)
