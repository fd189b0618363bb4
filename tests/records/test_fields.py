"""One declaration for each quantity: its range in SI, its link, and whose a value is."""

import pytest

from explorer.records.bikes.bike_fields import FIELDS
from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.fitting.fit import Measurements
from explorer.records.fitting.fit_fields import FIT_FIELDS
from explorer.records.logbook.logbook_fields import LOG_FIELDS
from explorer.records.setups.setup_fields import SETUP_FIELD, SETUP_FIELDS

TABLES = {"bike": FIELDS, "fit": FIT_FIELDS, "logbook": LOG_FIELDS, "set-up": SETUP_FIELDS}


@pytest.mark.parametrize("table", TABLES)
def test_a_table_declares_each_quantity_once(table):
    names = [field.name for field in TABLES[table]]
    links = [field.link or field.name for field in TABLES[table]]
    assert len(set(names)) == len(names) and len(set(links)) == len(links)
    for field in TABLES[table]:
        assert field.label and (field.kind != "choice" or field.choices), field.name
        assert not field.required or not field.default, field.name


def test_ranges_are_in_si_whatever_unit_they_are_declared_in():
    speed, slope = SETUP_FIELD["target_speed"], SETUP_FIELD["slope"]
    assert (speed.low, speed.high) == (pytest.approx(5 / 3.6), pytest.approx(200 / 3.6))
    assert (slope.low, slope.high) == (pytest.approx(-0.3), pytest.approx(0.6))
    assert (SETUP_FIELD["front"].low, SETUP_FIELD["front"].high) == (8, 25)
    assert SETUP_FIELD["temperature"].high == pytest.approx(318.15)
    assert speed.holds(200 / 3.6) and not speed.holds(201 / 3.6)


def test_a_value_is_mine_assumed_or_missing():
    bike = demo_bikes()["bracken-125"].with_changes({"air.drag_area": "", "tyre.rollout": ""})
    assert bike.origin("mass.bike") == "mine"
    assert bike.origin("air.drag_area") == "assumed"
    assert bike.origin("tyre.rollout") == "missing"
    measured = Measurements({}).changed({"links": "112"})
    assert measured.origin("links") == "mine"
    assert measured.origin("uncertainty") == "assumed" and measured.origin("rake") == "missing"
    assert measured.changed({"links": ""}).origin("links") == "missing"
