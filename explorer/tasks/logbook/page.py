"""The logbook page: what was changed and what came of it, kept at home or in a file."""

from explorer.app.layout import card, cautions, fold
from explorer.app.page import OpenPage, Page
from explorer.app.parts import other_pages
from explorer.panels import widgets
from explorer.tasks.logbook import words
from explorer.tasks.logbook.entries import Entries
from explorer.tasks.logbook.state import LogbookState


def _placed(title: str, name: str, within=card):
    """A card, or a lid, with some of the widgets of the entries."""

    def make(page: OpenPage) -> widgets.Widget:
        return within(title, *getattr(page.part(Entries), name))(page)

    return make


LogbookPage = Page(
    title="Logbook",
    intro="Each change of gearing and what came of it.",
    state=LogbookState,
    charts=False,
    main=(
        Entries,
        _placed("Entries", "kept"),
        _placed("Before and after", "compared", fold),
        _placed("Keep it", "files"),
        cautions(words.CAUTIONS),
        fold(
            "Other pages",
            other_pages(
                ("gearing", "Gearing: every pair with this set-up"),
                ("fit", "Does it fit? Chain, axle, slack, parts, fitting sheet"),
                ("check", "Ride it and check"),
                address=lambda given: given.address,
            ),
        ),
    ),
)
