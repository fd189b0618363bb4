r"""Formulas as the browser draws them: from the TeX of the docstrings to MathML.

Only what the docstrings of explorer.calc use is known: fractions, roots, powers and indices, Greek
letters, named functions, brackets that grow. Chromium and Firefox draw MathML by themselves, so no
formula typesetter is loaded.
"""

import re
import unicodedata
from contextlib import suppress

from markupsafe import Markup, escape

_OPERATORS = dict(cdot="·", times="×", le="≤", ge="≥", pm="±", sum="∑", int="∫") | {"%": "%"}
_FUNCTIONS = {"sin", "cos", "tan", "cot", "arcsin", "min", "max", "log", "ln", "cosh", "tanh"}
_SPACES = {",": "0.17em", ";": "0.28em", " ": "0.3em", "quad": "1em", "qquad": "2em"}
_BIG = {"big", "Big", "Bigl", "Bigr", "bigl", "bigr"}
_WORDS = {"text", "mathrm", "operatorname"}

_TOKEN = re.compile(r"\\[A-Za-z]+|\\.|[^ \t\n]")
_NOT_A_SYMBOL = {"π", "Δ"}


class FormulaError(ValueError):
    """A formula uses something that this module does not know."""


def formula(tex: str, block: bool = False) -> str:
    r"""A formula of our own docstrings as a ``math`` element, everything in it escaped.

    A `block` stands on a line of its own, instead of inside a sentence. Raises FormulaError for a
    command that is not known here, or an open bracket.

    >>> print(formula(r"\frac{a}{2}"))
    <math><mfrac><mrow><mi>a</mi></mrow><mrow><mn>2</mn></mrow></mfrac></math>
    """
    opening = '<math display="block">' if block else "<math>"
    return Markup(opening) + _Reader(tex).whole() + Markup("</math>")


def symbols(tex: str) -> list[str]:
    r"""Symbols of a formula in the order of appearance, each once, index after an underscore.

    Without π and the Δ of a difference, which need no explanation.

    >>> symbols(r"M_{eff} = M + \eta\,i^2 / r'")
    ['M_eff', 'M', 'η', 'i', 'r′']
    """
    reader = _Reader(tex)
    reader.whole()
    return list(dict.fromkeys(name for name in reader.symbols if name not in _NOT_A_SYMBOL))


def symbol(name: str) -> str:
    """A symbol as :func:`symbols` names it, such as "M_eff", drawn like in the formula.

    >>> print(symbol("z_1"))
    <math><msub><mi>z</mi><mtext>1</mtext></msub></math>
    """
    base, _, index = name.partition("_")
    drawn = Markup("<mi>{}</mi>").format(base)
    if index:
        drawn = Markup("<msub>{}<mtext>{}</mtext></msub>").format(drawn, index)
    return Markup("<math>{}</math>").format(drawn)


