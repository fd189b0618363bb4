"""Reading rides: what each form of log gives, and one sentence for whatever cannot be used."""

import csv
import io
import struct
import zipfile
from pathlib import Path

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from explorer.records.errors import RecordError
from explorer.records.rides.ride import Ride, joined
from explorer.records.rides.ride_file import MOST_BYTES, read_ride
from explorer.records.rides.ride_segments import MOST_POINTS
from tests.records.rides.fit_writer import fit_file

RIDES = Path(__file__).parent / "files"

GPX_HEAD = (
    '<?xml version="1.0"?><gpx version="1.1" creator="test" '
    'xmlns="http://www.topografix.com/GPX/1/1"><trk>'
)


def trackpoint(second, latitude=45.0, longitude=14.0, extra=""):
    return (
        f'<trkpt lat="{latitude}" lon="{longitude}"><ele>100</ele>'
        f"<time>2031-05-04T09:{second // 60:02d}:{second % 60:02d}Z</time>{extra}</trkpt>"
    )


def gpx(*segments, head=GPX_HEAD):
    body = "".join(f"<trkseg>{''.join(points)}</trkseg>" for points in segments)
    return f"{head}{body}</trk></gpx>".encode()


def eastward(seconds, start=0, extra=""):
    """0.001° of longitude a second: 78.847 m at 45° N by geographiclib 2.1."""
    return [trackpoint(start + n, longitude=14 + 0.001 * n, extra=extra) for n in range(seconds)]


def read(content, name="ride"):
    return read_ride([(name, content)])


# --- What each form gives -----------------------------------------------------------------------


def test_gpx_1_1_speed_comes_from_positions_and_segments_are_not_bridged():
    ride = read(gpx(eastward(20), eastward(20, start=30)))
    assert ride.kind == "GPX 1.1"
    assert not ride.reported_speed
    # geographiclib 2.1: 0.001° of longitude at 45° N is 78.847 m; printed to the millimetre.
    assert ride.segments[0].speed == pytest.approx(78.847, abs=0.001)
    assert [len(each.time) for each in ride.segments] == [19, 19]
    assert ride.segments[0].time[0] == 0.5
    assert ride.segments[1].time[0] == 30.5
    assert ride.segments[0].course == pytest.approx(np.pi / 2, abs=1e-4)
    assert ride.length == pytest.approx(38 * 78.847, abs=0.05)
    assert ride.start.isoformat() == "2031-05-04T09:00:00+00:00"


def test_gpx_1_0_has_speeds_of_its_own():
    head = '<gpx version="1.0" creator="t" xmlns="http://www.topografix.com/GPX/1/0"><trk>'
    ride = read(gpx(eastward(10, extra="<speed>12.5</speed>"), head=head))
    assert ride.kind == "GPX 1.0"
    assert ride.reported_speed
    assert ride.segments[0].speed == pytest.approx(12.5)


def test_gpx_1_1_speed_in_an_extension_is_taken():
    extra = "<extensions><x:speed xmlns:x='urn:x'>7.25</x:speed></extensions>"
    ride = read(gpx(eastward(10, extra=extra)))
    assert ride.reported_speed
    assert ride.segments[0].speed == pytest.approx(7.25)


def test_a_silence_divides_a_segment_and_its_speed_counts_nowhere():
    ride = read(gpx([*eastward(10), *eastward(10, start=40)]))
    assert len(ride.segments) == 2
    [silence] = ride.silences
    assert silence.duration == 31
    assert "silent for more than 5 seconds at 1 place" in " ".join(ride.notes)


def test_csv_units_are_converted_and_an_empty_line_begins_a_segment():
    text = (
        "# a comment\n"
        "time [min],speed [mph],engine speed [rpm],gear,altitude [ft],colour\n"
        "0,60,3000,2,1000,red\n0.02,60,3000,2,1000,red\n\n0.04,60,6000,3,,\n0.06,60,6000,3,,\n"
    )
    ride = read(text.encode())
    first, second = ride.segments
    assert first.speed == pytest.approx(26.8224)  # 60 mph, by definition of the mile
    assert first.engine_speed == pytest.approx(100 * np.pi)
    assert first.altitude == pytest.approx(304.8)
    assert first.time == pytest.approx([0, 1.2])
    assert second.altitude is None
    assert second.gear.tolist() == [3, 3]
    assert "colour" in " ".join(ride.notes)


