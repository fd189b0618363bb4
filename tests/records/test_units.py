"""Units at the door: what people type, what pint would make of it, and the way out."""

import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer import units
from explorer.unit_kinds import KINDS
from explorer.units import UnitError, display, registry, to_si

# Exact definitions: 1 in = 0.0254 m and 1 lb = 0.45359237 kg (international yard and pound, 1959),
# g0 = 9.80665 m/s² (CGPM 1901); 1 PS = 75 kgf·m/s, 1 hp = 550 ft·lbf/s, 1 mph = 1760 yd/h.
# The decimal values are those of Pint 0.25.3, its default registry.
G0, POUND, FOOT = 9.80665, 0.45359237, 0.3048


@pytest.mark.parametrize(
    ("text", "kind", "pint_value", "definition"),
    [
        ("1 PS", "power", 735.49875, 75 * G0),
        ("1 hp", "power", 745.6998715822702, 550 * FOOT * POUND * G0),
        ("1 mph", "speed", 1.609344 / 3.6, 1760 * 0.9144 / 3600),
        ("1 lbf", "force", 4.4482216152605, POUND * G0),
        ("1 lbf ft", "torque", 1.3558179483314, POUND * G0 * FOOT),
        ("1 in", "length", 0.0254, 0.0254),
        ("1 kgf", "force", 9.80665, G0),
        # Conventional mercury of 13 595.1 kg/m³; Pint's value to nine digits.
        ("1 inHg", "pressure", 3386.38864, 13595.1 * G0 * 0.0254),
        ("1 rpm", "engine speed", np.pi / 30, 2 * np.pi / 60),
    ],
)
def test_constants_are_those_of_pint_and_of_the_definitions(text, kind, pint_value, definition):
    assert to_si(text, kind) == pytest.approx(pint_value, rel=2e-10)
    assert to_si(text, kind) == pytest.approx(definition, rel=2e-10)


def test_power_from_torque_and_rpm():
    """P[kW] = T[N·m] n[rpm] / 9549.2966, that is 60000/2π; eight printed digits."""
    watts = to_si("10 N*m", "torque") * to_si("9549.2966 rpm", "engine speed")
    assert watts == pytest.approx(10_000, rel=1e-8)


@pytest.mark.parametrize(
    ("kind", "si", "spellings"),
    [
        ("length", 1.38, ["1380 mm", "1380mm", "138 cm", "1.38 m", "1.38 metres", "1380 MM"]),
        ("length", 1.3716, ["54 in", '54"', "54 inches", "54''", "54\N{DOUBLE PRIME}", "4.5 ft"]),
        ("length", -0.003, ["-3 mm", "\N{MINUS SIGN}3 mm"]),
        ("mass", 112.0, ["112 kg", "112kg", "112 Kg", "112000 g"]),
        ("mass", 247 * POUND, ["247 lb", "247 lbs", "247 pounds"]),
        ("torque", 11.5, ["11.5 N*m", "11.5 Nm", "11.5 N m", "11.5 N·m", "11.5 N.m", "11.5nm"]),
        (
            "torque",
            8 * FOOT * POUND * G0,
            ["8 lbf ft", "8 ft lb", "8 ft-lb", "8 lb-ft", "8 ft·lbf", "8 ft.lbs", "8 lbf*ft"],
        ),
        ("torque", 1.2 * G0, ["1.2 kgf m", "1.2 kgf·m", "1.2 kg m", "1.2 mkg"]),
        (
            "engine speed",
            9500 * np.pi / 30,
            [
                "9500 rpm",
                "9500 RPM",
                "9500rpm",
                "9500 rev/min",
                "9500 r/min",
                "9500 1/min",
                "9500 /min",
                "9500 min-1",
                "9500 min\N{SUPERSCRIPT MINUS}\N{SUPERSCRIPT ONE}",
                "9500 min^-1",
                "9.5e3 rpm",
            ],
        ),
        ("power", 7354.9875, ["10 PS", "10 ps", "10 cv", "7.3549875 kW"]),
        ("speed", 60 / 3.6, ["60 km/h", "60 kph", "60 kmh", "60 km / h"]),
        ("temperature", 293.15, ["20 °C", "20 C", "20 degC", "20°c", "68 °F", "68 F", "293.15 K"]),
        ("ratio", 0.97, ["97 %", "97%", "0.97", "97 per cent"]),
        ("slope", 0.12, ["12 %", "12 percent"]),
        ("area", 0.6, ["0.6 m^2", "0.6 m2", "0.6 m²", "0.6 sq m", "0.6 m**2", "6000 cm^2"]),
        ("inertia", 0.45, ["0.45 kg*m^2", "0.45 kg m2", "0.45 kg·m²", "0.45 kg*m**2"]),
        ("angle", np.pi / 15, ["12 deg", "12°", "12 degrees"]),
        ("time", 0.25, ["0.25 s", "250 ms", "0.25 sec", ".25 s"]),
        ("pressure", 80_000.0, ["80 kPa", "0.8 bar", "800 mbar", "800 hPa"]),
    ],
)
def test_what_people_type(kind, si, spellings):
    for text in spellings:
        assert to_si(text, kind) == pytest.approx(si, rel=1e-12), text


