"""A visitor of the bench without a browser: drags front and rear, rests, reads the words.

What it says was recorded in Chromium. While the hand moves: nothing, the browser answers from its
table. After 0.15 s at rest: one line with all set-ups (bench.js). After another second: one that
asks for the code on paper (bench_picture.js). `VisitorBefore` is one of the code of before, whose
sliders say each step as soon as the last has been answered.
Not done: drawing, and the nine messages with which a browser says how large its charts are.
"""

import asyncio
import base64
import json
import random
import re
import time
from typing import Any

from explorer.study.table import unpacked
from tests.bench.visitors.page_habits import Files
from tests.bench.visitors.page_visitor import STEP, PageVisitor
from tests.bench.visitors.page_websocket import take_apart
from tests.bench.visitors.right_answers import WrongAnswerError
from tests.bench.visitors.seen_answers import Answer, Seen

REST = 0.15
"""Without a move for so long the hand is at rest [s]."""
STILL = 1.0
"""So long after that the browser asks for the code on paper [s]."""

Pair = dict[str, int]
"""Teeth of "front" and "rear"."""


class _OnTheBench(PageVisitor):
    """Finds its way among the page's widgets, and moves front and rear."""

    def __init__(
        self, url: str, files: Files, link: dict[str, str], seen: Seen, chance: random.Random
    ) -> None:
        super().__init__(url, "gearing", files, link, seen, chance)
        self._pair: Pair = {name: int(link[name]) for name in ("front", "rear")}
        self._sold: dict[str, tuple[int, int]] = {}
        self._widgets: dict[str, str] = {}  # comm ids by what the widgets are for
        self._texts: dict[str, str] = {}  # by comm id

    def _knows_the_page(self) -> dict:
        return self._widgets

    def _find(self, states: dict[str, dict]) -> dict[str, str]:
        """Comm ids of the widgets that are needed, by what they are for."""
        raise NotImplementedError

    def _idle(self, parent: bytes) -> None:
        """The kernel has dealt with a message."""

    async def _step(self) -> None:
        """Move one of both by a tooth, as fast as a hand does."""
        name = "rear" if self.seen.moves % 3 else "front"
        (low, high), now = self._sold[name], self._pair[name]
        ways = [way for way in (-1, 1) if low <= now + way <= high]
        self._pair[name] += self._chance.choice(ways)
        self.seen.moves += 1
        await asyncio.sleep(STEP)  # the pace of the hand
        self._raise_fault()

    def _read(self, raw: bytes) -> None:
        kind, parent, content = take_apart(raw)
        if kind == "error":
            raise WrongAnswerError(f"the kernel sent an error: {content[:300]!r}")
        if kind == "status" and json.loads(content)["execution_state"] == "idle":
            self._idle(parent)
        if kind != "comm_msg":
            return
        said = json.loads(content)
        data = said["data"]
        if data["method"] == "update_states":
            states = {comm: told["state"] for comm, told in data["states"].items()}
            self._texts = {comm: state.get("value", "") for comm, state in states.items()}
            self._widgets = self._find(states)
        elif data["method"] == "update" and "value" in data["state"]:
            self._texts[said["comm_id"]] = data["state"]["value"]

    def _write(self, field: str, value: Any) -> str:
        data = {"method": "update", "state": {"value": value}, "buffer_paths": []}
        return self._websocket.say("comm_msg", {"comm_id": self._widgets[field], "data": data})


