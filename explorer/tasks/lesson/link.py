"""The lesson's own part of a link: which step and how it is set, which quiz, how large the letters.

Everything else in the link is the set-up that all pages share. Nothing in a link is trusted: what
cannot be used gives one sentence and the default stands.
"""

import re
from collections import Counter
from collections.abc import Container
from dataclasses import replace
from urllib.parse import quote as percent_encode
from urllib.parse import unquote_plus

from explorer import units
from explorer.records.bikes.quantity import read_quantity
from explorer.records.errors import RecordError
from explorer.records.lessons.class_results import LONGEST as LONGEST_RESULTS
from explorer.records.lessons.class_results import entries
from explorer.records.lessons.quiz import read_seed
from explorer.records.setups.link import LESSON, LONGEST
from explorer.records.typed_text import quote, tidy
from explorer.tasks.lesson.experiments import MEASURABLE
from explorer.tasks.lesson.lesson import CLASS, LONGEST_REASON, MOST_TURNS, TEETH, Place
from explorer.tasks.lesson.plans import PLANS
from explorer.tasks.lesson.steps import STEPS

_SIZES = ("usual", "large")

_VOTE = re.compile(r"([0-9]{1,9}(?:\.[0-9]{1,6})?)x([0-9]{1,2})")

_SETTINGS = ("other", "plan", "found", "speed", "travel", "turned", "own")
"""What may follow the number of the step."""

_SPEEDS = ("10 km/h", "160 km/h")
_TRAVELS = ("0 mm", "450 mm")  # as a bike file may give


def encode_place(place: Place, system: str = "metric") -> str:
    """Write a place, to put behind the question mark of a link and before the set-up.

    How the demonstrations are set follows the number of the step, as far as it is not as usual.
    The other pages pass over it with the step.

    Returns: For example "step=4&quiz=1".

    >>> encode_place(Place(step=4)), encode_place(Place(step=4, large=False))
    ('step=4&quiz=1', 'step=4&quiz=1&letters=usual')
    >>> encode_place(Place(step=6, road_speed=60 / 3.6, travel=0.04))
    'step=6;speed%2060%20km/h;travel%2040%20mm&quiz=1'
    """
    parts = [str(place.step)]
    if place.other_bike:
        parts.append(f"other {place.other_bike}")
    if place.plan != Place.plan:
        parts.append(f"plan {place.plan}")
    for name, kind, value, usual in (
        ("speed", "speed", place.road_speed, Place.road_speed),
        ("travel", "length", place.travel, Place.travel),
    ):
        if value != usual:
            shown, unit = units.display(value, kind, system)
            # With so many digits the end of a slider, in other units, is not read as beyond it.
            parts.append(f"{name} {shown:.10g} {unit}")
    if place.experiment:
        parts.append(f"found {place.experiment}")
    if place.turned:
        parts.append(f"turned {place.turned:g}")
    if place.own != Place.own:
        parts.append("own {}/{}".format(*place.own))
    step = percent_encode(";".join(parts), safe="/;")
    large = "" if place.large else "&letters=usual"
    told = percent_encode("|".join(_class_parts(place)), safe="|;")
    return f"step={step}&quiz={place.seed}{large}" + (f"&class={told}" if told else "")


def _class_parts(place: Place) -> list[str]:
    """For each step that was opened or guessed: how far, both rounds of guesses, the reason. Then
    the results of each experiment; those that would be too long for a link are left out."""
    parts = []
    for step in range(1, len(STEPS) + 1):
        rounds = [
            "_".join(
                f"{vote}x{count}"
                for vote, count in Counter(place.votes.get((step, which), ())).items()
            )
            for which in (0, 1)
        ]
        stage, because = place.opened.get(step, 0), place.because.get(step, "")
        if stage or because or any(rounds):
            parts.append(";".join([str(step), str(stage), *rounds, because]))
    for name, text in place.results.items():
        found = ";".join(entries(text))
        if found and len(percent_encode(found, safe=";")) <= LONGEST_RESULTS:
            parts.append(f"{name};{found}")
    return [part.replace("|", "/") for part in parts]


def _class(text: str) -> dict[str, dict]:
    opened, votes, because, results = {}, {}, {}, {}
    for part in text.split("|"):
        name, _, found = part.partition(";")
        if name[:1].isalpha():
            if name not in MEASURABLE or name in results or len(found) > LONGEST_RESULTS:
                raise RecordError(f"{quote(part)} are no results of a class; all were left out.")
            results[name] = tidy(found.replace(";", " "))
            continue
        step, stage, *rounds, reason = [*part.split(";", 4), *[""] * 5][:5]
        if _step(step)["step"] in opened or stage not in ("0", "1", "2", "3"):
            raise RecordError(f"{quote(part)} is no step with its guesses; they were left out.")
        opened[int(step)] = int(stage)
        for which, given in enumerate(rounds):
            found = [_VOTE.fullmatch(each) for each in given.split("_") if each]
            if None in found or sum(int(each[2]) for each in found) > CLASS:
                raise RecordError(f"{quote(given)} are no guesses of at most {CLASS} people.")
            if found:
                votes[int(step), which] = tuple(e[1] for e in found for _ in range(int(e[2])))
        if reason:
            because[int(step)] = tidy(reason)[:LONGEST_REASON]
    return {"opened": opened, "votes": votes, "because": because, "results": results}


