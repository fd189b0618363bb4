"""Links without defaults: short enough for a coarse code, and the same set-up when opened."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.app.setup_code import code_svg
from explorer.app.state import State
from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.setups.link import decode, encode, without_defaults

LIBRARY = dict(demo_bikes())


@given(
    bike_id=st.sampled_from(sorted(LIBRARY)),
    front=st.integers(11, 16),
    rear=st.integers(40, 56),
    slope=st.sampled_from([0.0, 0.1, -0.05]),
    units=st.sampled_from(["metric", "imperial"]),
    measure=st.sampled_from(["time_to_speed", "roll_on"]),
    rider=st.sampled_from([None, 62.0]),
)
def test_a_short_link_reopens_the_same_set_up(bike_id, front, rear, slope, units, measure, rider):
    setup, bike, _ = decode(f"bike={bike_id}&front={front}&rear={rear}", LIBRARY)
    setup = setup.changed(slope=slope, units=units, measure=measure)
    if rider:
        setup = setup.changed(rider_mass=rider)
    full = encode(setup, LIBRARY[bike_id], bike)
    short = without_defaults(full, setup, LIBRARY[bike_id], bike)
    for site_units in ("metric", "imperial"):
        assert decode(short, LIBRARY, site_units) == (setup, bike, [])
    assert len(short) < len(full)


@pytest.mark.parametrize("bike_id", sorted(LIBRARY))
def test_the_code_of_a_usual_set_up_is_coarse(bike_id):
    """At most 200 characters with an address; version 9 (53 modules) holds 230 at level L
    (ISO/IEC 18004, table 7), so that one module of a 37 mm print is 0.6 mm."""
    sprockets = LIBRARY[bike_id].sprockets
    query = f"bike={bike_id}&front={sprockets.front + 1}&rear={sprockets.rear - 1}"
    query += "&fit.links=122&fit.chain=keep&fit.retainer=bolt"
    state, complaints = State.from_link(query, LIBRARY)
    assert complaints == []
    link = "https://club.example/fit" + state.short_link
    assert len(link) <= 200
    assert code_svg(link) is not None
