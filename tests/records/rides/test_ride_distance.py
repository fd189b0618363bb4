"""Distances against geographiclib, and against published values of long ones."""

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic
from hypothesis import given
from hypothesis import strategies as st

from explorer.records.rides.ride_distance import steps_between


def one(latitude, longitude):
    distance, course = steps_between(np.array(latitude), np.array(longitude))
    return distance[0], course[0]


@pytest.mark.parametrize(
    ("latitude", "longitude", "metres", "tolerance"),
    [
        # Example of the geographiclib 2.1 module documentation, printed to 1e-8 m.
        ((-41.32, 40.96), (174.81, -5.50), 19959679.26735382, 1e-5),
        # The place pair of the Rosetta Code task "Haversine formula", with geographiclib 2.1.
        ((36.12, 33.94), (-86.67, -118.40), 2892776.957, 1e-3),
        # Steps of a thousandth of a degree at 45° N, with geographiclib 2.1, to the millimetre.
        ((45.0, 45.001), (14.0, 14.0), 111.132, 1e-3),
        ((45.0, 45.0), (14.0, 14.001), 78.847, 1e-3),
    ],
)
def test_published_distances(latitude, longitude, metres, tolerance):
    assert one(latitude, longitude)[0] == pytest.approx(metres, abs=tolerance)


@given(
    st.floats(-79, 79),
    st.floats(-180, 180),
    st.floats(0, 360),
    st.floats(0.5, 1999),
)
def test_short_steps_agree_with_the_library(latitude, longitude, azimuth, metres):
    there = Geodesic.WGS84.Direct(latitude, longitude, azimuth, metres)
    distance, course = one((latitude, there["lat2"]), (longitude, there["lon2"]))
    # A few parts in ten million: below a millimetre for every step.
    assert distance == pytest.approx(metres, rel=2e-7, abs=1e-6)
    turned = np.remainder(np.rad2deg(course) - azimuth + 180, 360) - 180
    assert abs(turned) < 0.01


@given(st.floats(-90, 90), st.floats(-180, 180), st.floats(-90, 90), st.floats(-180, 180))
def test_any_two_places_agree_with_the_library(latitude, longitude, latitude_2, longitude_2):
    expected = Geodesic.WGS84.Inverse(latitude, longitude, latitude_2, longitude_2)["s12"]
    found, _ = one((latitude, latitude_2), (longitude, longitude_2))
    assert found == pytest.approx(expected, rel=2e-7, abs=1e-6)


def test_across_the_date_line():
    distance, course = one((0.0, 0.0), (179.9999, -179.9999))
    # 0.0002° of the equator, a = 6378137 m of WGS 84.
    assert distance == pytest.approx(np.deg2rad(0.0002) * 6378137, rel=1e-9)
    assert course == pytest.approx(np.pi / 2)