def test_csv_semicolons_dates_and_a_byte_order_mark():
    text = "\ufefftime [UTC];speed [km/h]\n2031-05-04T09:30:00Z;36\n2031-05-04T09:30:01+00:00;36\n"
    ride = read(text.encode())
    assert ride.segments[0].speed.tolist() == [10, 10]
    assert ride.start.hour == 9


def test_fit_records_give_positions_and_speeds():
    content = fit_file([(n, 45.0, 14.0 + 0.0001 * n, 10.0, 250.0) for n in range(12)])
    ride = read(content, "ride.gpx")
    assert ride.kind == "FIT"
    assert ride.reported_speed
    assert ride.segments[0].speed == pytest.approx(10.0, abs=0.001)
    assert ride.segments[0].altitude == pytest.approx(250.0, abs=0.2)
    # By its own speeds, eleven seconds at 10 m/s; its positions are 7.88 m apart.
    assert ride.length == pytest.approx(110.0, abs=0.01)


def test_several_files_make_one_ride_in_the_order_of_time():
    later, earlier = gpx(eastward(10, start=100)), gpx(eastward(10))
    ride = read_ride([("b", later), ("a", earlier)])
    assert [each.time[0] for each in ride.segments] == [0.5, 100.5]
    with pytest.raises(RecordError, match="cover the same time"):
        read_ride([("a", earlier), ("b", earlier)])


def test_joined_rides_without_a_clock_follow_each_other():
    one = read(b"time [s],speed [m/s]\n0,5\n1,5\n2,5\n")
    both = joined([one, one])
    assert both.segments[1].time[0] > both.segments[0].time[-1]


# --- The public track ---------------------------------------------------------------------------


def test_the_public_car_trip():
    """around-visnjan-with-car.gpx of the gpxpy 1.6.2 source distribution (Apache-2.0)."""
    ride = read((RIDES / "around-visnjan-with-car.gpx").read_bytes())
    # Over all 103 steps geographiclib 2.1 gives 2736.0 m, and gpxpy's own length_2d 2736.3 m. It
    # stands for the rest.
    assert ride.length == pytest.approx(2736.0, rel=0.02)
    assert ride.cleaned().length == pytest.approx(2736.0, rel=0.05)
    raw = max(
        [*(each.speed.max() for each in ride.segments), *(each.speed for each in ride.silences)]
    )
    # The largest of all point-to-point speeds, glitch or not, from the same distances.
    assert raw * 3.6 == pytest.approx(93.56, abs=0.1)
    cleaned = ride.cleaned()
    fastest = max(each.speed.max() for each in cleaned.segments)
    # gpxpy get_moving_data() gives 44.67 km/h, the 95th percentile of the steps is 50.45 km/h.
    assert 40 < fastest * 3.6 < 50.45


# --- What cannot be used ------------------------------------------------------------------------

ONE_POINT = gpx([trackpoint(0)])
BOMB = (
    b'<?xml version="1.0"?><!DOCTYPE gpx [<!ENTITY a "aaaaaaaaaa">'
    + b"".join(f'<!ENTITY {chr(98 + n)} "{f"&{chr(97 + n)};" * 10}">'.encode() for n in range(8))
    + b']><gpx version="1.1"><trk><name>&i;</name></trk></gpx>'
)
OUTSIDE = (
    b'<!DOCTYPE gpx [<!ENTITY a SYSTEM "file:///etc/hostname">]>'
    b'<gpx version="1.1"><trk><name>&a;</name></trk></gpx>'
)


def zipped():
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w") as archive:
        archive.writestr("ride.gpx", "<gpx/>")
    return file.getvalue()


