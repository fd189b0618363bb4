"""A bike of one's own takes nothing from a demo bike: other demo numbers, and its pages stay.

A club's folder stands for data/bikes in both runs, so that only numbers differ between them.
"""

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from explorer.data_folder import shipped
from explorer.records.bikes.bike import Bike
from explorer.records.bikes.bike_fields import FIELD_AT
from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.bikes.own_bike import read_own_bike
from explorer.records.clubs.club import CLUB_VARIABLE
from explorer.records.setups.link import MINE, decode, encode
from explorer.records.setups.setup import Setup
from explorer.units import RPM
from tests.records.bikes.test_own_bike import MEADOW

PAGES = ("gearing", "wants", "fit", "check", "ground", "logbook")
QUICK = ("gearing", "fit")
"""Pages of a run without ``--long``."""
ASK = """
import json, sys
from pathlib import Path
from tests.net.page_said import said_by
notebook, *links = sys.argv[1:]
print(json.dumps([list(said) for said in said_by(Path(notebook), links)]))
"""


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


def own_link() -> str:
    bike = read_own_bike(MEADOW).bike
    return encode(Setup.for_bike(MINE, bike), bike, bike).removeprefix("?")


def test_an_own_link_is_whole_and_reopens_the_bike():
    library = dict(demo_bikes())
    setup, bike, sentences = decode(own_link(), library)
    assert not sentences and bike == library[MINE] == read_own_bike(MEADOW).bike
    assert (setup.bike_id, setup.front, setup.rear) == (MINE, 13, 49)


def test_an_own_link_that_cannot_be_read_opens_the_first_bike_and_says_why():
    setup, bike, sentences = decode("bike=mine&own.name=X", dict(demo_bikes()))
    assert bike == demo_bikes()[setup.bike_id]
    assert any("Primary reduction" in sentence for sentence in sentences)


@pytest.mark.parametrize(
    "page", [pytest.param(page, marks=() if page in QUICK else pytest.mark.long) for page in PAGES]
)
def test_other_demo_numbers_change_nothing_on_the_page_of_an_own_bike(page, tmp_path):
    real = dict(demo_bikes())
    other = {name: perturbed(bike) for name, bike in real.items()}
    said = []
    for name, bikes in (("real", real), ("other", other)):
        club = folder_of(tmp_path / name, bikes)
        ran = subprocess.run(
            [
                sys.executable,
                "-c",
                ASK,
                str(shipped("notebooks") / f"{page}.ipynb"),
                own_link(),
                "",
            ],
            env={**os.environ, CLUB_VARIABLE: str(club)},
            capture_output=True,
            text=True,
        )
        assert ran.returncode == 0, ran.stderr[-2000:]
        said.append(json.loads(ran.stdout))
    (own, demo), (own_then, demo_then) = said
    assert demo != demo_then  # other numbers are seen
    assert "Meadow" in json.dumps(own)
    assert own == own_then
