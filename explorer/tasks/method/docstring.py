"""What the docstring of a formula says, taken apart for the method page."""

import inspect
import re
from collections.abc import Callable
from dataclasses import dataclass

from markupsafe import Markup, escape

from explorer.panels.formula import formula

_HEADING = re.compile(r"^([A-Z][A-Za-z ]+)\n-{3,}$", flags=re.MULTILINE)
_MATHS = re.compile(r"\.\. math::((?:.*\n)(?:(?:[ ]+.*)?\n)*)")
_UNIT = re.compile(r"\s*\[([^\[\]]+)\]")
_INLINE = re.compile(r":math:`([^`]*)`|:[a-z]+:`([^`]*)`|``([^`]*)``|`([^`]*)`|\*([^*\s][^*]*)\*")


@dataclass(frozen=True)
class Quantity:
    """One input of a formula, or its result.

    Attributes
    ----------
    name : str
        Name in the code; empty for the result.
    accepts : str
        Range for which it is meant, such as "positive"; may be empty.
    meaning : str
        What it is.
    unit : str
        SI unit; "-" for a plain number, empty where the meaning names several.
    """

    name: str
    accepts: str
    meaning: str
    unit: str


@dataclass(frozen=True)
class Explained:
    """A docstring in parts.

    Attributes
    ----------
    path : str
        Where the function is, such as "explorer.calc.gearing.final_ratio".
    summary : str
        The first paragraph.
    body : tuple of (bool, str)
        What follows it: (True, a formula in TeX) or (False, a paragraph).
    inputs : tuple of Quantity
        In the order of the signature.
    result : Quantity
        What comes out.
    notes, source : str
        The sections Notes and References; may be empty.
    """

    path: str
    summary: str
    body: tuple[tuple[bool, str], ...]
    inputs: tuple[Quantity, ...]
    result: Quantity
    notes: str
    source: str

    @property
    def formulas(self) -> tuple[str, ...]:
        """The formulas that stand on a line of their own, in TeX."""
        return tuple(text for is_formula, text in self.body if is_formula)


def explain(function: Callable) -> Explained:
    """Take the docstring of a function of explorer.calc apart.

    Parameters
    ----------
    function : callable
        With a numpydoc docstring.

    Returns
    -------
    Explained
        Its parts, still as plain text and TeX.

    Examples
    --------
    >>> from explorer.calc.sprockets import pitch_diameter
    >>> told = explain(pitch_diameter)
    >>> told.summary, told.formulas
    ("Diameter of the circle on which the chain's pins lie.", ('d = p / \\\\sin(\\\\pi / z)',))
    >>> told.inputs[0]
    Quantity(name='pitch', accepts='positive', meaning='Pitch of the chain, pin to pin', unit='m')
    """
    pieces = _HEADING.split(inspect.getdoc(function) or "")
    sections = dict(zip(pieces[1::2], pieces[2::2], strict=True))
    summary, _, rest = pieces[0].strip().partition("\n\n")
    return Explained(
        path=f"{function.__module__}.{function.__qualname__}",
        summary=_flow(summary),
        body=tuple(_body(rest + "\n")),
        inputs=tuple(_quantities(sections.get("Parameters", ""))),
        result=next(iter(_quantities(sections.get("Returns", ""))), Quantity("", "", "", "")),
        notes=_flow(sections.get("Notes", "")),
        source=_flow(sections.get("References", "")),
    )


def inline(text: str) -> str:
    """A sentence of a docstring for the page: formulas drawn, names as code, all else escaped.

    Parameters
    ----------
    text : str
        Plain text with the marks of a docstring.

    Returns
    -------
    str
        Safe for the page.

    Examples
    --------
    >>> print(inline("As in :func:`explorer.calc.gearing.road_speed`, if v < 2."))
    As in <code>gearing.road_speed</code>, if v &lt; 2.
    """
    done, shown = 0, Markup("")
    for match in _INLINE.finditer(text):
        shown += escape(text[done : match.start()])
        maths, role, *code, stressed = match.groups()
        if maths:
            shown += formula(maths)
        elif stressed:
            shown += Markup("<em>{}</em>").format(stressed)
        else:
            name = role or next(filter(None, code))
            shown += Markup("<code>{}</code>").format(name.removeprefix("explorer.calc."))
        done = match.end()
    return shown + escape(text[done:])


def _flow(text: str) -> str:
    """Lines of a paragraph as one."""
    return " ".join(text.split())


def _body(text: str):
    """Paragraphs and formulas in their order."""
    parts = _MATHS.split(text)
    for index, part in enumerate(parts):
        if index % 2:
            yield True, _flow(part)
        else:
            yield from ((False, _flow(each)) for each in part.split("\n\n") if each.strip())


def _quantities(section: str):
    """Entries of a Parameters or Returns section."""
    entries: list[tuple[str, list[str]]] = []
    for line in section.splitlines():
        if line and not line[0].isspace():
            entries.append((line, []))
        elif line.strip():
            entries[-1][1].append(line.strip())
    for head, lines in entries:
        name, _, kind = head.rpartition(" : ")
        meaning = " ".join(lines)
        units = _UNIT.findall(meaning)
        # A text with several units, such as that of a result in parts, keeps them in place.
        if len(units) == 1:
            meaning = _UNIT.sub("", meaning)
        yield Quantity(name, _range(kind), meaning.rstrip("."), units[0] if len(units) == 1 else "")


def _range(kind: str) -> str:
    """What the type of a parameter says beyond the type: "float or array, 0 to 1" is "0 to 1"."""
    outside = re.sub(r"\([^()]*\)|,? or broadcast to it|, broadcast to.*", "", kind)
    said = [part.strip() for part in outside.split(",")[1:] if part.strip()]
    said = [part for part in said if "shape" not in part and part != "optional"]
    if kind.startswith("int"):
        said.insert(0, "whole number")
    return ", ".join(said)
