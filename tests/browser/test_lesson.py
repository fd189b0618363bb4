"""The lesson page in a real browser, through Voilà, with every other host blocked."""

import re
from urllib.parse import unquote

import pytest
from playwright.sync_api import expect


def button(page, name):
    return page.get_by_role("button", name=name, exact=True)


def test_guess_look_answer_next_and_reset(open_page):
    page = open_page("lesson", "bike=bracken-125&step=3&own.name=%3Cimg%20src%3Dx%3E")
    page.get_by_role("heading", name="Step 3 of 10: Pull and speed are two numbers").wait_for()
    guess = page.get_by_label("The class guesses")
    guess.fill("8.3")
    guess.press("Enter")
    expect(page.locator(".ge-lesson-answer")).to_have_count(0)
    button(page, "Show the demonstration").press("Enter")
    page.get_by_text("change, %, from 13/50 to 12/50").first.wait_for()
    rear = page.get_by_role("slider", name="Rear sprocket", exact=True)
    rear.press("ArrowRight")
    page.get_by_text("change, %, from 13/50 to 12/51").first.wait_for()
    button(page, "Show the answer").press("Enter")
    # From the definition: 13/50 to 12/51, 1 - (50/13)/(51/12).
    page.get_by_text("Computed: 9.5 %").wait_for()
    page.get_by_text("Your guess 8.3 % is 13 % below the computed 9.5 %.").wait_for()
    button(page, "Next step").press("Enter")
    page.get_by_role("heading", name="Step 4 of 10").wait_for()
    expect(page.locator(".ge-lesson-answer")).to_have_count(0)
    # A name from a link is text, in the options of a question too.
    button(page, "Next step").press("Enter")
    page.get_by_text("<img src=x> (this one)", exact=True).wait_for()
    assert page.locator("#ge-page img").count() == 0
    # Letters for the back row.
    before = page.locator(".ge-asked").first.evaluate(
        "e => parseFloat(getComputedStyle(e).fontSize)"
    )
    button(page, "large").press("Enter")
    page.locator(".ge-presenter").wait_for()
    after = page.locator(".ge-asked").first.evaluate(
        "e => parseFloat(getComputedStyle(e).fontSize)"
    )
    assert after > 1.3 * before and after >= 27
    button(page, "Reset for the next group").press("Enter")
    page.get_by_role("heading", name="Step 1 of 10").wait_for()
    expect(page.get_by_label("Link to this step")).to_have_value(
        re.compile("step=1&quiz=2&letters=large")
    )


@pytest.mark.parametrize("width", [390, 1280])
def test_a_step_link_opens_the_step_with_its_chart_and_sheets(open_page, width):
    page = open_page("lesson", "step=9&bike=marram-250&letters=large", width=width)
    page.get_by_role("heading", name="Step 9 of 10").wait_for()
    button(page, "Show the demonstration").click()
    page.get_by_role("slider", name="Wheel travel used [mm]").wait_for()
    page.locator(".bk-Figure").first.wait_for()
    assert page.evaluate("document.documentElement.scrollWidth") <= width
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
    button(page, "Show the demonstration").click()
    page.get_by_role("slider", name="Rear sprocket", exact=True).wait_for()
