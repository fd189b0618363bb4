"""The lesson page in a real browser, through Voilà, with every other host blocked."""

import re
from urllib.parse import unquote

import pytest
from playwright.sync_api import expect

from explorer.records.bikes.own_bike import read_own_bike
from explorer.records.setups.link import MINE, encode
from explorer.records.setups.setup import Setup
from explorer.tasks.lesson.plans import PLANS
from explorer.tasks.lesson.steps import STEPS
from explorer.tasks.lesson.steps.full_throttle import FullThrottle
from explorer.tasks.lesson.steps.recap import Recap
from tests.records.bikes.test_own_bike import MEADOW


def button(page, name):
    return page.get_by_role("button", name=name, exact=True)


STAGES = ("Question", "Demonstration", "Vote again", "Answer")

# Lowest edge of what a stage shows, smallest letters that a class reads, words, and where the
# window stands.
MEASURE = """() => {
  const body = document.querySelector(".ge-stage-body");
  const stage = document.querySelector(".ge-stage").getBoundingClientRect();
  const shown = [...body.querySelectorAll("*")].filter(
    (e) => !e.closest(".ge-unseen") && e.getClientRects().length && e.offsetParent);
  const edges = shown.map((e) => e.getBoundingClientRect()).filter((r) => r.width && r.height);
  const read = shown.filter((e) => e.innerText?.trim() && !e.querySelector(":scope *"));
  return {
    top: stage.top, bottom: stage.bottom, room: body.getBoundingClientRect().bottom,
    lowest: Math.max(...edges.map((r) => r.bottom)), right: Math.max(...edges.map((r) => r.right)),
    letters: Math.min(...read.map((e) => parseFloat(getComputedStyle(e).fontSize))),
    words: read.filter((e) => !e.closest(".ge-tally, .ge-told"))  // the class's own
      .map((e) => e.innerText).join(" ").split(/\\s+/).filter((w) => /\\w/.test(w)).length,
    scrolled: window.scrollY, tools: document.querySelectorAll(".ge-stage .bk-Toolbar").length,
  };
}"""


def on_the_stage(page):
    return page.locator(".ge-stage-foot")


def shown_stages(page):
    # What a new step shows last; which stages it has stands by then.
    expect(button(on_the_stage(page), "Question")).to_have_class(re.compile("ge-stage-now"))
    names = on_the_stage(page).get_by_role("button").all_inner_texts()
    return [each for each in STAGES if each in names]


def show(page, stage):
    button(on_the_stage(page), stage).click()
    expect(button(on_the_stage(page), stage)).to_have_class(re.compile("ge-stage-now"))


def fits(page, width, height, where):
    page.wait_for_function("Bokeh.documents.every((each) => each.is_idle)")
    at = page.evaluate(MEASURE)
    assert at["top"] >= 0 and at["bottom"] <= height and at["scrolled"] == 0, (where, at)
    assert at["lowest"] <= at["room"] + 1 and at["right"] <= width, (where, at)
    assert at["letters"] >= 24 and not at["tools"], (where, at)
    return at["words"]


# Forty people in both rounds of every step, six different guesses, the longest reason.
FULL = "|".join(
    f"{step.number};0;0x9_1x8_2x8_3x7_4x4_5x4;0x4_1x4_2x7_3x8_4x8_5x9;{'wide ' * 12}".strip()
    for step in STEPS
)


def own_link():
    """A bike that is no demo, with as long a name as there may be."""
    bike = read_own_bike(
        MEADOW | {"name": "A name as long as any name of a bike may be, for example so"}
    ).bike
    assert len(bike.name) >= 58
    return encode(Setup.for_bike(MINE, bike), bike, bike).removeprefix("?")


