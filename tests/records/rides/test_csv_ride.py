"""Tables as loggers and spreadsheets write them. The files are made here, each of a common shape.

No figure is taken from elsewhere: every table says 10 m/s, or 11.1 m/s northward, in its own way.
"""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.records.errors import RecordError
from explorer.records.rides.csv_columns import named
from explorer.records.rides.csv_ride import ColumnsUnclear, read_csv_ride

N = range(40)
CLOCKS = [f"09:30:{n:02d}" for n in N]
NORTH = [45 + n * 1e-4 for n in N]  # 11.11 m a second on the ellipsoid at 45° N


def comma(value):
    return str(value).replace(".", ",")


def table(*lines):
    return "\n".join((*lines, "")).encode()


SHAPES = {
    "decimal comma and semicolons": table(
        "Time (s);Speed (km/h);RPM", *(f"{comma(n * 0.5)};{comma(36.0)};3000" for n in N)
    ),
    "tabs and a row of units": table(
        "time\tspeed\trpm", "s\tkm/h\t1/min", *(f"{n}\t36.0\t3000" for n in N)
    ),
    "a row of units in brackets": table(
        "time;speed;engine speed", "[s];[m/s];[rpm]", *(f"{n};10;3000" for n in N)
    ),
    "a clock, lines before, miles": table(
        "Logger of the shed",
        "Rider: nobody",
        "",
        "Time,Speed mph,Engine RPM,Gear",
        *(f"{clock},22.369363,3000,3" for clock in CLOCKS),
    ),
    "day and clock apart": table(
        "Date,Time,GPS Speed [m/s],rpm", *(f"04.05.2031,{c},10,3000" for c in CLOCKS)
    ),
    "milliseconds told by their steps": table(
        "time,speed_kmh,rpm", *(f"{n * 100},36,3000" for n in N)
    ),
    "quoted, decimal commas": table(
        '"Time [s]","Speed [km/h]","RPM"', *(f'"{n},0","36,00","3000"' for n in N)
    ),
    "header in a comment": table("# time,speed [m/s],rpm", *(f"{n},10,3000" for n in N)),
    "thousands with points": table("time [s];speed [m/s];rpm", *(f"{n};10,0;3.000,0" for n in N)),
    "a blank line behind each": table("time [s],speed [m/s],rpm", *(f"{n},10,3000\n" for n in N)),
    "utf-16": table("time [s],speed [m/s],rpm", *(f"{n},10,3000" for n in N))
    .decode()
    .encode("utf-16"),
    "cells without a value": table(
        "time [s],speed [m/s],rpm,gear", *(f"{n},{'N/A' if n == 9 else 10},3000,--" for n in N)
    ),
}


@pytest.mark.parametrize("shape", SHAPES)
def test_speed_and_engine_speed_of_each_shape(shape):
    ride = read_csv_ride("a.csv", SHAPES[shape])
    [segment] = ride.segments
    assert len(segment.time) >= 39
    assert segment.speed == pytest.approx(10.0, rel=1e-6)
    assert segment.engine_speed == pytest.approx(100 * np.pi)
    assert np.median(np.diff(segment.time)) in (
        pytest.approx(1.0),
        pytest.approx(0.5),
        pytest.approx(0.1),
    )


@pytest.mark.parametrize(
    "text",
    [
        table(
            "timestamp,latitude,longitude",
            *(f"2031-05-04T{c}Z,{a:.6f},14" for c, a in zip(CLOCKS, NORTH, strict=True)),
        ),
        table(
            "Timestamp;Lat (°);Lon (°)",
            *(f"{1935912000 + n};{comma(f'{45 + n * 1e-4:.6f}')};14,0" for n in N),
        ),
        table("utc,lat,lng", *(f"{1935912000000 + 1000 * n},{45 + n * 1e-4:.6f},14.0" for n in N)),
        table("a,b,c", *(f"{n},{45 + n * 1e-4:.6f},14.{n:06d}" for n in N)),
        table(*(f"{n},{45 + n * 1e-4:.6f},14.{n:06d}" for n in N)),
        "time [s];latitude [°];longitude [°]\n".encode("cp1252")
        + table(*(f"{n};{45 + n * 1e-4:.6f};14" for n in N)),
        table("time [s],lat,lon", *(f"{n},{450000000 + n * 1000},140000000" for n in N)),
    ],
)
def test_positions_are_recognised_by_name_and_by_value(text):
    ride = read_csv_ride("a.csv", text)
    # geographiclib 2.1: 1e-4° of latitude at 45° N is 11.113 m.
    assert ride.segments[0].speed == pytest.approx(11.113, abs=0.08)


