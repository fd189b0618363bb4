"""Way and speeds of a log with strays, with a wander while standing, or of ten points a second.

The rides are made here from plain kinematics: positions on a straight road by geographiclib, the
truth known in closed form.
"""

import re
from pathlib import Path

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic

from explorer.calc.ride.ride_speed import held_speeds, roll_ons
from explorer.records.errors import RecordError
from explorer.records.rides.ride_file import read_ride


def track(time, way, sideways=0.0, bearing=90.0):
    """A GPX file of positions along a straight road, metres from its start."""
    line = Geodesic.WGS84.Line(45.0, 14.0, bearing)
    rows = []
    for second, metres, off in zip(time, way, np.broadcast_to(sideways, len(way)), strict=True):
        found = line.Position(metres)
        place = Geodesic.WGS84.Direct(found["lat2"], found["lon2"], bearing + 90, off)
        rows.append(
            f'<trkpt lat="{place["lat2"]:.8f}" lon="{place["lon2"]:.8f}"><time>'
            f"2031-05-04T{9 + int(second) // 3600:02d}:{int(second) // 60 % 60:02d}:"
            f"{second % 60:06.3f}Z</time></trkpt>"
        )
    return f'<gpx version="1.1"><trk><trkseg>{"".join(rows)}</trkseg></trk></gpx>'.encode()


def cleaned(content):
    return read_ride([("ride", content)]).cleaned()


def test_one_stray_position_adds_no_way():
    time = np.arange(352.0)
    way = 15.0 * time
    honest = cleaned(track(time, way))
    assert honest.length == pytest.approx(way[-1], rel=1e-4)
    way[200] += 56_000.0
    assert cleaned(track(time, way)).length == pytest.approx(15.0 * 351, rel=2e-3)


@pytest.mark.parametrize("cell", ["1e300", "1e150", "-1e300", "4000", "inf"])
def test_a_cell_beyond_anything_adds_no_way(cell):
    rows = [f"{second},36" for second in range(200)]
    rows[77] = f"77,{cell}"
    ride = cleaned(("time [s],speed [km/h]\n" + "\n".join(rows)).encode())
    assert ride.length == pytest.approx(1990.0, rel=1e-3)


def test_twenty_minutes_of_standing_add_no_way():
    rng = np.random.default_rng(5)
    time = np.arange(1500.0)
    # 150 s there, twenty minutes of standing, 150 s on; a wander of some metres and a jitter.
    truth = np.interp(time, [0, 150, 1350, 1499], [0, 1500, 1500, 2990])
    wander = np.zeros(1500)
    for row in range(1, 1500):
        wander[row] = 0.98 * wander[row - 1] + rng.normal(0, 0.5)
    ride = cleaned(track(time, truth + wander + rng.normal(0, 0.4, 1500), rng.normal(0, 0.4, 1500)))
    assert ride.length == pytest.approx(2990.0, rel=0.02)
    assert ride.moving == pytest.approx(299.0, abs=20.0)


def test_riding_in_a_small_circle_is_no_standing():
    time = np.arange(300.0)
    angle = time * 5.0 / 6.0  # 5 m/s round a circle of 6 m
    ride = cleaned(track(time, 6 * np.sin(angle), 6 * np.cos(angle)))
    # A chord of 5 m in a circle of 6 m is 2 r sin(s / 2 r) = 4.86 m long.
    assert ride.length == pytest.approx(299 * 12 * np.sin(5 / 12), rel=0.01)


def ten_hertz(seed):
    """0 to 27 m/s and held: ten positions a second with a metre of noise."""
    rng = np.random.default_rng(seed)
    time = np.arange(0.0, 90.0, 0.1)
    speed = np.interp(time, [0, 30, 90], [5.0, 27.0, 27.0])
    way = np.concatenate(([0.0], np.cumsum(0.05 * (speed[1:] + speed[:-1]))))
    return time, way, track(time, way + rng.normal(0, 1, 900), rng.normal(0, 1, 900))


@pytest.mark.parametrize("seed", range(3))
def test_ten_positions_a_second_with_noise(seed):
    _, way, content = ten_hertz(seed)
    ride = read_ride([("ride", content)])
    kept = ride.cleaned()
    assert kept.points / ride.points > 0.97
    held = held_speeds(kept.segments[0].time, kept.segments[0].speed, None, 5.0)
    assert held.speed.max() == pytest.approx(27.0, abs=0.5)
    assert kept.length == pytest.approx(way[-1], rel=0.01)


def test_a_stray_among_ten_positions_a_second():
    time, way, _ = ten_hertz(0)
    astray = way.copy()
    astray[500] += 3000.0
    ride = read_ride([("ride", track(time, astray))])
    assert "too far from those before and after it" in " ".join(ride.notes)
    kept = ride.cleaned()
    assert max(each.speed.max() for each in kept.segments) == pytest.approx(27.0, abs=0.1)
    assert kept.length == pytest.approx(way[-1], rel=2e-3)


@pytest.mark.parametrize("row", [0, -1])
def test_a_glitch_at_the_end_of_a_stretch_is_no_roll_on(row):
    speed = np.full(40, 10.0)
    speed[row] = 24.0 if row else 2.0
    text = "time [s],speed [m/s]\n" + "".join(f"{n},{each}\n" for n, each in enumerate(speed))
    kept = cleaned(text.encode()).segments[0]
    assert not len(roll_ons(kept.time, kept.speed, 5.0, 20.0).duration)
    # As little where the filter could not have seen it, among readings that change as much.
    rough = np.tile([6.0, 12.0], 10)
    rough[row] = 22.0 if row else 2.0
    assert not len(roll_ons(np.arange(20.0), rough, 13.0 if row else 4.0, 20.0).duration)


def test_a_sparse_track_gives_distance_and_moving_time():
    time = np.arange(0.0, 3600.0, 15.0)
    way = np.interp(time, [0, 1500, 2100, 3600], [0, 20_000, 20_000, 38_000])
    ride = cleaned(track(time, way))
    assert ride.sparse
    assert ride.length == pytest.approx(way[-1], rel=1e-3)
    assert ride.moving == pytest.approx(2985.0, abs=30)
    assert "a point every 15 seconds. That gives distance and moving time" in " ".join(ride.notes)
    way[100] += 50_000
    assert cleaned(track(time, way)).length == pytest.approx(38_000, rel=0.02)


WALK = Path(__file__).parent / "files" / "walk-at-cerknica.gpx"


def test_a_public_walk_whose_points_are_far_apart():
    """walk-at-cerknica.gpx, see files/README.md; gpxpy 1.6.2 gives the figures beside ours."""
    ride = read_ride([("walk", WALK.read_bytes())])
    # length_2d is 4580 m over all steps, get_moving_data has 4415 m moving and 164 m standing.
    assert ride.length == pytest.approx(4580, rel=0.01)
    assert ride.cleaned().length == pytest.approx(4415, rel=0.02)


def test_few_times_in_many_points_are_given_as_the_reason():
    content, count = WALK.read_bytes(), 0

    def keep_some(match):
        nonlocal count
        count += 1
        return match[0] if count % 60 == 1 else b""

    ride = cleaned(re.sub(rb"<time>.*?</time>", keep_some, content))
    said = " ".join(ride.notes)
    assert "291 points without a time were left out." in said
    assert "Only 5 of 296 points can be used" in said and "5 seconds" not in said


def test_a_log_of_one_time_says_so():
    rows = "".join(f"{n if n == 3 else ''},20\n" for n in range(40))
    with pytest.raises(RecordError, match="39 points without a time were left out"):
        cleaned(f"time [s],speed [km/h]\n{rows}".encode())
