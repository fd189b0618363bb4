"""Whether what a scripted visitor is told on the gearing page belongs to that visitor's own set-up.

What is computed here is the final drive ratio alone, rear over front; all else must carry the
visitor's own teeth, bike and weight.
"""

import base64
import html
import json
import re
from dataclasses import dataclass
from urllib.parse import parse_qs

from explorer.study.table import unpacked

_TABLE = re.compile(r'data-table="([A-Za-z0-9+/=]+)"|<script[^>]*data-table[^>]*>([^<]+)<')
_LINK_NAME = "Link to this bench"


class WrongAnswerError(Exception):
    """The server, or the kernel, answered with what it must not."""


@dataclass(frozen=True)
class Bench:
    """What the page itself brought along.

    Attributes:
        slots: Name, front and rear teeth, and tyre of each set-up.
        picked: Which is under the sliders, counted from 1.
        ends: Fewest and most teeth of either slider.
    """

    slots: list[list]
    picked: int
    ends: dict[str, tuple[int, int]]

    def told(self, teeth: dict[str, int], serial: int) -> str:
        """What the bench tells its kernel once so many teeth are under the sliders."""
        slots = [list(each) for each in self.slots]
        slots[self.picked - 1][1:3] = teeth["front"], teeth["rear"]
        return json.dumps({"serial": serial, "slots": slots, "picked": self.picked})


def bench_in(page: str, given: dict[str, str]) -> Bench:
    """The bench in a page as sent; WrongAnswerError if it shows another set-up than the link's.

    Args:
        page: HTML of the page.
        given: What the visitor's link carried, "front" and "rear" among it.
    """
    found = _TABLE.search(page)
    if found is None:
        raise WrongAnswerError("the page came without a table")
    meta, _ = unpacked(base64.b64decode((found[1] or found[2]).strip()))
    shown = meta["slots"][meta["picked"]]
    if any(given[name] != str(shown[name]) for name in ("front", "rear")):
        raise WrongAnswerError(f"the page opened with {shown} instead of {given}")
    parts = ("name", "front", "rear", "tyre")
    slots = [[each[part] for part in parts] for each in meta["slots"][1:]]
    return Bench(slots, meta["picked"], {name: tuple(ends) for name, ends in meta["sold"].items()})


def first_states(states: dict[str, dict]) -> tuple[dict[str, str], dict[str, str]]:
    """Find one's way among the page's widgets: what comm ids are called, and their texts.

    Called are "tell", by which the bench says what was chosen, "words" and "link".
    """
    names: dict[str, str] = {}
    for comm, told in states.items():
        state = told["state"]
        value = state.get("value")
        if "bn-tell" in state.get("_dom_classes", ()):
            names[comm] = "tell"
        elif state.get("description", "") == _LINK_NAME:
            names[comm] = "link"
        elif isinstance(value, str) and "final drive ratio" in value and "ge-said" in value:
            names[comm] = "words"
    if sorted(names.values()) != ["link", "tell", "words"]:
        raise WrongAnswerError(f"widgets are missing; found {[*names.values()]}")
    return names, {name: states[comm]["state"]["value"] for comm, name in names.items()}


def wrong_link(link: str, pair: tuple[int, int], given: dict[str, str]) -> str:
    """What is wrong with the link of an answer; empty if nothing is."""
    told = parse_qs(link.removeprefix("?"))
    wanted = {**given, "front": str(pair[0]), "rear": str(pair[1])}
    for name, value in wanted.items():
        if told.get(name) != [value]:
            return f"{name} is {told.get(name)} instead of {value} in the link {link!r}"
    return ""


def wrong_words(words: str, pair: tuple[int, int]) -> str:
    """What is wrong with the words on a pair; empty if nothing is."""
    front, rear = pair
    wanted = (
        f"Front sprocket {front} teeth, rear sprocket {rear} teeth: "
        f"final drive ratio {rear / front:.2f} "
    )
    said = html.unescape(words)
    return "" if wanted in said else f"words on {front}/{rear}: {said[:200]!r}"
