"""A row of the bench's table is the kernel's own answer for that pair, digit by digit.

Every pair sold for every demo bike: each text of the row against the same figure of a study of the
pair alone, said by the functions of the other pages, and each curve against that study's numbers.
"""

import base64

import numpy as np
import pytest

from explorer.app import gearing_views
from explorer.app.state import State
from explorer.records.bikes.bike_library import demo_bikes
from explorer.study.study import CHOSEN, FITTED, Study
from explorer.study.table import shift_path, sold_pairs, unpacked
from explorer.study.verdict import verdicts_of
from explorer.tasks.bench.state import BenchState
from explorer.tasks.bench.table import table_of
from explorer.tasks.bench.words import TILES
from explorer.tasks.gearing import figures, words

BIKES = dict(demo_bikes())


def choice_of(query):
    return BenchState.from_link(query, BIKES)[0].choice


def read(table):
    return unpacked(base64.b64decode(table.text))


@pytest.fixture(scope="module", params=[*BIKES, "bracken-125 in imperial units, on another tyre"])
def case(request):
    """Choice, header, arrays."""
    bike_id, _, more = request.param.partition(" ")
    query = f"?bike={bike_id}"
    if more:
        query += "&units=imperial&tyre=110/100-18&show=steepest-slope&slope=5%25"
    choice = choice_of(query)
    return choice, *read(table_of(choice))


@pytest.fixture(scope="module")
def pairs_with_studies(case):
    """Each row of a pair, with a study of that pair alone."""
    choice, meta, arrays = case
    found = []
    for row, (front, rear) in enumerate(sold_pairs(choice.bike), meta["named"]):
        assert (arrays["front"][row], arrays["rear"][row]) == (front, rear)
        setup = choice.setup.changed(front=front, rear=rear)
        found.append((row, Study.of(choice.bike, setup)))
    return found


def test_every_text_of_a_row_is_what_the_other_pages_say(case, pairs_with_studies):
    choice, meta, arrays = case
    place = {name: at for at, name in enumerate(TILES)}
    for row, study in pairs_with_studies:
        said = meta["texts"][row]
        headline = [value for value, _ in words.headline(study)]
        named = {name: values for name, *values in figures.rows(study)}
        measure = gearing_views.measure_name(choice.setup)
        shown = [said[place[name]][0] for name in ("ratio", "pull", "speed", "top")]
        assert shown == headline, said
        value, name = said[place["measure"]]
        _, level, change = named[measure]
        assert (value, name) == (
            (level, measure) if change == "–" else (change, f"{measure}: {level}")
        )
        assert f"ratio {named['Final drive ratio'][1]}," in said[place["ratio"]][1]
        verdict = verdicts_of(study, choice.measured)[CHOSEN]
        assert meta["verdicts"][row] == verdict.sentence(choice.setup.units)
        assert arrays["chain"][row] == verdict.fits


def test_every_curve_of_a_row_is_that_of_the_pair_alone(case, pairs_with_studies):
    """To half a step: of the largest value, or of the curve's own for the pull."""
    *_, arrays = case
    for row, study in pairs_with_studies:
        path_speed, path_rpm = shift_path(study)
        for name, wanted in (
            ("idle_speed", study.road_speed[CHOSEN, :, 0]),
            ("limiter_speed", study.limiter_speeds[CHOSEN]),
            ("path_speed", path_speed[CHOSEN]),
            ("path_rpm", path_rpm[CHOSEN]),
            ("top_speed", study.top.speed[CHOSEN]),
            ("measure", study.measure[CHOSEN]),
        ):
            half = np.max(arrays[name]) / 65_500
            np.testing.assert_allclose(arrays[name][row], wanted, atol=half, err_msg=name)
        pull = study.pull[CHOSEN]
        half = pull.max(axis=-1, keepdims=True) / 4094 + study.pull.max() / 32_000
        assert np.all(np.abs(arrays["pull"][row] - pull) <= half)
        assert arrays["top_limit"][row] == study.top.limit[CHOSEN]
        assert arrays["top_gear"][row] == study.top.gear[CHOSEN]


