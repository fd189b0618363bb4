"""explorer.calc as a library: its listed names, and the worked examples as page and notebook.

``python -m tests.calc.test_library`` writes the notebook anew from the page.
"""

import doctest
import importlib
import inspect
import json
import re
from pathlib import Path

import pytest

from explorer.calc import library
from explorer.records.tyre import parse_size

FOLDER = Path(library.__file__).parent
PAGE = FOLDER / "README.md"
NOTEBOOK = FOLDER / "worked_examples.ipynb"


def notebook_of(page: str) -> dict:
    """The page as a notebook: its words, and the examples of each section as one cell."""
    kernel = {"name": "python3", "language": "python", "display_name": "Python 3"}
    cells = []
    for part in re.split(r"(?m)^(?=## )", page):
        words = re.sub(r"(?ms)^>>> .*?(?=^\n|\Z)", "", part).strip()
        code = "".join(each.source for each in doctest.DocTestParser().get_examples(part))
        for kind, text in (("markdown", words), ("code", code.strip())):
            if text:
                own = {"outputs": [], "execution_count": None} if kind == "code" else {}
                name = f"{kind}-{len(cells)}"
                lines = text.splitlines(keepends=True)
                cells.append(
                    {"cell_type": kind, "id": name, "metadata": {}, "source": lines, **own}
                )
    return {
        "cells": cells,
        "metadata": {"kernelspec": kernel, "language_info": {"name": "python"}},
        "nbformat": 4,
        "nbformat_minor": 5,
    }


def test_the_page_has_ten_examples_and_they_are_true():
    page = PAGE.read_text("utf-8")
    assert len(re.findall(r"(?m)^## \d+\. ", page)) == 10
    failed, tried = doctest.testfile(str(PAGE), module_relative=False, encoding="utf-8")
    assert tried >= 25 and failed == 0


def test_the_notebook_is_the_page_and_says_the_same(capsys):
    notebook = json.loads(NOTEBOOK.read_text("utf-8"))
    page = PAGE.read_text("utf-8")
    assert notebook == notebook_of(page)
    names: dict = {}
    for cell in notebook["cells"]:
        if cell["cell_type"] == "code":
            exec("".join(cell["source"]), names)
    wanted = "".join(each.want for each in doctest.DocTestParser().get_examples(page))
    assert capsys.readouterr().out == wanted


@pytest.mark.parametrize("name", library.__all__)
def test_each_public_name_is_documented_and_typed(name):
    item = getattr(library, name)
    if inspect.isfunction(item):
        assert item.__doc__
        signature = inspect.signature(item)
        assert signature.return_annotation is not inspect.Signature.empty
        assert all(each.annotation is not each.empty for each in signature.parameters.values())


def test_the_names_are_those_that_are_imported_and_the_package_says_that_it_is_typed():
    own = {name for name in vars(library) if not name.startswith("_")}
    assert own == set(library.__all__)
    assert (FOLDER.parent / "py.typed").is_file()


KEPT = """
sprockets.pitch_diameter(pitch, teeth)
sprockets.root_diameter(pitch, teeth, roller_diameter)
sprockets.caliper_diameter(pitch, teeth, roller_diameter)
sprockets.outside_diameter(pitch, teeth)
sprockets.chordal_speed_variation(teeth)
gearing.final_ratio(front, rear)
gearing.overall_ratio(primary, gear, front, rear)
gearing.road_speed(engine_speed, overall_ratio, rollout)
gearing.engine_speed(road_speed, overall_ratio, rollout)
gearing.pull_change(old_ratio, new_ratio)
gearing.speed_change(old_ratio, new_ratio)
gearing.rear_teeth_per_front_tooth(front, rear)
gearing.near_equal_pairs(fronts, rears, ratio, tolerance)
gearing.gear_steps(gears)
tyre.overall_diameter(section_width, aspect_ratio, rim_diameter)
tyre.circumference(diameter, rolling_factor)
atmosphere.standard_atmosphere(altitude)
atmosphere.air_density(pressure, temperature)
chain.touching_distance(pitch, front, rear)
chain.links_for(centre_distance, pitch, front, rear)
chain.centre_distance_for(links, pitch, front, rear)
chain.wrap_angle(centre_distance, pitch, front, rear)
chain.links_for_handbook(centre_distance, pitch, front, rear)
chain.centre_distance_for_handbook(links, pitch, front, rear)
"""
"""What others import since the first version: where it is, and what it takes."""


@pytest.mark.parametrize("kept", KEPT.split("\n")[1:-1])
def test_what_others_import_stays_where_it_is(kept):
    module, name, takes = re.fullmatch(r"(\w+)\.(\w+)\((.*)\)", kept).groups()
    function = getattr(importlib.import_module(f"explorer.calc.{module}"), name)
    assert ", ".join(inspect.signature(function).parameters) == takes


def test_a_tyre_size_is_read_where_it_was():
    assert list(inspect.signature(parse_size).parameters) == ["text"]


if __name__ == "__main__":
    written = json.dumps(notebook_of(PAGE.read_text("utf-8")), indent=1, ensure_ascii=False)
    NOTEBOOK.write_text(f"{written}\n", "utf-8")
