"""The steps of the lesson, one file each: whatever stands in this folder is a step."""

from importlib import import_module
from pkgutil import iter_modules

from explorer.tasks.lesson.step import every_step

for _each in iter_modules(__path__):
    import_module(f"{__name__}.{_each.name}")

STEPS = every_step()
"""In the order of their numbers, which begin at 1."""

_NAMED = sum(bool(each.name) for each in STEPS)

COUNTED = f"{len(STEPS) - _NAMED} steps and {_NAMED} shorter ones"
"""How many there are, in words: those with a name of their own are the shorter ones."""
