"""The kinds of questions of the quiz. Each draws its numbers and works them out with explorer.calc.

The number beside each wrong option is that of the misconception in
`explorer.tasks.lesson.misconceptions`.
"""

import math
import random
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from explorer.calc import gearing
from explorer.calc.drivetrain import forces
from explorer.calc.engine import curve as engine
from explorer.units import RPM

_KMH = 1 / 3.6

_REACHES = 0.92
"""Share of the crankshaft's power that the quiz lets reach the tyre, as in a drive in order [-]."""


@dataclass(frozen=True)
class Draft:
    """One question before its options are shuffled.

    Attributes:
        text, right, working: The question, its answer, and how to get there.
        wrong (tuple of (str, int, str)): Wrong options, each with its misconception's number and
            what was mixed up.
        given: The numbers in the text, in the units of the text.
    """

    text: str
    right: str
    working: str
    wrong: tuple[tuple[str, int, str], ...]
    given: dict[str, float]


def _pair(chance: random.Random) -> tuple[int, int]:
    return chance.randint(11, 16), chance.randint(38, 54)


def _percent(share: float) -> str:
    return f"{share * 100:+.1f} %".replace("-", "−")


def front_turns(chance: random.Random) -> Draft:
    """How often the front sprocket turns."""
    front, rear = _pair(chance)
    turns = chance.choice((5, 10, 20))
    ratio = gearing.final_ratio(front, rear)
    primary, gear = chance.choice((2.8, 3.0, 3.2)), chance.choice((1.6, 2.0, 2.4))
    overall = gearing.overall_ratio(primary, gear, front, rear)
    return Draft(
        text=f"Sprockets {front}/{rear} (front {front} teeth, rear {rear} teeth), primary "
        f"reduction {primary}, gear ratio {gear}. The rear wheel makes {turns} turns. How many "
        "does the front sprocket make?",
        right=f"{turns * ratio:.1f}",
        working=f"Final drive ratio = rear ÷ front = {rear} ÷ {front} = {ratio:.3f}. The front "
        f"sprocket makes {turns} × {ratio:.3f} = {turns * ratio:.1f} turns. Primary and gearbox "
        "lie before the front sprocket and have no part in it.",
        wrong=(
            (f"{turns / ratio:.1f}", 5, "The ratio was taken upside-down, front ÷ rear."),
            (
                f"{turns * overall:.1f}",
                8,
                "That is the crankshaft: the overall ratio in place of the final drive ratio.",
            ),
        ),
        given={"front": front, "rear": rear, "turns": turns, "primary": primary, "gear": gear},
    )


def pull_change(chance: random.Random) -> Draft:
    """Change of pull after a change of the rear sprocket."""
    front, rear = _pair(chance)
    more = chance.randint(3, 7)
    old, new = gearing.final_ratio(front, rear), gearing.final_ratio(front, rear + more)
    pull, speed = gearing.pull_change(old, new), gearing.speed_change(old, new)
    return Draft(
        text=f"From {front}/{rear} to {front}/{rear + more}: how does the pull at the tyre change "
        "at the same engine speed in the same gear?",
        right=_percent(pull),
        working=f"Pull grows with the ratio: {rear + more}/{front} over {rear}/{front}, less 1, is "
        f"{rear + more} ÷ {rear} − 1 = {_percent(pull)}.",
        wrong=(
            (_percent(-speed), 4, "That is the percentage of the speed, with its sign turned."),
            (_percent(-pull), 5, "The ratio was taken upside-down."),
            (_percent(more / 100), 7, "A tooth was taken for one per cent."),
        ),
        given={"front": front, "rear": rear, "rear_after": rear + more},
    )


def speed_change(chance: random.Random) -> Draft:
    """Change of speed at the same engine speed after a change of the front sprocket."""
    front, rear = _pair(chance)
    old, new = gearing.final_ratio(front, rear), gearing.final_ratio(front - 1, rear)
    pull, speed = gearing.pull_change(old, new), gearing.speed_change(old, new)
    return Draft(
        text=f"From {front}/{rear} to {front - 1}/{rear}: how does the road speed change at the "
        "same engine speed in the same gear?",
        right=_percent(speed),
        working=f"Speed falls as the ratio grows: old ratio ÷ new ratio − 1 = ({rear} ÷ {front}) ÷ "
        f"({rear} ÷ {front - 1}) − 1 = {front - 1} ÷ {front} − 1 = {_percent(speed)}.",
        wrong=(
            (_percent(-pull), 4, "That is the percentage of the pull, with its sign turned."),
            (_percent(pull), 5, "The ratio was taken upside-down."),
            (_percent(-1 / rear), 7, "One front tooth was taken for one rear tooth."),
        ),
        given={"front": front, "rear": rear, "front_after": front - 1},
    )


