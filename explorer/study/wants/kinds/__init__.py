"""Every kind of want, one file each: whatever stands in this folder is a kind."""

from collections.abc import Mapping
from importlib import import_module
from pkgutil import iter_modules

from explorer.records.errors import RecordError
from explorer.records.typed_text import quote
from explorer.study.wants.want import Want


def _kinds() -> dict[str, type[Want]]:
    modules = [import_module(f"{__name__}.{each.name}") for each in iter_modules(__path__)]
    found = [
        each
        for module in modules
        for each in vars(module).values()
        if isinstance(each, type) and issubclass(each, Want) and each.__module__ == module.__name__
    ]
    return {each.kind: each for each in sorted(found, key=lambda each: each.place)}


WANTS = _kinds()
"""Every kind of want by its short name."""


def read_want(kind: str, texts: Mapping[str, str] | None = None, weight: object = 1.0) -> Want:
    """Read a want of any kind.

    Args:
        kind: Short name, a key of `WANTS`.
        weight: 0 to 10.

    Raises: RecordError.

    >>> read_want("slope", {"slope": "25 %"}, 2).texts
    {'slope': '25 %', 'gear': 'any'}
    """
    if kind not in WANTS:
        raise RecordError(f"The want {quote(kind)} is not known; choose one of {', '.join(WANTS)}.")
    return WANTS[kind].of(texts, weight)
