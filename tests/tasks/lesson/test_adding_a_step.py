"""Adding a step is one file: the one of the lesson's README, put beside the others, is a step.

In a process of its own, or the other tests would meet the step.
"""

import re
import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.tyre import rollout
from explorer.tasks.lesson.plans import shared_out
from explorer.tasks.lesson.steps import STEPS
from tests.test_floors import ROOT

NUMBERED = sum(not each.name for each in STEPS)

OPENED = """
import sys
from importlib.util import find_spec, module_from_spec

spec = find_spec("explorer.tasks.lesson.steps")
package = sys.modules[spec.name] = module_from_spec(spec)
package.__path__.append(sys.argv[1])
spec.loader.exec_module(package)

from datetime import date

from explorer.tasks.lesson.page import LessonPage
from explorer.tasks.lesson.plans import PLANS
from explorer.tasks.lesson.sheet import Worksheet, render
from explorer.tasks.lesson.stage import Stage

page = LessonPage("bike=bracken-125&front=13&rear=54&step=5;plan+90&class=16;3;0.17x2;;")
state = page.state
state.pass_on(1)
stage = page.part(Stage)
print(state.lesson.step, state.link)
print(stage._title.value)
print(stage._question.value, stage._answer.value)
state.pass_on(1)
print(state.lesson.step, sum(PLANS[90].values()), 16 in PLANS[40])
imperial = LessonPage("bike=bracken-125&front=13&rear=54&units=imperial")
asked = package.STEPS[15].ask(imperial.result)
print(asked.text, asked.value)
print(LessonPage.intro)
print(render(Worksheet(page.result, date(2026, 11, 30), state.link), "coach"))
"""


def test_a_file_is_a_step_of_page_plan_link_and_sheet(tmp_path):
    readme = (ROOT / "explorer/tasks/lesson/README.md").read_text(encoding="utf-8")
    (tmp_path / "one_turn.py").write_text(
        re.search(r"```python\n(.*?)```", readme, re.S)[1], encoding="utf-8"
    )
    command = [sys.executable, "-c", OPENED, str(tmp_path)]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    link, title, shown, after, yards, counted, *sheet = done.stdout.splitlines()
    assert link.startswith("16 ?step=16;plan%2090&") and "16;3;0.17x2" in link
    assert "One turn: how far it goes" in title and re.search(r"minutes \d+ to \d+", title)
    way = int(re.search(r"One turn goes (\d+) mm\.", shown)[1]) / 1000
    assert float(re.search(r"<h3>([\d.]+)</h3>", shown)[1]) == pytest.approx(way, abs=0.0051)
    # Roll-out over primary reduction, top gear and 54/13, as a worksheet would have it.
    bike = demo_bikes()["bracken-125"]
    ratio = bike.gearbox.primary.si * bike.gearbox.ratios[-1].si * 54 / 13
    assert way == pytest.approx(rollout(bike.tyre.rear).value / ratio, abs=0.0005)
    asked = re.fullmatch(r"13/54, top gear: how many yards does .+ go\? ([\d.]+)", yards)
    assert float(asked[1]) * 0.9144 == pytest.approx(way, abs=0.0005)
    assert counted.startswith(
        f"{NUMBERED} steps and {len(STEPS) - NUMBERED + 1} shorter ones, in plans"
    )
    assert "0.17 ✓: 2" in shown
    assert "Shorter gearing: more turns for the same way." in shown
    assert after == "6 90 False", "the plan ends in time, and no other has it"
    assert "One turn: how far it goes" in "\n".join(sheet)


@given(st.dictionaries(st.integers(1, 30), st.integers(1, 20), min_size=1), st.integers(20, 90))
def test_a_plan_is_shared_out_whole_and_in_proportion(wanted, whole):
    minutes = shared_out(wanted, whole)
    assert sum(minutes.values()) == whole and [*minutes] == [*wanted]
    for step, each in minutes.items():
        assert abs(each - wanted[step] * whole / sum(wanted.values())) < 1
