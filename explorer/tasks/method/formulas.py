"""How the formulas of the method page are listed: order, trade names and what symbols stand for are
data (data/formulas.toml), everything else is read from the functions' docstrings."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from importlib import import_module
from typing import Any

from explorer.calc.statistics import spreads
from explorer.records.prose import read_prose
from explorer.study.certainty import INPUT_NAMES


@dataclass(frozen=True)
class Entry:
    """One formula.

    Attributes:
        name: Name in the words of the trade.
        function: The function of explorer.calc that computes it.
        symbols: Each symbol of the formula: the parameter it stands for, "result", or words that
            end with its unit in brackets.
        formulas: The formula in TeX, where the docstring says it in words only.
    """

    name: str
    function: Callable
    symbols: Mapping[str, str]
    formulas: tuple[str, ...]


@dataclass(frozen=True)
class Group:
    """Formulas of one subject.

    Attributes:
        introduction: What they are for, in a sentence or two.
        entries: With formula and symbols.
        others: Functions that belong here and are said in one line each.
    """

    title: str
    introduction: str
    entries: tuple[Entry, ...]
    others: tuple[Callable, ...]


def _function(path: str) -> Callable:
    module, _, name = path.rpartition(".")
    return getattr(import_module(f"explorer.calc.{module}"), name)


def _group(row: Mapping[str, Any]) -> Group:
    entries = tuple(
        Entry(
            each["name"],
            _function(each["function"]),
            each.get("symbols", {}),
            tuple(each.get("formulas", ())),
        )
        for each in row.get("entry", ())
    )
    introduction = row["introduction"].replace("{spreads}", _spreads_in_words())
    return Group(row["title"], introduction, entries, tuple(map(_function, row.get("others", ()))))


def _spreads_in_words() -> str:
    """How each input is taken to spread."""
    return "; ".join(
        f"{INPUT_NAMES[each.input]}, {each.reason}"
        for each in (*spreads.USUAL_SPREADS, *spreads.DRIVE_SPREADS)
    )


GROUPS = tuple(map(_group, read_prose("formulas")["group"]))
"""All formulas, in the order of the page."""