def decode_place(query: str) -> tuple[Place, str, list[str]]:
    """Take the lesson's own parameters out of a link.

    Returns: tuple of Place, str and list of str: Where to open the lesson, the query that is left
        for the set-up, and one sentence for each parameter that could not be used. Whether there is
        such a bike to compare with is for `with_known_bike` to say.

    >>> place, rest, sentences = decode_place("?step=4;travel+40+mm&bike=bracken-125")
    >>> place.step, place.travel, rest, sentences
    (4, 0.04, 'bike=bracken-125', [])
    """
    query = query.removeprefix("?")
    if len(query) > LONGEST:
        return Place(), query, []  # `link.decode` says so
    own: dict[str, str] = {}
    others, sentences = [], []
    for part in query.split("&"):
        name, _, text = part.partition("=")
        if name not in LESSON:
            others.append(part)
        elif name in own:
            sentences.append(f"The link gives {quote(name)} more than once; the first one counts.")
        else:
            own[name] = unquote_plus(text)
    if "step" in own:
        own |= _parts(own["step"], sentences)
    fields = {}
    for name, text in own.items():
        try:
            fields |= _READERS[name](text)
        except RecordError as error:
            sentences.append(f"The link's {name}: {error}")
    return Place(**fields), "&".join(others), sentences


def with_known_bike(place: Place, bike_id: str, library: Container[str]) -> tuple[Place, list[str]]:
    """Leave out a bike to compare with that there is not, or that the lesson is about already.

    Returns: The place, and a sentence where something was left out.

    >>> with_known_bike(Place(other_bike="b"), "a", ["a", "b"])[1]
    []
    """
    other = place.other_bike
    if not other or (other in library and other != bike_id):
        return place, []
    why = "is the bike of this lesson itself" if other == bike_id else "is not in the library"
    sentence = f"The link's other bike {quote(other)} {why}; the next one is shown instead."
    return replace(place, other_bike=""), [sentence]


def _parts(text: str, sentences: list[str]) -> dict[str, str]:
    """Take "6;speed 60 km/h" apart: the step, and how its demonstrations are set."""
    step, *parts = text.split(";")
    found = {"step": step}
    left_out = []
    for part in filter(None, map(tidy, parts)):
        name, _, value = part.partition(" ")
        if name in _SETTINGS and name not in found:
            found[name] = value
        else:
            left_out.append(part)
    if left_out:
        # One sentence, however many there are.
        sentences.append(
            f"The link's step: {quote('; '.join(left_out))} is not known here, or stands twice, "
            "and was left out."
        )
    return found


def _step(text: str) -> dict[str, int]:
    if text.isascii() and text.isdigit() and len(text) <= 2 and int(text) <= len(STEPS):
        return {"step": int(text)}
    raise RecordError(
        f"{quote(text)} is not a step of the lesson, 1 to {len(STEPS)}; it opens at its beginning."
    )


def _turned(text: str) -> dict[str, float]:
    if re.fullmatch(r"[0-9](?:\.[0-9]{1,2})?", text) and float(text) <= MOST_TURNS:
        return {"turned": float(text)}
    raise RecordError(f"{quote(text)} is no number of turns from 0 to {MOST_TURNS}.")


def _own(text: str) -> dict[str, tuple[int, int]]:
    found = re.fullmatch(r"([0-9]{1,2})/([0-9]{1,2})", text)
    teeth = (int(found[1]), int(found[2])) if found else (0, 0)
    if all(low <= each <= high for each, (low, high) in zip(teeth, TEETH, strict=True)):
        return {"own": teeth}
    raise RecordError(f"{quote(text)} is no pair of sprockets, such as 13/48.")


def _found(text: str) -> dict[str, str]:
    if text in MEASURABLE:
        return {"experiment": text}
    raise RecordError(f"{quote(text)} is nothing that a class finds out here.")


def _letters(text: str) -> dict[str, bool]:
    if text in _SIZES:
        return {"large": text == "large"}
    raise RecordError(f"{quote(text)} is not known; one of {', '.join(_SIZES)} was expected.")


def _plan(text: str) -> dict[str, int]:
    if text in map(str, PLANS):
        return {"plan": int(text)}
    raise RecordError(f"{quote(text)} is no plan; one of 20, 40 and 90 minutes was expected.")


_READERS = {
    "plan": _plan,
    "step": _step,
    "quiz": lambda text: {"seed": read_seed(text)},
    "letters": _letters,
    "class": _class,
    "turned": _turned,
    "own": _own,
    "found": _found,
    "other": lambda text: {"other_bike": text},
    "speed": lambda text: {"road_speed": read_quantity(text, "speed", _SPEEDS, '"40 km/h"').si},
    "travel": lambda text: {"travel": read_quantity(text, "length", _TRAVELS, '"40 mm"').si},
}
