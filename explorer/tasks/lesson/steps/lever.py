"""Force at the chain and force at the tyre: two arms about one axle."""

from typing import NamedTuple

import numpy as np

from explorer import units
from explorer.app.parts import Figure
from explorer.calc.chain import chain_load
from explorer.calc.drivetrain import forces
from explorer.calc.sprockets import pitch_diameter
from explorer.calc.vehicle import FloatArray
from explorer.charts.lesson import lesson_lever
from explorer.charts.lesson.lesson_lever import LeverView
from explorer.records.fitting.chains import chain_size
from explorer.records.tyre import rollout
from explorer.study.study import CHOSEN
from explorer.tasks.lesson.facts import Facts, kept
from explorer.tasks.lesson.question import Asked
from explorer.tasks.lesson.step import Step

SHAFT_TORQUE = 100.0
"""A round number for the lever, at the gearbox's output shaft [N·m]."""


class Arms(NamedTuple):
    """Forces at the rear wheel from `SHAFT_TORQUE`: pitch radii of the sprockets and rolling radius
    [m], force in the chain and force of the tyre on the ground [N], each (2,)."""

    front_radius: FloatArray
    rear_radius: FloatArray
    wheel_radius: FloatArray
    tension: FloatArray
    pull: FloatArray


@kept
def arms(facts: Facts) -> Arms:
    """Short arm and long arm, with both pairs."""
    study = facts.result
    front, rear = np.array([(each.front, each.rear) for each in study.fitments]).T
    pitch = chain_size(facts.bike.chain.size).pitch
    turn = rollout(facts.setup.tyre, facts.setup.rollout).value
    pull = forces.pull(SHAFT_TORQUE, study.ratios, 1.0, turn)
    return Arms(
        front_radius=pitch_diameter(pitch, front) / 2,
        rear_radius=pitch_diameter(pitch, rear) / 2,
        wheel_radius=np.full(2, turn / (2 * np.pi)),
        tension=chain_load.tension(pull, turn, pitch, rear),
        pull=pull,
    )


def _view(facts: Facts) -> LeverView:
    found, system = arms(facts), facts.system
    per_length, unit = units.display(1.0, "length", system)
    per_force, force_unit = units.display(1.0, "force", system)
    return LeverView(
        front=facts.setup.front,
        rear=facts.setup.rear,
        front_radius=float(found.front_radius[CHOSEN]) * per_length,
        rear_radius=float(found.rear_radius[CHOSEN]) * per_length,
        wheel_radius=float(found.wheel_radius[CHOSEN]) * per_length,
        turned=facts.lesson.place.turned,
        tension=float(found.tension[CHOSEN]) * per_force,
        pull=float(found.pull[CHOSEN]) * per_force,
        unit=unit,
        force_unit=force_unit,
        decimals=0 if system == "metric" else 1,
    )


class LeverAndWheel(Step):
    """Chain force against the push of the tyre."""

    number = place = 1
    minutes = (0, 4, 8)
    title = "Lever and wheel"
    controls = ("turned", "rear")
    watch = "Turn the wheel, count both marks. Then make the rear sprocket larger."
    take_away = "A larger rear sprocket trades speed for pull, never adds power."
    coach = (
        "Chain force times short arm is tyre force times long arm: the same moment about the axle.",
        "For one turn of the wheel the front sprocket makes rear ÷ front turns. Force against "
        "turns: never more power.",
        "Common answer: “harder, it is a bigger sprocket”. Ask how far each of them moves.",
    )
    figure = Figure(lesson_lever.LeverChart, lesson_lever.describe, _view)

    def ask(self, facts):
        found = arms(facts)
        tension = facts.said(found.tension[CHOSEN], "force")
        torque = facts.said(SHAFT_TORQUE, "torque")
        share = found.pull[CHOSEN] / found.tension[CHOSEN]
        options = ("harder than the chain", "just as hard", "less hard than the chain")
        right = options[0] if share > 1.001 else options[2] if share < 0.999 else options[1]
        return Asked(
            f"{facts.instead}: with {torque} at the front sprocket the chain pulls the rear one "
            f"with {tension}. How hard does the tyre push the ground backwards?",
            options,
            right,
        )

    def seen(self, facts):
        found, said = arms(facts), facts.said
        return [
            f"Chain {said(found.tension[CHOSEN], 'force')} on an arm of "
            f"{said(found.rear_radius[CHOSEN], 'length')}; tyre "
            f"{said(found.pull[CHOSEN], 'force')} on "
            f"{said(found.wheel_radius[CHOSEN], 'length')}."
        ]