def test_the_path_through_the_gears_is_that_of_the_shift_chart(case, pairs_with_studies):
    _, meta, arrays = case
    for row, study in pairs_with_studies[::7]:
        view = gearing_views.shift_view(study)
        speeds, rpms = view.path(view.chosen)
        factor = meta["speed"][0]
        drawn = np.column_stack([arrays["path_speed"][row] * factor, arrays["path_rpm"][row]])
        for corner in np.column_stack([speeds, rpms]):
            assert np.min((np.abs(drawn - corner) / drawn.max(axis=0)).max(axis=1)) < 5e-5


def test_rows_with_names_come_first_on_their_own_tyres():
    choice = choice_of("?front=12&rear=50&also.1=14/48;tyre 110/100-18")
    meta, arrays = read(table_of(choice))
    assert [slot["name"] for slot in meta["slots"]] == ["Fitted", "Trail", "Road"]
    assert [slot["other"] for slot in meta["slots"]] == [False, False, True]
    alone = Study.of(choice.bike, choice.others[1].on(choice.setup))
    assert arrays["top_speed"][2] == pytest.approx(alone.top.speed[CHOSEN], rel=5e-5)
    assert arrays["top_speed"][0] == pytest.approx(alone.top.speed[FITTED], rel=5e-5)


def test_a_part_of_the_table_has_the_same_rows():
    choice = choice_of("?bike=bracken-125&front=12&rear=52")
    whole, part = read(table_of(choice)), read(table_of(choice, 0, True))
    assert len(part[0]["texts"]) < len(whole[0]["texts"]) / 4
    place = {
        (whole[1]["front"][row], whole[1]["rear"][row]): row
        for row in range(whole[0]["named"], len(whole[0]["texts"]))
    }
    for row in range(part[0]["named"], len(part[0]["texts"])):
        same = place[part[1]["front"][row], part[1]["rear"][row]]
        assert part[0]["texts"][row] == whole[0]["texts"][same]
        # Each is steps of its own table's largest value.
        one, other = part[1]["path_speed"][row], whole[1]["path_speed"][same]
        np.testing.assert_allclose(one, other, atol=whole[1]["path_speed"].max() / 32_000)


def test_a_full_throttle_run_reaches_the_measured_speed_in_the_measured_time():
    """The run that is played against the time that the tile says, from the same row."""
    choice = choice_of("?bike=fogbank-650&show=time-to-speed")
    meta, arrays = read(table_of(choice))
    for row in range(meta["named"], len(meta["texts"])):
        at = np.searchsorted(meta["run_times"], arrays["measure"][row])
        # Not there before, and there at the next time that is looked at, or in the shift after it,
        # in which the motorcycle coasts, and which the tile's time leaves out.
        share = arrays["run_speed"][row] / choice.setup.target_speed
        assert share[:at].max() < 1.001 and share[at] > 0.93


def test_a_link_of_another_page_opens_with_its_set_up_under_the_sliders():
    # As the fit page and the others write it.
    state, said = State.from_link("?front=14&rear=46", BIKES)
    choice = choice_of(state.link)
    assert not said and choice.setup == state.setup


def test_the_two_from_real_parts_are_one_front_tooth_and_about_as_much_at_the_rear(case):
    """Teeth by hand; pull, parts and chain as the row's own tiles and verdict say them."""
    choice, meta, _ = case
    fitted = choice.bike.sprockets
    rows = dict(zip(sold_pairs(choice.bike), range(meta["named"], 10_000), strict=False))
    for wish, step in (("more-pull", -1), ("calmer-road", 1)):
        front, rear = meta["offers"][wish]
        assert (front["front"], front["rear"]) == (fitted.front + step, fitted.rear)
        # 13/50 less a front tooth is as short as 13/54: 50 · 13/12 = 54.2.
        low, high = fitted.rear_sold
        same = min(max(fitted.rear * fitted.front / (fitted.front + step), low), high)
        assert rear["front"] == fitted.front and abs(rear["rear"] - same) <= 0.5
        for card in (front, rear):
            row, lines = rows[card["front"], card["rear"]], dict(card["lines"])
            assert lines["Pull"] == meta["texts"][row][TILES.index("pull")][0]
            assert lines["Fit"] in meta["verdicts"][row]
            if lines["To buy"]:
                assert f"To buy: {lines['To buy']} + small parts." in meta["verdicts"][row]
