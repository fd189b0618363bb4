"""The wants of a rider in a link or in a file: written, and read back with complaints, not errors.

Each want is one parameter, for example ``want.1=corner; weight 3; speed 25 km/h``; the mix is
``want.mix=woods 60; hills 40``, what is ticked is ``want.ticked=stalls; screams``.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from urllib.parse import parse_qsl
from urllib.parse import quote as percent_encode

from explorer.records.errors import RecordError
from explorer.records.setups.link import LONGEST, WANT
from explorer.records.typed_text import quote, tidy
from explorer.study.wants.complaints import COMPLAINTS
from explorer.study.wants.kinds import WANTS, read_want
from explorer.study.wants.mixes import TERRAIN_IDS, normalised
from explorer.study.wants.want import Want

MOST_WANTS = 24


@dataclass(frozen=True)
class Wishes:
    """Everything a rider said about the riding.

    Attributes:
        wants: The rider's own wants, on the ground of the set-up.
        shares (tuple of (str, float)): Terrains of the mix and their shares, in any common unit
            [-].
        ticked: Complaints that the rider ticked, by their short names.
    """

    wants: tuple[Want, ...] = ()
    shares: tuple[tuple[str, float], ...] = ()
    ticked: tuple[str, ...] = ()

    @property
    def mix(self) -> dict[str, float]:
        """Shares of the mix, adding up to one; empty without a mix [-]."""
        return normalised(dict(self.shares))


def encode_wants(wishes: Wishes) -> str:
    """Write wishes as parameters with a leading ampersand, to put behind a set-up's link.

    Raises:
        RecordError: One sentence, if they do not fit in a link.

    >>> encode_wants(Wishes((read_want("corner", {"speed": "25 km/h"}, 3),)))
    '&want.1=corner;weight%203;speed%2025%20km/h'
    """
    text = "".join(
        f"&{name}={percent_encode(value.replace('; ', ';'), safe='/:,;*()')}"
        for name, value in _parameters_of(wishes)
    )
    if len(wishes.wants) > MOST_WANTS or len(text) > LONGEST // 2:
        raise RecordError(
            f"These wants do not fit in a link (at most {MOST_WANTS}); take some away, or save "
            "them in a file."
        )
    return text


def decode_wants(query: str) -> tuple[Wishes, list[str]]:
    """Read wishes out of a link; what cannot be used is left out, with one sentence for each.

    >>> decode_wants("?bike=x&want.1=corner;speed 25 km/h&want.tea=yes")[1]
    ['The link\\'s "want.tea": It has no place here and was left out.']
    """
    if len(query) > LONGEST:
        return Wishes(), []  # `link.decode` says so
    pairs = parse_qsl(query.removeprefix("?"), keep_blank_values=True, errors="replace")
    return _read(((name, text) for name, text in pairs if name.startswith(WANT)), "link")


def write_wants(wishes: Wishes) -> str:
    """Write wishes as a text file, as in the link; `read_wants` reads it back.

    >>> print(write_wants(Wishes(shares=(("woods", 60), ("hills", 40)))), end="")
    # Wants of a rider
    want.mix = woods 60; hills 40
    """
    lines = [f"{name} = {value}" for name, value in _parameters_of(wishes)]
    return "\n".join(["# Wants of a rider", *lines, ""])


def read_wants(content: bytes | str) -> tuple[Wishes, list[str]]:
    """Read a file that `write_wants` wrote, or one that holds anything; what cannot be used is left
    out, with one sentence for each line."""
    if len(content) > LONGEST:
        return Wishes(), [f"The file is too long; at most {LONGEST} characters are read."]
    text = content.decode("utf-8", "replace") if isinstance(content, bytes) else content
    lines = [line.strip() for line in text.removeprefix("\ufeff").splitlines()]
    rows = [line.partition("=") for line in lines if line and not line.startswith("#")]
    return _read(((name.strip(), value.strip()) for name, _, value in rows), "file")


def _parameters_of(wishes: Wishes) -> list[tuple[str, str]]:
    rows = [(f"{WANT}{number}", _want_text(want)) for number, want in enumerate(wishes.wants, 1)]
    if wishes.shares:
        shares = "; ".join(f"{name} {share:.12g}" for name, share in wishes.shares)
        rows.append((f"{WANT}mix", shares))
    if wishes.ticked:
        rows.append((f"{WANT}ticked", "; ".join(wishes.ticked)))
    return rows


def _want_text(want: Want) -> str:
    values = [f"{name.replace('_', '-')} {text}" for name, text in want.texts.items() if text]
    return "; ".join([want.kind, f"weight {want.weight:g}", *values])


def _read(parameters: Iterable[tuple[str, str]], source: str) -> tuple[Wishes, list[str]]:
    sentences: list[str] = []
    numbered: dict[int, Want] = {}
    shares: tuple[tuple[str, float], ...] | None = None
    ticked: tuple[str, ...] = ()
    for name, text in parameters:
        short = name.removeprefix(WANT)
        number = int(short) if short.isascii() and short.isdigit() and len(short) < 4 else 0
        try:
            if not text.isprintable() or "\N{REPLACEMENT CHARACTER}" in text:
                raise RecordError("It holds characters that cannot be read and was left out.")
            if number and number not in numbered and len(numbered) < MOST_WANTS:
                numbered[number] = _want(text)
            elif short == "mix" and shares is None:
                shares = _shares(text)
            elif short == "ticked" and not ticked:
                ticked = _ticked(text)
            else:
                raise RecordError("It has no place here and was left out.")
        except RecordError as error:
            sentences += [f"The {source}'s {quote(name)}: {each}" for each in error.sentences]
    wants = tuple(want for _, want in sorted(numbered.items()))
    return Wishes(wants, shares or (), ticked), sentences


def _want(text: str) -> Want:
    kind, *parts = (tidy(part) for part in text.split(";"))
    texts: dict[str, str] = {}
    for part in filter(None, parts):
        name, _, value = part.partition(" ")
        texts[name.replace("-", "_")] = value
    weight = texts.pop("weight", "1")
    if kind not in WANTS:
        return read_want(kind)
    missing = [ask.name for ask in WANTS[kind].asks if ask.name not in texts and ask.example]
    if missing:
        names = ", ".join(name.replace("_", "-") for name in missing)
        raise RecordError(f"The want {quote(kind)} lacks {names}; give each a value.")
    return read_want(kind, texts, weight)


def _ticked(text: str) -> tuple[str, ...]:
    found = {tidy(part) for part in text.split(";")} - {""}
    for each in sorted(found - COMPLAINTS.keys()):
        raise RecordError(f"{quote(each)} is no complaint; choose from {', '.join(COMPLAINTS)}.")
    return tuple(each for each in COMPLAINTS if each in found)


def _shares(text: str) -> tuple[tuple[str, float], ...]:
    found: dict[str, float] = {}
    for part in filter(None, (tidy(part) for part in text.split(";"))):
        name, _, number = part.partition(" ")
        try:
            share = float(number)
        except ValueError:
            share = -1.0
        if name not in TERRAIN_IDS or not 0 <= share <= 1e6 or name in found:
            raise RecordError(
                f'{quote(part)} is not a share of the mix; write for example "woods 60", with '
                f"one of {', '.join(TERRAIN_IDS)}."
            )
        found[name] = share
    return tuple(found.items())
