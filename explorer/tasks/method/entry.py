"""How the formulas of the method page are listed: the order and the trade names are ours to choose,
everything else is read from the docstrings."""

from collections.abc import Callable
from dataclasses import dataclass, field


@dataclass(frozen=True)
class Entry:
    """One formula.

    Attributes
    ----------
    name : str
        Name in the words of the trade.
    function : callable
        The function of explorer.calc that computes it.
    symbols : dict of str to str
        Each symbol of the formula: the parameter it stands for, "result", or words that end with
        its unit in brackets.
    formulas : tuple of str
        The formula in TeX, where the docstring says it in words only.
    """

    name: str
    function: Callable
    symbols: dict[str, str] = field(default_factory=dict)
    formulas: tuple[str, ...] = ()


@dataclass(frozen=True)
class Group:
    """Formulas of one subject.

    Attributes
    ----------
    title : str
        Heading.
    introduction : str
        What they are for, in a sentence or two.
    entries : tuple of Entry
        With formula and symbols.
    others : tuple of callable
        Functions that belong here and are said in one line each.
    """

    title: str
    introduction: str
    entries: tuple[Entry, ...]
    others: tuple[Callable, ...] = ()
