"""The lesson page in a real browser, through Voilà, with every other host blocked."""

from urllib.parse import unquote

import pytest
from playwright.sync_api import expect


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
    words: read.map((e) => e.innerText).join(" ").split(/\\s+/).filter((w) => /\\w/.test(w)).length,
    scrolled: window.scrollY, tools: document.querySelectorAll(".ge-stage .bk-Toolbar").length,
  };
}"""


def on_the_stage(page):
    return page.locator(".ge-stage-foot")


@pytest.mark.parametrize(("width", "height"), [(1280, 720), (1024, 768)])
def test_every_stage_of_every_step_fits_the_projector(open_page, width, height):
    page = open_page("lesson", "bike=marram-250", width=width, height=height)
    for step in range(1, 11):
        words = 0
        for stage in STAGES:
            button(on_the_stage(page), stage).click()
            expect(page.locator(".ge-stage-now")).to_have_text(stage)
            if stage == "Demonstration":
                page.locator(".ge-stage .bk-Figure").first.wait_for()
            page.wait_for_function("Bokeh.documents.every((each) => each.is_idle)")
            at = page.evaluate(MEASURE)
            where = (step, stage, at)
            assert at["top"] >= 0 and at["bottom"] <= height and at["scrolled"] == 0, where
            assert at["lowest"] <= at["room"] + 1 and at["right"] <= width, where
            assert at["letters"] >= 24 and not at["tools"], where
            words += at["words"] if stage != "Vote again" else 0
        assert words <= 120, (step, words)
        if step < 10:
            button(on_the_stage(page), "Next step").click()
            page.get_by_role("heading", name=f"Step {step + 1} of 10").wait_for()


def test_guesses_step_and_question_stay_after_a_reload_and_another_page(open_page):
    page = open_page("lesson", "bike=bracken-125&step=3&own.name=%3Cimg%20src%3Dx%3E")
    page.get_by_role("heading", name="Step 3 of 10: Pull and speed are two numbers").wait_for()
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
    page.reload(wait_until="commit")
    page.get_by_text("7.4 % ✓: 1").wait_for()
    # A name from a link is text, in the options of a question too.
    button(page, "Next step").click()
    button(page, "Next step").click()
    page.get_by_role("button", name="<img src=x> (this one)", exact=True).wait_for()
    assert page.locator("#ge-page img").count() == 0


def test_on_a_phone_the_stage_is_as_wide_as_the_phone_and_makes_its_sheets(open_page):
    page = open_page("lesson", "step=9&bike=marram-250&letters=usual", width=390)
    page.get_by_role("heading", name="Step 9 of 10").wait_for()
    button(page, "Demonstration").click()
    page.get_by_role("slider", name="Wheel travel used [mm]").wait_for()
    page.locator(".bk-Figure").first.wait_for()
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    button(page, "Make the sheets").click()
    answers = page.get_by_role("link", name="Download the answers, for the coach")
    assert "Gearing lesson: the answers" in unquote(answers.get_attribute("href"))


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
