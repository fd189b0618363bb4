"""Whether what a scripted visitor is told on the ground page belongs to that visitor's own set-up.

Nothing is computed here: all that is told must carry the visitor's own teeth, bike, weight, slope
and wind.
"""

import html
from typing import Any
from urllib.parse import parse_qs

SLIDERS = {
    "Front sprocket": "front",
    "Rear sprocket": "rear",
    "Slope [%]": "slope",
    "Head wind [km/h]": "wind",
}
"""Descriptions of the sliders that a visitor drags, and what they are called in the link."""

UNITS = {"front": "", "rear": "", "slope": "%", "wind": "km/h"}
"""Behind each number in the link."""

_LINK_NAME = "Link to this set-up"


class WrongAnswerError(Exception):
    """The server, or the kernel, answered with what it must not."""


def first_states(
    states: dict[str, dict], given: dict[str, str]
) -> tuple[dict[str, str], dict[str, dict[str, Any]], dict[str, str]]:
    """Find one's way among the page's widgets; they must show the set-up of the link.

    Args:
        states: All widgets, by comm id, as the kernel tells them.
        given: What the visitor's link carried, "front" and "rear" among it.

    Returns: Comm id to "glance", "words" or "link"; each slider's name to its state with its
        ``comm``; and the first texts. `WrongAnswerError` if something is missing or wrong.
    """
    names: dict[str, str] = {}
    sliders: dict[str, dict[str, Any]] = {}
    texts: dict[str, str] = {}
    for comm, told in states.items():
        state = told["state"]
        described, value = state.get("description", ""), state.get("value")
        if described in SLIDERS and "SliderModel" in state["_model_name"]:
            sliders[SLIDERS[described]] = {**state, "comm": comm}
        elif described == _LINK_NAME:
            names[comm] = "link"
        elif isinstance(value, str) and "ge-tiles" in value:
            names[comm] = "glance"
        elif isinstance(value, str) and "Pulling away in " in value:
            names[comm] = "words"
        if comm in names:
            texts[names[comm]] = value
    if len(sliders) != len(SLIDERS) or len(names) != 3:
        raise WrongAnswerError(f"widgets are missing; found {[*sliders, *names.values()]}")
    places = {name: slider["value"] for name, slider in sliders.items()}
    if any(str(places[name]) != given[name] for name in ("front", "rear")):
        raise WrongAnswerError(f"the sliders stand at {places} instead of {given}")
    complaint = wrong_in(texts["glance"], texts["link"], places, given)
    complaint = complaint or wrong_words(texts["words"], places)
    if complaint:
        raise WrongAnswerError(f"the page opened with another set-up: {complaint}")
    return names, sliders, texts


def _pair(places: dict[str, float]) -> str:
    return f"{places['front']:.0f}/{places['rear']:.0f}"


def wrong_in(glance: str, link: str, places: dict[str, float], given: dict[str, str]) -> str:
    """What is wrong with the figures and the link of an answer; empty if nothing is."""
    if f"<strong>{_pair(places)}</strong>" not in glance:
        return f"asked for {_pair(places)}, and was told {glance[:200]!r}"
    told = parse_qs(link.removeprefix("?"))
    wanted = given | {name: f"{place:g}{UNITS[name]}" for name, place in places.items()}
    for name, value in wanted.items():
        if told.get(name) != [value]:
            return f"{name} is {told.get(name)} instead of {value} in the link {link!r}"
    return ""


def wrong_words(words: str, places: dict[str, float]) -> str:
    """What is wrong with the words on a pair; empty if nothing is."""
    said = html.unescape(words)
    return "" if f"chosen {_pair(places)} " in said else f"words on {_pair(places)}: {said[:200]!r}"
