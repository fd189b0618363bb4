"""What stands under the lids of a page."""

from playwright.sync_api import Locator, Page

TYPED = "Typed: both sprockets, roll-out, another tyre"

_OPEN_ALL = """
() => {
  const closed = ".jupyter-widget-Collapse:not(.jupyter-widget-Collapse-open)";
  for (let lids = [null]; lids.length;) {
    lids = [...document.querySelectorAll(`${closed} > .jupyter-widget-Collapse-header`)]
      .filter((lid) => lid.offsetParent);
    for (const lid of lids) lid.click();
  }
}
"""


def open_lids(page: Page) -> None:
    """Open every lid, and those under them."""
    page.evaluate(_OPEN_ALL)


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
