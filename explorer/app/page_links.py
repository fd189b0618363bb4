"""Links from one page to others: only to those that are served here."""

from markupsafe import Markup

from explorer.panels.html import link
from explorer.records.clubs.club import is_served


def page_link(page: str, query: str, text: str) -> Markup:
    """A link to a page, or nothing where that page is not served.

    Args:
        page: Name of the page.
        query: What it opens with, with its question mark; empty for the page as it stands.
        text: What the link says; escaped.
    """
    return Markup(link(f"{page}{query}", text)) if is_served(page) else Markup("")


def page_links(*entries: tuple[str, str, str], between: str = " · ") -> Markup:
    """Links to those of some pages that are served, one after the other.

    Args:
        *entries ((page, query, text)): As for `page_link`.
        between: What stands between two links.

    >>> page_links(("gearing", "?rear=48", "Gearing"), ("members", "", "What members ride"))
    Markup('<a href="gearing?rear=48">Gearing</a>')
    """
    return Markup(between).join(filter(None, (page_link(*entry) for entry in entries)))
