"""Docstrings of explorer.calc: complete, in step with the signatures, and their examples true."""

import dataclasses
import doctest
import enum
import importlib
import inspect
import pkgutil
import re
import sys
from itertools import chain

import pint
import pytest

import explorer.calc
from explorer.calc.example import example_conditions, example_drive, example_vehicle

MODULES = [
    importlib.import_module(module.name)
    for module in pkgutil.walk_packages(explorer.calc.__path__, "explorer.calc.")
]


def public(kind):
    return [
        pytest.param(item, id=f"{module.__name__.rpartition('.')[2]}.{name}")
        for module in MODULES
        for name, item in inspect.getmembers(module, kind)
        if item.__module__ == module.__name__ and not name.startswith("_")
    ]


FUNCTIONS = public(inspect.isfunction)
CLASSES = public(inspect.isclass)

NOT_UNITS = {"-", "SI", "count", "name", "teeth", "links", "any unit"}
"""What may stand in the brackets of a parameter that has no unit of its own."""

UNITS = pint.UnitRegistry()
UNIT_SPELLING = str.maketrans({"·": "*", "²": "^2", "³": "^3"})


TITLE = r"^(Args|Attributes|Returns|Raises|Notes|References):"
SECTION = re.compile(TITLE + r" ?(.*\n(?:[ ]{4}.*\n|\n(?=[ ]{4}))*)", flags=re.MULTILINE)
ENTRY = re.compile(r"([*\w]+(?:, [*\w]+)*)(?: \((.*?)\))?: (.*)")


def sections(item):
    """Sections of a docstring by their title; the text before the first under ""."""
    text = f"{inspect.cleandoc(item.__doc__ or '')}\n"
    before = text[: re.search(rf"{TITLE}|^>>>|\Z", text, flags=re.MULTILINE).start()]
    return {"": before, **dict(SECTION.findall(text))}


def entries(section):
    """Names, type and text of each entry of Args or Attributes, in order: "a, b (type): text"."""
    found = []
    for entry in re.split(r"\n(?=[ ]{4}\S)", f"\n{section.rstrip()}")[1:]:
        names, kind, text = ENTRY.fullmatch(" ".join(entry.split())).groups()
        found.append((names.split(", "), kind or "", text))
    return found


def named(section):
    return [name for names, _, _ in entries(section) for name in names]


def unit_fault(text):
    """What is wrong with the unit at the end of a parameter's text, or None."""
    bracket = re.search(r"\[([^\[\]]+)\]\.?$", text)
    if bracket is None:
        return f"no unit in brackets at the end of {text!r}"
    # One text may describe several quantities, such as [s, m, m/s] or [N·m or W].
    for unit in re.split(r", | or ", bracket[1]):
        if unit not in NOT_UNITS and not unit.startswith("unit of "):
            try:
                UNITS.parse_units(unit.translate(UNIT_SPELLING))
            except (pint.PintError, ValueError):
                return f"unknown unit [{unit}]"
    return None


def unit_faults(section):
    """Faults of all entries but those that are yes or no, or one of a list of names."""
    return [
        fault
        for _, kind, text in entries(section)
        if not re.search(r"\bbool\b|\bLimit\b", kind) and (fault := unit_fault(text)) is not None
    ]


def shared_by(item):
    """What is said once, in the docstring of the item's module, its package or all of calc."""
    package, _, _ = item.__module__.rpartition(".")
    places = [sys.modules[name] for name in ("explorer.calc", package, item.__module__)]
    shared = [sections(place).get("Args", "") for place in places]
    assert not any(map(unit_faults, shared))
    return set(chain.from_iterable(map(named, shared)))


def test_the_package_was_found():
    assert len(MODULES) >= 10
    assert len(FUNCTIONS) >= 20


@pytest.mark.parametrize("function", FUNCTIONS)
def test_function_docstring(function):
    parts = sections(function)
    assert parts[""].strip(), "no summary"
    signature = list(inspect.signature(function).parameters)
    own = named(parts.get("Args", ""))
    assert own == [name for name in signature if name in own]
    assert set(signature) <= {*own, *shared_by(function)}
    assert unit_faults(parts.get("Args", "")) == []
    assert parts.get("Returns", "").strip(), "no Returns"
    assert ">>>" in function.__doc__ or "Example: see :func:`" in function.__doc__, "no example"


@pytest.mark.parametrize("cls", CLASSES)
def test_class_docstring(cls):
    parts = sections(cls)
    assert parts[""].strip(), "no summary"
    for name, member in inspect.getmembers(cls, inspect.isfunction):
        own = member.__module__ == cls.__module__ and name in vars(cls)
        assert name.startswith("_") or not own or member.__doc__, f"{name} has no docstring"
    if issubclass(cls, enum.Enum):
        return
    if dataclasses.is_dataclass(cls):
        fields = [field.name for field in dataclasses.fields(cls)]
    elif issubclass(cls, tuple):
        fields = list(cls._fields)
    else:
        own = named(parts.get("Args", ""))
        fields = [
            name
            for name in inspect.signature(cls).parameters
            if name in own or name not in shared_by(cls)
        ]
        if not fields:
            return
    described = parts.get("Args") or parts.get("Attributes")
    if described is None:
        # A small record may say all its fields in one line, unit included.
        assert re.search(r"\[[^\[\]]+\]", parts[""]), "neither fields nor a unit"
        return
    assert named(described) == fields
    assert unit_faults(described) == []


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("Speed [m/s].", False),
        ("Inertia [kg·m²].", False),
        ("Teeth [count].", False),
        ("Time and distance [s, m].", False),
        ("Speed.", True),
        ("Speed [m/s], positive.", True),
        ("Speed [metres/jiff].", True),
    ],
)
def test_the_unit_check_itself(text, fault):
    assert (unit_fault(text) is not None) == fault


AT_HAND = {each.__name__: each for each in (example_conditions, example_drive, example_vehicle)}
"""What examples use without importing it, as the docstring of explorer.calc says."""

EXAMPLES = [
    pytest.param(example, id=example.name.removeprefix("explorer.calc."))
    for module in MODULES
    for example in doctest.DocTestFinder().find(module, extraglobs=AT_HAND)
    if example.examples
]


@pytest.mark.parametrize("example", EXAMPLES)
def test_examples_are_true(example):
    report = []
    result = doctest.DocTestRunner(verbose=False).run(example, out=report.append)
    assert result.attempted > 0
    assert result.failed == 0, "".join(report)
