"""What stands under the lids of a page."""

from playwright.sync_api import Locator, Page

TYPED = "Typed: both sprockets, roll-out, another tyre"

_CLICK_CLOSED = """() => {
  const closed = ".jupyter-widget-Collapse:not(.jupyter-widget-Collapse-open)";
  const lids = [...document.querySelectorAll(`${closed} > .jupyter-widget-Collapse-header`)]
    .filter(lid => lid.offsetParent);
  for (const lid of lids) lid.click();
  return lids.length;
}"""
_ALL_FILLED = """() => !document.querySelector(
    ".jupyter-widget-Collapse-open > .jupyter-widget-Collapse-contents > .widget-vbox:empty")"""


def open_lids(page: Page) -> None:
    """Open every lid, and those under them; what is under one may come only then."""
    while page.evaluate(_CLICK_CLOSED):
        page.wait_for_function(_ALL_FILLED)


def open_lid(page: Page, title: str) -> None:
    """Open the one with this title."""
    page.get_by_text(title, exact=True).click()


def type_pair(page: Page, pair: str) -> Locator:
    """Type both sprockets on the gearing page, whose lid is still closed; returns the field."""
    open_lid(page, TYPED)
    field = page.get_by_label("Both sprockets")
    field.fill(pair)
    field.press("Enter")
    return field
