"""What stands under the lids of a page."""

from playwright.sync_api import Page

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
