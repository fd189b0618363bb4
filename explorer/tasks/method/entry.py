"""How the formulas of the method page are listed: the order and the trade names are ours to choose,
everything else is read from the docstrings."""

from collections.abc import Callable
from dataclasses import dataclass, field


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
    symbols: dict[str, str] = field(default_factory=dict)
    formulas: tuple[str, ...] = ()


@dataclass(frozen=True)
class Group:
    """Formulas of one subject.

    Attributes:
        title: Heading.
        introduction: What they are for, in a sentence or two.
        entries: With formula and symbols.
        others: Functions that belong here and are said in one line each.
    """

    title: str
    introduction: str
    entries: tuple[Entry, ...]
    others: tuple[Callable, ...] = ()
