"""The code on the bench's picture (bench_picture.js), which leads to the same bench.

The picture is drawn in the browser; a field out of sight asks, a widget out of sight answers.
"""

from markupsafe import Markup

from explorer.app.page import OpenPage
from explorer.app.setup_code import code_svg, read_address
from explorer.panels import widgets


class PictureCode:
    """Two widgets out of sight."""

    def __init__(self, page: OpenPage) -> None:
        self._state = page.state
        asked = widgets.dressed(widgets.Text(), "bn-picture-asked")
        asked.observe(page.faults.guard(self._make, clears=False), "value")
        self._code = widgets.dressed(widgets.HTML(), "bn-picture-code")
        self.widgets = [asked, self._code]

    def _make(self, change: dict) -> None:
        """Answer "number address" with the whole link under that number, and its code."""
        number, _, typed = change["new"].partition(" ")
        link = read_address(typed) + self._state.short_link
        self._code.value = Markup('<div data-number="{}" data-link="{}">{}</div>').format(
            number, link, code_svg(link) or ""
        )
