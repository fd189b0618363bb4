"""A bike that is only begun: what it lacks, and that it comes back from link and file as it was."""

import pytest

from explorer.records.bikes.begun_bike import STAND_INS, asks
from explorer.records.bikes.bike import Bike
from explorer.records.bikes.own_bike import read_own_bike
from explorer.records.errors import RecordError
from explorer.records.setups.link import MINE, decode, encode
from explorer.records.setups.setup import Setup

TEETH = {"pair": "14/45"}
GEARED = TEETH | {
    "tyre": "120/90-18",
    "gears": "2.9/1.9/1.4/1.1/0.92",
    "primary": "3.1",
    "limit": "8500",
}


def begun(typed):
    read = read_own_bike(typed, begun=True)
    assert not read.problems
    return read.bike


def test_teeth_are_enough_to_begin_and_each_step_asks_for_less():
    bike = begun(TEETH)
    assert bike.name == "My bike" and bike.missing == STAND_INS.keys()
    assert (
        asks(bike.missing)["speeds"]
        == "Add rear tyre, gear ratios, primary reduction and rev limit."
    )
    geared = begun(GEARED)
    assert asks(geared.missing) == {"pull": "Add peak power or torque and weight."}
    powered = begun(GEARED | {"peak": "14 kW at 7500", "weight": "125"})
    assert asks(powered.missing) == {} and powered.missing == {"chain.size"}
    whole = begun(GEARED | {"peak": "14 kW at 7500", "weight": "125", "chain": "520"})
    assert not whole.missing and whole.begun == "no"


@pytest.mark.parametrize("typed", [TEETH, GEARED])
def test_it_comes_back_from_its_link_and_its_file(typed):
    bike = begun(typed)
    assert not STAND_INS.keys() & bike.flat().keys() & bike.missing
    library = {MINE: bike}
    query = encode(Setup.for_bike(MINE, bike), bike, bike)
    _, again, complaints = decode(query, library)
    assert (again, again.missing, complaints) == (bike, bike.missing, [])
    assert Bike.from_toml(bike.to_toml().encode()).missing == bike.missing


def test_without_saying_so_nothing_may_be_missing():
    assert "Rear tyre is missing" in read_own_bike(TEETH).problems["tyre"][0]
    flat = dict(begun(TEETH).flat())
    del flat["begun"]
    with pytest.raises(RecordError, match="Rev limit"):
        Bike.from_flat(flat)


def test_a_curve_needs_its_rev_limit():
    curve = {"engine.torque_curve": "1000 rpm: 8 N*m; 8000 rpm: 9 N*m"}
    with pytest.raises(RecordError, match="Rev limit"):
        begun(TEETH).with_changes(curve)
    assert not asks(
        begun(GEARED | {"weight": "125"})
        .with_changes({"engine.torque_curve": "1000 rpm: 8 N*m; 9000 rpm: 9 N*m"})
        .missing
    )