@pytest.mark.parametrize(
    ("width", "height", "bike"),
    [
        pytest.param(1280, 720, "marram-250", marks=pytest.mark.long),
        pytest.param(1024, 768, MINE, marks=pytest.mark.long),
    ],
)
def test_every_stage_of_every_step_fits_the_projector(open_page, width, height, bike):
    query = own_link() if bike == MINE else f"bike={bike}"
    page = open_page("lesson", f"{query}&step=0&class={FULL}", width=width, height=height)
    button(page, "90 minutes").click()
    page.get_by_text("Final against overall ratio").first.wait_for()
    fits(page, width, height, "opening")
    for step in PLANS[90]:
        button(on_the_stage(page), "Next step").click()
        page.get_by_role("heading", name=STEPS[step - 1].heading).wait_for()
        words = 0
        for stage in shown_stages(page):
            show(page, stage)
            if stage == "Demonstration" and STEPS[step - 1].figure:
                drawn = page.locator(".ge-stage .bk-Figure").first
                mute = page.get_by_text(re.compile("does not show it|Measure the swingarm")).first
                drawn.or_(mute).wait_for()
            if stage == "Demonstration" and step == FullThrottle.number:
                page.locator(".bn-run").click()
                page.get_by_text("behind").wait_for()
            if stage == "Answer" and step != Recap.number:
                page.get_by_text("because wide").wait_for()
                assert page.locator(".ge-lesson-answer .ge-tally li").count() <= 6
            counted = fits(page, width, height, (step, stage))
            words += counted if stage != "Vote again" else 0
        assert words <= 120, (step, words)


# Each of its own click, as the first one's was: the kernel counts them one by one.
ELEVEN_MORE = """options => {
  for (let pupil = 1; pupil < 12; pupil += 1) options[pupil % options.length].click();
}"""


@pytest.mark.long
def test_a_class_of_twelve_goes_through_the_plan_of_20_minutes(open_page):
    """The longer plans without a browser: tests/tasks/lesson/test_lesson_page.py."""
    page = open_page("lesson", "bike=bracken-125", width=1280, height=720)
    page.get_by_role("heading", name="Lesson: which gearing, and why?").wait_for()
    expect(page.locator(".ge-plan-now")).to_have_text("40 minutes")
    button(page, "20 minutes").click()
    expect(page.locator(".ge-plan-now")).to_have_text("20 minutes")
    button(page, "Next step").click()
    gone = []
    while True:
        step = STEPS[list(PLANS[20])[len(gone)] - 1]
        gone.append(step.number)
        page.get_by_role("heading", name=step.heading).wait_for()
        stages = shown_stages(page)
        for vote in [each for each in ("Question", "Vote again") if each in stages]:
            show(page, vote)
            options = page.locator(".ge-option button:visible")
            if options.count():
                options.first.click()
                options.evaluate_all(ELEVEN_MORE)
                page.wait_for_function("""[...document.querySelectorAll(".ge-option progress")]
                  .some((bar) => bar.value > 0)""")
            elif step.number != Recap.number:
                guess = page.get_by_label("Add a guess")
                guess.fill("; ".join(str(pupil) for pupil in range(1, 13)))
                guess.press("Enter")
                expect(guess).to_have_value("")
            # Bars without numbers: nobody is led before the answer.
            assert not page.locator(".ge-option").get_by_text("→").count()
            show(page, "Demonstration")
        button(on_the_stage(page), "Answer").click()
        page.locator(".ge-take-away").get_by_text(step.take_away).wait_for()
        if step.number != Recap.number:
            lines = page.locator(".ge-lesson-answer .ge-tally span").all_inner_texts()
            rounds = [re.findall(r": (\d+) → (\d+)$", line)[0] for line in lines]
            assert [sum(map(int, each)) for each in zip(*rounds, strict=True)] == [12, 12], lines
        if step.number == Recap.number:
            break
        button(on_the_stage(page), "Next step").click()
    assert gone == list(PLANS[20])
    expect(button(on_the_stage(page), "Next step")).to_be_disabled()


def test_another_step_and_an_opened_answer_come_into_view(open_page):
    """Also where the coach chose them further down, or had scrolled away."""
    page = open_page("lesson", "bike=bracken-125", width=1280, height=720)
    steps = page.locator(".ge-lesson .widget-toggle-button")
    for name in ("3", "6"):
        steps.get_by_text(name, exact=True).click()
        page.get_by_role("heading", name=f"Step {name}:").wait_for()
        page.wait_for_function("scrollY === 0")
    page.set_viewport_size({"width": 390, "height": 700})
    page.mouse.wheel(0, 300)
    button(on_the_stage(page), "Answer").click()
    page.locator(".ge-take-away").wait_for()
    page.wait_for_function("""(({ top }) => top >= 0 && top < 100)(
      document.querySelector(".ge-stage").getBoundingClientRect())""")