def test_why_typed_units_are_not_handed_to_pint():
    """Pint 0.25.3 reads these everyday spellings as something else, or not at all."""
    assert str(registry().Quantity(1, "PS").units) == "petasiemens"
    per_minute = registry().Quantity(60.0, "1/min").to("rad/s").magnitude
    assert per_minute == pytest.approx(1.0)
    assert to_si("60 1/min", "engine speed") == pytest.approx(2 * np.pi)
    # 60 rpm is 6.283 "hertz" in pint, so nobody may type an engine speed in Hz.
    assert registry().Quantity(60.0, "rpm").to("Hz").magnitude == pytest.approx(2 * np.pi)
    with pytest.raises(UnitError, match="rpm"):
        to_si("50 Hz", "engine speed")
    # "ft lb" is a mass times a length in pint; here it is asked for as a torque.
    assert not registry().Quantity(1.0, "ft lb").check("[force] * [length]")


@pytest.mark.parametrize(
    ("text", "kind", "said"),
    [
        ("1380", "length", '"1380" has no unit; write for example "1380 mm" or "54 in".'),
        ("", "length", 'Nothing was given; write for example "1380 mm" or "54 in".'),
        ("80 kg", "length", '"80 kg" is a mass, not a length; write for example "1380 mm"'),
        ("9 parsec", "length", "accepted are mm, cm, m, in and ft"),
        ("1,380 m", "length", "thousands without a mark"),
        ("1 ,38 m", "length", "thousands without a mark"),
        ("1.234,5 mm", "length", "thousands without a mark"),
        ("3/0 in", "length", "not known here"),
        ("1380 km", "length", "not a length|not known here"),
        ("wide", "length", "does not begin with a number"),
        ("nan m", "length", "does not begin with a number"),
        ("inf m", "length", "does not begin with a number"),
        ("1e400 m", "length", "not a number of use"),
        ("1380 m", "length", "outside -10 m to 10 m"),
        ("9 J", "torque", "is an energy, not a torque"),
        ("5 m", "mass", "is a length, not a mass"),
        ("__import__('os').system('true') m", "length", "does not begin with a number"),
        ("2**99999999 m", "length", "not known here"),
        ("9" * 50 + " m", "length", "longer than 40 characters"),
        ("12", "slope", "has no unit"),
        ("-300 °C", "temperature", "outside"),
        ("٣ mm", "length", "does not begin with a number"),
    ],
)
def test_what_cannot_be_used_gives_one_sentence(text, kind, said):
    with pytest.raises(UnitError, match=said) as caught:
        to_si(text, kind)
    assert str(caught.value).endswith(".")


def test_a_narrower_range_is_said_in_its_own_words():
    with pytest.raises(UnitError, match=r'outside 0\.8 m to 1\.9 m; .* example "1380 mm"'):
        to_si("2 m", "length", ("0.8 m", "1.9 m"), '"1380 mm"')
    assert to_si("1900 mm", "length", ("0.8 m", "1.9 m")) == pytest.approx(1.9)


@given(st.text(max_size=60), st.sampled_from(sorted(KINDS)))
def test_any_text_gives_a_number_or_one_sentence(text, kind):
    try:
        assert np.isfinite(to_si(text, kind))
    except UnitError as error:
        assert str(error).isprintable() and str(error).endswith(".")


