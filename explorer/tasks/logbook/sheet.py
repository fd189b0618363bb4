"""Before and after on one page of paper: two entries of the logbook side by side.

A file that needs nothing else: no script, no picture, no font from elsewhere.
"""

from datetime import date

from explorer.app.printed import save_link, template
from explorer.records.logbook.entry import LogEntry
from explorer.records.logbook.logbook_fields import LOG_FIELDS
from explorer.tasks.logbook.words import CAUTIONS, change_words

_NOT_PRINTED = ("setup",)


def render(before: LogEntry, after: LogEntry, made_on: date) -> str:
    """The page of two entries, the older one first, as a whole document of HTML; all texts are
    escaped."""
    rows = [
        (field.label, before[field.name], after[field.name])
        for field in LOG_FIELDS
        if field.name not in _NOT_PRINTED and (before[field.name] or after[field.name])
    ]
    return template("logbook/sheet.html.j2").render(
        title=f"{before['front']}/{before['rear']} → {after['front']}/{after['rear']}",
        bike=after["bike"],
        rows=rows,
        change=change_words(before, after),
        cautions=CAUTIONS,
        made_on=made_on,
        other_bike=before["bike"] if before["bike"] != after["bike"] else "",
    )


def file_name(before: LogEntry, after: LogEntry) -> str:
    """Name under which the page is saved.

    >>> old = LogEntry.of({"date": "2026-04-01", "bike": "B", "front": "14", "rear": "48"})
    >>> new = LogEntry.of({"date": "2026-05-01", "bike": "B", "front": "13", "rear": "50"})
    >>> file_name(old, new)
    'before-after-14-48-13-50-2026-05-01.html'
    """
    pairs = "-".join(entry[field] for entry in (before, after) for field in ("front", "rear"))
    return f"before-after-{pairs}-{after['date']}.html"


def download_link(before: LogEntry, after: LogEntry, made_on: date) -> str:
    """A link in a page that saves the before-and-after page; escaped HTML."""
    page, said = render(before, after, made_on), "Download the before-and-after page, to print"
    return save_link(page, said, file_name(before, after))
