"""What stands in the check page, found by its name."""

import re
from datetime import UTC, datetime


def widgets_of(root):
    yield root
    for child in getattr(root, "children", ()):
        yield from widgets_of(child)


def named(page, name):
    return next(
        each for each in widgets_of(page.widget) if getattr(each, "description", None) == name
    )


def shown(page):
    html = (each.value for each in widgets_of(page.widget) if type(each).__name__ == "HTML")
    return re.sub(r"<[^>]+>", " ", " ".join(map(str, html)))


def upload(page, *files):
    named(page, "Open ride files").value = tuple(
        {
            "name": name,
            "type": "",
            "size": len(content),
            "content": memoryview(content),
            "last_modified": datetime(2031, 5, 4, tzinfo=UTC),
        }
        for name, content in files
    )


def open_demo(page, kind):
    named(page, "Demo ride").value = kind
    named(page, "Open the demo ride").click()
