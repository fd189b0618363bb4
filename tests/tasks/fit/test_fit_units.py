"""The fit page in the reader's units, and what its map counts."""

import re

import ipywidgets as widgets
import numpy as np
import pytest

from explorer.app.faults import Faults
from explorer.calc.chain.chain_fit import Verdict
from explorer.charts.fit.fit_map import describe
from explorer.records.fitting.fit_fields import FIT_FIELDS
from explorer.tasks.fit import views
from explorer.tasks.fit.controls import AnswerControls
from explorer.tasks.fit.state import FitState
from tests.tasks.fit.fit_results import LIBRARY, result_of


def all_of(root, kind):
    found = [root] if isinstance(root, kind) else []
    return found + [each for child in getattr(root, "children", ()) for each in all_of(child, kind)]


def test_chain_load_in_imperial_units():
    """One foot is 0.3048 m and one mile 1609.344 m (international yard and pound agreement)."""
    result = result_of("&rear=53&units=imperial")
    load, metric = (
        {row[0]: row[1] for row in views.load_rows(each)}
        for each in (result, result_of("&rear=53"))
    )
    chain = "Chain speed at the rev limit in top"
    assert float(load[chain].removesuffix(" ft/s")) == pytest.approx(
        float(metric[chain].removesuffix(" m/s")) / 0.3048, abs=0.2
    )
    turns = [
        int(rows[f"Bending of each joint per {far}"].split()[0])
        for rows, far in ((load, "mile"), (metric, "kilometre"))
    ]
    assert turns[0] == pytest.approx(turns[1] * 1.609344, abs=1.5)
    assert not any("m/s" in text or "kilomet" in text for row in load.items() for text in row)


def test_examples_in_the_fields_follow_the_reader_s_units():
    state, _ = FitState.from_link("bike=marram-250", LIBRARY)
    axle = AnswerControls(state, Faults(), "axle")

    def hints():
        return [each.placeholder for each in all_of(axle.widget, widgets.Text) if each.placeholder]

    before = hints()
    assert any("mm" in hint for hint in before)
    state.change(units="imperial")
    axle.show()
    assert "0.04 in unless typed" in hints() and not any("mm" in hint for hint in hints())
    state.change(units="metric")
    axle.show()
    assert hints() == before


@pytest.mark.parametrize("measured", [{}, {"room_forward": "1.5 mm", "room_back": ""}])
def test_the_map_counts_every_pair_and_names_the_rear_sprockets_it_leaves_out(measured):
    """With room forward of 1.5 mm, "the other rear sprockets" were taken for the unknown ones, and
    the total fell with the rows that were shown."""
    result = result_of("", "bracken-125", **measured)
    view, whole = views.map_view(result), result.map
    said = describe(view)
    counted = [
        int(each) for each in re.findall(r"(\d+) [a-z ]+(?=[,.]|$)", said.split(". Front")[0])
    ]
    assert f"for {whole.verdict.size} pairs" in said and sum(counted) == whole.verdict.size, said
    shown = set(view.rears)
    for column, rear in enumerate(whole.rears):
        none = np.isin(
            whole.verdict[:, column], (Verdict.TOO_SHORT, Verdict.TOO_LONG, Verdict.NO_CHAIN)
        )
        assert rear in shown or none.all(), rear
    assert ("Not shown: rear " in said) == (len(shown) < whole.rears.size)
    assert "The other rear" not in said


@pytest.mark.parametrize(
    ("name", "units", "typed", "taken"),
    [
        ("Axle room forward", "metric", "9", "9 mm"),
        ("Axle room forward", "imperial", "1/2", "1/2 in"),
        ("Output shaft to rear axle", "metric", "632,5", "632,5 mm"),
        ("Wear limit in your manual", "metric", "2", "2 %"),
        ("That place along the run", "metric", "0.5", "0.5"),
        ("Rake", "metric", "27", "27 °"),
        ("Shown over true speed before", "metric", "1.05", "1.05"),
    ],
)
def test_a_bare_number_is_taken_in_the_readers_unit(name, units, typed, taken):
    field = next(each for each in FIT_FIELDS if each.label == name)
    state, _ = FitState.from_link(f"bike=marram-250&units={units}", LIBRARY)
    form = AnswerControls(state, Faults(), field.group)
    [typed_in] = [
        each for each in all_of(form.widget, widgets.Text) if each.description == field.label
    ]
    typed_in.value = typed
    assert typed_in.value == taken == state.measured.text(field.name)
    typed_in.value = "63 furlongs"
    assert state.measured.text(field.name) == taken
