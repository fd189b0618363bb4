"""Several set-ups on the bench: one array for all, and each number against its definition."""

from collections import Counter
from datetime import UTC, datetime

import numpy as np
import pytest

from explorer.charts.gearing.setups_course_chart import LOOKS
from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.errors import RecordError
from explorer.records.setups.comparison import NAMES, Fitment, read_file, write_file
from explorer.records.setups.setup import Setup
from explorer.study.study import FIGURES, FITTED, Study
from explorer.tasks.bench import setup_words
from explorer.tasks.bench.page import GearingPage

BIKE = demo_bikes()["bracken-125"]
SETUP = Setup.for_bike("bracken-125", BIKE)
OTHERS = (
    Fitment(12, 50, BIKE.tyre.rear),
    Fitment(14, 50, BIKE.tyre.rear),
    Fitment(13, 54, "110/100-18"),
)


@pytest.fixture(scope="module")
def result():
    return Study.of_several(BIKE, SETUP, OTHERS)


def inside(widget):
    yield widget
    for child in getattr(widget, "children", ()):
        yield from inside(child)


def upload(page, name, content):
    file = {"name": "a.toml", "type": "", "size": len(content), "content": content}
    [button] = [each for each in inside(page.widget) if getattr(each, "description", "") == name]
    button.value = [file | {"last_modified": datetime.now(UTC)}]


@pytest.fixture
def page():
    return GearingPage("?front=12&rear=50&also.1=14/50")


def texts(page):
    pending, said = [page.widget], []
    while pending:
        each = pending.pop()
        pending += getattr(each, "children", ())
        if type(each).__name__ == "HTML":
            said.append(str(each.value))
    return " ".join(said)


@pytest.mark.parametrize("index", [1, 2, 3])
def test_each_set_up_comes_out_as_on_the_gearing_page(result, index):
    """Four at once against the page of two, which is checked against the outside."""
    two = Study.of(BIKE, OTHERS[index - 1].on(SETUP))
    np.testing.assert_allclose(result.top.speed[index], two.top.speed[1], rtol=1e-9)
    np.testing.assert_allclose(result.pull[index], two.pull[1], rtol=1e-9)
    np.testing.assert_allclose(result.shifts.exit_speed[index], two.shifts.exit_speed[1], rtol=1e-9)
    for mine, theirs in (("top", two.sure.top_speed), ("measure", two.sure.value)):
        for ours, other in zip(result.estimate(mine).band, theirs.band, strict=True):
            np.testing.assert_allclose(ours[[FITTED, index]], other, rtol=1e-9)


def test_course_times_come_out_as_on_the_ground_page():
    four = Study.of_several(BIKE, SETUP, OTHERS).on_course
    two = Study.of(BIKE, OTHERS[2].on(SETUP)).on_course
    np.testing.assert_allclose(four.time.value[[FITTED, 3]], two.time.value, rtol=1e-9)
    change = four.change(3)
    assert change.value == pytest.approx(two.change().value, abs=1e-9)
    assert change.band == pytest.approx(two.change().band, rel=1e-6)


def test_pull_and_speed_change_by_the_definition(result):
    """Truth of gearing: pull changes by R2/R1 - 1, speed by R1/R2 - 1, from the definition."""
    said = " ".join(setup_words.sentences(result, NAMES))
    shorter, taller = 13 / 12 - 1, 13 / 14 - 1
    for share in (shorter, 1 / (1 + shorter) - 1, taller, 1 / (1 + taller) - 1):
        assert f"{share * 100:+.1f} %".replace("-", "−") in said
    geared = result.estimate("geared").value
    assert geared[1] / geared[0] == pytest.approx(12 / 13, rel=1e-12)


def test_a_taller_gearing_of_a_bike_out_of_power_is_not_sold_as_faster(result):
    said = " ".join(setup_words.sentences(result, NAMES))
    assert "Taller than fitted: Road 14/50. The bike is out of power" in said
    assert "no gap between two gears changes" in said