@pytest.mark.parametrize(
    ("unit", "per"), [("m/s", 1.0), ("km/h", 3.6), ("mph", 2.23694), ("kn", 1.94384)]
)
def test_a_speed_without_a_unit_is_told_by_the_positions(unit, per):
    text = table(
        "time,lat,lon,speed", *(f"{n},{45 + n * 1e-4:.6f},14,{11.113 * per:.3f}" for n in N)
    )
    ride = read_csv_ride("a.csv", text)
    column = next(each for each in ride.columns if each.field == "speed")
    assert (column.unit, column.guessed) == (unit, False)
    assert ride.segments[0].speed == pytest.approx(11.113, abs=0.01)


def test_a_guess_is_said():
    ride = read_csv_ride("a.csv", table("time,v", *(f"{n},36" for n in N)))
    assert 'no unit for "v"; it was read as km/h' in " ".join(ride.notes)
    assert [(each.field, each.unit, each.guessed) for each in ride.columns] == [
        ("time", "s", True),
        ("speed", "km/h", True),
    ]


def test_the_rider_decides_what_a_column_is():
    text = table("Zeit;Tempo;x", *(f"{n};10;3000" for n in N))
    with pytest.raises(ColumnsUnclear, match="as the speed") as caught:
        read_csv_ride("a.csv", text)
    assert [each.heading for each in caught.value.columns] == ["Zeit", "Tempo", "x"]
    said = {
        ("Zeit", "Tempo", "x"): {0: ("time", "s"), 1: ("speed", "m/s"), 2: ("engine_speed", "rpm")}
    }
    ride = read_csv_ride("a.csv", text, said)
    assert ride.segments[0].speed == pytest.approx(10.0)
    assert ride.segments[0].engine_speed == pytest.approx(100 * np.pi)
    assert {each.how for each in ride.columns} == {"rider"}
    aside = {("time", "speed"): {1: ("", "")}}
    with pytest.raises(ColumnsUnclear):
        read_csv_ride("a.csv", table("time,speed", "0,1", "1,1"), aside)


def test_two_speeds_are_one_and_the_other_is_left_aside():
    ride = read_csv_ride(
        "a.csv", table("time [s],wheel,speed [m/s],speed", *(f"{n},9,10,36" for n in N))
    )
    assert ride.segments[0].speed == pytest.approx(10.0)
    assert '"wheel", "speed"' in " ".join(ride.notes)


def test_past_midnight_time_runs_on():
    clocks = ["23:59:57", "23:59:58", "23:59:59", "00:00:00", "00:00:01", "0:00:02"]
    ride = read_csv_ride("a.csv", table("time,speed [m/s]", *(f"{c},10" for c in clocks)))
    assert ride.segments[0].time.tolist() == [0, 1, 2, 3, 4, 5]


def test_a_few_unreadable_cells_are_said_and_many_refused():
    rows = [f"{n},{'abc' if n == 7 else 36}" for n in N]
    ride = read_csv_ride("a.csv", table("time [s],speed [km/h]", *rows))
    assert 'Line 9: the speed "abc" cannot be read: left out.' in ride.notes
    rows = [f"{n},{'abc' if n % 2 else 36}" for n in N]
    with pytest.raises(RecordError, match="20 of 40 lines are like that"):
        read_csv_ride("a.csv", table("time [s],speed [km/h]", *rows))


@pytest.mark.parametrize(
    ("heading", "meaning"),
    [
        ("Time (s)", ("time", "s")),
        ("gps_speed_kmh", ("speed", "km/h")),
        ("Speed (GPS) [km/h]", ("speed", "km/h")),
        ("Speed (GPS)", ("speed", None)),
        ("RPM", ("engine_speed", "rpm")),
        ("Engine Speed (1/min)", ("engine_speed", "rpm")),
        ("Elevation [ft]", ("altitude", "ft")),
        ("Longitude", ("longitude", None)),
        ("Temperature [°C]", ("", None)),
        ("", ("", None)),
    ],
)
def test_what_a_heading_names(heading, meaning):
    assert named(heading) == meaning


cells = st.text("0123456789.,:-+eETZ/nai ", max_size=12)


@given(
    st.sampled_from([",", ";", "\t", "|"]),
    st.lists(
        st.sampled_from(["time", "Time (s)", "lat", "lon", "speed", "rpm", "date", "x", ""]),
        max_size=6,
    ),
    st.lists(st.lists(cells, max_size=7), max_size=25),
)
def test_any_table_gives_a_ride_or_sentences(delimiter, headings, rows):
    text = "\n".join(delimiter.join(row) for row in (headings, *rows))
    try:
        ride = read_csv_ride("a.csv", text.encode())
    except RecordError as error:
        assert all(each.endswith(".") for each in error.sentences)
    else:
        assert np.isfinite(ride.length) and ride.length >= 0
