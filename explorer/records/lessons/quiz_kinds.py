"""The kinds of questions of the quiz: each draws its numbers and works them out with explorer.calc.

What is asked, and which wrong options stand beside the answer, says data/quiz.toml.
"""

import math
import random
from collections.abc import Callable, Mapping
from typing import Any

from explorer import units
from explorer.calc import gearing
from explorer.calc.drivetrain import forces
from explorer.calc.engine import curve as engine
from explorer.units import KMH, RPM

_REACHES = 0.92
"""Share of the crankshaft's power that the quiz lets reach the tyre, as in a drive in order [-]."""

_HELD = 1400
"""Pull that a motorcycle of this kind can take with its front wheel on the ground [N]."""

_TALLEST, _SHORTEST = 8, 24
"""Overall ratios, of a top gear and of a first one [-]."""

_ROLLS, _DRAGS = 50.0, 0.028
"""Resistance on the level: that of the tyres [N], and of the air with a drag area of 0.6 m² in air
of 1.2 kg/m³ [N/(km/h)²]."""

_RESISTS = 0.5
"""Deceleration by air and ground at the speeds of 2nd and 3rd gear [m/s²]."""

Numbers = dict[str, Any]
"""What the text of a question names in braces."""


def _pair(chance: random.Random) -> Numbers:
    return {"front": chance.randint(11, 16), "rear": chance.randint(38, 54)}


def _ratio(front: int, rear: int) -> float:
    return float(gearing.final_ratio(front, rear))


def _percent(share: float) -> str:
    return f"{units.signed(share * 100, 1)} %"


def _changes(old: float, new: float) -> Numbers:
    pull, speed = gearing.pull_change(old, new), gearing.speed_change(old, new)
    return {
        "pull": _percent(pull),
        "speed": _percent(speed),
        "minus_pull": _percent(-pull),
        "minus_speed": _percent(-speed),
    }


def _front_turns(chance: random.Random) -> Numbers:
    pair, turns = _pair(chance), chance.choice((5, 10, 20))
    primary, gear = chance.choice((2.8, 3.0, 3.2)), chance.choice((1.6, 2.0, 2.4))
    ratio = _ratio(**pair)
    return pair | {
        "primary": primary, "gear": gear, "turns": turns, "ratio": ratio, "right": turns * ratio,
        "upside_down": turns / ratio, "crank": turns * primary * gear * ratio,
    }  # fmt: skip


def _pull_change(chance: random.Random) -> Numbers:
    pair, more = _pair(chance), chance.randint(3, 7)
    after = pair["rear"] + more
    changes = _changes(_ratio(**pair), _ratio(pair["front"], after))
    return pair | changes | {"after": after, "per_tooth": _percent(more / 100)}


def _speed_change(chance: random.Random) -> Numbers:
    pair = _pair(chance)
    after = pair["front"] - 1
    changes = _changes(_ratio(**pair), _ratio(after, pair["rear"]))
    return pair | changes | {"after": after, "per_tooth": _percent(-1 / pair["rear"])}


def _road_speed(chance: random.Random) -> Numbers:
    pair, rpm = _pair(chance), chance.randrange(4000, 9001, 500)
    primary, gear = chance.choice((2.8, 3.0, 3.2, 3.4)), chance.choice((1.0, 1.2, 1.5, 2.0))
    rollout, ratio = chance.choice((1.9, 2.0, 2.1)), _ratio(**pair)

    def speed(overall: float) -> float:
        return float(gearing.road_speed(rpm * RPM, overall, rollout)) / KMH

    # As printed, so that the working comes out on a pocket calculator; here and below.
    overall = round(primary * gear * ratio, 3)
    turns = round(rpm / overall, 1)
    return pair | {
        "rpm": rpm, "primary": primary, "gear": gear, "rollout": rollout, "overall": overall,
        "turns": turns, "metres": turns * rollout, "right": speed(primary * gear * ratio),
        "no_primary": speed(gear * ratio), "upside_down": speed(primary * gear / ratio),
    }  # fmt: skip


def _rear_for_front(chance: random.Random) -> Numbers:
    # Far enough from three, the popular rule, to be told from it.
    front, rear = chance.randint(11, 14), chance.randint(44, 54)
    return {
        "front": front, "rear": rear, "fewer": front - 1, "same": rear * front / (front - 1),
        "right": gearing.rear_teeth_per_front_tooth(front, rear).for_one_fewer,
    }  # fmt: skip


