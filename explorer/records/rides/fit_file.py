"""Rides from FIT files, decoded by fitdecode.

Only the messages called "record" are looked at: timestamp, position in semicircles, speed in m/s,
altitude in metres. Their usual names are those of the public FIT profile, which fitdecode carries.
FIT has no engine speed of its own; a logger's own ("developer") field named "engine_speed" in rpm
is taken.
"""

import io
import math
from datetime import datetime

import fitdecode

from explorer import units
from explorer.records.errors import RecordError
from explorer.records.rides.ride import Ride
from explorer.records.rides.ride_segments import Recording, check_count, ride_of

_DEGREES = 180.0 / 2**31
"""One semicircle [deg]."""
_COLUMNS = ("time", "latitude", "longitude", "altitude", "speed", "engine_speed")
_MOST_FRAMES_PER_POINT = 30
_FEWEST_FRAMES_ALLOWED = 20_000


def looks_like_fit(content: bytes) -> bool:
    """Whether the content has the mark of a FIT file in its header."""
    return content[8:12] == b".FIT"


def read_fit(label: str, content: bytes) -> Ride:
    """Read a FIT file: a new segment where its timer was stopped or the log is silent."""
    # The largest size a header can claim is beyond any file: compare before anything is read.
    header, body = content[0], int.from_bytes(content[4:8], "little")
    if header not in (12, 14) or len(content) < header + body + 2:
        raise RecordError("The FIT file breaks off; copy it again from the logger.")
    try:
        stretches = _stretches(content)
    except RecordError:
        raise
    except fitdecode.FitCRCError:
        raise RecordError(
            "The FIT file is damaged: its check sum does not fit; copy it again from the logger."
        ) from None
    except fitdecode.FitEOFError:
        raise RecordError("The FIT file breaks off; copy it again from the logger.") from None
    except Exception:  # the decoder's own faults are those of the file
        raise RecordError(
            "The FIT file has something in it that cannot be read; export the ride as GPX or CSV."
        ) from None
    recordings = [
        Recording.of(**dict(zip(_COLUMNS, zip(*rows, strict=True), strict=True)))
        for rows in stretches
        if rows
    ]
    if not recordings:
        raise RecordError(
            "The FIT file has no recorded points; open the file of a ride, not of a course or of "
            "settings."
        )
    return ride_of(label, "FIT", recordings, with_clock=True)


def _stretches(content: bytes) -> list[list[tuple[float, ...]]]:
    """Rows of each stretch between two stops of the timer."""
    stretches: list[list[tuple[float, ...]]] = [[]]
    points = frames = 0
    with fitdecode.FitReader(
        io.BytesIO(content),
        check_crc=fitdecode.CrcCheck.RAISE,
        error_handling=fitdecode.ErrorHandling.RAISE,
    ) as reader:
        for frame in reader:
            frames += 1
            if frames > _FEWEST_FRAMES_ALLOWED + _MOST_FRAMES_PER_POINT * points:
                raise RecordError("The FIT file is no plain ride; export the ride as GPX or CSV.")
            if not isinstance(frame, fitdecode.FitDataMessage):
                continue
            if frame.name == "event" and _value(frame, "event") == "timer":
                stretches.append([])
            elif frame.name == "record":
                points += 1
                check_count(points)
                stretches[-1].append(_row(frame))
    return stretches


def _row(frame: fitdecode.FitDataMessage) -> tuple[float, ...]:
    time = _value(frame, "timestamp")
    rpm = units.to_si("1 rpm", "engine speed")
    return (
        time.timestamp() if isinstance(time, datetime) else math.nan,
        _number(frame, "position_lat") * _DEGREES,
        _number(frame, "position_long") * _DEGREES,
        _number(frame, "enhanced_altitude", "altitude"),
        _number(frame, "enhanced_speed", "speed"),
        _number(frame, "engine_speed") * rpm,
    )


def _value(frame: fitdecode.FitDataMessage, name: str) -> object:
    return frame.get_value(name, fallback=None)


def _number(frame: fitdecode.FitDataMessage, *names: str) -> float:
    """The first of these fields that holds a number."""
    for name in names:
        value = _value(frame, name)
        if isinstance(value, int | float):
            return float(value)
    return math.nan
