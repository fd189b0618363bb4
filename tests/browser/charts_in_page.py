"""What the charts of an open page show, asked from Bokeh in the browser."""

from playwright.sync_api import Page

ALL_SHOW = """pair => {
    const charts = Bokeh.documents.map(chart => chart.to_json_string());
    return charts.length > 0 && charts.every(chart => chart.includes(`chosen ${pair}`));
}"""
"""True in the browser once every chart carries the label of the chosen pair."""

WAIT_FOR_REPAINT = """pair => new Promise(resolve => {
    const charts = () => Bokeh.documents.every(d => d.to_json_string().includes(`chosen ${pair}`));
    const readout = () => document.querySelector(".ge-tile strong").textContent === pair;
    const look = () => {
        if (readout() && charts()) requestAnimationFrame(() => resolve(performance.now()));
        else requestAnimationFrame(look);
    };
    look();
})"""
"""Resolves one frame after readout and charts all carry the chosen pair."""


def wait_for_pair(page: Page, pair: str) -> None:
    """Wait until readout and every chart show a pair as the chosen one."""
    page.get_by_text(pair, exact=True).first.wait_for()
    page.wait_for_function(ALL_SHOW, arg=pair)