def road_speed(chance: random.Random) -> Draft:
    """Road speed at an engine speed."""
    front, rear = _pair(chance)
    rpm = chance.randrange(4000, 9001, 500)
    primary, gear = chance.choice((2.8, 3.0, 3.2, 3.4)), chance.choice((1.0, 1.2, 1.5, 2.0))
    rollout = chance.choice((1.9, 2.0, 2.1))
    overall = gearing.overall_ratio(primary, gear, front, rear)

    printed = round(overall, 3)
    turns = round(rpm / printed, 1)

    def said(ratio: float) -> str:
        return f"{gearing.road_speed(rpm * RPM, ratio, rollout) / _KMH:.0f} km/h"

    return Draft(
        text=f"{rpm} rpm, primary reduction {primary}, gear ratio {gear}, sprockets {front}/{rear} "
        f"(front/rear), roll-out {rollout} m. How fast does the motorcycle go, clutch out?",
        right=said(overall),
        working=f"Overall ratio = {primary} × {gear} × {rear}/{front} = {printed:.3f}. The wheel "
        f"makes {rpm} ÷ {printed:.3f} = {turns:.1f} turns a minute, each {rollout} m: "
        f"{turns:.1f} × {rollout} = {turns * rollout:.1f} m a minute, times 60 ÷ 1000 is "
        f"{said(overall)}.",
        wrong=(
            (
                said(overall / primary),
                8,
                "The primary reduction was left out: not the overall ratio.",
            ),
            (
                said(primary * gear * front / rear),
                5,
                "The ratio of the sprockets was taken upside-down.",
            ),
        ),
        given={"rpm": rpm, "primary": primary, "gear": gear, "front": front, "rear": rear,
               "rollout": rollout},
    )  # fmt: skip


def rear_for_front(chance: random.Random) -> Draft:
    """Rear teeth worth one front tooth."""
    front, rear = _pair(chance)
    teeth = gearing.rear_teeth_per_front_tooth(front, rear).for_one_fewer
    return Draft(
        text=f"{front}/{rear} (front/rear). About how many rear teeth more would do the same as "
        "one front tooth fewer?",
        right=f"{teeth:.1f}",
        working=f"With {front - 1} front teeth the ratio is {rear}/{front - 1}. The same with "
        f"{front} front teeth needs {rear} × {front} ÷ {front - 1} = "
        f"{rear * front / (front - 1):.1f} rear teeth: {teeth:.1f} more. In short, rear ÷ "
        "(front − 1).",
        wrong=(
            ("1.0", 7, "A tooth was taken for a tooth, wherever it sits."),
            (f"{front / rear:.1f}", 5, "The ratio was taken upside-down."),
        ),
        given={"front": front, "rear": rear},
    )


def overall(chance: random.Random) -> Draft:
    """Overall ratio."""
    front, rear = _pair(chance)
    primary, gear = chance.choice((2.6, 2.9, 3.1, 3.3)), chance.choice((1.1, 1.4, 1.8, 2.3))
    final = gearing.final_ratio(front, rear)
    ratio = gearing.overall_ratio(primary, gear, front, rear)
    return Draft(
        text=f"Primary reduction {primary}, gear ratio {gear}, sprockets {front}/{rear} "
        "(front/rear). How many turns does the crankshaft make for one turn of the rear wheel?",
        right=f"{ratio:.1f}",
        working=f"Overall ratio = primary × gear × rear ÷ front = {primary} × {gear} × {rear} ÷ "
        f"{front} = {ratio:.1f}.",
        wrong=(
            (f"{final:.1f}", 8, "That is the final drive ratio alone."),
            (f"{primary * gear / final:.1f}", 5, "The ratio of the sprockets was upside-down."),
        ),
        given={"primary": primary, "gear": gear, "front": front, "rear": rear},
    )