def _overall(chance: random.Random) -> Numbers:
    pair = _pair(chance)
    primary, gear = chance.choice((2.6, 2.9, 3.1, 3.3)), chance.choice((1.1, 1.4, 1.8, 2.3))
    final = _ratio(**pair)
    return pair | {
        "primary": primary, "gear": gear, "final": final, "right": primary * gear * final,
        "upside_down": primary * gear / final,
    }  # fmt: skip


def _power(chance: random.Random) -> Numbers:
    torque, rpm = chance.randint(8, 55), chance.randrange(4000, 11001, 500)
    radians = round(rpm * RPM, 2)
    return {
        "torque": torque, "rpm": rpm, "radians": radians, "watts": torque * radians,
        "right": engine.power(torque, rpm * RPM) / 1000, "per_minute": torque * rpm / 1000,
    }  # fmt: skip


def _power_kept(chance: random.Random) -> Numbers:
    pair, more, kilowatts = _pair(chance), chance.randint(3, 6), chance.randint(8, 40)
    change = 1 + more / pair["rear"]
    return pair | {
        "after": pair["rear"] + more, "kilowatts": kilowatts, "change": change,
        "more": kilowatts * change, "less": kilowatts / change,
    }  # fmt: skip


def _pull_from_power(chance: random.Random) -> Numbers:
    # Drawn from the engine on, in a gear in which the tyre can still hold the ground and the front
    # wheel stays down; rounded first, so that the printed power gives the printed pull.
    torque, rpm = chance.randint(15, 45), chance.randrange(5000, 9001, 500)
    radius = 0.32
    most = _HELD * radius / (_REACHES * torque)
    overall = chance.uniform(_TALLEST, min(_SHORTEST, most))
    kilowatts = round(_REACHES * engine.power(torque, rpm * RPM) / 1000, 1)
    speed = round(float(gearing.road_speed(rpm * RPM, overall, 2 * math.pi * radius)) / KMH)
    return {
        "torque": torque, "kilowatts": kilowatts, "speed": speed, "radius": radius,
        "watts": kilowatts * 1000, "right": kilowatts * 1000 / (speed * KMH),
        "in_kmh": kilowatts * 1000 / speed,
        "at_crank": forces.pull(torque, 1.0, 1.0, 2 * math.pi * radius),
    }  # fmt: skip


def _gear_gap(chance: random.Random) -> Numbers:
    rear, more = chance.randint(38, 54), chance.randint(3, 7)
    low, high = chance.choice(((2.4, 1.8), (1.8, 1.4), (1.5, 1.2), (1.2, 1.0)))
    rpm = chance.randrange(6000, 10001, 500)
    right, ratio = rpm * high / low, (rear + more) / rear
    return {
        "rear": rear, "after": rear + more, "low": low, "high": high, "rpm": rpm,
        "right": right, "times": right * ratio, "over": right / ratio,
    }  # fmt: skip


def _geared_speed(chance: random.Random) -> Numbers:
    front, faster = chance.randint(12, 15), chance.randrange(110, 141, 2)
    slower, geared = round(0.9 * faster), round(chance.uniform(1.1, 1.2) * faster)
    holds, held = (_tens(_ROLLS + _DRAGS * speed**2) for speed in (slower, faster))
    lack = chance.choice((20, 30, 40))
    # At the power peak the power is not less than anywhere below.
    pull = _tens((held - lack) * faster / slower * 0.98)
    return {
        "front": front, "more": front + 1, "slower": slower, "faster": faster, "geared": geared,
        "pull": pull, "holds": holds, "spare": pull - holds, "less": held - lack, "held": held,
        "lack": lack, "taller": geared * (front + 1) / front,
    }  # fmt: skip


def _tens(newtons: float) -> int:
    """A force as it is printed, rounded down [N]."""
    return int(newtons / 10) * 10


def _at_the_limiter(chance: random.Random) -> Numbers:
    peak, best = chance.randint(20, 50), chance.randrange(6000, 8001, 500)
    limit, end = best + chance.randrange(2000, 3001, 500), round(peak * chance.uniform(0.7, 0.88))
    return {
        "peak": peak, "best": best, "limit": limit, "end": end, "pull": _percent(end / peak - 1),
        "revs": _percent(limit / best - 1), "power": _percent(limit * end / (best * peak) - 1),
    }  # fmt: skip


