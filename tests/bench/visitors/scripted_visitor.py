"""A visitor without a browser: opens the ground page, drags sliders, checks answers, leaves.

It speaks HTTP and a websocket as the page does. Like the sliders of ipywidgets it sends no value
while the answer to the last one is awaited, only the newest afterwards. Front, rear, slope and wind
are dragged equally often; the kernel answers each (front and rear of the bench would be answered in
the browser). Not done: drawing, and the twenty or so messages with which a browser says how large
its charts are when it has laid them out.
"""

import asyncio
import json
import random
import time
from dataclasses import dataclass
from typing import Any

from tests.bench.visitors.page_habits import Files
from tests.bench.visitors.page_visitor import DRAG, LOOK, STEP, PageVisitor, pause
from tests.bench.visitors.page_websocket import take_apart
from tests.bench.visitors.right_answers import WrongAnswerError, first_states, wrong_in, wrong_words
from tests.bench.visitors.seen_answers import Answer, Seen


@dataclass
class _Awaited:
    message: str
    moved: float
    sent: float
    places: dict[str, float]
    link: str = ""


class Visitor(PageVisitor):
    """One visitor, with a bike and a weight to tell them from others."""

    def __init__(
        self, url: str, files: Files, link: dict[str, str], seen: Seen, chance: random.Random
    ) -> None:
        super().__init__(url, "ground", files, link, seen, chance)
        self._awaited: _Awaited | None = None
        self._held: tuple[str, float, float] | None = None  # slider, value, when moved
        self._names: dict[str, str] = {}  # of the widgets that are listened to, by comm id
        self._sliders: dict[str, dict[str, Any]] = {}
        self._places: dict[str, float] = {}
        self._said = self._glance = ""

    def _knows_the_page(self) -> dict:
        return self._sliders

    async def drag_until(self, end: float, leave: asyncio.Event) -> None:
        """Drag and look, again and again, until a time of `time.perf_counter` or until told."""
        while time.perf_counter() < end and not leave.is_set():
            await self._drag()
            await pause(self._chance.uniform(*LOOK), leave)

    async def _drag(self) -> None:
        """Move one slider to and fro for a while, then wait for the last answer and the words."""
        name = self._chance.choice(list(self._sliders))
        slider = self._sliders[name]
        way = self._chance.choice((-1, 1))
        place = self._places[name]
        before = dict(self._places)
        for _ in range(round(self._chance.uniform(*DRAG) / STEP)):
            if not slider["min"] <= place + way <= slider["max"] or self._chance.random() < 0.1:
                way = -way
            if not slider["min"] <= place + way <= slider["max"]:
                way = -way
            place += way
            self._move(name, place)
            await asyncio.sleep(STEP)  # the pace of the hand
            self._raise_fault()
        await self._until(lambda: self._awaited is None, f"the answer to {name} {place}")
        if self._places != before:
            places = self._places
            await self._until(lambda: not wrong_words(self._said, places), f"words on {places}")

    def _move(self, name: str, value: float) -> None:
        """The hand has moved a slider: send it now, or once the answer awaited has come."""
        now = time.perf_counter()
        self.seen.moves += 1
        if self._awaited is None:
            self._send(name, value, now)
        else:
            self._held = (name, value, now)

    def _send(self, name: str, value: float, moved: float) -> None:
        self._places[name] = value
        data = {"method": "update", "state": {"value": value}, "buffer_paths": []}
        sent = time.perf_counter()
        number = self._websocket.say(
            "comm_msg", {"comm_id": self._sliders[name]["comm"], "data": data}
        )
        self._awaited = _Awaited(number, moved, sent, dict(self._places))

    def _read(self, raw: bytes) -> None:
        kind, parent, content = take_apart(raw)
        if kind == "comm_msg":
            said = json.loads(content)
            self._read_widget(said["comm_id"], said["data"], parent)
        elif kind == "status" and self._awaited and self._is_answer(parent):
            if json.loads(content)["execution_state"] == "idle":
                self._finish(self._awaited)
        elif kind == "error":
            raise WrongAnswerError(f"the kernel sent an error: {content[:300]!r}")

    def _is_answer(self, parent: bytes) -> bool:
        return self._awaited is not None and self._awaited.message.encode() in parent

    def _read_widget(self, comm: str, data: dict, parent: bytes) -> None:
        if data["method"] == "update_states":
            self._names, self._sliders, texts = first_states(data["states"], self._link)
            self._said, self._glance = texts["words"], texts["glance"]
            self._places = {name: slider["value"] for name, slider in self._sliders.items()}
            return
        name = self._names.get(comm)
        if name == "words":
            self._said = data["state"].get("value", self._said)
        elif name == "glance":
            self._glance = data["state"]["value"]
        elif name == "link" and self._is_answer(parent):
            self._awaited.link = data["state"]["value"]

    def _finish(self, answered: _Awaited) -> None:
        """The kernel has done with what was sent: check it, note it, send what was held back."""
        done = time.perf_counter() - answered.sent
        self._awaited = None
        complaint = wrong_in(self._glance, answered.link, answered.places, self._link)
        if complaint:
            raise WrongAnswerError(complaint)
        self.seen.answers.append(Answer(answered.moved, answered.sent, done))
        if self._held:
            (name, value, moved), self._held = self._held, None
            if value != self._places[name]:
                self._send(name, value, moved)
