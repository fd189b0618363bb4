"""Both pairs from rest at full throttle: who is ahead."""

import json

import numpy as np
from markupsafe import Markup

from explorer import units
from explorer.calc.vehicle import FloatArray
from explorer.charts import palette
from explorer.study.study import CHOSEN, FITTED
from explorer.study.table import RUN_TIMES, run_arrays
from explorer.tasks.lesson.facts import Facts, kept
from explorer.tasks.lesson.question import Asked
from explorer.tasks.lesson.step import Step
from explorer.units import RPM

_RUN_FOR = 5.0
"""Time after which the class says who is ahead [s]."""

_SIDE_BY_SIDE = 2.0
"""Closer than about the length of a bike nobody is ahead [m]."""


@kept
def run(facts: Facts) -> dict[str, FloatArray]:
    """Both pairs from rest at full throttle, at `RUN_TIMES`."""
    return run_arrays(facts.result)


class FullThrottle(Step):
    """Which pair is ahead after some seconds at full throttle."""

    number, place = 12, 6.5
    minutes = (0, 2, 4)
    name = "Run it"
    title = "both pairs from rest, full throttle"
    controls = ("rear",)
    watch = "Press “Run it”. With the engine note, listen for the gear changes."
    take_away = "The louder run is not always the faster one."
    coach = (
        "Both start alike and change up at their own best points. Shorter gearing gains only where "
        "the engine is the limit, not where the ground or the front wheel is.",
        "Stop the run at any time; the engine note is off until you switch it on.",
    )

    def ask(self, facts):
        here = (RUN_TIMES == _RUN_FOR).argmax()
        fitted, chosen = run(facts)["run_distance"][:, here]
        alike = f"less than {facts.said(_SIDE_BY_SIDE, 'distance')} apart"
        options = (facts.fitted, facts.chosen, alike)
        ahead = 2 if abs(fitted - chosen) < _SIDE_BY_SIDE else int(chosen > fitted)
        text = (
            f"{facts.fitted} and {facts.chosen} from rest, full throttle ({facts.where}). Who is "
            f"ahead after {_RUN_FOR:.0f} s?"
        )
        return Asked(text, options, options[ahead])

    def seen(self, facts):
        said = []
        for time in (_RUN_FOR, 3 * _RUN_FOR):
            at = run(facts)["run_distance"][:, (time == RUN_TIMES).argmax()]
            way = [facts.said(each, "distance") for each in at]
            said.append(
                f"After {time:.0f} s: {facts.fitted} {way[FITTED]}, {facts.chosen} {way[CHOSEN]}."
            )
        return said

    def beside(self, facts, base):
        """The runs of both pairs for the bench's player (lesson_stage.js), which plays and sounds
        them."""
        drive, found = facts.result.drive, run(facts)
        per_speed = drive.overall[:, :, 0] / drive.radius[:, :, 0]
        runs = []
        for index, name in enumerate((facts.fitted, facts.chosen)):
            turning = found["run_speed"][index] * per_speed[index, found["run_gear"][index]]
            rpm = np.maximum(turning, drive.launch_speed.item()) / RPM
            runs.append(
                {
                    "name": name,
                    "distance": found["run_distance"][index].round(2).tolist(),
                    "speed": found["run_speed"][index].round(2).tolist(),
                    "rpm": rpm.round().tolist(),
                }
            )
        told = {
            "times": RUN_TIMES.tolist(),
            "firings": facts.bike.engine.firings,
            "distance": units.display(1.0, "distance", facts.system),
            "colours": [palette.FITTED, palette.CHOSEN],
            "runs": runs,
        }
        return Markup(
            '<div class="ge-run" data-runs="{}"><button type="button" class="bn-run" data-run '
            'hidden>Run it</button><div class="bn-charts"></div></div>'
        ).format(json.dumps(told))
