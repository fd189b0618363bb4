"""Rides from GPX files, versions 1.0 and 1.1.

The file is gone through once by a hardened XML reader that keeps nothing, forbids definitions of
document types and entities, and counts; only then gpxpy reads it.

References:
    GPX 1.0 and 1.1 schemas, www.topografix.com/GPX/1/0/gpx.xsd and /GPX/1/1/gpx.xsd: positions in
    decimal degrees of WGS 84, times in UTC, elevation in metres; a new trkseg where reception was
    lost; 1.0 has <speed> in m/s, 1.1 has none outside <extensions>.
"""

import math
from datetime import UTC, datetime
from xml.sax import SAXException
from xml.sax.handler import ContentHandler

import defusedxml.sax
import gpxpy
import gpxpy.gpx
from defusedxml.common import DefusedXmlException

from explorer.records.errors import RecordError
from explorer.records.rides.ride import Ride
from explorer.records.rides.ride_segments import Recording, check_count, ride_of

VERSIONS = ("1.0", "1.1")

_DEEPEST = 24
_MOST_ELEMENTS_PER_POINT = 40
_FEWEST_ELEMENTS_ALLOWED = 2000


def looks_like_gpx(content: bytes) -> bool:
    """Whether the content begins as XML does; what kind of XML shows when it is read."""
    return content[:200].removeprefix(b"\xef\xbb\xbf").lstrip().startswith(b"<")


def read_gpx(label: str, content: bytes) -> Ride:
    """Read a GPX file: a segment for each of its track, divided further where the log is silent."""
    version = _checked_version(content)
    try:
        track = gpxpy.parse(content.decode("utf-8-sig"), version=version)
        recordings = [
            _recording(segment.points) for part in track.tracks for segment in part.segments
        ]
    except Exception:  # the library's own faults are those of the file: it reads what it is given
        raise RecordError(
            "The GPX file has something in it that cannot be read; export the track again."
        ) from None
    if not any(len(recording.time) for recording in recordings):
        raise RecordError(
            "The GPX file has no track: waypoints and routes have no times; export the recorded "
            "track."
        )
    return ride_of(label, f"GPX {version}", recordings, with_clock=True)


def _checked_version(content: bytes) -> str:
    """Version of a GPX file that is safe to read."""
    counter = _Counter()
    try:
        content.decode("utf-8-sig")
        defusedxml.sax.parseString(content, counter, forbid_dtd=True)
    except RecordError:
        raise
    except UnicodeDecodeError:
        raise RecordError(
            "The GPX file is not UTF-8 text; export the track again, or save it as UTF-8."
        ) from None
    except DefusedXmlException:
        raise RecordError(
            "The XML file defines a document type or entities, which no GPX file needs; export the "
            "track again from the logger."
        ) from None
    except SAXException:
        raise RecordError(
            "The XML of the file breaks off or is damaged; copy it again from the logger."
        ) from None
    except (ValueError, LookupError):  # an encoding that does not exist, a character that cannot
        raise RecordError(
            "The XML of the file is not in UTF-8; export the track again, or save it as UTF-8."
        ) from None
    if counter.root != "gpx":
        raise RecordError("The file is XML but not GPX; export the ride as GPX 1.1, FIT or CSV.")
    if counter.version not in VERSIONS:
        raise RecordError(
            "The GPX file is of a version that is not known; export the track as GPX 1.1 or 1.0."
        )
    return counter.version


class _Counter(ContentHandler):
    """Counts and keeps nothing, whatever the size of the file."""

    def __init__(self) -> None:
        super().__init__()
        self.root = self.version = ""
        self.points = self.elements = self.depth = 0

    def startElement(self, name: str, attrs) -> None:
        if not self.root:
            # A prefix is allowed by XML, and written by some loggers.
            self.root = name.rpartition(":")[2]
            self.version = attrs.get("version", "")
        self.depth += 1
        self.elements += 1
        self.points += name.endswith("trkpt")
        check_count(self.points)
        allowed = _FEWEST_ELEMENTS_ALLOWED + _MOST_ELEMENTS_PER_POINT * self.points
        if self.depth > _DEEPEST or self.elements > allowed:
            raise RecordError(
                "The XML file is no plain track; export the ride as GPX 1.1 without extras."
            )

    def endElement(self, name: str) -> None:
        self.depth -= 1


def _recording(points: list[gpxpy.gpx.GPXTrackPoint]) -> Recording:
    return Recording.of(
        time=[_seconds(point.time) for point in points],
        latitude=[_number(point.latitude) for point in points],
        longitude=[_number(point.longitude) for point in points],
        altitude=[_number(point.elevation) for point in points],
        speed=[_speed(point) for point in points],
    )


def _seconds(time: datetime | None) -> float:
    if time is None:
        return math.nan
    return (time if time.tzinfo else time.replace(tzinfo=UTC)).timestamp()


def _number(value: float | None) -> float:
    return math.nan if value is None else float(value)


def _speed(point: gpxpy.gpx.GPXTrackPoint) -> float:
    """Speed of a point: an element of its own in GPX 1.0, inside an extension in 1.1 [m/s]."""
    if point.speed is not None:
        return float(point.speed)
    for extension in point.extensions:
        for element in extension.iter():
            if element.tag.rpartition("}")[2] == "speed":
                try:
                    return float(element.text)
                except (TypeError, ValueError):
                    return math.nan
    return math.nan