class _Reader:
    """Reads one formula from left to right."""

    def __init__(self, tex: str) -> None:
        # The spaces of \text are kept: no-break spaces are not white space to the tokens.
        kept = re.sub(r"\\text\{([^{}]*)\}", lambda m: m[0].replace(" ", "\N{NO-BREAK SPACE}"), tex)
        self.tokens = _TOKEN.findall(kept)
        self.place = 0
        self.symbols: list[str] = []

    def whole(self) -> Markup:
        drawn = self._row()
        if self.place < len(self.tokens):
            raise FormulaError(f"A closing {self.tokens[self.place]} stands alone in a formula.")
        return drawn

    def _next(self) -> str:
        if self.place >= len(self.tokens):
            raise FormulaError("A formula ends too early.")
        self.place += 1
        return self.tokens[self.place - 1]

    def _peek(self) -> str:
        return self.tokens[self.place] if self.place < len(self.tokens) else ""

    def _row(self) -> Markup:
        """Everything up to, not including, a closing token or the end."""
        parts = Markup("")
        while self._peek() not in ("", "}", r"\right"):
            parts += self._item()
        return parts

    def _item(self) -> Markup:
        """One piece with its index, its prime and its power."""
        base, name = self._nucleus(joined=True)
        index = power = Markup("")
        while self._peek() in ("_", "^", "'"):
            mark = self._next()
            if mark == "_":
                quiet, start = len(self.symbols), self.place
                index = self._argument()
                del self.symbols[quiet:]
                label = "".join(self.tokens[start : self.place]).strip("{}").replace(r"\pm", "±")
                if len(label) > 1 and "\\" not in label:
                    index = Markup("<mtext>{}</mtext>").format(label)
                name = f"{name}_{label}" if name else name
            elif mark == "'":
                power += Markup("<mo>′</mo>")
                name = f"{name}′" if name else name
            else:
                power += self._argument()
        if name:
            self.symbols.append(name)
        raised = Markup("<mrow>{}</mrow>").format(power)
        if index and power:
            return Markup("<msubsup>{}{}{}</msubsup>").format(base, index, raised)
        if index:
            return Markup("<msub>{}{}</msub>").format(base, index)
        return Markup("<msup>{}{}</msup>").format(base, raised) if power else base

    def _argument(self) -> Markup:
        """What a command, an index or a power takes: one token or one group in braces."""
        drawn, name = self._nucleus(joined=False)
        if name:
            self.symbols.append(name)
        return drawn

    def _nucleus(self, joined: bool) -> tuple[Markup, str]:
        """One piece without index and power, and its name if it is a symbol.

        Digits and points that follow each other are one number where `joined`; TeX takes
        them one by one as arguments.
        """
        token = self._next()
        if token == "{":
            drawn = self._row()
            self._close("}")
            return Markup("<mrow>{}</mrow>").format(drawn), ""
        if token.startswith("\\"):
            return self._command(token[1:])
        if token.isdigit():
            while joined and re.fullmatch(r"[0-9.]", self._peek()):
                token += self._next()
            return Markup("<mn>{}</mn>").format(token), ""
        if token.isalpha():
            return Markup("<mi>{}</mi>").format(token), token
        if token in "()[]|":
            # Brackets of one line; those of \left and \right grow.
            return Markup('<mo stretchy="false">{}</mo>').format(token), ""
        return Markup("<mo>{}</mo>").format("−" if token == "-" else token), ""

    def _command(self, name: str) -> tuple[Markup, str]:
        if name in _OPERATORS:
            return Markup("<mo>{}</mo>").format(_OPERATORS[name]), ""
        if name in _SPACES:
            return Markup('<mspace width="{}"></mspace>').format(_SPACES[name]), ""
        if name in _FUNCTIONS:
            return Markup('<mi>{}</mi><mspace width="0.12em"></mspace>').format(name), ""
        if name in ("frac", "tfrac"):
            return Markup("<mfrac>{}{}</mfrac>").format(self._argument(), self._argument()), ""
        if name == "sqrt":
            return Markup("<msqrt>{}</msqrt>").format(self._argument()), ""
        if name in _WORDS:
            return Markup("<mtext>{}</mtext>").format(self._word()), ""
        if name in _BIG:
            return Markup('<mo stretchy="true">{}</mo>').format(self._next()), ""
        if name == "left":
            opening, inside = self._next(), self._row()
            self._close(r"\right")
            grown = Markup("<mrow><mo>{}</mo>{}<mo>{}</mo></mrow>")
            return grown.format(opening, inside, self._next()), ""
        if letter := _greek(name):
            return Markup("<mi>{}</mi>").format(letter), letter
        raise FormulaError(f"The formula command {escape(name)} is not known here.")

    def _word(self) -> str:
        self._close("{")
        return "".join(iter(self._next, "}"))

    def _close(self, bracket: str) -> None:
        if self._next() != bracket:
            raise FormulaError(f"A {bracket} is missing in a formula.")


def _greek(name: str) -> str:
    """The letter of a command such as "Theta" or "varphi"; empty if it names none."""
    case = "CAPITAL" if name[0].isupper() else "SMALL"
    with suppress(KeyError):
        return unicodedata.lookup(f"GREEK {case} LETTER {name.removeprefix('var')}")
    return ""
