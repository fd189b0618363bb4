"""Where changing up is best."""

from typing import NamedTuple

import numpy as np

from explorer.app import gearing_views
from explorer.app.parts import Figure
from explorer.charts.gearing import shift_chart
from explorer.study.study import CHOSEN
from explorer.study.wording import engine_speed as rpm_text
from explorer.study.wording import ordinal
from explorer.tasks.lesson.facts import Facts, kept
from explorer.tasks.lesson.question import Asked
from explorer.tasks.lesson.step import Step
from explorer.units import RPM

_CLOSED = 1e-3
"""The clutch is closed at an engine speed beyond the launch speed by this share."""

_SHORT_OF = 0.995
"""An upshift above this share of the rev limit counts as one at the rev limit [-]."""

_APART = 0.05
"""Engine speeds closer than this are no two options [-]."""


class Shift(NamedTuple):
    """The upshift that the lesson looks at, with the chosen pair.

    Attributes:
        gear: Gear that is left, counted from 1.
        taken (bool): Whether the next gear is taken at all.
        road_speed, before, after: Where: road speed [m/s], engine speed before and after [rad/s].
        held_back (bool): Whether the ground, or the front wheel, lets less through than the engine
            gives there.
        at_limit (bool): Whether it is only at the rev limit.
        slipping (bool): Whether the next gear's clutch would slip until then.
    """

    gear: int
    taken: bool
    road_speed: float
    before: float
    after: float
    held_back: bool
    at_limit: bool
    slipping: bool


def _held(facts: Facts, gear: int, speed: float) -> bool:
    """Whether a gear, from 0, has more pull at a speed [m/s] than ground or front wheel hold."""
    study = facts.result
    pull = np.interp(speed, study.road_speed[CHOSEN, gear], study.engine_pull[CHOSEN, gear])
    return bool(pull > facts.held)


@kept
def shift(facts: Facts) -> Shift | None:
    """The first upshift before the rev limit that neither ground nor front wheel holds back; else
    the first before it; else the last that is taken.

    None for a bike with a single gear.
    """
    result = facts.result
    if result.drive.gears == 1:
        return None
    drive = result.drive
    per_speed = drive.overall[CHOSEN, :, 0] / float(drive.radius[CHOSEN, 0, 0])
    taken, exit_speed = result.shifts.shifts_up[CHOSEN, :-1], result.shifts.exit_speed[CHOSEN, :-1]
    # A shift that waits for the next gear's clutch alone does not show the rule.
    turning = exit_speed * per_speed[1:]
    closed = taken & (turning > drive.launch_speed.item() * (1 + _CLOSED))
    taken = closed if closed.any() else taken
    before_limit = exit_speed < result.limiter_speeds[CHOSEN, :-1] * _SHORT_OF
    held = np.array([_held(facts, gear, each) for gear, each in enumerate(exit_speed)])
    early, late = np.flatnonzero(taken & before_limit), np.flatnonzero(taken)
    free = early[~held[early]]
    first = free if free.size else early
    gear = int(first[0]) if first.size else int(late[-1]) if late.size else 0
    speed = float(exit_speed[gear])
    limit = drive.limiter_speed.item()
    return Shift(
        gear=gear + 1,
        taken=bool(taken[gear]),
        road_speed=speed,
        before=float(per_speed[gear] * speed),
        after=float(per_speed[gear + 1] * speed),
        held_back=bool(held[gear]),
        at_limit=float(per_speed[gear] * speed) > limit * _SHORT_OF,
        slipping=bool(taken[gear]) and not closed[gear],
    )


class ShiftPoint(Step):
    """Where to change up."""

    number = place = 7
    minutes = (0, 4, 7)
    title = "Shift points on the sawtooth"
    controls = ("front", "rear")
    watch = "The line climbs a gear, falls back, climbs the next. Move a sprocket."
    take_away = "Shift when the next gear accelerates as hard, or at the limit."
    coach = (
        "Where both accelerate alike the lower gear still pulls harder: it has more rotating mass "
        "to speed up.",
        "The drop in revs is that of the gears, whatever the sprockets; sprockets move the road "
        "speed at which it happens.",
        "Common answer: at peak torque, or always at the rev limit.",
    )
    figure = Figure(
        shift_chart.ShiftChart,
        shift_chart.describe,
        lambda facts: gearing_views.shift_view(facts.result),
    )

    def shows(self, facts):
        found = shift(facts)
        # Held back alike, both gears are as good over a stretch: that does not show the rule.
        if found is None or not found.taken or found.slipping:
            return False
        return found.at_limit or not found.held_back

    def ask(self, facts):
        found = shift(facts)
        if found is None:
            return Asked("This bike has a single gear. When do you change up?", ("never",), "never")
        gear, following = ordinal(found.gear), ordinal(found.gear + 1)
        if not found.taken:
            better = f"{following} ever better than {gear} at full throttle"
            return Asked(f"{facts.instead} on this ground: is {better}?", ("yes", "no"), "no")
        # The popular rules beside it, each only where it would print another number.
        drive, options = facts.result.drive, [found.before]
        per_speed = found.before / found.road_speed
        for rule in (
            facts.result.peak_torque.engine_speed,
            facts.result.peak_power.engine_speed,
            drive.limiter_speed.item(),
        ):
            # Where both gears have more than the ground holds, either is as good as the other.
            alike = _held(facts, found.gear, rule / per_speed)
            if not alike and all(abs(rule / each - 1) > _APART for each in options):
                options.append(rule)
        text = (
            f"{facts.instead}, full throttle ({facts.where}). At how many rpm is changing up from "
            f"{gear} to {following} best?"
        )
        said = tuple(rpm_text(each / RPM) for each in sorted(options))
        return Asked(text, said if len(said) > 1 else (), rpm_text(found.before / RPM))

    def seen(self, facts):
        found = shift(facts)
        if found is None:
            return ["A single gear has no shift point."]
        gear, following = ordinal(found.gear), ordinal(found.gear + 1)
        if not found.taken:
            return [f"{following} never accelerates harder than {gear} here."]
        before, after = (rpm_text(each / RPM) for each in (found.before, found.after))
        if found.slipping:
            why = f"until then the clutch of {following} would slip"
        elif not found.at_limit:
            why = f"there {following} accelerates as hard as {gear}"
        elif found.held_back:
            why = "grip or the front wheel is the limit until then"
        else:
            why = f"{gear} accelerates harder up to the rev limit"
        return [f"From {before} to {after}: {why}."]