class BenchVisitor(_OnTheBench):
    """A visitor of the bench as it is; its lids stay closed, as a page has them, until told."""

    _opened = False

    async def come(self) -> None:
        """Open the page, and read the table that came with it."""
        await super().come()
        text = re.search(r"data-table data-mark=[^>]*>([^<]+)<", self._html)[1]
        meta, _ = unpacked(base64.b64decode(text))
        self._sold, self._picked = meta["sold"], meta["picked"]
        self._slots = [
            [slot["name"], slot["front"], slot["rear"], slot["tyre"]] for slot in meta["slots"][1:]
        ]
        self._serial = self._asked = 0
        told = {name: self._slot[at] for at, name in enumerate(("front", "rear"), start=1)}
        if told != self._pair:
            raise WrongAnswerError(f"the page opened with {told} instead of {self._pair}")

    @property
    def _slot(self) -> list:
        return self._slots[self._picked - 1]

    async def drag(self, seconds: float) -> None:
        """Move the hand for so long; the kernel hears of nothing."""
        end = time.perf_counter() + seconds
        while time.perf_counter() < end:
            await self._step()

    async def rest(self) -> None:
        """Let the hand rest: tell the set-ups, wait for words and link, then ask for the code."""
        await asyncio.sleep(REST)  # the hand's, before it is called at rest
        before, self._slot[1:3] = self._slot[1:3], self._pair.values()
        self._serial += 1
        line = {"serial": self._serial, "picked": self._picked, "slots": self._slots}
        sent = time.perf_counter()
        self._write("tell", json.dumps(line, separators=(",", ":")))
        if self._slot[1:3] != before:
            await self._until(self._said, f"words on {self._pair}")
            self.seen.answers.append(Answer(sent, sent, time.perf_counter() - sent))
        await asyncio.sleep(max(0.0, sent + STILL - time.perf_counter()))  # browser's own pause
        self._asked += 1
        self._write("ask", f"{self._asked} {self._url}gearing")
        mark = f'data-number="{self._asked}"'
        await self._until(lambda: mark in self._texts[self._widgets["code"]], "the code on paper")

    def open_lids(self) -> None:
        """Open every lid, so that whatever stands under them is worked out at each rest."""
        self._opened = True
        for comm in self._lids:
            data = {"method": "update", "state": {"selected_index": 0}, "buffer_paths": []}
            self._websocket.say("comm_msg", {"comm_id": comm, "data": data})

    def _said(self) -> bool:
        front, rear = self._pair.values()
        words = f"Front sprocket {front} teeth, rear sprocket {rear} teeth"
        found = not self._opened or any(words in str(each) for each in self._texts.values())
        return found and f"front={front}&rear={rear}" in self._texts[self._widgets["link"]]

    def _find(self, states: dict[str, dict]) -> dict[str, str]:
        classes = {"bn-tell": "tell", "bn-picture-asked": "ask", "bn-picture-code": "code"}
        found = {}
        for comm, state in states.items():
            for each in state.get("_dom_classes", ()):
                if each in classes:
                    found[classes[each]] = comm
            if state.get("description") == "Link to this bench":
                found["link"] = comm
        self._lids = [comm for comm, state in states.items() if "selected_index" in state]
        if len(found) != 4:
            raise WrongAnswerError(f"widgets are missing; found {sorted(found)}")
        return found


class VisitorBefore(_OnTheBench):
    """A visitor of the code of before: each step of a slider is a message to the kernel."""

    _awaited: tuple[str, float] | None = None
    _told: Pair | None = None

    async def drag(self, seconds: float) -> None:
        """Move the hand for so long; what it is set to is said as soon as the last was answered."""
        self._told = self._told or dict(self._pair)
        end = time.perf_counter() + seconds
        while time.perf_counter() < end:
            await self._step()
            self._say()

    async def rest(self) -> None:
        """Wait until the kernel has answered the last step."""
        await self._until(lambda: self._awaited is None, f"the answer to {self._pair}")

    def _say(self) -> None:
        moved = [name for name in self._pair if self._pair[name] != self._told[name]]
        if moved and self._awaited is None:
            self._told[moved[0]] = self._pair[moved[0]]
            self._awaited = self._write(moved[0], self._pair[moved[0]]), time.perf_counter()

    def _idle(self, parent: bytes) -> None:
        if self._awaited and self._awaited[0].encode() in parent:
            sent = self._awaited[1]
            self.seen.answers.append(Answer(sent, sent, time.perf_counter() - sent))
            self._awaited = None
            self._say()

    def _find(self, states: dict[str, dict]) -> dict[str, str]:
        found = {}
        for comm, state in states.items():
            for name in self._pair:
                if state.get("description") == f"{name.title()} sprocket":
                    found[name] = comm
                    self._sold[name] = state["min"], state["max"]
        if len(found) != 2:
            raise WrongAnswerError(f"sliders are missing; found {sorted(found)}")
        return found
