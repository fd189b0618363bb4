"""The lesson's own part of a link: which step, which quiz, and whether letters are large.

Everything else in the link is the set-up that all pages share. Nothing in a link is trusted: what
cannot be used gives one sentence and the default stands.
"""

from dataclasses import dataclass
from urllib.parse import unquote_plus

from explorer.records.errors import RecordError
from explorer.records.link import LESSON, LONGEST
from explorer.records.quiz import read_seed
from explorer.records.typed_text import quote

STEPS = 10

DEFAULT_SEED = 1

_SIZES = ("usual", "large")


@dataclass(frozen=True)
class Place:
    """Where in the lesson a link opens it.

    Attributes
    ----------
    step : int
        1 to 10.
    seed : int
        Number of the quiz.
    large : bool
        Whether letters and lines are large, for a projector.
    """

    step: int = 1
    seed: int = DEFAULT_SEED
    large: bool = False


def encode_place(place: Place) -> str:
    """Write a place, to put behind the question mark of a link and before the set-up.

    Parameters
    ----------
    place : Place
        Where the lesson stands.

    Returns
    -------
    str
        For example "step=4&quiz=1".

    Examples
    --------
    >>> encode_place(Place(step=4, large=True))
    'step=4&quiz=1&letters=large'
    """
    return f"step={place.step}&quiz={place.seed}" + ("&letters=large" if place.large else "")


def decode_place(query: str) -> tuple[Place, str, list[str]]:
    """Take the lesson's own parameters out of a link.

    Parameters
    ----------
    query : str
        The query string, with or without its question mark. It may hold anything.

    Returns
    -------
    tuple of Place, str and list of str
        Where to open the lesson, the query that is left for the set-up, and one sentence for each
        parameter that could not be used.

    Examples
    --------
    >>> decode_place("?step=4&bike=bracken-125")
    (Place(step=4, seed=1, large=False), 'bike=bracken-125', [])
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
    fields = {}
    for name, text in own.items():
        try:
            fields |= _READERS[name](text)
        except RecordError as error:
            sentences.append(f"The link's {name}: {error}")
    return Place(**fields), "&".join(others), sentences


def _step(text: str) -> dict[str, int]:
    if text.isascii() and text.isdigit() and len(text) <= 2 and 1 <= int(text) <= STEPS:
        return {"step": int(text)}
    raise RecordError(
        f"{quote(text)} is not a step of the lesson, 1 to {STEPS}; it opens at the first."
    )


def _letters(text: str) -> dict[str, bool]:
    if text in _SIZES:
        return {"large": text == "large"}
    raise RecordError(f"{quote(text)} is not known; one of {', '.join(_SIZES)} was expected.")


_READERS = {"step": _step, "quiz": lambda text: {"seed": read_seed(text)}, "letters": _letters}
