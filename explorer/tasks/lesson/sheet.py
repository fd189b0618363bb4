"""The worksheet of the lesson: one sheet for pupils, a second with the answers for the coach.

Each is a file that needs nothing else: no script, no picture, no font from elsewhere.
"""

from dataclasses import dataclass
from datetime import date
from typing import Literal

import numpy as np

from explorer import units
from explorer.app.printed import save_link, template
from explorer.app.setup_code import code_svg, read_address
from explorer.calc import gearing
from explorer.records.lessons.quiz import quiz
from explorer.records.tyre import rollout
from explorer.study.study import FITTED
from explorer.study.wording import engine_speed as rpm_text
from explorer.study.wording import ordinal
from explorer.tasks.lesson.class_card import MEASURED, results_view
from explorer.tasks.lesson.experiments import EXPERIMENTS
from explorer.tasks.lesson.facts import Facts
from explorer.tasks.lesson.misconceptions import of_step
from explorer.tasks.lesson.plans import PLANS
from explorer.tasks.lesson.quiz import units_note
from explorer.tasks.lesson.step import Step
from explorer.tasks.lesson.steps import STEPS
from explorer.tasks.lesson.steps.front_tooth import FrontTooth
from explorer.units import RPM

Reader = Literal["pupil", "coach"]

_RPM_STEP = 500
"""The sheet asks for speeds at a round engine speed [rpm]."""


_COUNTED = {FrontTooth.number: "rear teeth"}
"""What a plain number counts, by the step that asks for it."""


@dataclass(frozen=True)
class Worksheet:
    """What both sheets are made from.

    Raises RecordError where the address is none.

    Attributes:
        address: Address of the lesson's page for the code; empty if the coach did not give it.
    """

    facts: Facts
    made_on: date
    query: str
    address: str = ""

    def __post_init__(self) -> None:
        object.__setattr__(self, "address", read_address(self.address))


def render(sheet: Worksheet, reader: Reader) -> str:
    """One of the two sheets as a whole document of HTML; all texts are escaped."""
    facts = sheet.facts
    plan, fitted = PLANS[facts.lesson.place.plan], facts.result.fitments[FITTED]
    rpm, speeds = speeds_at_a_round_engine_speed(facts)
    _, length_unit = units.display(1.0, "length", facts.system)
    _, speed_unit = units.display(1.0, "speed", facts.system)
    return template("lesson/sheet.html.j2").render(
        coach=reader == "coach",
        bike=facts.bike.name,
        invented=facts.bike.provenance == "invented",
        pair=facts.fitted,
        made_on=sheet.made_on,
        minutes=facts.lesson.place.plan,
        steps=[_row(STEPS[each - 1], minutes, facts) for each, minutes in plan.items()],
        labels={each: STEPS[each - 1].name or f"step {each}" for each in plan},
        experiments=[each for each in EXPERIMENTS if each.step in plan],
        expected=[
            (measured.name, _expected(name, facts), measured.how)
            for name, measured in MEASURED.items()
        ],
        rollout=rollout(fitted.tyre, fitted.rollout, facts.system).sentence,
        rpm=rpm,
        gears=[ordinal(gear) for gear in range(1, len(speeds) + 1)],
        speeds=[facts.said(speed, "speed") for speed in speeds],
        length_unit=length_unit,
        speed_unit=speed_unit,
        seed=facts.lesson.place.seed,
        questions=quiz(facts.lesson.place.seed),
        units_note=units_note(facts.system),
        code=code_svg(sheet.address + sheet.query) if sheet.address else None,
        link=sheet.address + sheet.query if sheet.address else "",
    )


def _row(step: Step, minutes: int, facts: Facts) -> tuple:
    answer, remember, asked = step.answer(facts), step.remember(facts), step.ask(facts)
    unit = asked.unit or _COUNTED.get(step.number, "")
    return step, minutes, asked, unit, answer, remember, of_step(step.number)


def speeds_at_a_round_engine_speed(facts: Facts) -> tuple[str, np.ndarray]:
    """Speeds in every gear, fitted gearing, at a round engine speed near peak power.

    Returns: tuple of str and array (gears,): The engine speed in words, and the road speeds [m/s].
    """
    rpm = round(facts.result.peak_power.engine_speed / RPM / _RPM_STEP) * _RPM_STEP
    overall = facts.result.drive.overall[FITTED, :, 0]
    turn = facts.result.rollouts[FITTED].value
    return rpm_text(rpm), gearing.road_speed(rpm * RPM, overall, turn)


def file_name(sheet: Worksheet, reader: Reader) -> str:
    """Name under which a sheet is saved.

    Returns: For example "gearing-lesson-pupil-2026-05-01.html".
    """
    return f"gearing-lesson-{reader}-{sheet.made_on}.html"


def download_link(sheet: Worksheet, reader: Reader) -> str:
    """A link in a page that saves a sheet; escaped HTML."""
    words = {"pupil": "Download the worksheet", "coach": "Download the answers, for the coach"}
    said = f"{words[reader]}, quiz number {sheet.facts.lesson.place.seed}"
    return save_link(render(sheet, reader), said, file_name(sheet, reader))


def _expected(name: str, facts: Facts) -> str:
    view = results_view(name, np.array([]), facts)
    return view.said(view.predicted)