def test_a_taller_gearing_that_is_faster_is_not_said_not_to_be():
    """Out of power past its power peak: +18 km/h in the table, and no sentence against it. On some
    draws of this slope neither holds a fast gear, so the band reaches to no difference."""
    bike = demo_bikes()["marram-250"]
    setup = Setup.for_bike("marram-250", bike).changed(
        surface="forest-soil", tyre_kind="road", slope=0.05
    )
    others = tuple(Fitment(*pair, bike.tyre.rear) for pair in ((14, 49), (15, 44)))
    marram = Study.of_several(bike, setup, others)
    top = setup_words.figures_table(marram, marram.on_course, NAMES).loc["Top speed"]
    assert "+18 km/h (0\xa0to\xa0+20)\nwithin the spread\n" in top["Road 15/44"]
    assert "Taller than fitted" not in " ".join(setup_words.sentences(marram, NAMES))


def held_on_wet_grass(*pairs, **altered):
    """Top speeds and sentences on 5 % of wet grass, where 17/50 holds no speed and 13/50 does."""
    bike = BIKE.with_changes(altered)
    setup = Setup.for_bike("bracken-125", bike).changed(
        surface="wet-grass", tyre_kind="road", slope=0.05
    )
    others = tuple(Fitment(*pair, bike.tyre.rear) for pair in pairs)
    slow = Study.of_several(bike, setup, others)
    top = setup_words.figures_table(slow, slow.on_course, NAMES).loc["Top speed"]
    return list(top), " ".join(setup_words.sentences(slow, NAMES))


def test_a_set_up_that_holds_no_speed_has_no_top_speed():
    (fitted, chosen), said = held_on_wet_grass((17, 50))
    assert "km/h" in fitted and chosen == "no gear holds a steady speed"
    assert "in every gear alike; no gear holds a steady speed here." in said


def test_a_fitted_set_up_that_holds_no_speed_is_no_reference():
    (fitted, chosen), _ = held_on_wet_grass((13, 50), **{"sprockets.front": "17"})
    assert fitted == "no gear holds a steady speed"
    assert chosen == "10 km/h (0\xa0to\xa060)\nas fitted: no gear holds a steady speed\nlimit: grip"


@pytest.mark.parametrize(
    ("bike_id", "speed", "engine"),
    [
        ("marram-250", 125, "9400 ± 300 rpm in 6th"),
        ("sleet-450", 145, "10300 ± 300 rpm in 5th"),
        ("wagtail-85", 100, "11800 ± 300 rpm in 6th"),
    ],
)
def test_a_cruise_that_the_fitted_does_not_hold_has_no_share_of_it(bike_id, speed, engine):
    bike = demo_bikes()[bike_id]
    setup = Setup.for_bike(bike_id, bike).changed(cruise_speed=speed / 3.6)
    others = (Fitment(bike.sprockets.front + 1, bike.sprockets.rear, bike.tyre.rear),)
    study = Study.of_several(bike, setup, others)
    table = setup_words.figures_table(study, study.on_course, NAMES)
    fitted, chosen = table.loc[f"Engine at {speed} km/h"]
    assert fitted == "no gear holds it"
    assert chosen == engine
    assert not any("nan" in each for each in table.to_numpy().ravel())


def test_differences_smaller_than_the_spread_are_said_to_be_so(result):
    table = setup_words.figures_table(result, result.on_course, NAMES)
    top = table.loc["Top speed"]
    assert setup_words.WITHIN in top["Third 13/54"] and "limit: power" in top["Trail 12/50"]
    # The shorter gearing's clutch-out speed is 1/13 lower whatever is unsure about the tyre.
    slow = table.loc["Slowest with clutch out, 1st", "Trail 12/50"]
    assert "−" in slow and setup_words.WITHIN not in slow
    assert list(table.columns) == ["Fitted 13/50", "Trail 12/50", "Road 14/50", "Third 13/54"]
    assert table.loc["Final drive ratio", "Trail 12/50"] == "4.17\n+8.3 %"