def _taller_pair(chance: random.Random) -> Numbers:
    pair = _pair(chance)
    front, rear = pair["front"], pair["rear"]
    less = rear - chance.randint(2, 4)
    return pair | {
        "less": less, "more": rear + chance.randint(2, 4), "fewer": front - 1,
        "ratio": rear / front, "taller": less / front,
    }  # fmt: skip


def _digits(chance: random.Random) -> Numbers:
    speed, share = chance.randrange(50, 120) + chance.choice((0.27, 0.43, 0.64)), 2
    return {"speed": speed, "share": share, "band": speed * share / 100}


def _slack(chance: random.Random) -> Numbers:
    # Shaft to pivot and pivot to axle [mm]; the swingarm hangs and is pushed up so far from being
    # in line with both [rad].
    ahead, arm = chance.randint(80, 100), chance.randint(480, 540)
    hangs, rises = chance.uniform(0.28, 0.38), chance.uniform(0.2, 0.27)

    def apart(angle: float) -> int:
        return round(math.sqrt(ahead**2 + arm**2 + 2 * ahead * arm * math.cos(angle)))

    return {"line": apart(0.0), "hanging": apart(hangs), "full": apart(rises)}


def _shift_point(chance: random.Random) -> Numbers:
    equal = chance.randrange(50, 71, 2)
    low, limit = round(0.8 * equal), round(1.07 * equal)
    at_peak, step, falls = chance.randint(22, 30) / 10, 1.3, chance.uniform(3, 4)

    def gain(speed: int, over: float) -> float:
        # At one road speed the pull goes with the power. Around its peak that is a parabola over
        # engine speed, and both gears are as far from the peak where they pull alike.
        revs = 2 * over / (1 + step) * speed / equal
        return at_peak * equal / speed * (1 - falls * (revs - 1) ** 2) - _RESISTS

    return {
        "low": low, "equal": equal, "limit": limit, "both": gain(equal, step),
        "low_2nd": gain(low, step), "low_3rd": gain(low, 1.0),
        "limit_2nd": gain(limit, step), "limit_3rd": gain(limit, 1.0),
    }  # fmt: skip


def _trade_off(chance: random.Random) -> Numbers:
    front, middle = chance.randint(12, 14), chance.randint(48, 52)
    short, tall = middle + chance.randint(4, 6), middle - chance.randint(4, 6)
    need = chance.randrange(70, 96, 5)
    top = need + chance.randint(1, 3)
    slow = round(top / chance.randint(13, 18), 1)
    return {
        "front": front, "need": need, "short": short, "middle": middle, "tall": tall,
        # A top speed grows by the ratio at the rev limit, and by less where power ends it.
        "short_top": math.ceil(top * middle / short), "middle_top": top,
        "tall_top": chance.randint(top + 2, int(top * middle / tall)),
        "short_slow": slow * middle / short, "middle_slow": slow, "tall_slow": slow * middle / tall,
    }  # fmt: skip


def _speedometer(chance: random.Random) -> Numbers:
    pair, shown = _pair(chance), chance.randrange(50, 101, 5)
    after = pair["rear"] + chance.randint(3, 7)
    share = pair["rear"] / after
    return pair | {
        "after": after, "shown": shown, "right": shown * share, "upside_down": shown / share
    }  # fmt: skip


def _chain_wear(chance: random.Random) -> Numbers:
    front = chance.randint(12, 15)
    few = front - chance.randint(1, 2)
    return {
        "front": front, "few": few, "angle": 360 / front, "angle_few": 360 / few,
        "bend": _percent(front / few - 1), "share": _percent(few / front - 1),
    }  # fmt: skip


def _by_name(*kinds: Callable[[random.Random], Numbers]) -> Mapping[str, Any]:
    """The kinds by their names in data/quiz.toml."""
    return {kind.__name__.strip("_").replace("_", "-"): kind for kind in kinds}


SUMS = _by_name(
    _front_turns, _pull_change, _speed_change, _road_speed, _rear_for_front, _overall, _power,
    _pull_from_power, _at_the_limiter,
)  # fmt: skip
"""Kinds that are mostly arithmetic."""

IDEAS = _by_name(
    _power_kept, _gear_gap, _geared_speed, _taller_pair, _digits, _slack,
    _shift_point, _trade_off, _speedometer, _chain_wear,
)  # fmt: skip
"""Kinds that ask what follows for the bike and the ride."""

KINDS = {**SUMS, **IDEAS}
