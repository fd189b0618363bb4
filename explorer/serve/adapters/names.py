"""Looking for other libraries' private names: what each adapter lists, and what is missing here."""

import importlib
import inspect
from dataclasses import dataclass
from importlib.metadata import version


@dataclass(frozen=True)
class Use:
    """Names of another library that are not promised to stay.

    Attributes:
        library: Name of the package.
        seen: Versions in which the names were seen.
        names: Each as "module:path.of.attributes"; "module:= text" is looked for in its source.
        without: What the server does instead where one is missing, as the end of a sentence.
    """

    library: str
    seen: str
    names: tuple[str, ...]
    without: str


def _is_there(name: str) -> bool:
    module_name, _, path = name.partition(":")
    try:
        found = importlib.import_module(module_name)
        if path.startswith("= "):
            return path[2:] in inspect.getsource(found)
        for part in path.split("."):
            found = getattr(found, part)
    except (ImportError, AttributeError, OSError):
        return False
    return True


def misfits(*uses: Use) -> list[str]:
    """A sentence for each library here that lacks a name, with what is done instead."""
    found = []
    for use in uses:
        missing = [name for name in use.names if not _is_there(name)]
        if missing:
            found.append(
                f"{use.library} {version(use.library)} has no {', '.join(missing)} (seen in "
                f"{use.seen}): {use.without}."
            )
    return found
