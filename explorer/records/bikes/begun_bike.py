"""A bike that is only begun: its owner knows the teeth, and not yet every number.

Numbers that are still missing have stand-ins, so that a study can be made at all. Nothing that
depends on one is shown: the page asks for the number in its place.
"""

from collections.abc import Collection
from typing import Any

TORQUE = "engine.torque_curve"

_MISSING = {
    "tyre.rear": ("rear tyre", "110/100-18"),
    "gearbox.ratios": ("gear ratios", "2.5, 1.6, 1.2, 1.0, 0.85"),
    "gearbox.primary": ("primary reduction", "3"),
    # Above every idle and launch speed that a field accepts.
    "engine.rev_limit": ("rev limit", "20000 rpm"),
    TORQUE: ("peak power or torque", "500 rpm: 20 N*m; 20000 rpm: 20 N*m"),
    "mass.bike": ("weight", "110 kg"),
    "chain.size": ("chain", "520"),
}
STAND_INS = {path: stand_in for path, (_, stand_in) in _MISSING.items()}
"""What may be missing, by its path, and what stands in for it out of sight."""

_SPEEDS = tuple(STAND_INS)[:4]


def take_stand_ins(tables: dict[str, Any]) -> frozenset[str]:
    """Put stand-ins into the tables of a bike file that says it is only begun; their paths."""
    if str(tables.get("begun", "")).strip().lower() != "yes":
        return frozenset()
    taken = set()
    for path, text in STAND_INS.items():
        section, _, name = path.partition(".")
        table = tables.setdefault(section, {})
        # A curve that was given ends somewhere: the rev limit must be given as well.
        given = {name, "peak"} if path == TORQUE else {name}
        given |= {"torque_curve"} if path == "engine.rev_limit" else set()
        if isinstance(table, dict) and not given & table.keys():
            table[name] = text
            taken.add(path)
    return frozenset(taken)


def asks(missing: Collection[str]) -> dict[str, str]:
    """What to ask for where speeds are shown, and where pull is; only what is missing.

    >>> asks({"mass.bike", "chain.size"})
    {'pull': 'Add weight.'}
    """
    wanted = {"speeds": _SPEEDS, "pull": (*_SPEEDS, TORQUE, "mass.bike")}
    found = {name: in_words(set(paths) & set(missing)) for name, paths in wanted.items()}
    return {name: f"Add {words}." for name, words in found.items() if words}


def in_words(missing: Collection[str]) -> str:
    """The numbers that are missing, in a row."""
    *most, last = [said for path, (said, _) in _MISSING.items() if path in missing] or [""]
    return f"{', '.join(most)} and {last}" if most else last
