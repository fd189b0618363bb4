"""The link reopens a set-up exactly, and nothing a stranger writes into it breaks a page."""

import math
from urllib.parse import quote as percent_encode

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from explorer import units
from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.errors import RecordError
from explorer.records.ground.course_ids import course_ids
from explorer.records.ground.surfaces import TYRE_KINDS, surfaces
from explorer.records.setups.link import LONGEST, decode, encode
from explorer.records.setups.setup import LIMITS, Setup
from explorer.records.setups.setup_fields import MEASURES, SETUP_FIELD
from explorer.records.tyre import parse_size
from explorer.units import to_si

LIBRARY = demo_bikes()
FIRST = next(iter(LIBRARY))
BIKE = LIBRARY[FIRST]
DEFAULT = Setup.for_bike(FIRST, BIKE)


def numbers(field):
    limit = LIMITS[field]
    # The page's sliders give round values in the reader's unit; files and links give anything.
    ends = [units.display(end, limit.kind, "metric") for end in (limit.low, limit.high)]
    (low, unit), (high, _) = ends
    whole = st.integers(math.ceil(low - 1e-9), math.floor(high + 1e-9))
    return st.floats(limit.low, limit.high) | whole.map(
        lambda number: units.to_si(f"{number} {unit}", limit.kind)
    )


@st.composite
def setups(draw):
    bike_id = draw(st.sampled_from(sorted(LIBRARY)))
    sprockets = LIBRARY[bike_id].sprockets
    speeds = sorted(draw(st.tuples(st.floats(5 / 3.6, 50), st.floats(5 / 3.6, 50))))
    roll_from, roll_to = speeds[0], max(speeds[1] + 2, LIMITS["roll_to"].low)
    return Setup.of(
        bike_id=bike_id,
        front=draw(st.integers(*sprockets.front_sold)),
        rear=draw(st.integers(*sprockets.rear_sold)),
        tyre=draw(st.sampled_from(["100/90-19", "4.10-18", "110/100-18 64m tt", "3.00 - 21"])),
        rollout=draw(st.none() | numbers("rollout")),
        surface=draw(st.sampled_from(sorted(surfaces()))),
        tyre_kind=draw(st.sampled_from(TYRE_KINDS)),
        rider_position=draw(st.sampled_from(SETUP_FIELD["rider_position"].choices)),
        slope=draw(numbers("slope")),
        head_wind=draw(numbers("head_wind")),
        altitude=draw(numbers("altitude")),
        temperature=draw(st.none() | numbers("temperature")),
        rider_mass=draw(numbers("rider_mass")),
        measure=draw(st.sampled_from(MEASURES)),
        target_speed=draw(numbers("target_speed")),
        distance=draw(numbers("distance")),
        roll_from=roll_from,
        roll_to=roll_to,
        roll_gear=draw(st.integers(1, len(LIBRARY[bike_id].gearbox.ratios))),
        cruise_speed=draw(numbers("cruise_speed")),
        shift_at=draw(st.none() | numbers("shift_at")),
        course=draw(st.sampled_from(course_ids())),
        course_rider=draw(st.sampled_from(SETUP_FIELD["course_rider"].choices)),
        units=draw(st.sampled_from(["metric", "imperial"])),
    )


@given(setups())
def test_link_reopens_exactly_this_set_up(setup):
    bike = LIBRARY[setup.bike_id]
    query = encode(setup, bike, bike)
    assert decode(query, LIBRARY) == (setup, bike, [])
    assert decode(query.removeprefix("?"), LIBRARY) == (setup, bike, [])


def test_link_can_be_read_by_a_person():
    setup = DEFAULT.changed(
        tyre="110/100-18",
        rollout=2.05,
        surface="wet-grass",
        slope=0.08,
        altitude=300.0,
        temperature=293.15,
        rider_mass=78.0,
        target_speed=to_si("60 km/h", "speed"),
        cruise_speed=to_si("70 km/h", "speed"),
    )
    query = encode(setup, BIKE, BIKE)
    for part in (
        f"?bike={FIRST}&",
        f"front={BIKE.sprockets.front}",
        "tyre=110/100-18",
        "rollout=2.05m",
        "surface=wet-grass",
        "slope=8%25",
        "wind=0km/h",
        "altitude=300m",
        "temperature=20C",
        "rider=78kg",
        "show=clutch-out",
        "tread=knobbly",
        "rider-is=seated",
        "to=60km/h",
        "cruise=70km/h",
        "units=metric",
    ):
        assert part in query
    imperial = encode(setup.changed(units="imperial", rider_mass=170 * 0.45359237), BIKE, BIKE)
    assert "rider=170lb" in imperial
    assert "temperature=20C" in imperial
    # A value that was round in the other units stays as it was: 60 km/h is no round mph.
    assert "to=60km/h" in imperial


def test_round_slider_values_stay_round_in_the_link():
    for speed in range(5, 190):
        query = encode(DEFAULT.changed(cruise_speed=to_si(f"{speed} km/h", "speed")), BIKE, BIKE)
        assert f"cruise={speed}km/h" in query


def test_empty_link_opens_the_first_bike_as_it_stands():
    for query in ("", "?", "&", "?&&"):
        assert decode(query, LIBRARY) == (DEFAULT, BIKE, [])


