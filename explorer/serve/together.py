"""The scripts that every page asks for one after the other, sent as one.

Voilà's script and those of the widget libraries come in parts. A page asks for 66 of them, no more
than six at once and some only when others have been run; on a slow line each round is a wait. A
part says its number to whoever loads parts, and one that is there already is not asked for again:
so the parts can come along with the first script.

The numbers are those of the versions in pyproject.toml (tool.uv). Parts that another version does
not have are left out, and parts that it wants besides are asked for as before;
tests/browser/every_page/test_scripts.py says which those are.
"""

from collections.abc import Iterator, Mapping
from pathlib import Path

VOILA_PARTS = (
    *(73, 143, 431, 457, 630, 1187, 1601, 1621, 1670, 2930, 3144, 3249, 3307, 3311, 3459, 3649),
    *(3916, 3989, 3992, 4041, 4135, 4173, 4222, 4653, 4729, 4972, 5044, 5312, 5688, 5764, 5767),
    *(6008, 6049, 6382, 6468, 6573, 7155, 7483, 7556, 7598, 7770, 7883, 8017, 8135, 8487, 8766),
    *(8773, 8862, 8925, 9081, 9151, 9212, 9582, 9684, 9890, 9981),
)
LIBRARY_PARTS = {
    "@jupyter-widgets/jupyterlab-manager": (7, 32, 84, 121, 160, 170, 452, 704, 718, 967),
    "@voila-dashboards/widgets-manager8": (496, 883),
    "@bokeh/jupyter_bokeh": (25, 824),
}


def parts(voila: Path, libraries: Mapping[str, Path]) -> Iterator[Path]:
    """The files of all parts that are there: from Voilà's folder, and from each library's."""
    for name, folder in libraries.items():
        for number in LIBRARY_PARTS[name]:
            yield from (folder / "static").glob(f"{number}.*.js")
    for number in VOILA_PARTS:
        yield from voila.glob(f"{number}.voila.js")


def voila_with_parts(voila: Path, libraries: Mapping[str, Path]) -> bytes:
    """Voilà's script, with all parts before it."""
    # Each in a function of its own: where one begins by asking for strict rules, only it gets them.
    before = [b"(() => {%b\n})();\n" % part.read_bytes() for part in parts(voila, libraries)]
    return b"".join(before) + (voila / "voila.js").read_bytes()
