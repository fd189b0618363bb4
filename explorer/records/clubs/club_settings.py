"""The settings of a club's pages, as club.toml gives them."""

import re
import tomllib
from difflib import get_close_matches
from typing import Annotated, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, ValidationError

from explorer.records.errors import RecordError
from explorer.records.typed_text import quote

LARGEST = 100_000
"""Bytes of the largest club.toml that is read [count]."""

_LABEL = "[a-z0-9](?:[a-z0-9-]{0,61}[a-z0-9])?"
_FRAME_HOST = re.compile(rf"https?://{_LABEL}(?:\.{_LABEL}){{0,9}}(?::([0-9]{{1,5}}))?")


def _one_line(text: str) -> str:
    """Line ends and other blanks become one blank; what cannot be seen stays out."""
    line = " ".join(text.split())
    if not line.isprintable():
        raise ValueError("not readable characters")
    return line


def _not_empty(text: str) -> str:
    if not text:
        raise ValueError("nothing but blanks")
    return text


def _frame_host(text: str) -> str:
    """Scheme, host and port only: whatever else could say something to a browser stays out."""
    host = text.strip().lower()
    found = _FRAME_HOST.fullmatch(host)
    if not found or int(found[1] or 0) > 65535:
        raise ValueError("not a host")
    return host


_Line = AfterValidator(_one_line)


class ClubSettings(BaseModel):
    """What club.toml may say, as `club.Club` explains it: texts on one line and not escaped, bike
    and pages not yet compared with those there are."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)

    title: Annotated[str, Field(max_length=80), _Line, AfterValidator(_not_empty)]
    text: Annotated[str, Field(max_length=1000), _Line] = ""
    contact: Annotated[str, Field(max_length=200), _Line] = ""
    units: Literal["metric", "imperial"] = "metric"
    bike: Annotated[str, Field(max_length=60)] | None = None
    pages: Annotated[list[str], Field(min_length=1)] | None = None
    frame_hosts: Annotated[
        list[Annotated[str, AfterValidator(_frame_host)]], Field(max_length=20)
    ] = Field(default_factory=list)


_ACCEPTED = {
    "title": 'one line of 1 to 80 characters, for example title = "Puddle Lane Trail Club"',
    "text": "at most 1000 characters in quotation marks",
    "contact": 'at most 200 characters, for example contact = "Ask at the clubhouse"',
    "units": 'units = "metric" or units = "imperial"',
    "bike": 'the name of a bike file without its ending, for example bike = "trail-125"',
    "pages": 'a list of page names, for example pages = ["gearing", "fit"]',
    "frame_hosts": "a list of at most 20 hosts, each with its scheme and without path or wildcard, "
    'for example frame_hosts = ["https://club.example"]',
}


def read_settings(data: bytes) -> ClubSettings:
    """Read the contents of club.toml, each setting checked by itself.

    >>> read_settings(b'title = "Puddle Lane Trail Club"').units
    'metric'
    """
    if len(data) > LARGEST:
        raise RecordError("the file is larger than 100 kB; it holds a few lines of settings.")
    try:
        tables = tomllib.loads(data.decode("utf-8-sig"))
    except UnicodeDecodeError:
        raise RecordError("the file is not UTF-8 text; save it again in UTF-8.") from None
    except (ValueError, RecursionError) as error:
        place = re.search(r"at line (\d+)", str(error))
        where = f"line {place[1]}" if place else "the file"
        raise RecordError(
            f"{where} cannot be read as TOML; write a name, an equals sign and a text in quotation "
            'marks, for example units = "metric".'
        ) from None
    try:
        return ClubSettings.model_validate(tables)
    except ValidationError as error:
        raise RecordError(*_sentences(error)) from None


def _sentences(error: ValidationError) -> list[str]:
    """Pydantic's findings in plain sentences, one for each setting."""
    found: dict[str, str] = {}
    for finding in error.errors(include_url=False):
        name = str(finding["loc"][0])
        if finding["type"] == "extra_forbidden":
            near = get_close_matches(name, _ACCEPTED, n=1)
            meant = f"did you mean {near[0]}?" if near else f"there are {', '.join(_ACCEPTED)}."
            said = f"{quote(name)} is not a setting; {meant}"
        elif finding["type"] == "missing":
            said = f"the setting {name} is missing; write {_ACCEPTED[name]}."
        else:
            given = quote(finding["input"])
            said = f"the setting {name} cannot be {given}; write {_ACCEPTED[name]}."
        found.setdefault(name, said)
    return list(found.values())
