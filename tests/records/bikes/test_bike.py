"""Bikes: the demo bikes, round trips that lose nothing, changes, defaults, the vehicle."""

import math
import string

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from explorer.calc.chain import length as chain
from explorer.calc.chain import swingarm
from explorer.calc.engine import curve as engine
from explorer.calc.gearing import road_speed
from explorer.records.bikes.bike import Bike
from explorer.records.bikes.bike_fields import DEFAULTS, FIELD_AT, FIELDS
from explorer.records.bikes.bike_library import demo_bikes, load_folder
from explorer.records.bikes.bike_values import read_value
from explorer.records.bikes.quantity import Quantity
from explorer.records.errors import RecordError
from explorer.records.fitting.chains import chain_size
from explorer.records.tyre import parse_size
from explorer.units import to_si

BIKES = demo_bikes()
EACH_BIKE = pytest.mark.parametrize("bike", BIKES.values(), ids=BIKES.keys())
TRAIL = BIKES["bracken-125"]


# --- the demo bikes


# Plausible for their class, invented: common practice, no source. Peak power [kW], speed in top
# gear at the rev limit with the fitted gearing [km/h], gears.
CLASSES = {
    "bracken-125": ((9, 10), (100, 105), 5),
    "fogbank-650": ((28, 32), (160, 170), 5),
    "marram-250": ((25, 33), (118, 130), 6),
    "sleet-450": ((38, 40), (135, 145), 5),
    "wagtail-85": ((18, 20), (95, 105), 6),
}


@pytest.mark.parametrize("name", CLASSES)
def test_demo_bike_is_plausible_for_its_class(name):
    bike = BIKES[name]
    vehicle = bike.vehicle()
    power, speed, gears = CLASSES[name]
    peak = engine.peak_power(vehicle.torque_speeds, vehicle.torques)
    assert power[0] <= peak.value / 1000 <= power[1]
    assert vehicle.idle_speed < peak.engine_speed < vehicle.limiter_speed
    overall = vehicle.primary * vehicle.gears[-1] * bike.sprockets.rear / bike.sprockets.front
    rollout = parse_size(bike.tyre.rear).circumference
    assert speed[0] <= road_speed(vehicle.limiter_speed, overall, rollout) * 3.6 <= speed[1]
    assert vehicle.gears.size == gears
    assert len(bike.engine.torque_curve.points) >= 10
    assert bike.provenance == "invented" and "nvented" in bike.note


def test_one_demo_bike_has_the_248_pairs_of_the_bench():
    fronts, rears = TRAIL.sprockets.front_sold, TRAIL.sprockets.rear_sold
    assert (fronts[1] - fronts[0] + 1) * (rears[1] - rears[0] + 1) == 8 * 31


def test_torque_curves_differ_in_character():
    """The power band of the peaky two-stroke is the narrowest, of the big single the widest."""
    widths = {}
    for name, bike in BIKES.items():
        vehicle = bike.vehicle()
        band = engine.power_band(vehicle.torque_speeds, vehicle.torques)
        half = vehicle.torques.max() / 2
        speeds = np.linspace(vehicle.idle_speed, vehicle.limiter_speed, 500)
        strong = engine.torque(vehicle.torque_speeds, vehicle.torques, speeds) > half
        widths[name] = strong.mean()
        assert band.low < band.high
    assert min(widths, key=widths.get) == "wagtail-85"
    assert widths["fogbank-650"] == 1.0


@EACH_BIKE
def test_centre_distance_and_links_go_together(bike):
    pitch = chain_size(bike.chain.size).pitch
    teeth = bike.sprockets.front, bike.sprockets.rear
    taut = chain.centre_distance_for(bike.chain.links, pitch, *teeth)
    # Centre distances are given to the millimetre.
    assert bike.fit.centre_distance.si == pytest.approx(taut, abs=0.5e-3)
    # Where the three centres are in line the chain must still have some slack.
    reach = math.hypot(bike.fit.shaft_ahead.si, bike.fit.shaft_above.si)
    in_line = bike.fit.swingarm_length.si + reach
    assert 0 < taut - in_line < 0.008
    lowest = swingarm.arm_angle_at_height(bike.fit.swingarm_length.si, -bike.fit.axle_below.si)
    highest = swingarm.arm_angle_after_travel(
        bike.fit.swingarm_length.si, lowest, bike.fit.wheel_travel.si
    )
    assert np.isfinite(highest)


def test_the_library_cannot_be_changed():
    with pytest.raises(TypeError):
        BIKES["mine"] = TRAIL
    with pytest.raises(ValidationError):
        TRAIL.name = "mine"


# --- round trips


@EACH_BIKE
def test_file_and_form_give_the_same_bike_back(bike):
    for again in (Bike.from_toml(bike.to_toml().encode()), Bike.from_flat(bike.flat())):
        assert again == bike
        assert hash(again) == hash(bike)
        assert dict(again.flat()) == dict(bike.flat())
        assert again.defaults_used == bike.defaults_used
        np.testing.assert_array_equal(again.vehicle().torques, bike.vehicle().torques)


