"""The files that a move of the front slider passes: `python -m tests.bench.walk_front_slider`.

Opens the gearing page, moves the slider by one tooth, and notes each function of ours that is
called, in order. Prints the files as they are first entered, and every climb: a call from a lower
floor to an upper one. A climb is lawful only as a callback: the lower floor was handed the function
and does not know whose it is, so its own code imports nothing of the upper floor (test_floors.py).
"""

import sys
from pathlib import Path
from types import FrameType

import explorer
from explorer.tasks.gearing.page import GearingPage

OURS = Path(explorer.__file__).parent
FLOORS = ("calc", "records", "study", "charts", "panels", "app", "tasks")
"""From the lowest up; charts and panels stand side by side."""


def floor_of(path: str) -> int:
    """Height of the floor on which a file stands; that of units is the lowest."""
    first = path.partition("/")[0]
    height = FLOORS.index(first) if first in FLOORS else -1
    return height - 1 if first == "panels" else height


class Walk:
    """What is called, in order.

    Attributes:
        files: Each file below explorer, as it is first entered.
        climbs: Calls to a higher floor, as (caller, called), each once.
        functions: Names of the functions called.
    """

    def __init__(self) -> None:
        self.files: list[str] = []
        self.climbs: list[tuple[str, str]] = []
        self.functions: set[str] = set()

    def __call__(self, frame: FrameType, event: str, _: object) -> None:
        """Take notes, as a profile function."""
        name = self._ours(frame)
        if event != "call" or name is None:
            return
        path = name.partition(" ")[0]
        self.functions.add(name)
        if path not in self.files:
            self.files.append(path)
        caller = frame.f_back
        while caller is not None and self._ours(caller) is None:
            caller = caller.f_back
        if caller is not None:
            above = self._ours(caller)
            if floor_of(above.partition(" ")[0]) < floor_of(path):
                climb = above, name
                if climb not in self.climbs:
                    self.climbs.append(climb)

    @staticmethod
    def _ours(frame: FrameType) -> str | None:
        path = Path(frame.f_code.co_filename)
        if not path.is_relative_to(OURS):
            return None
        return f"{path.relative_to(OURS).as_posix()} {frame.f_code.co_qualname}"


def walk_front_slider() -> Walk:
    """Walk a move of the front slider on the gearing page, words and all."""
    page = GearingPage("")
    for front in (12, 13):  # what is kept from one move to the next is worked out beforehand
        page.state.change(front=front)
    pending, slider = [page.widget], None
    while pending and slider is None:
        each = pending.pop()
        pending += getattr(each, "children", ())
        if getattr(each, "description", "") == "Front sprocket" and hasattr(each, "step"):
            slider = each
    walk = Walk()
    sys.setprofile(walk)
    try:
        slider.value = 14
    finally:
        sys.setprofile(None)
    return walk


def main() -> None:
    walk = walk_front_slider()
    for number, path in enumerate(walk.files, start=1):
        print(f"{number:3} {path}")
    print(f"{len(walk.functions)} functions")
    for below, above in walk.climbs:
        print(f"climb: {below} -> {above}")


if __name__ == "__main__":
    main()