def test_a_pupil_goes_on_to_the_bench_with_own_teeth(open_page):
    page = open_page(
        "lesson", f"bike=bracken-125&step={Recap.number};own+14/46&class={Recap.number};1;;;"
    )
    page.get_by_text("from 14/46 = 3.29").first.wait_for()
    rear = page.get_by_role("slider", name="Own rear sprocket", exact=True)
    rear.press("ArrowRight")
    page.get_by_role("link", name="14/47 on the bench").click()
    page.wait_for_selector("html[data-ready]", state="attached")
    page.get_by_text("This bike", exact=True).click()
    page.get_by_text("14/47 on Bracken 125").first.wait_for()
    page.get_by_role("button", name="Enter your own bike").click()
    # The teeth are there; the rest is asked for.
    expect(page.locator(".ge-own").get_by_label("Sprockets fitted")).to_have_value("14/47")
    expect(page.locator(".ge-own").get_by_label("Gear ratios")).to_have_value("")


def test_the_run_is_the_benchs_and_a_moved_sprocket_ends_it(open_page):
    page = open_page(
        "lesson",
        f"step={FullThrottle.number}&class={FullThrottle.number};1;;;",
        width=1280,
        height=720,
    )
    run = page.locator(".bn-run")
    run.click()
    page.get_by_label("engine note").check()
    page.wait_for_function("""parseFloat(document.querySelector(".bn-lane i").style.width) > 10""")
    page.get_by_role("slider", name="Rear sprocket", exact=True).press("ArrowRight")
    expect(run).to_have_text("Run it")
    assert not page.locator(".bn-lane").count()
    # Where motion is not wanted it shows its end at once.
    page.emulate_media(reduced_motion="reduce")
    run.click()
    expect(run).to_have_text("Clear the run", timeout=10_000)  # a run takes 24 s
    for said in (" s behind", "after 24.0 s"):
        assert page.get_by_text(said).count() == 1


def test_guesses_step_and_question_stay_after_a_reload_and_another_page(open_page):
    page = open_page(
        "lesson", "bike=bracken-125&step=3;plan+90&letters=usual&own.name=%3Cimg%20src%3Dx%3E"
    )
    page.get_by_role("heading", name="Step 3: Pull and speed are two numbers").wait_for()
    guess = page.get_by_label("Add a guess")
    guess.fill("down 7,4")
    guess.press("Enter")
    page.locator(".ge-tally progress").first.wait_for()
    button(page, "Demonstration").press("Enter")
    page.get_by_text("change, %, from 13/50 to 13/54").first.wait_for()
    rear = page.get_by_role("slider", name="Rear sprocket", exact=True)
    rear.press("ArrowRight")
    page.get_by_text("change, %, from 13/50 to 13/55").first.wait_for()
    button(page, "Answer").press("Enter")
    # From the definition: 13/50 to 13/54, 1 - 50/54, whatever the slider did.
    page.get_by_role("heading", name="7.4 %").wait_for()
    page.wait_for_function("location.search.includes('class=')")
    page.get_by_role("link", name="Gearing", exact=True).click()
    page.wait_for_selector("html[data-ready]", state="attached")
    page.get_by_role("link", name="Lesson", exact=True).click()
    page.get_by_role("heading", name="7.4 %").wait_for()
    page.get_by_text("7.4 % ✓: 1").wait_for()
    expect(page.get_by_role("button", name="usual", exact=True)).to_have_class(
        re.compile("mod-active")
    )
    page.reload(wait_until="commit")
    page.get_by_text("7.4 % ✓: 1").wait_for()
    # Back, past the other page, to the lesson as it was left.
    page.evaluate("window.left = true; history.go(-2)")
    page.wait_for_function("!window.left && document.documentElement.dataset.ready !== undefined")
    page.get_by_text("7.4 % ✓: 1").wait_for()
    # A name from a link is text, in the options of a question too.
    button(page, "Next step").click()
    button(page, "Next step").click()
    page.get_by_role("button", name="<img src=x> (this one)", exact=True).wait_for()
    assert page.locator("#ge-page img").count() == 0