@given(
    st.from_regex(r"[-+0-9.eE]{1,8} ?[a-zA-Z°%²/^*·\"' -]{0,10}", fullmatch=True),
    st.sampled_from(sorted(KINDS)),
)
def test_nearly_right_text_gives_a_number_or_one_sentence(text, kind):
    try:
        assert np.isfinite(to_si(text, kind))
    except UnitError as error:
        assert str(error).endswith(".")


@pytest.mark.parametrize("kind", KINDS)
def test_every_spelling_has_the_dimension_of_its_kind(kind):
    for pint_unit in KINDS[kind].spellings:
        assert registry().Quantity(1.0, pint_unit).is_compatible_with(KINDS[kind].si)
    for shown in (KINDS[kind].metric, KINDS[kind].imperial):
        assert registry().Quantity(1.0, shown.pint_unit).is_compatible_with(KINDS[kind].si)


@pytest.mark.parametrize("kind", KINDS)
def test_the_examples_can_be_typed(kind):
    for example in KINDS[kind].example.split(" or "):
        assert np.isfinite(to_si(example.strip('"'), kind))


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("system", units.SYSTEMS)
@pytest.mark.parametrize("share", [0.1, 0.5, 0.9])
def test_what_is_shown_can_be_typed_again(kind, system, share):
    low, high = (to_si(end, kind) for end in KINDS[kind].within)
    value = low + share * (high - low)
    number, unit = display(value, kind, system)
    assert to_si(f"{number:.15g} {unit}", kind) == pytest.approx(value, rel=1e-12, abs=1e-12)


def test_display_takes_arrays():
    speeds, unit = display(np.array([[10.0, 20.0]]), "speed", "imperial")
    assert unit == "mph"
    np.testing.assert_allclose(speeds, np.array([[10.0, 20.0]]) / 0.44704, rtol=1e-12)
    temperatures, unit = display(np.array([273.15, 293.15]), "temperature", "imperial")
    assert unit == "°F"
    np.testing.assert_allclose(temperatures, [32.0, 68.0], atol=1e-9)
    with pytest.raises(ValueError, match="metric"):
        display(1.0, "speed", "nautical")


@pytest.mark.parametrize(
    ("value", "kind", "system", "said"),
    [
        (1387.4, "force", "metric", "1390 N"),
        (2.0816, "length", "metric", "2082 mm"),
        (2.0816, "length", "imperial", "82 in"),
        (28.61, "speed", "metric", "103 km/h"),
        (28.61, "speed", "imperial", "64 mph"),
        (-0.1, "speed", "metric", "0 km/h"),
        (293.15, "temperature", "metric", "20 °C"),
        (994.838, "engine speed", "metric", "9500 rpm"),
        (9370.0, "power", "metric", "9.4 kW"),
        (11.2, "torque", "imperial", "8.3 lbf·ft"),
        (0.12, "slope", "imperial", "12 %"),
        (0.21, "angle", "metric", "12°"),
        (0.97, "ratio", "metric", "0.97"),
        (float("nan"), "speed", "metric", "no value"),
        (float("inf"), "time", "metric", "no value"),
    ],
)
def test_text_carries_no_more_digits_than_the_inputs(value, kind, system, said):
    assert units.text(value, kind, system) == said


def test_importing_units_does_not_load_pint():
    """Half a second that nobody pays before the first quantity is read or shown."""
    program = "import explorer.units, sys; print('pint' in sys.modules)"
    run = subprocess.run(
        [sys.executable, "-c", program],
        capture_output=True,
        text=True,
        cwd=Path(__file__).parents[2],
        check=True,
    )
    assert run.stdout.strip() == "False"


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("1,5 mm", 0.0015),
        ("256,05 mm", 0.25605),
        ("1/2 in", 0.0127),
        ("1 1/2 in", 0.0381),
        ('5/8"', 0.015875),
        (",5 in", 0.0127),
    ],
)
def test_decimal_commas_and_fractions_are_understood(text, metres):
    assert to_si(text, "length") == pytest.approx(metres, rel=1e-12)
