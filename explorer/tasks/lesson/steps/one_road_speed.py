"""Torque, power and pull in every gear at one road speed."""

from typing import NamedTuple

import numpy as np

from explorer import units
from explorer.calc.drivetrain import forces
from explorer.calc.engine import curve as engine
from explorer.calc.vehicle import FloatArray
from explorer.charts.lesson.lesson_bars import Bar, BarsView
from explorer.study.study import CHOSEN
from explorer.study.wording import engine_speed as rpm_text
from explorer.study.wording import ordinal
from explorer.tasks.lesson.bars import bars
from explorer.tasks.lesson.facts import Facts, kept
from explorer.tasks.lesson.question import Asked
from explorer.tasks.lesson.step import Step
from explorer.units import RPM

_ROUND_SPEED = 5
"""Speeds that are looked at are multiples of this in the reader's unit."""


class AtOneSpeed(NamedTuple):
    """The engine in every gear that can run at one road speed [m/s], at full throttle.

    Arrays (n,): gears that run there between idle and the rev limit, counted from 1; engine speed
    [rad/s], torque at the crankshaft [N·m], power there [W], and pull that the engine has for the
    tyre [N].
    """

    speed: float
    gears: FloatArray
    engine_speed: FloatArray
    torque: FloatArray
    power: FloatArray
    pull: FloatArray


@kept
def at_one_speed(facts: Facts) -> AtOneSpeed:
    """Torque, power and pull in every gear at the road speed of the lesson."""
    return _at(facts, min(facts.lesson.place.road_speed, facts.fastest_geared))


def _at(facts: Facts, speed: float) -> AtOneSpeed:
    """The same at a road speed [m/s]."""
    drive = facts.result.drive
    overall = drive.overall[CHOSEN, :, 0]
    engine_speed = speed * overall / float(drive.radius[CHOSEN, 0, 0])
    runs = (engine_speed >= drive.idle_speed.item()) & (
        engine_speed <= drive.limiter_speed.item() * (1 + 1e-9)
    )
    torque = np.ravel(drive.torque(engine_speed))
    turn = float(drive.rollout[CHOSEN, 0, 0])
    pull = forces.pull(torque, overall, float(drive.efficiency[CHOSEN, 0, 0]), turn)
    return AtOneSpeed(
        speed=speed,
        gears=np.flatnonzero(runs) + 1,
        engine_speed=engine_speed[runs],
        torque=torque[runs],
        power=engine.power(torque, engine_speed)[runs],
        pull=pull[runs],
    )


@kept
def parted(facts: Facts) -> AtOneSpeed | None:
    """The nearest round speed at which most torque and most power are in different gears."""
    one, _ = units.display(1.0, "speed", facts.system)
    there = np.arange(_ROUND_SPEED, facts.fastest_geared * one, _ROUND_SPEED) / one
    for speed in sorted(there, key=lambda each: abs(each - at_one_speed(facts).speed)):
        found = _at(facts, float(speed))
        if found.gears.size and np.argmax(found.power) != np.argmax(found.torque):
            return found
    return None


def _most(facts: Facts, here: AtOneSpeed) -> str:
    """Where most power is and where most torque."""
    best, most = int(np.argmax(here.power)), int(np.argmax(here.torque))
    power = facts.said(here.power[best], "power")
    gears = [ordinal(int(here.gears[each])) for each in (best, most)]
    return f"Most power there: {gears[0]}, {power}. Most torque at the crankshaft: {gears[1]}."


def _view(facts: Facts) -> BarsView:
    """Pull in every gear, with torque and power."""
    here, system = at_one_speed(facts), facts.system
    per_force, unit = units.display(1.0, "force", system)
    hardest = int(np.argmax(here.pull)) if here.gears.size else -1
    drawn = []
    for index, gear in enumerate(here.gears):
        each = (here.torque, "torque"), (here.power, "power"), (here.pull, "force")
        said = [rpm_text(here.engine_speed[index] / RPM)]
        said += [facts.said(values[index], kind) for values, kind in each]
        pull = float(here.pull[index]) * per_force
        drawn.append(Bar(ordinal(int(gear)), pull, " · ".join(said), strong=index == hardest))
    speed = facts.said(here.speed, "speed")
    return BarsView(tuple(drawn), f"pull of the engine at the tyre, {unit}, at {speed}")


class OneRoadSpeed(Step):
    """In which gear the tyre pulls hardest."""

    number = place = 6
    minutes = (4, 4, 7)
    title = "Torque, power and pull at one road speed"
    controls = ("road_speed", "rear")
    watch = "Move the road speed. Which gear pulls hardest?"
    take_away = "At one speed, the most power pulls hardest."
    coach = (
        "Pull is power at the wheel ÷ road speed, so at one speed the gear with the most power "
        "wins.",
        "Where the ground or the front wheel holds less than the engine has, the rest spins the "
        "tyre or lifts the front.",
        "Common answer: the gear with the most torque at the crankshaft.",
    )
    figure = bars(_view)

    def ask(self, facts):
        here = at_one_speed(facts)
        speed = facts.said(here.speed, "speed")
        gears = tuple(ordinal(int(gear)) for gear in here.gears)
        text = (
            f"{facts.instead}, {speed}, full throttle ({facts.where}). In which gear does the "
            "engine pull hardest at the tyre?"
        )
        if not gears:
            return Asked(f"{text} (None runs there.)", ("none",), "none")
        return Asked(text, gears, gears[int(np.argmax(here.pull))])

    def seen(self, facts):
        here = at_one_speed(facts)
        if not here.gears.size:
            return ["No gear runs at this speed."]
        said, apart = [_most(facts, here)], parted(facts)
        if np.argmax(here.power) == np.argmax(here.torque) and apart is not None:
            said.append(f"They part at {facts.said(apart.speed, 'speed')}. {_most(facts, apart)}")
        if here.pull.max() > facts.held:
            said.append(f"{facts.beyond_held} beyond {facts.said(facts.held, 'force')}.")
        return said
