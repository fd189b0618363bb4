"""Formulas in TeX become MathML: structure, symbols, and a plain refusal of what is not known."""

import xml.etree.ElementTree as xml

import pytest

from explorer.panels.formula import FormulaError, formula, symbol, symbols


@pytest.mark.parametrize(
    ("tex", "drawn"),
    [
        ("a - b", "<mi>a</mi><mo>−</mo><mi>b</mi>"),
        ("0.5 x", "<mn>0.5</mn><mi>x</mi>"),
        # TeX takes arguments without braces digit by digit.
        (
            r"\tfrac12",
            "<mfrac><mrow><mn>1</mn></mrow><mrow><mn>2</mn></mrow></mfrac>",
        ),
        ("x^2", "<msup><mi>x</mi><mrow><mn>2</mn></mrow></msup>"),
        ("I_{wheel}", "<msub><mi>I</mi><mtext>wheel</mtext></msub>"),
        (
            "Q_i^2",
            "<msubsup><mi>Q</mi><mi>i</mi><mrow><mn>2</mn></mrow></msubsup>",
        ),
        ("g'", "<msup><mi>g</mi><mrow><mo>′</mo></mrow></msup>"),
        (r"\text{for one more}", "<mtext>for\u00a0one\u00a0more</mtext>"),
        (r"\left( a \right)", "<mrow><mo>(</mo><mi>a</mi><mo>)</mo></mrow>"),
    ],
)
def test_drawn(tex, drawn):
    got = xml.canonicalize(str(formula(tex)))
    # A group in a row changes nothing that is seen.
    flat = [got.replace("<mrow>", "").replace("</mrow>", "")]
    flat += [f"<math>{drawn}</math>".replace("<mrow>", "").replace("</mrow>", "")]
    assert flat[0] == flat[1]


@pytest.mark.parametrize(
    ("tex", "names"),
    [
        (r"T = T_0 - L H", ["T", "T_0", "L", "H"]),
        (r"\omega_{launch} - i\,v/r", ["ω_launch", "i", "v", "r"]),
        (r"f_\pm = f(x_i)", ["f_±", "f", "x_i"]),
        (r"R'/R", ["R′", "R"]),
        (r"4 \pi^2 \sin a", ["a"]),
        (r"\mathrm{lcm}(z, L)", ["z", "L"]),
    ],
)
def test_symbols(tex, names):
    assert symbols(tex) == names


@pytest.mark.parametrize("tex", [r"\unheard x", r"\frac{a}", "{a", "a}", r"\left( a", r"a \right)"])
def test_what_is_not_known_is_refused(tex):
    with pytest.raises(FormulaError):
        formula(tex)


def test_everything_is_escaped():
    assert "<script>" not in formula(r"\text{<script>} < 1")
    assert "<b>" not in symbol("<b>_<i>")