@pytest.mark.long
def test_on_a_phone_the_stage_is_as_wide_as_the_phone_and_makes_its_sheets(open_page):
    page = open_page("lesson", "step=9&bike=marram-250&letters=usual", width=390)
    page.get_by_role("heading", name="Step 9:").wait_for()
    button(page, "Demonstration").click()
    page.get_by_role("slider", name="Wheel travel used [mm]").wait_for()
    page.locator(".bk-Figure").first.wait_for()
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    button(page, "Make the sheets").click()
    answers = page.get_by_role("link", name="Download the answers, for the coach")
    assert "Gearing lesson: the answers" in unquote(answers.get_attribute("href"))


# Sizes of all letters of the chart on the stage, and how far its title goes past its edge [px].
LETTERS = """() => {
  const root = Bokeh.documents.flatMap((each) => each.roots()).at(-1);
  const view = Bokeh.index.get(root), { title } = root;
  const pen = document.createElement("canvas").getContext("2d");
  pen.font = `${title.text_font_size} ${title.text_font}`;
  const ends = view.frame.bbox.left + title.offset + pen.measureText(title.text).width;
  const sizes = [...root.references()].flatMap((model) => [...model]
    .filter(({ attr }) => attr.endsWith("font_size"))
    .map(({ attr }) => parseFloat(model[attr]?.value ?? model[attr])));
  return { largest: Math.max(...sizes), beyond: ends - view.bbox.width };
}"""


def charted(page, step):
    """What stands at the demonstration of a step."""
    show(page, "Demonstration")
    page.locator(".ge-stage .bk-Figure").first.wait_for()
    page.wait_for_function("Bokeh.documents.every((each) => each.is_idle)")
    assert page.evaluate("document.documentElement.scrollWidth") <= 390, step
    return page.evaluate(LETTERS)


def test_a_demonstration_fits_a_phone_and_is_for_the_back_row_when_it_is_turned(open_page):
    page = open_page("lesson", "bike=marram-250&step=0;plan+90", width=390, height=844)
    picks = page.get_by_role("group", name="Step", exact=True)
    for step in (7, 8, 10):  # those with the longest words about the plot
        name = STEPS[step - 1].name or str(step)
        button(picks, name).click()
        page.get_by_role("heading", name=STEPS[step - 1].heading).wait_for()
        letters = charted(page, step)
        assert letters["largest"] <= 12 and letters["beyond"] <= 0, (step, letters)
    page.set_viewport_size({"width": 844, "height": 390})
    page.wait_for_function(f"({LETTERS})().largest >= 24")


def test_controls_get_names_without_idle_callbacks(server, open_url):
    """As in a browser that ships none, and were none made up by a script of Voilà's."""
    page = open_url(server.url)
    page.add_init_script(
        "Object.defineProperty(window, 'requestIdleCallback', {get: () => undefined, set() {}})"
    )
    page.goto(f"{server.url}lesson?step=3", wait_until="commit")
    page.wait_for_selector("html[data-ready]", state="attached")
    assert page.evaluate("typeof window.requestIdleCallback") == "undefined"
    button(page, "Demonstration").click()
    page.get_by_role("slider", name="Rear sprocket", exact=True).wait_for()


def test_class_results_stay_under_their_name_after_a_reload_and_back(open_page):
    """What was set last before a reload is set again (page.js): not under another name."""
    page = open_page("lesson", "bike=bracken-125&step=2")
    choice = page.get_by_label("What the class found out")
    choice.select_option(index=4)
    page.wait_for_function("location.search.includes('found%20guesses')")
    results = page.get_by_label("Results, one after the other")
    results.fill("3 4 5 3")
    results.press("Tab")
    said = page.get_by_text("4 results of the class, mean 3.8, ").first
    said.wait_for(state="attached")
    page.reload()
    page.wait_for_selector("html[data-ready]", state="attached")
    said.wait_for(state="attached")
    expect(choice).to_have_value(re.compile("guesses"))
    page.get_by_role("link", name="Gearing", exact=True).click()
    page.wait_for_url("**/gearing?**")
    page.go_back()
    page.wait_for_selector("html[data-ready]", state="attached")
    expect(results).to_have_value("3 4 5 3")
    said.wait_for(state="attached")
