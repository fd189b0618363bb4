"""The quiz: for any seed the stated answer is right, worked out here anew from the printed text.

Definitions only (ratios, P = T·2πn/60, F = P/v): no outside source is needed. Tolerances are half
a unit of the last digit that the option prints.
"""

import math
import re
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from explorer.records.errors import RecordError
from explorer.records.lessons.quiz import LARGEST_SEED, LENGTH, question, quiz, read_seed
from explorer.records.lessons.quiz_kinds import IDEAS, KINDS
from explorer.tasks.lesson.misconceptions import MISCONCEPTIONS

SEEDS = st.integers(0, LARGEST_SEED)
NUMBER = re.compile(r"(?<![\w.])(\d+(?:\.\d+)?)")


def numbers(text):
    return [float(number) for number in NUMBER.findall(text.replace("/", " / "))]


def front_turns(front, rear, _front, _rear, primary, gear, turns):
    return turns * rear / front


def pull_change(front, rear, front_after, rear_after):
    return (rear_after / front_after) / (rear / front) * 100 - 100


def speed_change(front, rear, front_after, rear_after):
    return (rear / front) / (rear_after / front_after) * 100 - 100


def road_speed(rpm, primary, gear, front, rear, rollout):
    wheel_turns_an_hour = rpm * 60 * front / (primary * gear * rear)
    return wheel_turns_an_hour * rollout / 1000


def rear_for_front(front, rear):
    # The same ratio with one front tooth fewer: (rear + x) / front = rear / (front - 1).
    return front * rear / (front - 1) - rear


def overall(primary, gear, front, rear):
    return primary * gear * rear / front


def power(torque, rpm):
    return torque * 2 * math.pi * rpm / 60 / 1000


def power_kept(kilowatts, *_pairs):
    return kilowatts


def pull_from_power(speed, kilowatts, torque, radius):
    return kilowatts * 1000 / (speed / 3.6)


def gear_gap(low, high, rpm, rear, rear_after):
    return rpm / low * high


def at_the_limiter(peak, best, end, limit, _best):
    return (end / peak - 1) * 100


def speedometer(front, rear, _front, rear_after, shown):
    return shown * rear / rear_after


def chain_wear(few, front):
    return (front / few - 1) * 100


BY_HAND = {
    "front-turns": front_turns,
    "pull-change": pull_change,
    "speed-change": speed_change,
    "road-speed": road_speed,
    "rear-for-front": rear_for_front,
    "overall": overall,
    "power": power,
    "power-kept": power_kept,
    "pull-from-power": pull_from_power,
    "gear-gap": gear_gap,
    "at-the-limiter": at_the_limiter,
    "speedometer": speedometer,
    "chain-wear": chain_wear,
}


def tightest(text):
    return f"at {max(numbers(text)):.0f} mm, in line"


GAINS = re.compile(r"at (\d+) km/h (?:they accelerate )?by ([\d.]+) and ([\d.]+) m", re.I)


def where_both_accelerate_alike(text):
    rows = GAINS.findall(text)
    [equal] = [speed for speed, this, following in rows if this == following]
    assert [float(this) > float(following) for _, this, following in rows] == [True, False, False]
    return f"{equal} km/h"


PAIRS = re.compile(r"(\d+/\d+): (?:top speed )?(\d+) km/h, (?:slowest )?([\d.]+) km/h")


def slowest_that_reaches(text):
    [need] = re.findall(r"You need a top speed of (\d+) km/h", text)
    rows = PAIRS.findall(text)
    slow = {pair: float(slowest) for pair, top, slowest in rows if int(top) >= int(need)}
    assert len(rows) == 3 and len(slow) == len(set(slow.values())) == 2
    return min(slow, key=slow.get)


def forces(text):
    """Speeds [km/h], pulls and resistances [N] at two speeds, and the speed at the rev limit."""
    return re.fullmatch(
        r"In top gear with \d+/48 a bike pulls with (?P<pull>\d+) N at (?P<slower>\d+) km/h and "
        r"with (?P<less>\d+) N at (?P<faster>\d+) km/h, where its engine is at its power peak; the "
        r"rev limit belongs to (?P<geared>\d+) km/h. On the level the resistance is "
        r"(?P<holds>\d+) N at (?P=slower) km/h and (?P<held>\d+) N at (?P=faster) km/h. .*",
        text,
    ).groupdict()


def between_more_and_less(text):
    found = forces(text)
    assert int(found["pull"]) > int(found["holds"]) and int(found["less"]) < int(found["held"])
    return f"between {found['slower']} and {found['faster']} km/h"


FROM_THE_TEXT = {
    "geared-speed": between_more_and_less,
    "slack": tightest,
    "shift-point": where_both_accelerate_alike,
    "trade-off": slowest_that_reaches,
}
"""The right option of a kind, worked out from its printed table; no other option is right."""

