"""The static site says what the served bench says, and holds nothing that a host must run."""

import base64
import json
import re

import pytest

from explorer.records.bikes.bike_library import demo_bikes
from explorer.serve.contents import PAGES
from explorer.serve.export import GROUNDS, TYRES, cases_for, classic_script, export, main
from explorer.serve.site import site_of
from explorer.study.table import unpacked
from explorer.tasks.bench.line import Line
from explorer.tasks.bench.state import BenchState

BIKES = demo_bikes()


@pytest.fixture(scope="module")
def site(tmp_path_factory):
    """The site of one bike, written once."""
    out = tmp_path_factory.mktemp("site")
    one = dict([next(iter(BIKES.items()))])
    list(export(one, site_of(None, PAGES), out, "https://club.example/gearing/"))
    return out


def served(bike_id, case):
    """The table that a page's state comes to by the rider's own moves, as the kernel sends it."""
    state, sentences = BenchState.from_link(f"bike={bike_id}", BIKES)
    assert not sentences
    state.change(surface=case.ground, units=case.units)
    if case.tyre != state.bike.tyre.rear:
        names = [
            (name, each.front, each.rear, case.tyre)
            for name, each in zip(state.choice.names, state.others, strict=False)
        ]
        state.told(names, 0)
    line = Line.__new__(Line)
    line._state, line._serial, line._question, line._shown = state, 0, None, None
    line._sent = True
    return line.work(None)


def test_every_number_of_a_file_is_the_served_one(site, long_run):
    bike_id = next(iter(BIKES))
    for t, by_ground in enumerate(cases_for(bike_id, BIKES[bike_id])):
        for g, by_units in enumerate(by_ground):
            for u, case in enumerate(by_units):
                if not long_run and (t + g + u) % 5:
                    continue
                text = (site / f"tables/{bike_id}/{t}-{g}-{u}.js").read_text()
                key, packed = json.loads(
                    f"[{re.fullmatch(r'benchTable[(](.+)[)];', text.strip())[1]}]"
                )
                assert key == f"{t}-{g}-{u}"
                meta, arrays = unpacked(base64.b64decode(packed))
                wanted = served(bike_id, case)
                meta_served, arrays_served = unpacked(base64.b64decode(wanted.text))
                assert meta == meta_served
                assert arrays.keys() == arrays_served.keys()
                for name, values in arrays.items():
                    assert values.tobytes() == arrays_served[name].tobytes(), name


@pytest.mark.parametrize("bike_id", BIKES)
def test_five_tyres_and_four_grounds_with_the_fitted_tyre_and_the_first_ground(bike_id):
    cases = cases_for(bike_id, BIKES[bike_id])
    assert len(cases) == TYRES
    assert BIKES[bike_id].tyre.rear in [by_ground[0][0].tyre for by_ground in cases]
    assert {len({units[0].ground for units in by_ground}) for by_ground in cases} == {GROUNDS}


def test_the_script_needs_no_modules():
    assert not re.search(r"^\s*(import|export) |\bimport\(", classic_script(), re.M)


def test_pages_ask_no_other_host_and_say_where_the_served_ones_are(site):
    for page in (*site.glob("*.html"), *site.glob("bikes/*.html")):
        text = page.read_text()
        assert re.findall(r'(?:src|href)="(https?://[^"]+)"', text) == [
            "https://club.example/gearing/"
        ]
        assert "'unsafe-eval'" not in text


@pytest.mark.parametrize("wrong", [["--served-at", "javascript:alert(1)"], ["--club", "no such"]])
def test_what_is_wrong_is_said_and_nothing_written(wrong, tmp_path, capsys):
    out = tmp_path / "site"
    assert main(["--out", str(out), *wrong]) == 2
    assert capsys.readouterr().err
    assert not out.exists()


def test_a_folder_with_other_files_is_left_alone(tmp_path, capsys):
    (tmp_path / "mine.txt").write_text("mine")
    assert main(["--out", str(tmp_path)]) == 2
    assert "empty folder" in capsys.readouterr().err
    assert [each.name for each in tmp_path.iterdir()] == ["mine.txt"]
