"""A bike of one's own from ten texts as riders type them."""

import pytest

from explorer.records.bikes.bike import Bike
from explorer.records.bikes.own_bike import OWN_FIELDS, curve_said, own_texts, read_own_bike
from explorer.records.bikes.peak import curve_from_peak, read_peak
from explorer.records.errors import RecordError
from explorer.units import RPM

MEADOW = {
    "name": "Meadow",
    "pair": "13/49",
    "gears": "2,8/1,8/1,4/1,1/0,9",
    "primary": "3,35",
    "tyre": "110/100-18",
    "chain": "520 x 112",
    "weight": "110",
    "peak": "11 kW at 9000",
    "limit": "10000",
}


def test_bare_numbers_commas_and_slashes_are_said_back_with_their_units():
    read = read_own_bike(MEADOW)
    assert not read.problems
    assert read.said["weight"] == "110 kg" and read.said["limit"] == "10000 rpm"
    assert read.said["gears"] == "2.8, 1.8, 1.4, 1.1, 0.9" and read.said["primary"] == "3.35"
    assert read.said["peak"] == "11 kW at 9000 rpm" and read.said["chain"] == "520, 112 links"
    assert len(OWN_FIELDS) <= 12


@pytest.mark.parametrize(
    ("name", "text", "same"),
    [
        ("gears", "2.8, 1.8, 1.4, 1.1, 0.9", "2.8/1.8/1.4/1.1/0.9"),
        ("gears", "2.8 1.8 1.4 1.1 0.9", "2.8/1.8/1.4/1.1/0.9"),
        ("gears", "2.8/1.8/1.4/1.1/.9", "2.8/1.8/1.4/1.1/0.9"),
        ("gears", "34/12, 30/16, 27/19", "34/12 30/16 27/19"),
        ("pair", "49:13", "13-49"),
        ("chain", "520, 112 links", "520 x 112"),
        ("peak", "15 PS @ 9000 rpm", "15 PS/9000"),
    ],
)
def test_two_ways_to_type_one_thing(name, text, same):
    first, second = (read_own_bike({**MEADOW, name: each}) for each in (text, same))
    assert first.bike is not None and first.bike == second.bike


@pytest.mark.parametrize(
    ("name", "text", "part"),
    [
        ("weight", "110 mm", "is a length"),
        ("gears", "1.8/2.8", "not taller"),
        ("peak", "11 at 9000", "has no unit"),
        ("peak", "fast", "is not a peak"),
        ("chain", "520 x 111", "odd number"),
        ("limit", "", "is missing"),
    ],
)
def test_what_is_wrong_is_said_at_its_field(name, text, part):
    read = read_own_bike({**MEADOW, name: text})
    assert read.bike is None and set(read.problems) == {name}
    assert part in " ".join(read.problems[name])


@pytest.mark.parametrize(
    ("name", "text", "part"),
    [
        ("primary", "1", "hardly reduces"),
        ("peak", "117 Nm at 7000", "is very large"),  # ten times
        ("peak", "9.2 kW at 9000", ""),
        ("peak", "92 kW at 9000", "check the decimal point, and that it is at the crankshaft"),
        ("peak", "11 kW at 12000", "does not go with a rev limit"),
    ],
)
def test_numbers_that_do_not_go_together_are_asked_back(name, text, part):
    read = read_own_bike({**MEADOW, name: text})
    assert (read.bike is None) == bool(part) and part in " ".join(read.problems.get("", ()))


def test_only_what_was_typed_is_mine():
    bike = read_own_bike(MEADOW).bike
    assert bike.origin("mass.bike") == "mine"
    assert bike.origin("chassis.wheelbase") == "assumed"
    assert bike.origin("fit.centre_distance") == "missing"
    assert bike.fit.centre_distance is None and bike.tyre.rollout is None
    assert curve_said(bike) == "assumes a torque curve from 11 kW at 9000 rpm"
    assert bike.defaults_used[0].startswith("Assumes a torque curve from 11 kW at 9000 rpm")
    assert read_own_bike(own_texts(bike)).bike == bike
    assert Bike.from_toml(bike.to_toml().encode()) == bike


def test_power_is_largest_where_the_rider_said():
    """P = T ω; the peak is the largest value of the curve on a fine grid too."""
    bike = read_own_bike(MEADOW).bike
    curve = bike.engine.torque_curve
    power = curve.speeds * curve.torques
    assert power.max() == pytest.approx(11_000, rel=1e-6)
    assert curve.speeds[power.argmax()] / RPM == pytest.approx(9000)
    torque = curve_from_peak(read_peak("12 Nm at 7000"), 1500 * RPM, 10_000 * RPM)
    assert torque.torques.max() == pytest.approx(12) and torque.speeds[torque.torques.argmax()] == (
        pytest.approx(7000 * RPM)
    )


def test_a_peak_at_the_wheel_is_more_at_the_crankshaft():
    """The stages pass on 98 %, 97 % and 97 %, as assumed."""
    crank = read_own_bike(MEADOW).bike
    wheel = read_own_bike({**MEADOW, "torque_at": "rear wheel"}).bike
    ratio = wheel.vehicle().torques / crank.vehicle().torques
    assert ratio == pytest.approx(1 / (0.98 * 0.97 * 0.97))


def test_without_torque_there_is_no_bike():
    with pytest.raises(RecordError, match="Neither a torque curve nor a peak"):
        read_own_bike(MEADOW).bike.with_changes({"engine.peak": ""})
