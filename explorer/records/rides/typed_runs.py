"""What a rider timed and read off, typed into small tables: runs, speeds, hills."""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

from explorer import units
from explorer.records.bikes.quantity import read_quantity
from explorer.records.errors import Problems, RecordError
from explorer.records.typed_text import quote, tidy

MOST_ROWS = 30
MOST_RUNS = 12
"""More runs each way than anybody rides [count]."""

_BETWEEN_TIMES = re.compile(r"[;/]|,(?!\d)|(?<!\d),|(?<=\d)\s+(?=\d)(?!\d+/)")
_UNIT = re.compile(r"[0-9.]+ ?([A-Za-z]+)")
_HELD = {"yes": True, "y": True, "held": True, "no": False, "n": False, "not held": False}

Row = Mapping[str, str]
Read = TypeVar("Read")


@dataclass(frozen=True)
class MarkedSpeed:
    """What stood on speedometer and receiver at one engine speed: gear, 1 for first, engine speed
    held [rad/s], speed on the speedometer and by satellite [m/s]; None where not given."""

    gear: int | None
    engine_speed: float | None
    indicated: float | None
    gps: float


@dataclass(frozen=True)
class TimedRuns:
    """Times between two speeds, run by run, there and back.

    Attributes:
        gear: 1 for first; None for a coast-down, clutch pulled.
        from_speed, to_speed: Speeds between which the time was taken [m/s].
        there, back: Times of the runs each way [s].
        resolution: Smallest step that the typed times show [s].
    """

    gear: int | None
    from_speed: float
    to_speed: float
    there: tuple[float, ...]
    back: tuple[float, ...]
    resolution: float


@dataclass(frozen=True)
class HillRun:
    """One climb in one gear at full throttle: its slope, rise over run [-], and whether the speed
    stayed up to the top."""

    gear: int
    slope: float
    held: bool


def read_rows(rows: Sequence[Row], read: Callable[[Row], Read]) -> list[Read]:
    """Read all rows of a table that are not blank; a row has its texts by the names of columns."""
    if len(rows) > MOST_ROWS:
        raise RecordError(f"The table has {len(rows)} rows; at most {MOST_ROWS} are read.")
    found: list[Read] = []
    problems = Problems()
    for number, row in enumerate(rows, start=1):
        if any(text.strip() for text in row.values()):
            with problems.of(f"Row {number}: "):
                found.append(read(row))
    problems.refuse()
    return found


def read_marked_speed(row: Row, gears: int) -> MarkedSpeed:
    """Read "gear", "engine_speed", "indicated" and "gps"; all but the last may be blank.

    >>> read_marked_speed({"gear": "3", "indicated": "48 km/h", "gps": "45 km/h"}, 5).gps
    12.5
    """
    gear, engine_speed, indicated = (row.get(n, "") for n in ("gear", "engine_speed", "indicated"))
    return MarkedSpeed(
        *_all(
            lambda: _gear(gear, gears) if gear.strip() else None,
            lambda: _quantity("Engine speed", engine_speed, "engine speed", optional=True),
            lambda: _quantity("Speedometer", indicated, "speed", optional=True),
            lambda: _quantity("GPS", row.get("gps", ""), "speed"),
        )
    )


def read_timed_runs(row: Row, gears: int, coasting: bool = False) -> TimedRuns:
    """Read "gear" (not of a coast-down), "from", "to", and a time for each run "there" and "back".

    Args:
        coasting (bool): Whether the clutch was pulled, so that the speed falls.

    >>> runs = read_timed_runs({"gear": "3", "from": "30 km/h", "to": "60 km/h",
    ...                         "there": "5.2 s, 5.4 s", "back": "4.9, 5.1 s"}, 5)
    >>> runs.there, runs.back, runs.resolution
    ((5.2, 5.4), (4.9, 5.1), 0.1)
    """
    gear, start, end, (there, fine), (back, fine_back) = _all(
        lambda: None if coasting else _gear(row.get("gear", ""), gears),
        lambda: _quantity("From", row.get("from", ""), "speed"),
        lambda: _quantity("To", row.get("to", ""), "speed"),
        lambda: read_times("There", row.get("there", "")),
        lambda: read_times("Back", row.get("back", "")),
    )
    if (start <= end) if coasting else (start >= end):
        run = "coast-down ends slower" if coasting else "roll-on ends faster"
        raise RecordError(f"a {run} than it starts; swap its two speeds.")
    return TimedRuns(gear, start, end, there, back, min(fine, fine_back))


