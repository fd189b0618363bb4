"""The page that DEVELOPERS.md shows is a page: short, and it works as every other does."""

import re

import pytest

from explorer.app.chart_widget import ChartWidget
from explorer.records.bikes.bike_library import demo_bikes


@pytest.fixture
def source(repository):
    section = (repository / "DEVELOPERS.md").read_text("utf-8").partition("### Add a page")[2]
    return re.search(r"```python\n(.*?)```", section, re.DOTALL)[1]


@pytest.fixture
def page(source):
    names = {}
    exec(source, names)
    return names["WheelPage"]("?front=13&rear=50")


def inside(widget):
    yield widget
    for child in getattr(widget, "children", ()):
        yield from inside(child)


def front_slider(page):
    named = (each for each in inside(page.widget) if hasattr(each, "description"))
    return next(each for each in named if each.description == "Front sprocket")


def tile(page):
    texts = [str(getattr(each, "value", "")) for each in inside(page.widget)]
    [shown] = [text for text in texts if "ge-tiles" in text]
    return [int(each) for each in re.findall(r"<strong>(\d+)\xa0mm", shown)]


def by_hand(front):
    """U / (i_p i_5 z_r / z_f), from the bike file."""
    bike = demo_bikes()["bracken-125"]
    ratio = bike.gearbox.primary.si * bike.gearbox.ratios[-1].si * 50 / front
    return round(2.03 / ratio * 1000)


def test_it_is_short(source):
    assert source.count("\n") <= 60


def test_it_answers_the_hand_and_goes_back_after_a_fault(page, monkeypatch):
    assert tile(page) == [pytest.approx(by_hand(13), abs=1), pytest.approx(by_hand(13), abs=1)]
    [slider] = [
        e for e in inside(page.widget) if getattr(e, "description", "") == "Front sprocket"
    ][:1]
    [chart] = [each for each in inside(page.widget) if isinstance(each, ChartWidget)]
    slider.value = 12
    assert tile(page) == [pytest.approx(by_hand(12), abs=1), pytest.approx(by_hand(13), abs=1)]
    assert "front=12" in page.state.link and chart.comm is not None
    before = tile(page)
    monkeypatch.setattr("explorer.study.study.Study.of", lambda *_: 1 / 0)
    slider.value = 11
    assert tile(page) == before and slider.value == 12 and page.state.setup.front == 12
    assert "our" in page.faults.widget.value


def test_a_fault_in_the_words_rolls_the_page_back_too(page, monkeypatch):
    slider = next(
        e for e in inside(page.widget) if getattr(e, "description", "") == "Front sprocket"
    )
    before = page.state.link
    [why] = [
        part
        for part in page._parts
        if getattr(part, "late", False) and "roll-out over ratio" in part.widget.value
    ]
    monkeypatch.setattr(why, "work", lambda _: 1 / 0)
    slider.value = 12
    assert page.state.link == before and slider.value == 13
    assert tile(page)[0] == pytest.approx(by_hand(13), abs=1)
    monkeypatch.undo()
    slider.value = 12
    assert tile(page)[0] == pytest.approx(by_hand(12), abs=1)