def quantities(path: str, *spelled: str) -> st.SearchStrategy[str]:
    """Texts within the range of a field, in several units, with all their digits."""
    field = FIELD_AT[path]
    low, high = (to_si(end, field.kind) for end in field.within)

    def text(share: float, unit: str) -> str:
        per_unit = to_si(f"1 {unit}", field.kind)
        return f"{(low + share * (high - low)) / per_unit:.6g} {unit}"

    return st.builds(text, st.floats(0.001, 0.999), st.sampled_from(spelled))


NAMES = st.text(st.characters(exclude_categories=["C", "Z"]), min_size=1, max_size=40)
NOTES = st.text(st.sampled_from(string.printable.replace("\r", "") + "é€\\\"'中"), max_size=200)
CHANGES = st.fixed_dictionaries(
    {},
    optional={
        "name": NAMES,
        "note": NOTES.filter(lambda text: text.replace("\n", "").strip().isprintable()),
        "engine.inertia": quantities("engine.inertia", "kg*m^2", "kg·cm²", "lb ft^2"),
        "gearbox.shift_time": quantities("gearbox.shift_time", "s", "ms") | st.just(""),
        "gearbox.ratios": st.sampled_from(["2.90", "34/12, 30/16", "3, 2.5, 2.05, 1.40, 1.0"]),
        "chain.links": st.integers(30, 90).map(lambda half: str(2 * half)) | st.just(""),
        "sprockets.front_sold": st.sampled_from(["13-13", "8 to 25", "12..15", "10 – 17"]),
        "tyre.rollout": st.sampled_from(["2.03 m", "80 in", '79.5"', ""]),
        "mass.bike": quantities("mass.bike", "kg", "lb", "lbs"),
        "chassis.wheelbase": quantities("chassis.wheelbase", "mm", "in", "ft", "m"),
        "chassis.cg_ahead": st.just("210 mm"),
        "air.drag_area": quantities("air.drag_area", "m²", "m^2", "sq ft"),
        "efficiency.chain": quantities("efficiency.chain", "%") | st.just("0.96"),
        "speedometer.pickup": st.sampled_from(["", "gearbox", "Rear wheel", "unknown"]),
        "fit.shaft_above": quantities("fit.shaft_above", "mm", "cm"),
        "engine.motoring_curve": st.sampled_from(
            ["", "1000 rpm: 1 N*m; 12000 rpm, 2.50 Nm", "1000 1/min: 8 lbf in\n200 rps: 3 ft-lb;"]
        ),
    },
)


@settings(max_examples=60)
@given(changes=CHANGES)
def test_any_bike_survives_the_round_trip(changes):
    bike = TRAIL.with_changes(changes)
    by_file = Bike.from_toml(bike.to_toml().encode("utf-8"))
    assert by_file == bike
    assert dict(by_file.flat()) == dict(bike.flat())
    assert Bike.from_flat(bike.flat()) == bike
    for path, text in changes.items():
        if not text.strip():
            assert path not in bike.flat()
        elif FIELD_AT[path].kind not in ("curve", "teeth range", "choice", "note"):
            assert bike.flat()[path] == " ".join(text.split())


def test_texts_stay_as_typed_also_for_plain_decimals():
    text = TRAIL.to_toml().replace('primary = "67/20"', "primary = 3.350")
    bike = Bike.from_toml(text.encode())
    assert bike.gearbox.primary == Quantity("3.350", 3.35)
    assert 'primary = "3.350"' in bike.to_toml()


# --- changes, defaults, fields


def test_changes_make_a_new_bike_and_leave_the_old_one():
    heavier = TRAIL.with_changes({"mass.bike": "260 lb", "tyre.rollout": "2.00 m"})
    assert heavier.mass.bike.text == "260 lb"
    assert heavier.vehicle().mass == pytest.approx(260 * 0.45359237 + 80)
    assert TRAIL.mass.bike.text == "118 kg" and heavier != TRAIL
    assert heavier.with_changes({"mass.bike": "118 kg", "tyre.rollout": " "}) == TRAIL


def test_all_wrong_changes_are_said_at_once():
    with pytest.raises(RecordError) as caught:
        TRAIL.with_changes(
            {"engine.idle": "1400", "mass.bike": "", "chassis.weelbase": "1 m", "engine": "x"}
        )
    said = " ".join(caught.value.sentences)
    for part in ("has no unit", "(mass.bike) is missing", '"chassis.wheelbase"', '"engine"'):
        assert part in said
    assert len(caught.value.sentences) == 4


@settings(max_examples=60)
@given(st.dictionaries(st.sampled_from([*FIELD_AT, "engine", "a.b"]), st.text(max_size=50)))
def test_any_form_gives_a_bike_or_sentences(typed):
    try:
        assert isinstance(TRAIL.with_changes(typed), Bike)
    except RecordError as error:
        for sentence in error.sentences:
            assert sentence.endswith(".") and sentence.isprintable()


