"""Whether what a scripted visitor is told on the gearing page belongs to that visitor's own set-up.

What is computed here is the final drive ratio alone, rear over front; all else must carry the
visitor's own teeth, bike and weight.
"""

import html
import re
from typing import Any
from urllib.parse import parse_qs

SLIDERS = {"Front sprocket": "front", "Rear sprocket": "rear"}
"""Descriptions of the sliders that a visitor drags, and what they are called here."""

_RATIO = re.compile(r"Final drive ratio</th><td>[^<]*</td><td>([^<]*)</td>")
_LINK_NAME = "Link to this set-up"


class WrongAnswerError(Exception):
    """The server, or the kernel, answered with what it must not."""


def first_states(
    states: dict[str, dict], given: dict[str, str]
) -> tuple[dict[str, str], dict[str, dict[str, Any]], str]:
    """Find one's way among the page's widgets; they must show the set-up of the link.

    Parameters
    ----------
    states : dict of str to dict
        All widgets, by comm id, as the kernel tells them.
    given : dict of str to str
        What the visitor's link carried, "front" and "rear" among it.

    Returns
    -------
    tuple of dict, dict and str
        Comm id to "glance", "words", "link" or "charts"; "front" and "rear" to the slider's state
        with its ``comm``; and the first words.

    Raises
    ------
    WrongAnswerError
        If something is missing or shows another set-up.
    """
    names: dict[str, str] = {}
    sliders: dict[str, dict[str, Any]] = {}
    texts: dict[str, str] = {}
    for comm, told in states.items():
        state = told["state"]
        described = state.get("description", "")
        value = state.get("value")
        if state["_model_name"] == "IntSliderModel" and described in SLIDERS:
            sliders[SLIDERS[described]] = {**state, "comm": comm}
        elif state["_model_name"] == "BokehModel":
            names[comm] = "charts"
        elif described == _LINK_NAME:
            names[comm] = "link"
        elif isinstance(value, str) and "ge-tiles" in value:
            names[comm] = "glance"
        elif isinstance(value, str) and "ge-said" in value:
            names[comm] = "words"
        if comm in names and value is not None:
            texts[names[comm]] = value
    if len(sliders) != len(SLIDERS) or len(names) != 4:
        raise WrongAnswerError(f"widgets are missing; found {[*sliders, *names.values()]}")
    pair = (int(given["front"]), int(given["rear"]))
    shown = (sliders["front"]["value"], sliders["rear"]["value"])
    complaint = f"the sliders stand at {shown} instead of {pair}" if shown != pair else ""
    complaint = complaint or wrong_in(texts["glance"], texts["link"], pair, given)
    complaint = complaint or wrong_words(texts["words"], pair)
    if complaint:
        raise WrongAnswerError(f"the page opened with another set-up: {complaint}")
    return names, sliders, texts["words"]


def wrong_in(glance: str, link: str, pair: tuple[int, int], given: dict[str, str]) -> str:
    """What is wrong with the figures and the link of an answer; empty if nothing is."""
    front, rear = pair
    if f"<strong>{front}/{rear}</strong>" not in glance:
        return f"asked for {front}/{rear}, and was told {glance[:200]!r}"
    ratio = _RATIO.search(glance)
    if ratio is None or ratio[1] != f"{rear / front:.2f}":
        return f"{front}/{rear} with a final drive ratio of {ratio and ratio[1]}"
    told = parse_qs(link.removeprefix("?"))
    wanted = {**given, "front": str(front), "rear": str(rear)}
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
