"""A bike of one's own takes nothing from a demo bike: other demo numbers, and its pages stay.

A club's folder stands for data/bikes in both runs, so that only numbers differ between them.
"""

import json
import re
from pathlib import Path

import pytest
from jinja2 import Environment, FileSystemLoader

from explorer.records.bikes.bike import Bike
from explorer.records.bikes.bike_fields import FIELD_AT
from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.bikes.own_bike import read_own_bike
from explorer.records.setups.link import MINE, decode, encode
from explorer.records.setups.setup import Setup
from explorer.serve.assets import TEMPLATE
from explorer.serve.contents import PAGES as PAGE_ENTRIES
from explorer.serve.export import cases_for, choice_for
from explorer.serve.export_pages import more_files
from explorer.serve.site import site_of
from explorer.tasks.bench.table import table_of
from explorer.units import RPM
from tests.net.page_said import PRESS
from tests.records.bikes.test_own_bike import MEADOW

PAGES = {
    "gearing": "",
    "wants": "&want.1=clutch-out;weight+3;speed+6+km/h&want.mix=woods+60&want.ticked=stalls",
    "fit": "&fit.links=112&fit.room-forward=20+mm&fit.room-back=20+mm&fit.manual-slack=35+mm",
    "check": f"{PRESS}Open the demo ride",
    "ground": "",
    "logbook": f"{PRESS}Fill in from the set-up",
}
"""What is asked on each page, so that it says all that it can."""
SHEET = "Write in the torques from your own bike"
QUICK = ("gearing", "fit")
"""Pages of a run without ``--long``."""


def perturbed(bike: Bike) -> Bike:
    """The bike with every number another one."""
    changes = {}
    for path, text in bike.flat().items():
        kind = FIELD_AT[path].kind
        if kind == "teeth":
            changes[path] = str(int(text) + 1)
        elif kind == "links":
            changes[path] = str(int(text) + 2)
        elif kind == "teeth range":
            low, high = map(int, text.split(" to "))
            changes[path] = f"{low + 1} to {high + 1}"
        elif kind == "tyre":
            changes[path] = "90/90-21" if path.endswith("front") else "100/100-18"
        elif kind == "reduction":
            changes[path] = f"{bike.gearbox.primary.si * 1.02:.4f}"
        elif kind == "ratios":
            changes[path] = ", ".join(f"{each.si * 1.02:.4f}" for each in bike.gearbox.ratios)
        elif kind == "curve":
            curve = getattr(bike.engine, path.rpartition(".")[2])
            changes[path] = "; ".join(
                f"{speed / RPM:.1f} rpm: {torque * 1.05:.3f} N*m"
                for speed, torque in zip(curve.speeds, curve.torques, strict=True)
            )
        elif kind not in ("name", "note", "choice", "chain size", "date"):
            grow = 0.999 if path == "engine.rev_limit" else 1.02
            number = re.search("[0-9.]+", text)[0]
            changes[path] = text.replace(number, f"{float(number) * grow:.4f}", 1)
    return bike.with_changes(changes)


def folder_of(path: Path, bikes: dict[str, Bike]) -> Path:
    (path / "bikes").mkdir(parents=True)
    (path / "club.toml").write_text('title = "A club"\n', encoding="utf-8")
    for name, bike in bikes.items():
        (path / "bikes" / f"{name}.toml").write_text(bike.to_toml(), encoding="utf-8")
    return path


def own_link(**chosen: int) -> str:
    bike = read_own_bike(MEADOW).bike
    return encode(Setup.for_bike(MINE, bike).changed(**chosen), bike, bike).removeprefix("?")


def test_an_own_link_is_whole_and_reopens_the_bike():
    library = dict(demo_bikes())
    setup, bike, sentences = decode(own_link(), library)
    assert not sentences and bike == library[MINE] == read_own_bike(MEADOW).bike
    assert (setup.bike_id, setup.front, setup.rear) == (MINE, 13, 49)


def test_an_own_link_that_cannot_be_read_opens_the_first_bike_and_says_why():
    setup, bike, sentences = decode("bike=mine&own.name=X", dict(demo_bikes()))
    assert bike == demo_bikes()[setup.bike_id]
    assert any("Primary reduction" in sentence for sentence in sentences)


@pytest.fixture(scope="module")
def said(tmp_path_factory, speaker, long_run) -> dict[str, tuple]:
    """By page: what it says for an own bike and for none, beside real bikes and beside others."""
    real = dict(demo_bikes())
    other = {name: perturbed(bike) for name, bike in real.items()}
    clubs = [folder_of(tmp_path_factory.mktemp("club"), bikes) for bikes in (real, other)]
    own = own_link(rear=50)
    return {
        page: tuple(speaker.say(page, (own + PAGES[page], PAGES[page]), club) for club in clubs)
        for page in (PAGES if long_run else QUICK)
    }


@pytest.mark.parametrize(
    "page", [pytest.param(page, marks=() if page in QUICK else pytest.mark.long) for page in PAGES]
)
def test_other_demo_numbers_change_nothing_on_the_page_of_an_own_bike(page, said):
    (own, demo), (own_then, demo_then) = said[page]
    assert demo != demo_then  # other numbers are seen
    assert "Meadow" in json.dumps(own) and (page != "fit" or SHEET in json.dumps(own))
    assert own == own_then


@pytest.mark.long
def test_the_static_pages_of_a_bike_take_nothing_from_the_others():
    """Its bench, short lists, fitting sheets and worksheets, as a club exports them."""
    bike, real = read_own_bike(MEADOW).bike, dict(demo_bikes())
    measured = bike.with_changes({"fit.adjuster_forward": "20 mm", "fit.adjuster_back": "20 mm"})
    written = []
    for others in (real, {name: perturbed(each) for name, each in real.items()}):
        environment = Environment(loader=FileSystemLoader(TEMPLATE), autoescape=True)
        environment.globals |= {"site": site_of(None, PAGE_ENTRIES), "served_at": "", "mark": ""}
        about = {"bike": measured, "bike_id": "meadow", "case": "2-0-0"}
        library = {"meadow": measured, **others}
        files = dict(more_files(environment, about, library, "meadow", "metric"))
        case = cases_for("meadow", measured)[0][0][0]
        # Its fifth step is about two bikes with the same sprockets.
        del files["more/meadow/metric/lesson.html"]
        files["table"] = table_of(choice_for("meadow", measured, case)).text
        written.append(files)
    assert written[0] == written[1] and any("fitting-" in name for name in written[0])