def power(chance: random.Random) -> Draft:
    """Power from torque and engine speed."""
    torque, rpm = chance.randint(8, 55), chance.randrange(4000, 11001, 500)
    # As printed, so that the working comes out on a pocket calculator; here and below.
    radians = round(rpm * RPM, 2)
    watts = engine.power(torque, rpm * RPM)
    return Draft(
        text=f"An engine gives {torque} N·m at {rpm} rpm. How much power is that?",
        right=f"{watts / 1000:.1f} kW",
        working=f"Power = torque × engine speed, {rpm} rpm being {rpm} × 2π ÷ 60 = "
        f"{radians:.2f} radians a second: {torque} × {radians:.2f} = {torque * radians:.0f} W, "
        f"{watts / 1000:.1f} kW.",
        wrong=(
            (
                "It cannot be told from these two",
                2,
                "Power is torque times engine speed, so it can.",
            ),
            (
                f"{torque * rpm / 1000:.1f} kW",
                2,
                "Revolutions a minute were not turned into radians a second.",
            ),
        ),
        given={"torque": torque, "rpm": rpm},
    )


def power_kept(chance: random.Random) -> Draft:
    """Power at the wheel after a change of the rear sprocket."""
    front, rear = _pair(chance)
    more, kilowatts = chance.randint(3, 6), chance.randint(8, 40)
    change = 1 + gearing.pull_change(
        gearing.final_ratio(front, rear), gearing.final_ratio(front, rear + more)
    )
    return Draft(
        text=f"At a certain engine speed {kilowatts} kW reach the rear wheel with {front}/{rear}. "
        f"How much power reaches it at the same engine speed with {front}/{rear + more}?",
        right=f"{kilowatts:.1f} kW",
        working=f"Sprockets trade force for speed. The pull becomes {change:.3f} times as large, "
        f"the speed 1 ÷ {change:.3f} of what it was; power is pull times speed and stays "
        f"{kilowatts:.1f} kW.",
        wrong=(
            (f"{kilowatts * change:.1f} kW", 1, "The pull grows, the power does not."),
            (f"{kilowatts / change:.1f} kW", 1, "The speed falls, the power does not."),
        ),
        given={"front": front, "rear": rear, "rear_after": rear + more, "kilowatts": kilowatts},
    )


def pull_from_power(chance: random.Random) -> Draft:
    """Pull at the tyre from power and road speed."""
    # Torque and engine speed are drawn, so that the power belongs to an engine that can be; rounded
    # first, so that the printed power gives the printed pull.
    torque, rpm = chance.randint(10, 50), chance.randrange(4000, 10001, 500)
    kilowatts = round(_REACHES * engine.power(torque, rpm * RPM) / 1000, 1)
    speed, radius = chance.randrange(30, 101, 5), 0.32
    newtons = kilowatts * 1000 / (speed * _KMH)
    at_crank = forces.pull(torque, 1.0, 1.0, 2 * math.pi * radius)
    return Draft(
        text=f"At {speed} km/h {kilowatts} kW reach the rear tyre; the engine gives {torque} N·m "
        f"at that moment, the rolling radius is {radius} m. How hard does the tyre pull?",
        right=f"{newtons:.0f} N",
        working=f"Pull = power at the tyre ÷ road speed. {speed} km/h is {speed} ÷ 3.6 metres a "
        f"second, and so the pull is {kilowatts * 1000:.0f} × 3.6 ÷ {speed} = {newtons:.0f} N. The "
        "torque at the crankshaft is not needed.",
        wrong=(
            (
                f"{at_crank:.0f} N",
                3,
                "The torque at the crankshaft, over the radius, leaves out what the gears do.",
            ),
            (f"{kilowatts * 1000 / speed:.0f} N", 3, "The speed was left in km/h."),
        ),
        given={"kilowatts": kilowatts, "speed": speed, "torque": torque, "radius": radius},
    )


def gear_gap(chance: random.Random) -> Draft:
    """Engine speed after an upshift, with a changed sprocket."""
    rear, more = chance.randint(38, 54), chance.randint(3, 7)
    low, high = chance.choice(((2.4, 1.8), (1.8, 1.4), (1.5, 1.2), (1.2, 1.0)))
    rpm = chance.randrange(6000, 10001, 500)
    after = rpm * high / low
    ratio = (rear + more) / rear
    return Draft(
        text=f"Changing up from a gear of {low} to one of {high} at {rpm} rpm. The rear sprocket "
        f"has been changed from {rear} to {rear + more} teeth. To what does the engine speed fall?",
        right=f"{after:.0f} rpm",
        working=f"Road speed stays, so the engine speed falls as the gears say: {rpm} × {high} ÷ "
        f"{low} = {after:.0f} rpm, whatever the sprockets.",
        wrong=(
            (f"{after * ratio:.0f} rpm", 7, "A sprocket moves every gear, not a gap."),
            (f"{after / ratio:.0f} rpm", 7, "A sprocket moves every gear, not a gap."),
        ),
        given={"low": low, "high": high, "rpm": rpm, "rear": rear, "rear_after": rear + more},
    )


