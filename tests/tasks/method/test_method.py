"""The method page names every formula that a page uses, explains every symbol, hides nothing."""

import ast
import dataclasses
import importlib
import inspect
import re
import time
from html.parser import HTMLParser
from pathlib import Path

import pytest

from explorer.calc.ride.calibration import DAY_TO_DAY
from explorer.panels.formula import formula, symbols
from explorer.records.prose import read_prose
from explorer.records.references import Comparison, compare, references
from explorer.tasks.method import html as method_html
from explorer.tasks.method.docstring import explain, inline
from explorer.tasks.method.page import AGAINST, GROUPS, MethodPage

ROOT = Path(__file__).parents[3]
ENTRIES = [
    pytest.param(entry, id=entry.name.replace(" ", "-"))
    for listed in GROUPS
    for entry in listed.entries
]


def used_functions(source):
    """Public functions of explorer.calc that a module imports or takes from an imported module."""
    tree = ast.parse(source)
    modules, found = {}, set()
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and node.module == "explorer.calc":
            modules |= {alias.asname or alias.name: alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and (node.module or "").startswith("explorer.calc."):
            found |= {f"{node.module}.{alias.name}" for alias in node.names}
    for node in ast.walk(tree):
        if isinstance(node, ast.Attribute):
            module = modules.get(getattr(node.value, "id", None))
            found |= {f"explorer.calc.{module}.{node.attr}"} if module else set()
    return {name for name in found if is_function(name)}


def is_function(name):
    module, _, attribute = name.rpartition(".")
    return inspect.isfunction(getattr(importlib.import_module(module), attribute, None))


def test_the_search_for_used_functions_itself():
    source = (
        "from explorer.calc import gearing, tyre as rubber\n"
        "from explorer.calc.drivetrain.forces import pull, SlopeLimits\n"
        "gearing.final_ratio(13, 50), rubber.circumference(2.0), gearing.RearTeeth\n"
    )
    assert used_functions(source) == {
        "explorer.calc.drivetrain.forces.pull",
        "explorer.calc.gearing.final_ratio",
        "explorer.calc.tyre.circumference",
    }


def documented():
    """Full names of all functions on the page."""
    return {
        f"{function.__module__}.{function.__qualname__}"
        for listed in GROUPS
        for function in (*(entry.function for entry in listed.entries), *listed.others)
        if inspect.isfunction(function)
    }


def test_every_formula_that_a_page_uses_is_on_the_page():
    """If this fails: name the function in a group of data/formulas.toml."""
    used = set()
    for floor in ("study", "app", "tasks", "panels", "charts", "records"):
        for file in (ROOT / "explorer" / floor).rglob("*.py"):
            used |= used_functions(file.read_text(encoding="utf-8"))
    assert len(used) >= 40
    assert used - documented() == set()


@pytest.mark.parametrize("entry", ENTRIES)
def test_every_symbol_is_explained(entry):
    told = explain(entry.function)
    formulas = (*entry.formulas, *told.formulas)
    assert formulas, "no formula"
    assert set(entry.symbols) == {name for tex in formulas for name in symbols(tex)}


@pytest.mark.parametrize("entry", ENTRIES)
def test_every_symbol_has_a_unit(entry):
    told = explain(entry.function)
    known = {quantity.name for quantity in told.inputs} | {"result"}
    for stands_for in entry.symbols.values():
        assert stands_for in known or re.search(r"\S \[[^\[\]]+\]$", stands_for), stands_for


@pytest.mark.parametrize("entry", ENTRIES)
def test_every_formula_is_drawn_and_has_its_function(entry):
    html = page_html()
    told = explain(entry.function)
    for tex in (*entry.formulas, *told.formulas):
        assert formula(tex, block=True) in html
    assert f"<code>{told.path}</code>" in html


_PAGE = []


def page():
    """One page for all tests that only read it."""
    if not _PAGE:
        _PAGE.append(MethodPage())
    return _PAGE[0]


def page_html():
    header, main = page().widget.children
    return "".join(part.value for part in (header, *main.children))


def test_no_mark_of_a_docstring_is_left():
    html = page_html()
    assert not re.search(r":(math|func|class|mod):|``|\.\. |\\[a-z]+", html)


class Nesting(HTMLParser):
    """Which elements are open; what is closed out of turn is a fault."""

    VOID = ("br", "wbr")

    def __init__(self):
        super().__init__()
        self.open, self.faults, self.ids, self.targets = [], [], [], []

    def handle_starttag(self, tag, attrs):
        given = dict(attrs)
        self.ids += [given["id"]] if "id" in given else []
        if tag == "a" and given["href"].startswith("#"):
            self.targets.append(given["href"][1:])
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_endtag(self, tag):
        if self.open.pop() != tag:
            self.faults.append(tag)


def test_the_page_is_sound_html_and_its_links_lead_somewhere():
    nesting = Nesting()
    nesting.feed(page_html())
    assert nesting.faults == [] and nesting.open == []
    assert len(nesting.ids) == len(set(nesting.ids))
    assert set(nesting.targets) <= set(nesting.ids)
    assert len(nesting.targets) >= len(GROUPS)


def test_the_table_shows_every_reference_as_computed_now():
    assert [row.reference for row in page().result] == list(references())
    html = page_html()
    assert html.count('<td data-label="Computed now">') == len(references())
    assert f"{len(references())}\N{NO-BREAK SPACE}of {len(references())}" in html
    assert AGAINST in html


def test_a_value_that_does_not_agree_is_shown_openly():
    reference = references()[0]
    wrong = Comparison(reference, float(reference.value) + 1)
    html = method_html.comparisons("Sprockets", [wrong, compare(references()[1])])
    assert "1 of 2 agree" in html
    assert "<details" in html and "open" in html.partition(">")[0]
    assert '<td data-label="Agrees">NO</td>' in html
    assert "ge-differs" in html
    assert "+1.0000\N{NO-BREAK SPACE}in" in html


def test_every_shown_number_has_its_unit_and_one_digit_more_than_the_reference():
    reference = next(row for row in references() if row.value == "102.9")
    html = method_html.comparisons("Chain length", [compare(reference)])
    assert "102.9\N{NO-BREAK SPACE}links" in html
    assert "102.95\N{NO-BREAK SPACE}links" in html
    assert "±0.05\N{NO-BREAK SPACE}links" in html


def test_texts_of_the_file_are_escaped():
    evil = "<script>alert(1)</script>"
    reference = dataclasses.replace(
        references()[0],
        what=evil,
        source=evil,
        tolerance_from=evil,
        case=evil,
        unit=evil,
        inputs={evil: evil},
    )
    html = method_html.comparisons(evil, [Comparison(reference, 1.0)])
    assert "<script>" not in html
    assert "<script>" not in inline(f"{evil} `{evil}` *{evil}* :func:`{evil}`")


@pytest.mark.parametrize(
    "subject",
    [
        "slip",
        "roll-out",
        "pitch balance",
        "squat",
        "centre of gravity",
        "gearbox",
        "dry",
        "warm",
        "car tyres",
    ],
)
def test_what_is_left_out_is_said(subject):
    assumptions = read_prose("assumptions")["assumption"]
    assert any(subject in assumption["what"] for assumption in assumptions)
    assert all(assumption["effect"].endswith(".") for assumption in assumptions)


def test_the_day_to_day_scatter_of_power_is_said_to_be_our_choice():
    said = f"differs by about {100 * DAY_TO_DAY:.1f} % from one day to another"
    (group,) = (each for each in GROUPS if said in each.introduction)
    assert "our choice, no source" in group.introduction


def test_share_of_the_wheels_in_the_pitch_balance():
    """The "about 2 %" of the page: moment that spins up the wheels over that of the thrust.

    Per unit of acceleration the wheels take (I_f/r_f + I_r/r_r), the thrust m h.
    """
    from explorer.calc.example import example_vehicle

    bike = example_vehicle()
    wheels = bike.front_wheel_inertia / bike.front_wheel_radius + bike.rear_wheel_inertia / 0.32
    assert wheels / (bike.mass * bike.cg_height) == pytest.approx(0.02, abs=0.005)


def test_power_lost_in_damp_air():
    """The "about 5 %" of the page: vapour of 4.25 kPa, saturated at 30 °C (steam tables, from
    memory), taken from the dry pressure of the reference air."""
    from explorer.calc.engine.power_correction import power_factor

    lost = 1 - power_factor(99_000.0 - 4_250.0, 303.15) / power_factor(99_000.0, 303.15)
    assert lost == pytest.approx(0.05, abs=0.005)


def test_axle_movement_and_the_front_wheel():
    """The "1 to 2 %" of the page, for the example bike: the axle back by 10 mm."""
    from explorer.calc.drivetrain.forces import wheelie_thrust
    from explorer.calc.example import example_vehicle

    bike = example_vehicle()
    now, moved = (
        wheelie_thrust(bike.mass, bike.cg_ahead + back, bike.cg_height, 0.0, 0.0)
        for back in (0.0, 0.010)
    )
    assert 0.01 <= moved / now - 1 <= 0.02


def test_the_page_computes_its_table_quickly():
    """At most 0.5 s of processor time, once the unit registry stands: the best of three."""
    times = []
    for _ in range(3):
        start = time.process_time()
        for row in references():
            compare(row)
        times.append(time.process_time() - start)
    assert min(times) <= 0.5