@pytest.mark.parametrize("teeth", [3, -3])
@pytest.mark.parametrize(
    ("surface", "limit"), [("dry-asphalt", "the engine"), ("forest-soil", "the engine, or grip")]
)
def test_a_pull_that_may_not_change_is_not_said_to_end_at_the_engine(surface, limit, teeth):
    """On forest soil the tyre spins with some draws, so the band ends at zero: "0 to +80 N"."""
    other = Fitment(BIKE.sprockets.front, BIKE.sprockets.rear + teeth, BIKE.tyre.rear)
    study = Study.of_several(BIKE, SETUP.changed(surface=surface), (other,))
    sampled = study.estimate("pull")
    same = np.isclose(sampled.draws[:, 1], sampled.draws[:, FITTED], rtol=1e-9).any()
    assert same == ("or grip" in limit)
    cell = setup_words.figures_table(study, study.on_course, NAMES)["Trail 13/" + str(other.rear)]
    said = cell["Largest pull in 1st"]
    assert said.endswith(f"limit: {limit}") and said.startswith("0 to") == same, said


def test_the_fitted_one_alone_differs_in_nothing():
    same = Study.of_several(BIKE, SETUP, (Fitment.fitted_to(BIKE),))
    for name in FIGURES:
        assert same.change(name, 1).value == pytest.approx(0.0, abs=1e-12)
    assert "is geared as it is fitted now" in setup_words.sentences(same, NAMES)[0]


def test_every_set_up_has_a_look_of_its_own():
    for field in ("colour", "dash", "marker", "hatch"):
        assert max(Counter(getattr(look, field) for look in LOOKS).values()) == 1


def test_the_course_shows_every_set_up(result):
    course = result.on_course
    view = setup_words.course_view(result, course, NAMES)
    np.testing.assert_allclose(view.time_in_gear.sum(axis=1), course.time.value[:4], rtol=1e-6)


def test_one_computation_for_one_move(page, monkeypatch):
    calls = []
    monkeypatch.setattr(
        Study, "of_several", lambda *a, of=Study.of_several: calls.append(1) or of(*a)
    )
    page.state.change(rear=53)
    assert len(calls) == 1 and page.state.others[0] == Fitment(12, 53, BIKE.tyre.rear)
    assert "Trail 12/53" in texts(page)


def test_sliders_change_the_selected_set_up_only(page):
    page.state.select(1)
    assert (page.state.setup.front, page.state.setup.rear) == (14, 50)
    page.state.change(rear=49)
    assert [each.pair for each in page.state.others] == ["12/50", "14/49"]


def test_up_to_four_can_be_added_and_one_stays(page):
    page.state.add()
    assert [each.pair for each in page.state.others] == ["12/50", "14/50", "12/52"]
    with pytest.raises(RecordError, match="at most"):
        page.state.add()
    for _ in range(2):
        page.state.remove()
    with pytest.raises(RecordError, match="stays"):
        page.state.remove()
    assert "C " not in texts(page).partition("<th>B ")[2].partition("</tr>")[0]


def test_the_link_reopens_this_comparison(page):
    page.state.add()
    page.state.change(tyre="110/100-18", rollout=2.05, surface="loose-sand", units="imperial")
    again = GearingPage(page.state.link)
    assert again.state.others == page.state.others
    assert again.state.link == page.state.link


def test_nothing_chosen_yet_proposes_a_tooth_either_way():
    assert [each.pair for each in GearingPage("").state.others] == ["12/50", "14/50"]


def test_a_file_brings_the_set_ups_and_a_broken_one_changes_nothing(page):
    content = write_file(OTHERS, BIKE.name).encode()
    upload(page, "Open a file of set-ups", content)
    assert page.state.others == OTHERS == read_file(content, BIKE)
    upload(page, "Open a file of set-ups", b"<b>=1")
    assert page.state.others == OTHERS and "cannot be read as TOML" in texts(page)


def test_every_bike_in_imperial_units(page):
    page.state.change(units="imperial")
    for bike_id in demo_bikes():
        page.state.pick_bike(bike_id)
        assert "mph" in texts(page) and f"bike={bike_id}" in page.state.link


def test_a_bad_link_opens_the_page_with_sentences_and_no_markup():
    page = GearingPage("?also.1=<script>alert(1)</script>&also.2=12/48&also.7=13/50")
    said = texts(page)
    assert "<script>" not in said and "&lt;script&gt;" in said and "also.7" in said
    assert [each.pair for each in page.state.others] == ["12/48"]
