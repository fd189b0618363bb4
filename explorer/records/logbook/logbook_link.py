"""What a ride gave, in a link from the check page to the logbook: readable, and checked on arrival.

Three parameters, for example ``log.measured=top speed 92 km/h; hill 18 % held``,
``log.predicted=hill 21 ± 3 %`` and ``log.verdict=as predicted``. A semicolon begins a new line.
"""

from dataclasses import dataclass
from typing import Any
from urllib.parse import quote_plus

from explorer.records.errors import Problems, RecordError
from explorer.records.logbook.entry import read_field
from explorer.records.logbook.logbook_fields import LOG_FIELD
from explorer.records.setups.link import LOG, LONGEST, parameters
from explorer.records.typed_text import quote

LONGEST_TEXT = 700
"""Most characters of what was measured or predicted; the set-up's own words still fit beside it in
a note of the logbook [count]."""

_FIELD_OF = {"measured": "results", "predicted": "predicted", "verdict": "verdict"}
_SAFE = "/:,;*()"
_MORE = "and more, not carried by the link"


@dataclass(frozen=True)
class Outing:
    """What came of riding with a set-up, as texts for an entry: lines of what was measured and
    predicted, and one of the logbook's verdicts or none."""

    measured: tuple[str, ...] = ()
    predicted: tuple[str, ...] = ()
    verdict: str = ""

    @property
    def texts(self) -> dict[str, str]:
        """By the names of the logbook's fields; what is empty is left out."""
        texts = {
            "results": "\n".join(self.measured),
            "predicted": "\n".join(self.predicted),
            "verdict": self.verdict,
        }
        return {name: text for name, text in texts.items() if text}


def encode_outing(outing: Outing, room: int = LONGEST) -> str:
    """Write what a ride gave as parameters to put behind a set-up's link, each with a leading
    ampersand; never raises. Lines for which the link has no room left, in characters, are left out,
    the last first, and the text says so.

    >>> encode_outing(Outing(("top speed 92 km/h", "hill 18 % held"), (), "as predicted"))
    '&log.measured=top+speed+92+km/h;+hill+18+%25+held&log.verdict=as+predicted'
    """
    # The verdict is short and matters most; each of the others gets half of what is left.
    verdict = f"&{LOG}verdict={quote_plus(outing.verdict)}" if outing.verdict else ""
    half = max(room - len(verdict), 0) // 2
    texts = [
        _lines_within(f"&{LOG}{name}=", getattr(outing, name), half)
        for name in ("measured", "predicted")
    ]
    return "".join([*texts, verdict if len(verdict) <= room else ""])


def decode_outing(query: str) -> tuple[Outing, list[str]]:
    """What a ride gave, from a link, and one sentence for each parameter that could not be used and
    was left out. What cannot be read at all, or comes twice, is said by `link.decode`.

    >>> decode_outing("?log.measured=92+km/h;+held&log.verdict=great")[0]
    Outing(measured=('92 km/h', 'held'), predicted=(), verdict='')
    """
    found: dict[str, Any] = {}
    problems = Problems()
    for name, text in parameters(query, LOG):
        short = name.removeprefix(LOG)
        unreadable = not text.isprintable() or "\N{REPLACEMENT CHARACTER}" in text
        if short in found or unreadable:
            continue
        with problems.of(f"The link's {quote(name)}: "):
            found[short] = _read(short, text)
    return Outing(**found), problems


def _read(name: str, text: str) -> str | tuple[str, ...]:
    if name not in _FIELD_OF:
        raise RecordError("It has no place here and was left out.")
    if len(text) > LONGEST_TEXT:
        raise RecordError(f"At most {LONGEST_TEXT} characters are taken, so it was left out.")
    field = LOG_FIELD[_FIELD_OF[name]]
    if name == "verdict":
        return read_field(field, text) if text.strip() else ""
    lines = (part.strip() for part in text.split(";"))
    text = "\n".join(filter(None, lines))
    return tuple(read_field(field, text).split("\n")) if text else ()


def _lines_within(start: str, lines: tuple[str, ...], room: int) -> str:
    """As many lines as fit, in characters as read and as written in the link."""
    # A semicolon inside a line would begin another one; what is no text to read has no place.
    clean = [
        "".join(c for c in line.replace(";", ",") if c.isprintable()).strip() for line in lines
    ]
    clean = [line for line in clean if line]
    for count in range(len(clean), 0, -1):
        more = [_MORE] if count < len(clean) else []
        text = "; ".join([*clean[:count], *more])
        written = start + quote_plus(text, safe=_SAFE, errors="replace")
        if len(text) <= LONGEST_TEXT and len(written) <= room:
            return written
    return ""