def geared_speed(chance: random.Random) -> Draft:
    """Top speed of a bike that runs out of power before the rev limit."""
    front, geared = chance.randint(12, 15), chance.randrange(120, 161, 2)
    reached = geared - chance.randrange(12, 31, 2)
    taller = geared / gearing.final_ratio(front + 1, 48) * gearing.final_ratio(front, 48)
    return Draft(
        text=f"In top gear with {front}/48 the rev limit belongs to {geared} km/h, but on the "
        f"level the pull equals the resistance at {reached} km/h already, where the engine turns "
        "no faster than at its power peak. How fast does the bike go there? (With "
        f"{front + 1}/48 the rev limit would belong to {taller:.0f} km/h.)",
        right=f"{reached} km/h",
        working=f"Where pull equals resistance the speed stays: {reached} km/h, limited by power. "
        f"The {geared} km/h are only what the gears would allow. A taller pair raises that number, "
        "not the speed: at the same road speed the engine would turn slower, below its power peak, "
        "and give less power.",
        wrong=(
            (f"{geared} km/h", 10, "That is the speed of the table, not of the motorcycle."),
            (
                f"{taller:.0f} km/h",
                9,
                "Taller is not faster where power is the limit and the engine turns no faster than "
                "at its power peak.",
            ),
        ),
        given={"front": front, "geared": geared, "reached": reached},
    )


def at_the_limiter(chance: random.Random) -> Draft:
    """Pull at the rev limit against pull at peak torque, in one gear."""
    peak, best = chance.randint(20, 50), chance.randrange(6000, 8001, 500)
    limit, end = best + chance.randrange(2000, 3001, 500), peak - chance.randint(4, 12)
    change = end / peak - 1
    return Draft(
        text=f"An engine gives {peak} N·m at {best} rpm and {end} N·m at its rev limit of {limit} "
        "rpm. In the same gear, how does the pull at the rev limit compare with that at "
        f"{best} rpm?",
        right=_percent(change),
        working=f"In one gear the pull goes with the torque: {end} ÷ {peak} − 1 = "
        f"{_percent(change)}.",
        wrong=(
            (_percent(limit / best - 1), 12, "More revolutions are not more pull."),
            (
                _percent(limit * end / (best * peak) - 1),
                3,
                "That compares the power; in one gear at another speed the pull goes with torque.",
            ),
        ),
        given={"peak": peak, "best": best, "limit": limit, "end": end},
    )


def taller_pair(chance: random.Random) -> Draft:
    """Which pair is taller."""
    front, rear = _pair(chance)
    less, more = chance.randint(2, 4), chance.randint(2, 4)
    return Draft(
        text=f"Fitted is {front}/{rear} (front/rear). Which pair is taller gearing?",
        right=f"{front}/{rear - less}",
        working=f"Taller means a smaller number: {rear} ÷ {front} = {rear / front:.2f} is fitted, "
        f"{rear - less} ÷ {front} = {(rear - less) / front:.2f} is taller. More teeth at the rear "
        "or fewer at the front are shorter.",
        wrong=(
            (f"{front}/{rear + more}", 6, "More teeth at the rear is gearing down."),
            (f"{front - 1}/{rear}", 5, "Fewer teeth at the front raises rear ÷ front: shorter."),
        ),
        given={"front": front, "rear": rear},
    )


def digits(chance: random.Random) -> Draft:
    """How to say a speed computed from a tyre size."""
    speed, share = chance.randrange(50, 120) + chance.choice((0.27, 0.43, 0.64)), 2
    band = speed * share / 100
    return Draft(
        text=f"From a tyre size a speed of {speed:.2f} km/h is computed. The real roll-out may "
        f"differ by {share} % either way. How is the speed said honestly?",
        right=f"{speed:.0f} km/h, give or take {band:.0f} km/h",
        working=f"{share} % of {speed:.0f} km/h is {band:.0f} km/h, so decimals say nothing. "
        "Measure the roll-out with the rider seated.",
        wrong=(
            (f"{speed:.2f} km/h exactly", 13, "Decimals of a tyre size are not accuracy."),
            (f"{speed:.1f} km/h", 13, "Decimals of a tyre size are not accuracy."),
        ),
        given={"speed": speed, "share": share},
    )


KINDS: Mapping[str, Callable[[random.Random], Draft]] = MappingProxyType(
    {
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
        "geared-speed": geared_speed,
        "at-the-limiter": at_the_limiter,
        "taller-pair": taller_pair,
        "digits": digits,
    }
)