HOSTILE = {
    "empty": (b"", "empty"),
    "blank": (b"  \n \n", "empty"),
    "truncated gpx": (gpx(eastward(30))[:900], "breaks off or is damaged"),
    "entity bomb": (BOMB, "defines a document type"),
    "outside entity": (OUTSIDE, "defines a document type"),
    "deep xml": (GPX_HEAD.encode() + b"<a>" * 2000 + b"</a>" * 2000, "no plain track"),
    "wide xml": (GPX_HEAD.encode() + b"<a/>" * 9000 + b"</trk></gpx>", "no plain track"),
    "other xml": (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "not GPX"),
    "unknown version": (b"<gpx version='2.7'><trk/></gpx>", "version"),
    "waypoints only": (b'<gpx version="1.1"><wpt lat="1" lon="2"/></gpx>', "no track"),
    "no times": (gpx(['<trkpt lat="45" lon="14"/>'] * 20), "without times"),
    "one point": (ONE_POINT, "too few or too far apart"),
    "backward": (gpx(eastward(40)[::-1]), "run backward"),
    "off the globe": (gpx([trackpoint(n, latitude=123) for n in range(9)]), "no point"),
    "broken number": (gpx([trackpoint(n, latitude="x") for n in range(9)]), "cannot be read"),
    "zip": (zipped(), "zip archive"),
    "gzip": (b"\x1f\x8b\x08\x00 rest", "gzip"),
    "latin-1 gpx": ("<gpx version='1.1'><name>é</name></gpx>".encode("latin-1"), "not UTF-8"),
    "binary": (bytes(range(256)) * 40, "no text"),
    "nul": (b"time [s],speed [km/h]\n0,\x001\n", "no text"),
    "header only": (b"time [s],speed [km/h]\n", "no points"),
    "no header": (b"0,10\n1,11\n", "No column was recognised as the time"),
    "one comma too many": (b"time,speed\n0,0,1,5\n1,0,1,5\n", "cannot be told apart"),
    "unreadable": (b"time [s],speed [km/h]\n0,fast\n1,faster\n", "should be a number"),
    "not a gear": (b"time [s],speed [km/h],gear\n0,1,2.5\n", "gear"),
    "all nan": (b"time [s],speed [km/h]\n" + b"nan,nan\n" * 9, "without times"),
    "open quote": (b'time [s],speed [km/h]\n"0,1\n', "not closed"),
    "long line": (b"time [s],speed [km/h]\n" + b"1" * 20_000 + b"\n", "longer than"),
    "fit cut": (fit_file([(n, 45, 14, 9, 0) for n in range(20)])[:-40], "breaks off"),
    "fit header only": (b"\x0e\x10\x00\x00\x00\x00\x00\x00.FIT\x00\x00", "breaks off"),
    "too large": (b"a" * (MOST_BYTES + 1), "at most 8 MB"),
    "too long": (b"time [s],speed [km/h]\n" + b"0,1\n900000,1\n", "48 hours"),
}


@pytest.mark.parametrize("case", HOSTILE)
def test_one_sentence_for_what_cannot_be_used(case):
    content, said = HOSTILE[case]
    with pytest.raises(RecordError) as caught:
        read(content, "ride.gpx")
    sentences = caught.value.sentences
    assert any(said in sentence for sentence in sentences), sentences
    assert len(sentences) <= 3
    for sentence in sentences:
        assert sentence.endswith(".")
        assert "Traceback" not in sentence
        assert "<" not in sentence


def test_a_damaged_fit_file_fails_its_check_sum():
    content = bytearray(fit_file([(n, 45, 14, 9, 0) for n in range(20)]))
    content[-30] ^= 0xFF
    with pytest.raises(RecordError, match="check sum"):
        read(bytes(content))


def test_too_many_points():
    lines = "".join(f"{n},1\n" for n in range(MOST_POINTS + 1))
    with pytest.raises(RecordError, match=f"more than {MOST_POINTS} points"):
        read(b"t [s],v\n".replace(b"t [s],v", b"time [s],speed [m/s]") + lines.encode())