def test_what_was_left_out_is_said_to_be_a_default():
    said = TRAIL.defaults_used
    assert any("Drag area 0.60 m² is a default" in sentence for sentence in said)
    assert not any("Launch" in sentence for sentence in said)
    bare = TRAIL.with_changes(dict.fromkeys(DEFAULTS, ""))
    # All but where the numbers come from, and whether all are there.
    assert len(bare.defaults_used) == len(DEFAULTS) - 2
    # Halfway between 1500, assumed too, and 9500 rpm.
    assert any("Launch engine speed 5500 rpm" in sentence for sentence in bare.defaults_used)
    assert bare.vehicle().launch_speed == pytest.approx(5500 * math.pi / 30)
    assert all(sentence.endswith(".") for sentence in bare.defaults_used)


def test_typing_the_default_makes_it_no_default_any_more():
    typed = TRAIL.with_changes({"air.drag_area": "0.60 m²"})
    assert typed != TRAIL
    assert typed.vehicle().drag_area == TRAIL.vehicle().drag_area
    assert not any("Drag area" in sentence for sentence in typed.defaults_used)


def test_every_field_of_the_models_is_in_the_table_and_the_other_way_round():
    in_models = set()
    for name, model_field in Bike.model_fields.items():
        inner = getattr(model_field.annotation, "model_fields", None)
        in_models |= {f"{name}.{each}" for each in inner} if inner else {name}
    assert in_models == set(FIELD_AT)
    assert [field.name for field in FIELDS] == list(FIELD_AT)
    assert set(DEFAULTS) <= {field.name for field in FIELDS if not field.required}


@pytest.mark.parametrize("field", FIELDS, ids=lambda field: field.name)
def test_every_example_and_default_can_be_typed(field):
    examples = [field.example] if field.kind == "curve" else field.example.split(" or ")
    for example in examples:
        read_value(field, example.strip('"'))
    relative = ("engine.launch", "sprockets.front_sold", "sprockets.rear_sold")
    if field.name in DEFAULTS and field.name not in relative:
        read_value(field, DEFAULTS[field.name].default)
    assert field.help.endswith(".") and "\n" not in field.help
    if field.kind == "choice":
        for choice in field.choices:
            assert read_value(field, choice) == choice


# --- the vehicle


def test_vehicle_is_the_file_in_si():
    """By hand from data/bikes/bracken-125.toml; 1 rpm = π/30 rad/s, rotating masses as defaults."""
    vehicle = TRAIL.vehicle()
    assert vehicle.idle_speed == pytest.approx(1400 * math.pi / 30)
    assert vehicle.launch_speed == pytest.approx(4500 * math.pi / 30)
    assert vehicle.limiter_speed == pytest.approx(9500 * math.pi / 30)
    assert vehicle.primary == pytest.approx(3.35)
    np.testing.assert_allclose(vehicle.gears, [34 / 12, 30 / 16, 27 / 19, 24 / 21, 20 / 23])
    assert vehicle.torques[:2].tolist() == [6.2, 7.4]
    assert vehicle.mass == pytest.approx(198.0)
    assert TRAIL.vehicle(65.0).mass == pytest.approx(183.0)
    assert (vehicle.wheelbase, vehicle.cg_ahead, vehicle.cg_height) == pytest.approx(
        (1.34, 0.64, 0.80)
    )
    # 2.75-21: (21 + 2 * 2.75) inches across.
    assert vehicle.front_wheel_radius == pytest.approx(26.5 * 0.0254 / 2)
    assert vehicle.engine_inertia == pytest.approx(0.008)
    assert vehicle.rear_wheel_inertia == pytest.approx(0.55)
    assert vehicle.drag_area == pytest.approx(0.60)
    assert vehicle.shift_time == pytest.approx(0.25)
    assert (vehicle.primary_efficiency, vehicle.chain_efficiency) == pytest.approx((0.98, 0.97))


# --- a club's own folder


def test_a_club_folder_is_read_with_its_curves(tmp_path):
    (tmp_path / "ours.toml").write_text(
        TRAIL.to_toml().replace("Bracken 125", "Ours"), encoding="utf-8"
    )
    assert load_folder(tmp_path)["ours"].name == "Ours"


def test_all_problems_of_a_club_folder_are_said_with_the_file(tmp_path):
    with pytest.raises(RecordError, match="no bike file"):
        load_folder(tmp_path)
    with pytest.raises(RecordError, match="no bike file"):
        load_folder(tmp_path / "nowhere")
    (tmp_path / "good.toml").write_text(TRAIL.to_toml(), encoding="utf-8")
    (tmp_path / "Bad Name.toml").write_text(TRAIL.to_toml(), encoding="utf-8")
    (tmp_path / "empty.toml").write_bytes(b"")
    (tmp_path / "folder.toml").mkdir()
    with pytest.raises(RecordError) as caught:
        load_folder(tmp_path)
    assert [sentence.split(":")[0] for sentence in caught.value.sentences] == [
        "Bad Name.toml",
        "empty.toml",
        "folder.toml",
    ]
