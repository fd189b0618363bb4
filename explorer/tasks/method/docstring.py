"""What the docstring of a formula says, taken apart for the method page."""

import inspect
import re
import sys
import textwrap
from collections.abc import Callable
from dataclasses import dataclass

from markupsafe import Markup, escape

from explorer import calc
from explorer.panels.formula import formula

_TITLE = r"^(Args|Returns|Raises|Notes|References):"
_SECTION = re.compile(_TITLE + r" ?(.*\n(?:[ ]{4}.*\n|\n(?=[ ]{4}))*)", flags=re.MULTILINE)
_ENTRY = re.compile(r"(?P<name>[*\w]+(?:, [*\w]+)*)(?: \((?P<kind>.*?)\))?: (?P<meaning>.*)")
_RESULT = re.compile(r"(?:(?P<kind>(?:float|int|array|tuple)[^:]*): )?(?P<meaning>.*)")
_MATHS = re.compile(r"\.\. math::((?:.*\n)(?:(?:[ ]+.*)?\n)*)")
_UNIT = re.compile(r"\s*\[([^\[\]]+)\]")
_INLINE = re.compile(r":math:`([^`]*)`|:[a-z]+:`([^`]*)`|``([^`]*)``|`([^`]*)`|\*([^*\s][^*]*)\*")


@dataclass(frozen=True)
class Quantity:
    """One input of a formula, or its result, which has no name.

    Attributes:
        accepts: Range for which it is meant, such as "positive"; may be empty.
        unit: SI unit; "-" for a plain number, empty where the meaning names several.
    """

    name: str
    accepts: str
    meaning: str
    unit: str


@dataclass(frozen=True)
class Explained:
    """A docstring in parts: inputs in the order of the signature, notes and source may be empty.

    Attributes:
        body: What follows the summary: (True, a formula in TeX) or (False, a paragraph).
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

    >>> from explorer.calc.sprockets import pitch_diameter
    >>> told = explain(pitch_diameter)
    >>> told.summary, told.formulas
    ("Diameter of the circle on which the chain's pins lie.", ('d = p / \\\\sin(\\\\pi / z)',))
    >>> told.inputs[0]
    Quantity(name='pitch', accepts='positive', meaning='Pitch of the chain, pin to pin', unit='m')
    """
    text = f"{inspect.getdoc(function) or ''}\n"
    sections = {title: textwrap.dedent(block) for title, block in _SECTION.findall(text)}
    said = text[: re.search(rf"{_TITLE}|^>>>|\Z", text, flags=re.MULTILINE).start()]
    summary, _, rest = said.strip().partition("\n\n")
    # What functions share is said once, in the docstring of their module, its package or calc.
    package, _, _ = function.__module__.rpartition(".")
    shared = [
        dict(_SECTION.findall(f"{inspect.getdoc(sys.modules[place])}\n")).get("Args", "")
        for place in (calc.__name__, package, function.__module__)
    ]
    inputs = {
        name: each
        for section in (*shared, sections.get("Args", ""))
        for each in _quantities(textwrap.dedent(section))
        for name in each.name.split(", ")
    }
    result = _RESULT.fullmatch(_flow(sections.get("Returns", "")))
    return Explained(
        path=f"{function.__module__}.{function.__qualname__}",
        summary=_flow(summary),
        body=tuple(_body(rest + "\n")),
        inputs=tuple(
            dict.fromkeys(inputs[name] for name in inspect.signature(function).parameters)
        ),
        result=_quantity("", result["kind"] or "", result["meaning"]),
        notes=_flow(sections.get("Notes", "")),
        source=_flow(sections.get("References", "")),
    )


def inline(text: str) -> str:
    """A sentence of a docstring for the page: formulas drawn, names as code, all else escaped.

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
    for index, part in enumerate(_MATHS.split(text)):
        if index % 2:
            yield True, _flow(part)
        else:
            yield from ((False, _flow(each)) for each in part.split("\n\n") if each.strip())


def _quantities(section: str):
    """Entries of the section Args."""
    for entry in re.split(r"\n(?=\S)", section.strip()) if section else ():
        name, kind, meaning = _ENTRY.fullmatch(_flow(entry)).groups()
        yield _quantity(name, kind or "", meaning)


def _quantity(name: str, kind: str, meaning: str) -> Quantity:
    unit = ""
    # A text with several units, such as that of a result in parts, keeps them in place.
    if len(units := _UNIT.findall(meaning)) == 1:
        unit, meaning = units[0], _UNIT.sub("", meaning)
    return Quantity(name, _range(kind), meaning.rstrip("."), unit)


def _range(kind: str) -> str:
    """What the type of a parameter says beyond the type: "float or array, 0 to 1" is "0 to 1"."""
    outside = re.sub(r"\([^()]*\)|,? or broadcast to it|, broadcast to.*", "", kind)
    said = [part.strip() for part in outside.split(",")[1:] if part.strip()]
    said = [part for part in said if "shape" not in part and part != "optional"]
    if kind.startswith("int"):
        said.insert(0, "whole number")
    return ", ".join(said)