def test_what_is_left_out_is_counted():
    text = (
        "time [s],speed [km/h]\n"
        + "".join(f"{n},20\n" for n in range(60))
        + "59,21\n,22\n60,\n58.5,20\n61,nan\n62,20\n"
    )
    ride = read(text.encode())
    said = " ".join(ride.notes)
    assert "1 point with the time of the point before was left out." in said
    assert "1 point without a time was left out." in said
    assert "1 point whose time runs backward was left out." in said
    assert "2 points without position and speed were left out." in said
    assert ride.points == 61


def test_a_ride_of_nothing_but_glitches_is_answered():
    ride = read(b"time [s],speed [km/h]\n0,1\n1,200\n2,3\n")
    with pytest.raises(RecordError, match="Nothing is left of ride"):
        ride.cleaned()


def test_the_extension_of_the_name_does_not_matter():
    assert read(b"time [s],speed [km/h]\n0,1\n1,1\n", "photo.jpeg").kind == "CSV"
    assert read(gpx(eastward(9)), "ride.fit").kind == "GPX 1.1"


def test_with_several_files_the_sentence_names_the_file():
    with pytest.raises(RecordError, match=r'^"b\.gpx": '):
        read_ride([("a.csv", b"time [s],speed [km/h]\n0,1\n1,1\n"), ("b.gpx", b"<svg/>")])


# --- Whatever comes ------------------------------------------------------------------------------


def sound(ride: Ride) -> None:
    """What every ride that was accepted keeps."""
    assert ride.segments or ride.silences
    end = -np.inf
    for segment in ride.segments:
        assert len(segment.time) >= 2
        assert np.all(np.diff(segment.time) > 0)
        assert segment.time[0] >= end
        end = segment.time[-1]
        assert np.all(np.isfinite(segment.speed))
        assert np.all(segment.speed >= 0)
        assert np.all(segment.lasting >= 0)
    assert np.isfinite(ride.length) and np.isfinite(ride.moving)


def survives(content: bytes) -> None:
    try:
        ride = read(content)
    except RecordError as error:
        assert error.sentences
        assert all(sentence.endswith(".") for sentence in error.sentences)
    else:
        sound(ride)


@given(st.binary(max_size=2000))
def test_any_bytes(content):
    survives(content)


@given(st.binary(max_size=400), st.integers(0, 300))
def test_any_bytes_inside_a_fit_file(content, place):
    good = fit_file([(n, 45, 14 + n * 1e-4, 9, 0) for n in range(8)])
    survives(good[:place] + content + good[place + len(content) :])


@given(st.text(max_size=300), st.integers(0, 900))
def test_any_text_inside_a_gpx_file(text, place):
    good = gpx(eastward(8)).decode()
    survives((good[:place] + text + good[place:]).encode("utf-8", "surrogatepass"))


numbers = st.one_of(
    st.floats(allow_nan=True, allow_infinity=True).map(str),
    st.integers(-(10**40), 10**40).map(str),
    st.text("0123456789.-+eE:;TZ ", max_size=12),
)


@example([("-1.0", "0.0", "0.0"), ("0.0", "-1.0", "0.0")])
@given(st.lists(st.tuples(numbers, numbers, numbers), max_size=30))
def test_any_numbers_in_a_csv_file(rows):
    file = io.StringIO()
    table = csv.writer(file)
    table.writerow(["time [s]", "speed [km/h]", "engine speed [rpm]"])
    table.writerows(rows)
    survives(file.getvalue().encode())


@given(st.lists(st.floats(0, 1e5), min_size=2, max_size=60))
def test_any_order_of_times(times):
    rows = "".join(f"{time!r},10\n" for time in times)
    survives(f"time [s],speed [km/h]\n{rows}".encode())


def test_the_writer_of_the_tests_makes_plain_fit():
    content = fit_file([(0, 0.0, 0.0, 0.0, 0.0)])
    assert content[8:12] == b".FIT"
    assert struct.unpack_from("<I", content, 4)[0] == len(content) - 16
