"""The files that a move of the front slider passes; DEVELOPERS.md says how it is run.

Opens the gearing page, moves the slider by one tooth, and notes each function of ours that is
called, in order. Prints the files as they are first entered, and every climb: a call from a lower
floor to an upper one. A climb is lawful only as a callback: the lower floor was handed the function
and does not know whose it is, so its own code imports nothing of the upper floor (test_floors.py).
"""

import asyncio
import json
import os
import sys
from collections.abc import Iterator
from pathlib import Path
from types import FrameType

from ipywidgets import Widget

import explorer
from explorer.app.elsewhere import OWN_SERVER
from explorer.tasks.bench.page import GearingPage

SLIDER = "Front sprocket"
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


def _inside(widget: Widget) -> Iterator[Widget]:
    yield widget
    for child in getattr(widget, "children", ()):
        yield from _inside(child)


async def walk_front_slider(served: bool) -> tuple[Walk, Walk]:
    """What one tooth more passes in the kernel: until everything that answers the hand is painted,
    and, once the hand has rested, until its words are.

    On our own server the browser has moved before the kernel hears of it (bench.js).
    """
    os.environ[OWN_SERVER] = "yes" if served else ""
    page = GearingPage("")
    found = list(_inside(page.widget))
    for each in found:
        if hasattr(each, "selected_index"):
            each.selected_index = 0  # a closed lid has no words

    def move(front: int) -> None:
        if served:
            rear, tyre = page.state.setup.rear, page.state.setup.tyre
            slots = [["A", front, rear, tyre]]
            told = next(each for each in found if "bn-tell" in each._dom_classes)
            told.value = json.dumps({"serial": front, "slots": slots, "picked": 1})
        else:
            called = [each for each in found if getattr(each, "description", "") == SLIDER]
            next(each for each in called if hasattr(each, "step")).value = front
        if page.state.setup.front != front:
            raise SystemExit(f"the page did not follow: {page.faults.widget.value}")

    async def rested() -> None:
        while page._settled is not page._painted:
            await asyncio.sleep(0.01)

    for front in (14, 15, 14):  # what is kept from one move to the next is worked out beforehand
        move(front)
        await rested()
    hand, words = Walk(), Walk()
    sys.setprofile(hand)
    move(15)
    sys.setprofile(words)
    await rested()
    sys.setprofile(None)
    return hand, words


def main() -> None:
    for served in (True, False):
        print("On our own server" if served else "In a notebook server")
        for name, walk in zip(
            ("the hand's answer", "words"), asyncio.run(walk_front_slider(served)), strict=True
        ):
            print(f"{name}: {len(walk.files)} files, {len(walk.functions)} functions")
            for number, path in enumerate(walk.files, start=1):
                print(f"{number:3} {path}")
            for below, above in walk.climbs:
                print(f"climb: {below} -> {above}")


if __name__ == "__main__":
    main()