IN_WORDS = {"taller-pair", "digits", *FROM_THE_TEXT}


def test_every_kind_is_checked():
    assert set(BY_HAND) | IN_WORDS == set(KINDS)


@pytest.mark.parametrize("kind", BY_HAND)
@given(seed=SEEDS)
@settings(max_examples=60, deadline=None)
def test_the_answer_is_right_for_any_seed(kind, seed):
    asked = question(kind, seed)
    expected = BY_HAND[kind](*numbers(asked.text))
    sign = -1 if asked.right.startswith("−") else 1
    printed = NUMBER.search(asked.right)[1]
    decimals = len(printed.partition(".")[2])
    assert sign * float(printed) == pytest.approx(expected, abs=0.5001 * 10**-decimals)
    # The worked solution ends on the same figure.
    assert asked.right.split(" ")[0] in asked.working


def test_no_wrong_option_is_as_near_as_the_right_one():
    """Over ten thousand seeds, from the printed numbers worked out by hand: no ties."""
    for seed in range(10_000):
        for asked in quiz(seed):
            if asked.kind in FROM_THE_TEXT:
                assert FROM_THE_TEXT[asked.kind](asked.text) == asked.right, (seed, asked)
            if asked.kind in IN_WORDS:
                continue
            expected = BY_HAND[asked.kind](*numbers(asked.text))
            off = {
                option: abs(float(found[1]) * (-1 if option.startswith("−") else 1) - expected)
                for option in asked.options
                if (found := NUMBER.search(option))
            }
            nearest_wrong = min(value for option, value in off.items() if option != asked.right)
            assert off[asked.right] < nearest_wrong, (seed, asked)


SUM = re.compile(r"(?<![\d/×÷(] )((?:[\d.]+ [×÷] )+[\d.]+) = (\d+(?:\.\d+)?)")


@pytest.mark.parametrize("kind", BY_HAND)
@given(seed=SEEDS)
@settings(max_examples=60, deadline=None)
def test_every_printed_sum_comes_out_on_a_pocket_calculator(kind, seed):
    for left, result in SUM.findall(question(kind, seed).working):
        first, *rest = left.split(" ")
        value = float(first)
        for sign, number in zip(rest[::2], map(float, rest[1::2]), strict=True):
            value = value * number if sign == "×" else value / number
        decimals = len(result.partition(".")[2])
        assert value == pytest.approx(float(result), abs=0.5001 * 10**-decimals), left


MANY = range(2000)
"""Seeds over which the numbers of a question must be possible."""


def test_power_and_torque_at_one_moment_belong_to_an_engine_and_a_tyre_that_can_be():
    for seed in MANY:
        speed, kilowatts, torque, radius = numbers(question("pull-from-power", seed).text)
        # n = P / (2 pi T), from the power at the tyre: the crankshaft's is somewhat more.
        rpm = kilowatts * 1000 / torque * 60 / (2 * math.pi)
        assert 4000 < rpm < 10_000
        # Overall ratio by definition, and the pull: 110 kg of bike and 80 kg of rider stay down.
        assert 6 < rpm / (speed / 3.6 / radius * 60 / (2 * math.pi)) < 26
        assert kilowatts * 3600 / speed < 0.8 * 190 * 9.81


def test_a_top_speed_grows_by_the_ratio_at_most_and_the_slowest_as_it_says():
    for seed in MANY:
        text = question("trade-off", seed).text
        rows = [
            (*numbers(pair), float(top), float(slow)) for pair, top, slow in PAIRS.findall(text)
        ]
        for number, (front, rear, top, slow) in enumerate(rows):
            assert 11 < top / slow < 20  # spread of the gears by that of the revs
            for its_front, its_rear, its_top, its_slow in rows[number + 1 :]:
                taller = (rear / front) / (its_rear / its_front)
                # As whole numbers: v_B / v_A <= ratio_A / ratio_B.
                assert top < its_top and its_top * its_rear * front <= top * rear * its_front, text
                assert (
                    (its_slow - 0.05) / (slow + 0.05) < taller < (its_slow + 0.05) / (slow - 0.05)
                )


def test_pull_and_resistance_at_two_speeds_can_be():
    for seed in MANY:
        text = question("geared-speed", seed).text
        found = {name: int(number) for name, number in forces(text).items()}
        up = found["faster"] / found["slower"]
        # Power is highest at its peak; torque does not grow towards it.
        assert found["less"] < found["pull"] <= found["less"] * up, (seed, text)
        # Part of the resistance grows with the square of the speed, part not at all.
        assert found["holds"] < found["held"] < (found["holds"] + 10) * up**2, (seed, text)
        assert 1.05 < found["geared"] / found["faster"] < 1.25
        assert found["less"] / 3.6 * found["faster"] < 25_000  # power at the tyre [W]
        # Taller is no faster only at the power peak or below.
        assert "further below its power peak" in question("geared-speed", seed).working