@pytest.mark.parametrize(
    "query",
    [
        "bike=unknown",
        "bike=../../etc/passwd",
        "front=99",
        "front=-13",
        "front=13.5",
        "front=\N{ARABIC-INDIC DIGIT ONE}3",
        "rear=0",
        "rear=" + "9" * 1000,
        "tyre=100/90",
        "tyre=<script>alert(1)</script>",
        "tyre=",
        "rollout=205",
        "rollout=205m",
        "rollout=2.05kg",
        "rollout=standard",
        "surface=moon",
        "slope=8",
        "slope=800%25",
        "slope=nanm/m",
        "slope=infm/m",
        "slope=m/m",
        "wind=1e999km/h",
        "altitude=nan m",
        "altitude=99999m",
        "temperature=20",
        "temperature=-300C",
        "rider=5000kg",
        "show=time_to_speed",
        "to=0km/h",
        "over=-5m",
        "roll-from=80km/h&roll-to=40km/h",
        "roll-from=100km/h",
        "roll-gear=0",
        "roll-gear=9",
        "roll-gear=third",
        "cruise=warp",
        "units=furlongs",
        "colour=red",
        "%00=1",
        "front=13%00",
        "tyre=%FF%FE",
        "tyre=%ZZ",
        "surface=wet-grass&surface=loose-sand",
        "own.=1",
        "own.gearbox=1",
        "own.gearbox.primary=fast",
        "own.__class__.__init__=x",
        "own.sprockets.front=<img src=x onerror=alert(1)>",
        "x=" + "a" * LONGEST,
        "&".join(f"x{number}=1" for number in range(300)),
        "a=\udcff",
    ],
)
def test_one_sentence_and_the_default(query):
    setup, bike, sentences = decode(query, LIBRARY)
    (sentence,) = sentences
    assert sentence[0].isupper()
    assert sentence.endswith(".")
    assert len(sentence) < 400
    assert bike == BIKE
    assert setup == DEFAULT.changed(surface=setup.surface)


def test_several_faults_give_a_sentence_each_and_the_rest_counts():
    setup, _, sentences = decode("front=99&slope=steep&surface=loose-sand&colour=red", LIBRARY)
    assert len(sentences) == 3
    assert setup == DEFAULT.changed(surface="loose-sand")


NAMES = st.sampled_from(
    [
        *(part.split("=")[0] for part in encode(DEFAULT, BIKE, BIKE).removeprefix("?").split("&")),
        *("own." + path for path in BIKE.flat()),
        "own.engine.limiter",
        "own.",
    ]
)
VALUES = (
    st.text(max_size=60)
    | st.from_regex(r"-?[0-9]{1,6}(\.[0-9]{1,3})?(%|m|km/h|mph|kg|C|F|in|)", fullmatch=True)
    | st.sampled_from(["metric", "standard", "from-size", "100/90-18", "nan", "inf"])
)


@given(
    st.text(max_size=300)
    | st.lists(st.tuples(NAMES, VALUES), max_size=12).map(
        lambda pairs: "&".join(f"{name}={percent_encode(value)}" for name, value in pairs)
    )
)
@example("own.sprockets.front_sold=90 to 99&front=95")
@example("own.mass.rider=590 kg")
def test_any_text_opens_a_page_and_the_link_of_that_page_is_stable(query):
    setup, bike, sentences = decode(query, LIBRARY)
    assert all(isinstance(sentence, str) and len(sentence) < 500 for sentence in sentences)
    again = encode(setup, LIBRARY[setup.bike_id], bike)
    assert decode(again, LIBRARY) == (setup, bike, [])
    assert encode(*_reopened(again)) == again


def _reopened(query):
    setup, bike, _ = decode(query, LIBRARY)
    return setup, LIBRARY[setup.bike_id], bike


def test_sentences_repeat_at_most_forty_characters():
    for name in ("bike", "front", "tyre", "slope", "surface", "own.gearbox.primary", "x" * 200):
        _, _, sentences = decode(f"{name}={'Q' * 3000}", LIBRARY)
        (sentence,) = sentences
        assert sentence.count("Q") <= 40
        assert sentence.count("x" * 41) == 0


def test_own_bike_is_reopened_with_all_its_changes():
    changes = {
        "gearbox.primary": "3.4",
        "mass.rider": "170 lb",
        "name": "A & B's 100 % <b>",
        "note": "one\ntwo",
    }
    own = BIKE.with_changes(changes)
    setup = Setup.for_bike(FIRST, own)
    query = encode(setup, BIKE, own)
    assert "own.gearbox.primary=3.4" in query
    assert "<" not in query
    assert decode(query, LIBRARY) == (setup, own, [])


def test_own_bike_with_fewer_gears_than_the_default_asks_for():
    setup, bike, sentences = decode("own.gearbox.ratios=2.0", LIBRARY)
    assert (len(bike.gearbox.ratios), setup.roll_gear, sentences) == (1, 1, [])


def test_own_values_that_only_go_together_are_taken_together():
    low, high = BIKE.sprockets.rear_sold
    query = f"own.sprockets.rear={high + 2}&own.sprockets.rear_sold={low},{high + 4}"
    setup, _, sentences = decode(query, LIBRARY)
    assert (setup.rear, sentences) == (high + 2, [])


def test_own_bike_too_different_for_a_link_is_refused():
    class Huge:
        @staticmethod
        def flat():
            return BIKE.flat() | {"name": "x" * LONGEST}

    with pytest.raises(RecordError, match="download its bike file"):
        encode(DEFAULT, BIKE, Huge)


def test_every_value_of_the_default_set_up_is_finite():
    for field in LIMITS:
        value = getattr(DEFAULT, field)
        assert value is None or math.isfinite(value)
    assert parse_size(DEFAULT.tyre)


def test_sprockets_that_are_not_sold_are_said_with_what_is():
    """Both within what a link may hold, and neither given for this bike."""
    setup, _, said = decode("bike=bracken-125&front=9&rear=70", demo_bikes())
    assert (setup.front, setup.rear) == (13, 50)
    assert 'front "9" is not among the sprockets given for this bike, 10 to 17' in said[0]
    assert 'rear "70" is not among the sprockets given for this bike, 38 to 68' in said[1]
