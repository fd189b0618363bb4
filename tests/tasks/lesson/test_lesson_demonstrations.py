"""What the demonstrations draw and say: readable from the back row, true of the bike."""

import math
import re
from dataclasses import replace

import numpy as np
import pytest

from explorer.charts.fit.slack_chart import SlackChart
from explorer.charts.gearing.tradeoff_chart import TradeoffChart
from explorer.charts.lesson import lesson_bars, lesson_lever
from explorer.charts.lesson.lesson_size import FACTOR, enlarge
from explorer.records.fitting.fit import Measurements
from explorer.study.study import CHOSEN
from explorer.tasks.lesson.demonstration import Demonstration
from explorer.tasks.lesson.facts import Facts
from explorer.tasks.lesson.steps import one_road_speed, shift_point
from explorer.tasks.lesson.steps.bicycle import Bicycle
from explorer.tasks.lesson.steps.full_throttle import FullThrottle
from explorer.tasks.lesson.steps.recap import Recap
from tests.tasks.lesson.lesson_bikes import drawn, known
from tests.tasks.lesson.lesson_facts import BIKES, STEP, asked, facts_of


def test_what_is_not_drawn_is_played_or_done_by_hand():
    for step in (FullThrottle(), Bicycle()):
        facts = facts_of("bracken-125")
        assert step.figure is None and step.beside(facts, facts.bike)
    assert all(STEP[number].figure for number in range(1, 11))


@pytest.mark.parametrize("number", [number for number, step in STEP.items() if step.figure])
@pytest.mark.parametrize("large", [False, True])
def test_every_demonstration_draws_and_says_itself(number, large):
    facts = facts_of("bracken-125")
    shown = Demonstration(STEP[number], facts, large, print)
    assert re.search(r"\d", shown.words) and len(shown.words) > 60
    before = shown.words
    shown.update(facts_of("bracken-125", front=15, rear=45, road_speed=15.0))
    if number not in (2, 9, Recap.number):
        assert shown.words != before
    assert shown.figure.height >= 200


def test_large_letters_and_lines():
    view = lesson_bars.BarsView((lesson_bars.Bar("one", 3.0, "3 %"),), "change, %")
    usual, large = (lesson_bars.LessonBars(view).figure for _ in range(2))
    enlarge(large)
    sizes = [
        float(fig.renderers[-1].glyph.text_font_size.value.removesuffix("px"))
        if hasattr(fig.renderers[-1].glyph.text_font_size, "value")
        else float(fig.renderers[-1].glyph.text_font_size.removesuffix("px"))
        for fig in (usual, large)
    ]
    assert sizes[1] == round(sizes[0] * FACTOR)
    assert large.height > usual.height
    offset = large.renderers[-1].glyph.x_offset.transform
    assert np.interp(10, offset.x, offset.y) == pytest.approx(10 * FACTOR)


def test_the_lever_is_drawn_with_its_forces():
    view = lesson_lever.LeverView(13, 50, 26.5, 101.0, 322.0, 3803.0, 1193.0)
    text = lesson_lever.describe(view)
    assert "3800 N" in text and "101 mm" in text and "1190 N" in text and "322 mm" in text
    chart = lesson_lever.LeverChart(view)
    assert chart.figure.match_aspect
    with pytest.raises(ValueError, match="not a finite number"):
        lesson_lever.LeverView(13, 50, 26.5, 101.0, 322.0, math.nan, 1193.0)


def test_a_line_that_lies_on_the_other_has_no_key_of_its_own():
    view = STEP[9].figure.view(facts_of("bracken-125"))
    chart = SlackChart(view)
    assert not chart.figure.legend[0].visible
    chart.update(replace(view, chosen=view.chosen + 1.0))
    assert chart.figure.legend[0].visible


@pytest.mark.parametrize("bike_id", BIKES)
def test_every_offered_pair_has_its_teeth_beside_it_within_the_plot(bike_id):
    facts = facts_of(bike_id)
    offered = tuple(tuple(map(int, each.split("/"))) for each in asked(facts, 10).options)
    chart = TradeoffChart(replace(STEP[10].figure.view(facts), offered=offered))
    data, axis = chart.layers[0].data, chart.figure.y_range
    rows = zip(data["text"], data["y"], data["dy"], strict=True)
    told = {text: (y, dy) for text, y, dy in rows if re.fullmatch(r"\d+/\d+", text)}
    pairs = {
        (facts.setup.front, facts.setup.rear),
        (facts.bike.sprockets.front, facts.bike.sprockets.rear),
    }
    assert set(told) == {f"{front}/{rear}" for front, rear in {*offered} - pairs}
    for y, dy in told.values():
        # Above the point, but where the plot ends there.
        high = (y - axis.start) / (axis.end - axis.start) >= 0.9
        assert (dy > 0) == high


@pytest.mark.parametrize("which", [*BIKES, *range(30)])
def test_no_wrong_option_of_the_shift_is_as_good_as_the_right_one(which):
    """In both gears the acceleration there, or what the ground and the front wheel leave of it."""
    bike, setup = drawn(which) if isinstance(which, int) else known(which)
    facts = facts_of(setup.bike_id, bike, slope=setup.slope, roll_gear=1)
    found, question = shift_point.shift(facts), asked(facts, 7)
    if found is None or not found.taken or found.slipping:
        return
    study, drive = facts.result, facts.result.drive
    masses = np.broadcast_to(drive.effective_mass(drive.overall, True), drive.overall.shape)
    for option in question.options:
        if option == question.right:
            continue
        speed = float(re.sub(r"\D", "", option)) * math.pi / 30 / found.before * found.road_speed
        most = np.ravel(drive.largest_acceleration(np.array(speed)))[-1]
        resistance = np.ravel(drive.resistance(speed))[-1]
        this, following = (
            min((np.interp(speed, study.road_speed[CHOSEN, gear], study.engine_pull[CHOSEN, gear])
                 - resistance) / masses[CHOSEN, gear, 0], most)
            for gear in (found.gear - 1, found.gear)
        )  # fmt: skip
        assert abs(this / following - 1) > 0.01, (option, question)


def test_a_yard_is_said_where_a_metre_is_not():
    metric, imperial = (facts_of("fogbank-650", units=each) for each in ("metric", "imperial"))
    numbers = []
    for facts, way in ((metric, "metre"), (imperial, "yard")):
        said = STEP[5].seen(facts)[0]
        assert f"Engine turns for a {way} in top gear" in said
        assert f"turns for a {way} of road" in asked(facts, 5).text
        assert f"for a {way} of road" in STEP[5].figure.view(facts).axis
        numbers.append([float(each) for each in re.findall(r"\d+\.\d+", said)])
    assert numbers[1] == pytest.approx([each * 0.9144 for each in numbers[0]], abs=0.006)


def test_where_the_swingarm_is_not_known_nobody_votes():
    bike = BIKES["bracken-125"]
    facts = facts_of("bracken-125")
    unknown = Facts(facts.lesson, BIKES, Measurements({}))
    assert bike and not asked(unknown, 9).guessed
    assert "Measure the swingarm" in STEP[9].remember(unknown) == STEP[9].look(unknown)


def test_where_torque_and_power_agree_it_is_said_where_they_part():
    facts = facts_of("sleet-450")
    here, apart = one_road_speed.at_one_speed(facts), one_road_speed.parted(facts)
    assert np.argmax(here.power) == np.argmax(here.torque)
    assert np.argmax(apart.power) != np.argmax(apart.torque)
    assert f"They part at {apart.speed * 3.6:.0f} km/h." in " ".join(STEP[6].seen(facts))