def test_both_gears_of_a_shift_point_have_one_engine():
    for seed in MANY:
        text = question("shift-point", seed).text
        # Power over engine speed, from pull times road speed at a step of 1.3 between the gears and
        # half a metre per second squared of resistance: it rises to one peak and falls.
        powers = {}
        for speed, this, following in GAINS.findall(text):
            for gain, step in ((this, 1.3), (following, 1.0)):
                powers[float(speed) * step] = (float(gain) + 0.5) * float(speed)
        curve = [powers[each] for each in sorted(powers)]
        top = curve.index(max(curve))
        slip = 0.06 * 75  # half a digit of an acceleration, times speed
        for place, (before, after) in enumerate(pairwise(curve)):
            assert after > before - slip if place < top else after < before + slip, (seed, text)


def test_a_chain_is_tightest_by_no_more_than_a_swingarm_moves():
    for seed in MANY:
        hanging, line, full = numbers(question("slack", seed).text)
        ahead = 100  # shaft to pivot, rather more than most [mm]
        arm = line - ahead
        down, up = (
            math.acos((apart**2 - ahead**2 - arm**2) / (2 * ahead * arm))
            for apart in (hanging, full)
        )
        # The long-legged ones have some 310 mm at the axle.
        assert arm * (math.sin(down) + math.sin(up)) < 370, seed


def test_torque_falls_to_the_rev_limit_as_an_engines_does():
    for seed in MANY:
        peak, best, end, limit, _ = numbers(question("at-the-limiter", seed).text)
        assert 0.65 < end / peak < 0.95 and 1.2 < limit / best < 1.6


@given(seed=SEEDS)
@settings(max_examples=60, deadline=None)
def test_the_taller_pair_is_the_only_taller_one(seed):
    asked = question("taller-pair", seed)

    def ratio(pair):
        front, rear = map(int, pair.split("/"))
        return rear / front

    fitted = ratio(re.search(r"\d+/\d+", asked.text)[0])
    assert [option for option in asked.options if ratio(option) < fitted] == [asked.right]


@given(seed=SEEDS)
@settings(max_examples=60, deadline=None)
def test_a_speed_is_said_with_no_more_digits_than_it_has(seed):
    asked = question("digits", seed)
    speed, share = numbers(asked.text)
    said, band = numbers(asked.right)
    assert said == int(said) and abs(said - speed) <= 0.5
    assert abs(band - speed * share / 100) <= 0.5
    assert all("." in option for option in asked.options if option != asked.right)


@pytest.mark.parametrize("kind", KINDS)
@given(seed=SEEDS)
@settings(max_examples=40, deadline=None)
def test_wrong_options_are_known_misconceptions_and_never_right(kind, seed):
    asked = question(kind, seed)
    assert len(set(asked.options)) == len(asked.options) >= 3
    assert asked.options.count(asked.right) == 1
    assert set(asked.why_wrong) == set(asked.options) - {asked.right}
    assert asked.misconceptions and set(asked.misconceptions) <= set(MISCONCEPTIONS)
    said = [asked.text, *asked.options, asked.working, *asked.why_wrong.values()]
    assert not re.search("[{}]", " ".join(said)), "a name in braces is left over"


@given(seed=SEEDS)
@settings(max_examples=50, deadline=None)
def test_a_seed_gives_one_quiz_of_different_kinds(seed):
    questions = quiz(seed)
    assert questions == quiz(seed)
    assert len({asked.kind for asked in questions}) == LENGTH
    assert sum(asked.kind in IDEAS for asked in questions) == LENGTH // 2


def test_it_asks_about_the_bike_and_the_ride_besides_arithmetic():
    subjects = {"slack", "shift-point", "trade-off", "speedometer", "chain-wear"}
    assert subjects <= set(IDEAS)
    # The popular wrong rule stands beside the right answer, and is far enough from it.
    for seed in range(200):
        asked = question("rear-for-front", seed)
        assert "3.0" in asked.why_wrong and float(asked.right) > 3.3


def test_all_kinds_turn_up():
    assert {asked.kind for seed in range(40) for asked in quiz(seed)} == set(KINDS)


@pytest.mark.parametrize("text", ["", "x", "-1", "1000000", "1.5", "<b>", "٣"])
def test_a_bad_seed_is_one_sentence(text):
    with pytest.raises(RecordError) as refused:
        read_seed(text)
    assert len(refused.value.sentences) == 1 and "from 0 to 999999" in str(refused.value)
