"""Whether a page is no wider than its window."""

from playwright.sync_api import Page


def fits_the_window(page: Page, *widths: int) -> None:
    """Wait, in a window of each width in turn, until nothing has to be scrolled sideways."""
    for width in widths:
        page.set_viewport_size({"width": width, "height": 900})
        page.wait_for_function(
            "width => innerWidth === width && document.documentElement.scrollWidth <= width",
            arg=width,
        )
