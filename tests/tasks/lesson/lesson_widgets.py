"""What stands in the lesson page, found as a class sees it."""

from explorer.tasks.lesson.stage import Stage


def widgets_of(root):
    yield root
    for child in getattr(root, "children", ()):
        yield from widgets_of(child)


def all_named(page, name):
    return [each for each in widgets_of(page.widget) if getattr(each, "description", None) == name]


def seen(root):
    """The widgets that are not hidden."""
    if root.layout.display != "none":
        yield root
        for child in getattr(root, "children", ()):
            yield from seen(child)


def named(page, name):
    found = [each for each in seen(page.widget) if getattr(each, "description", None) == name]
    assert len(found) == 1, (name, len(found))
    return found[0]


def visible(root):
    """Texts of everything that is not hidden, as a reader sees the page."""
    return (str(each.value) for each in seen(root) if type(each).__name__ == "HTML")


def shown(page):
    return " ".join(visible(page.widget))


def step_card(page):
    return " ".join(visible(page.part(Stage).widget))
