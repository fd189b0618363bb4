"""How the formulas of the method page are listed: order, trade names and what symbols stand for are
data (data/formulas.toml), everything else is read from the functions' docstrings."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from importlib import import_module
from typing import Any

from explorer.calc.statistics import spreads
from explorer.records.prose import read_prose
from explorer.study.certainty import INPUT_NAMES


@dataclass(frozen=True)
class Entry:
    """One formula: its name in the words of the trade, and the function that computes it.

    Attributes:
        symbols: Each symbol of the formula: the parameter it stands for, "result", or words that
            end with its unit in brackets.
        formulas: The formula in TeX, where the docstring says it in words only.
    """

    name: str
    function: Callable
    symbols: Mapping[str, str] = field(default_factory=dict)
    formulas: Sequence[str] = ()


@dataclass(frozen=True)
class Group:
    """Formulas of one subject, and others, which are said in one line each."""

    title: str
    introduction: str
    entries: tuple[Entry, ...]
    others: tuple[Callable, ...]


def _function(path: str) -> Callable:
    module, _, name = path.rpartition(".")
    return getattr(import_module(f"explorer.calc.{module}"), name)


def _group(row: Mapping[str, Any]) -> Group:
    entries = tuple(
        Entry(**each | {"function": _function(each["function"])}) for each in row.get("entry", ())
    )
    usual = (*spreads.USUAL_SPREADS, *spreads.DRIVE_SPREADS)
    said = "; ".join(f"{INPUT_NAMES[each.input]}, {each.reason}" for each in usual)
    introduction = row["introduction"].replace("{spreads}", said)
    return Group(row["title"], introduction, entries, tuple(map(_function, row.get("others", ()))))


GROUPS = tuple(map(_group, read_prose("formulas")["group"]))
"""All formulas, in the order of the page."""
