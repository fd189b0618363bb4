"""What stands under a closed lid of the served bench costs nothing until somebody opens it."""

import re

import pytest

from explorer.app.chart_widget import ChartWidget, charts_in
from explorer.app.elsewhere import OWN_SERVER
from explorer.study import study
from explorer.tasks.bench.page import GearingPage

COMPARED, ON_COURSE, IN_WORDS = "All set-ups in figures", "All set-ups over", "Why? In words"


@pytest.fixture
def rides(monkeypatch):
    """How often the course was ridden by all set-ups."""
    monkeypatch.setenv(OWN_SERVER, "yes")
    ridden = []
    ride_all = study.ride_all
    monkeypatch.setattr(study, "ride_all", lambda *a: ridden.append(1) or ride_all(*a))
    return ridden


def inside(widget):
    yield widget
    for child in getattr(widget, "children", ()):
        yield from inside(child)


def lid(page, start):
    [found] = [
        each
        for each in inside(page.widget)
        if (getattr(each, "titles", None) or ("",))[0][: len(start)] == start
    ]
    return found


def said(lid):
    texts = (str(each.value) for each in inside(lid) if type(each).__name__ == "HTML")
    return " ".join(filter(None, texts))


def test_words_under_a_lid_are_those_of_what_is_shown_when_it_opens(rides):
    page = GearingPage("?front=12&rear=50")
    rides.clear()  # the chart of a course is made with the page
    page.follow("?front=12&rear=52")
    words = lid(page, IN_WORDS)
    assert not said(words) and not rides
    words.selected_index = 0
    assert "rear sprocket 52 teeth" in said(words)
    page.state.change(rear=48)
    assert "rear sprocket 48 teeth" in said(words), "an open lid follows the hand"
    words.selected_index = None
    page.state.change(rear=51)
    assert "rear sprocket 48 teeth" in said(words)
    words.selected_index = 0
    assert "rear sprocket 51 teeth" in said(words) and not rides


def test_the_course_is_ridden_once_for_the_lids_that_show_it(rides):
    page = GearingPage("?front=12&rear=50")
    rides.clear()
    page.state.change(rear=52)
    for name in (COMPARED, ON_COURSE):
        lid(page, name).selected_index = 0
    assert "12/52" in said(lid(page, COMPARED)) and "12/52" in said(lid(page, ON_COURSE))
    assert len(rides) == 1


def test_a_lid_that_cannot_be_filled_closes_again_and_says_why(rides, monkeypatch, caplog):
    page = GearingPage("?front=12&rear=50")
    page.state.change(rear=52)
    broken = lid(page, COMPARED)
    with monkeypatch.context() as faulty:
        faulty.setattr(study, "ride_all", lambda *a: 1 / 0)
        broken.selected_index = 0
    number = re.search("error ([0-9a-f]{6})", page.faults.widget.value)[1]
    assert number in caplog.text and broken.selected_index is None and not said(broken)
    broken.selected_index = 0
    assert "12/52" in said(broken)


def test_what_is_under_a_lid_comes_when_it_opens_and_its_chart_as_it_is_then(rides):
    page = GearingPage("?front=12&rear=50")
    closed = lid(page, ON_COURSE)
    [box] = closed.children
    assert not box.children
    page.state.change(rear=52)
    sent = []
    box.observe(lambda change: sent.append("what is under it"), "children")
    with pytest.MonkeyPatch.context() as watched:
        watched.setattr(
            ChartWidget,
            "send_state",
            lambda self, key=None: sent.append(key),
        )
        closed.selected_index = 0
    assert sent == ["render_bundle", "what is under it"]
    [chart] = charts_in(*box.children)
    closed.selected_index = None
    closed.selected_index = 0
    assert list(charts_in(*box.children)) == [chart] and len(sent) == 2, "only once"