def read_hill(row: Row, gears: int) -> HillRun:
    """Read one climb: "gear", "slope" and "held" (yes or no).

    >>> read_hill({"gear": "2", "slope": "18 %", "held": "no"}, 5)
    HillRun(gear=2, slope=0.18, held=False)
    """
    return HillRun(
        *_all(
            lambda: _gear(row.get("gear", ""), gears),
            lambda: _quantity("Slope", row.get("slope", ""), "slope"),
            lambda: _held(row.get("held", "")),
        )
    )


def read_times(name: str, text: str) -> tuple[tuple[float, ...], float]:
    """Read the times of several runs, and the smallest step that they show [s].

    Args:
        name: Name of the column, for the sentence.
        text: Times parted by ", ", ";", "/" or blanks; a unit behind the last one stands for all.
            A comma between two digits is a decimal one, unless it parts times with points.

    >>> read_times("There", "5.20, 5.41 s")
    ((5.2, 5.41), 0.01)
    >>> read_times("There", "3,1 s, 3,2 s")
    ((3.1, 3.2), 0.1)
    """
    pieces = list(filter(None, map(tidy, _BETWEEN_TIMES.split(text))))
    commas = [piece for piece in pieces if "," in piece and "." not in piece]
    other_commas_part = "." in text and text.count(",") > len(commas)
    if unclear := next((each for each in commas if other_commas_part or each.count(",") > 1), ""):
        raise RecordError(
            f"{name}: {quote(unclear)} can be read in two ways; put a semicolon between two times, "
            'for example "5,2; 5,4 s".'
        )
    decided = (each.replace(",", ";" if "." in each else ".") for each in pieces)
    parts = [part.strip() for each in decided for part in each.split(";")]
    if not parts:
        raise RecordError(f'{name}: no time is given; write for example "5.2 s, 5.4 s, 5.3 s".')
    if len(parts) > MOST_RUNS:
        raise RecordError(f"{name}: {len(parts)} runs are given; at most {MOST_RUNS} are read.")
    unit = _UNIT.fullmatch(parts[-1])
    times, steps = [], []
    for part in parts:
        with_unit = part if _UNIT.fullmatch(part) or unit is None else f"{part} {unit[1]}"
        time = _quantity(name, with_unit, "time", '"5.2 s, 5.4 s, 5.3 s"')
        times.append(time)
        number = part.split()[0].rstrip("abcdefghijklmnopqrstuvwxyz")
        step = 10.0 ** -len(number.partition(".")[2])
        # A unit other than the second scales the step alike.
        written = float(number) if number.replace(".", "", 1).isdigit() else 0.0
        steps.append(step * time / written if written > 0 else step)
    return tuple(times), round(min(steps), 9)


def with_unit(column: str, text: str, system: str) -> str:
    """What was typed into a column, with the unit that goes without saying behind a bare number.

    >>> with_unit("from", "30", "metric"), with_unit("there", "5,1, 5,3", "metric")
    ('30 km/h', '5,1, 5,3 s')
    """
    kind = _KINDS.get(column, "")
    if kind == "time":
        bare = re.fullmatch("[0-9](?:[0-9.,;/ ]*[0-9])?", text.strip())
        return f"{text.strip()} s" if bare else text
    return units.with_unit(text, kind, system) if kind else text


_KINDS = {
    "engine_speed": "engine speed",
    **dict.fromkeys(("indicated", "gps", "from", "to"), "speed"),
    **dict.fromkeys(("there", "back"), "time"),
    "slope": "slope",
}
_LIMITS = {
    "speed": (("3 km/h", "250 km/h"), '"45 km/h"'),
    "time": (("0.3 s", "300 s"), '"5.2 s"'),
    "engine speed": (("500 rpm", "20000 rpm"), '"5000 rpm"'),
    "slope": (("1 %", "100 %"), '"18 %"'),
}
"""What is accepted of each kind, and what to type."""


def _all(*readers: Callable[[], object]) -> list:
    """What every reader gives, or the sentences of all that failed."""
    found, problems = [], Problems()
    for read in readers:
        with problems.of():
            found.append(read())
    problems.refuse()
    return found


def _quantity(
    name: str, text: str, kind: str, example: str | None = None, optional: bool = False
) -> float | None:
    if optional and not text.strip():
        return None
    within, usual = _LIMITS[kind]
    try:
        return read_quantity(text, kind, within, example or usual).si
    except RecordError as error:
        raise RecordError(f"{name}: {error}") from None


def _gear(text: str, gears: int) -> int:
    entry = tidy(text)
    if not re.fullmatch("[0-9]", entry) or not 1 <= int(entry) <= gears:
        raise RecordError(
            f"Gear: {quote(text)} is not one of the {gears} gears; write 1 to {gears}."
        )
    return int(entry)


def _held(text: str) -> bool:
    held = _HELD.get(tidy(text).lower())
    if held is None:
        raise RecordError(f"Held: {quote(text)} is neither yes nor no; write one of them.")
    return held
