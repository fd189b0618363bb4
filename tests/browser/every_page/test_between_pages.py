"""From page to page: what was set up on one stands on the next, and comes back after a reload."""

import re

import pytest
from playwright.sync_api import expect

from tests.browser.gone_kernel import wait_until_gone
from tests.browser.test_gearing import TYPED, open_lid, wait_for_pair


def test_the_set_up_goes_along_to_another_page(open_page):
    page = open_page("gearing", "bike=sleet-450&want.1=clutch-out%3B+weight+2%3B+speed+6+km/h")
    open_lid(page, TYPED)
    field = page.get_by_label("Both sprockets")
    field.fill("14/49")
    field.press("Enter")
    wait_for_pair(page, "14/49")
    links = page.get_by_role("navigation", name="Pages")
    expect(links.get_by_role("link", name="Gearing", exact=True)).to_have_attribute(
        "aria-current", "page"
    )
    links.get_by_role("link", name="Does it fit?").click()
    page.wait_for_url(re.compile(r"/fit\?.*front=14"), wait_until="commit")
    page.wait_for_selector("html[data-ready]", state="attached")
    assert "bike=sleet-450" in page.url and "rear=49" in page.url and "want.1=" in page.url
    assert page.locator(".ge-fault").count() == 0


@pytest.mark.long
def test_a_page_that_is_being_left_does_not_ask_for_its_kernel(server, open_page, open_url):
    """It would be told that there is none, and say that it went to sleep."""
    page = open_page("gearing")
    kernel = page.evaluate("document.body.dataset.kernelId")
    address = f"{server.url}api/kernels/{kernel}"
    asked, held = [], []
    page.on("request", lambda request: asked.append(request.url))
    page.route(re.compile("/fit"), lambda route: held.append(route))
    link = page.get_by_role("navigation", name="Pages").get_by_role("link", name="Does it fit?")
    link.click(no_wait_after=True)
    watcher = open_url(server.url)
    # After half a minute the page would ask all the same, as the other one never came.
    wait_until_gone(watcher, address, seconds=20)
    watcher.watch.errors.clear()  # an answer 404 is logged as one
    assert held and address not in asked
    held[0].continue_()
    page.wait_for_url(re.compile(r"/fit\?"), wait_until="commit")
    page.wait_for_selector("html[data-ready]", state="attached")


def test_a_page_gone_back_to_opens_with_what_was_set_up(open_page):
    page = open_page("gearing")
    open_lid(page, TYPED)
    field = page.get_by_label("Both sprockets")
    field.fill("12/49")
    field.press("Enter")
    wait_for_pair(page, "12/49")
    # What a browser says of a page that it had kept; this one keeps none under Playwright.
    page.evaluate("dispatchEvent(new PageTransitionEvent('pageshow', { persisted: true }))")
    page.wait_for_url(re.compile(r"/gearing\?.*front=12"), wait_until="commit")
    page.wait_for_selector("html[data-ready]", state="attached")
    wait_for_pair(page, "12/49")


@pytest.mark.long
def test_a_page_that_went_to_sleep_comes_back_with_what_was_set_up(open_page):
    page = open_page("gearing")
    open_lid(page, TYPED)
    field = page.get_by_label("Both sprockets")
    field.fill("12/49")
    field.press("Enter")
    wait_for_pair(page, "12/49")
    page.evaluate("document.getElementById('ge-asleep').hidden = false")
    page.get_by_role("button", name="Reload").click()
    page.wait_for_url(re.compile(r"/gearing\?.*front=12"), wait_until="commit")
    page.wait_for_selector("html[data-ready]", state="attached")
    wait_for_pair(page, "12/49")


def test_the_address_reopens_what_the_page_shows(open_page):
    """A reload and Back after a visit to another page keep the set-up; so would a bookmark."""
    page = open_page("gearing", "bike=marram-250")
    rear = page.get_by_role("slider", name="Rear sprocket", exact=True)
    before = int(rear.input_value())
    rear.press("ArrowRight")
    page.wait_for_function(f"location.search.includes('rear={before + 1}')")
    page.reload(wait_until="commit")
    page.wait_for_selector("html[data-ready]", state="attached")
    assert rear.input_value() == str(before + 1)
    page.locator("nav a", has_text="Does it fit").click()
    page.wait_for_url(lambda address: "/fit" in address, wait_until="commit")
    page.wait_for_selector("html[data-ready]", state="attached")
    page.go_back(wait_until="commit")
    page.wait_for_selector("html[data-ready]", state="attached")
    assert rear.input_value() == str(before + 1)


LEFT_AT_ONCE = """
async ([rear, page]) => {
  const field = document.querySelector("input[aria-label^='Link to th']");
  while (!field.value.includes(rear)) await new Promise(requestAnimationFrame);
  document.querySelector(`a[data-carry][href$='/${page}']`).click();
}
"""


@pytest.mark.long
def test_a_page_left_at_once_is_gone_back_to_as_it_was_left(open_page):
    """The hand has not rested yet when the visitor goes: the address says all of it."""
    page = open_page("fit", "rear=49")
    field = page.get_by_role("textbox", name="Both sprockets")
    field.fill("13/51")
    field.press("Enter")
    page.evaluate(LEFT_AT_ONCE, ["rear=51", "method"])
    page.wait_for_url(re.compile(r"/method\?.*rear=51"), wait_until="commit")
    page.wait_for_selector("html[data-ready]", state="attached")
    page.go_back(wait_until="commit")
    page.wait_for_selector("html[data-ready]", state="attached")
    rear = page.get_by_role("slider", name="Rear sprocket", exact=True)
    expect(rear).to_have_attribute("aria-valuetext", "51")


LEFT_BEFORE_THE_ANSWER = """
page => {
  const units = [...document.querySelectorAll("button")];
  units.find((each) => each.innerText === "mph, in, lbf").click();
  document.querySelector(`a[data-carry][href$='/${page}']`).click();
}
"""


@pytest.mark.long
def test_a_page_left_before_its_kernel_has_answered_is_left_with_the_change(open_page):
    """The link to follow is one that only the kernel's answer holds."""
    page = open_page("fit", "rear=49")
    page.evaluate(LEFT_BEFORE_THE_ANSWER, "method")
    page.wait_for_url(re.compile(r"/method\?.*units=imperial"), wait_until="commit")
    page.wait_for_selector("html[data-ready]", state="attached")
    page.go_back(wait_until="commit")
    page.wait_for_selector("html[data-ready]", state="attached")
    expect(page.get_by_role("button", name="mph, in, lbf").first).to_have_attribute(
        "aria-pressed", "true"
    )
