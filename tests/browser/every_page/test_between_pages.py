"""From page to page: what was set up on one stands on the next, and comes back after a reload."""

import re
from collections.abc import Callable
from urllib.parse import parse_qsl, urlsplit

import pytest
from playwright.sync_api import Page, expect

from tests.browser.charts_in_page import wait_for_pair
from tests.browser.gone_kernel import wait_until_gone
from tests.browser.lids import open_lids, type_pair
from tests.net.test_own_bike_alone import own_link


def opens_anew(page: Page, leave: Callable[[], object]) -> None:
    """Leave the page and wait until another stands, which may have the same address."""
    page.evaluate("window.isLeft = true")
    leave()
    page.wait_for_function("!window.isLeft && 'ready' in document.documentElement.dataset")


def link_to(page: Page, name: str):
    return page.get_by_role("navigation", name="Pages").get_by_role("link", name=name, exact=True)


# What a browser says of a page that it had kept; this one keeps none under Playwright.
KEPT = "dispatchEvent(new PageTransitionEvent('pageshow', { persisted: true }))"
FORGET_THE_ADDRESS = "history.replaceState(history.state, '', location.pathname)"
FALL_ASLEEP = "document.getElementById('ge-asleep').hidden = false"


def test_the_set_up_goes_along_to_another_page_and_stands_however_this_one_opens_again(open_page):
    """The address reopens what the page shows; so would a bookmark."""
    page = open_page("gearing", "bike=sleet-450&want.1=clutch-out%3B+weight+2%3B+speed+6+km/h")
    type_pair(page, "14/49")
    wait_for_pair(page, "14/49")
    expect(link_to(page, "Gearing")).to_have_attribute("aria-current", "page")
    opens_anew(page, link_to(page, "Does it fit?").click)
    assert re.search(r"/fit\?.*front=14", page.url)
    assert "bike=sleet-450" in page.url and "rear=49" in page.url and "want.1=" in page.url
    assert page.locator(".ge-fault").count() == 0

    # By Back, loaded anew, kept by the browser before its address was written, and after sleep.
    opens_anew(page, lambda: page.go_back(wait_until="commit"))
    wait_for_pair(page, "14/49")
    page.get_by_role("slider", name="Rear sprocket", exact=True).press("ArrowRight")
    page.wait_for_function("location.search.includes('rear=50')")
    opens_anew(page, lambda: page.reload(wait_until="commit"))
    wait_for_pair(page, "14/50")
    # Before any address has it.
    page.get_by_role("slider", name="Rear sprocket", exact=True).press("ArrowRight")
    opens_anew(page, lambda: page.reload(wait_until="commit"))
    wait_for_pair(page, "14/51")
    page.wait_for_function("location.search.includes('rear=51')")
    page.get_by_role("slider", name="Rear sprocket", exact=True).press("ArrowLeft")
    wait_for_pair(page, "14/50")
    page.wait_for_function("location.search.includes('rear=50')")
    opens_anew(page, lambda: page.evaluate(f"{FORGET_THE_ADDRESS}; {KEPT}"))
    wait_for_pair(page, "14/50")
    page.evaluate(FALL_ASLEEP)
    opens_anew(page, page.get_by_role("button", name="Reload").click)
    wait_for_pair(page, "14/50")
    assert re.search(r"/gearing\?.*front=14&rear=50", page.url)


def parameters(page: Page) -> dict[str, str]:
    return dict(parse_qsl(urlsplit(page.url).query))


@pytest.mark.long
def test_wants_and_measurements_stay_whichever_way_is_gone(open_page):
    """Wants, a link within the page, what is measured there, the front page, and back."""
    page = open_page("wants", f"{own_link()}&want.mix=woods+60")
    page.get_by_label("First is too tall").check()
    page.get_by_label("It stalls in every hairpin").check()
    verdict = page.locator(".ge-verdict")
    expect(verdict).to_contain_text("Meadow")
    page.wait_for_function("location.search.includes('stalls')")
    opens_anew(page, page.locator("#ge-page a[href^='fit?']").first.click)
    for label, typed in (("Axle room forward", "10"), ("Axle room to the rear", "25")):
        page.get_by_label(label).fill(typed)
        page.get_by_label(label).press("Tab")
    page.wait_for_function("location.search.includes('fit.room-back')")
    expect(verdict).to_contain_text("Meadow")
    measured = verdict.text_content()
    assert "not known" not in measured

    opens_anew(page, link_to(page, "Describe your riding").click)
    found = parameters(page)
    assert found["want.ticked"] == "first-too-tall;stalls" and found["want.mix"] == "woods 60"
    assert found["fit.room-forward"] == "10 mm" and found["fit.room-back"] == "25 mm"
    expect(page.get_by_label("First is too tall")).to_be_checked()
    expect(verdict).to_contain_text("Meadow")

    # Over the front page, and a page without a set-up of its own.
    link_to(page, "All pages").click()
    page.wait_for_url(re.compile(r"/\?bike=mine"))
    opens_anew(page, page.get_by_role("link", name="Does it fit?").click)
    expect(verdict).to_have_text(measured)
    opens_anew(page, page.locator("#ge-page a[href='method']").click)
    opens_anew(page, page.locator("#ge-page a[href='fit']").click)
    expect(verdict).to_have_text(measured)
    assert found.items() <= parameters(page).items()


def test_what_was_measured_on_a_ride_goes_along_to_the_logbook_and_no_further(open_page):
    page = open_page("check", "front=12&also.1=14/50")
    open_lids(page)
    hill = page.locator(".ge-entry-row", has=page.get_by_label("Held", exact=True)).first
    hill.get_by_label("Held", exact=True).select_option("yes")
    for label, text in (("Gear", "3"), ("Slope", "5 %")):
        hill.get_by_label(label, exact=True).fill(text)
        hill.get_by_label(label, exact=True).press("Tab")
    page.wait_for_selector("#ge-page a[href*='log.measured']", state="attached")
    within = page.locator("#ge-page a[href^='logbook']").get_attribute("href")
    opens_anew(page, link_to(page, "Logbook").click)
    found = parameters(page)
    assert dict(parse_qsl(urlsplit(within).query)).items() <= found.items()
    assert found["log.measured"] and found["also.1"] == "14/50"
    opens_anew(page, link_to(page, "Does it fit?").click)
    opens_anew(page, link_to(page, "Method").click)
    assert parameters(page)["also.1"] == "14/50" and "log.measured" not in parameters(page)


LEFT_AT_ONCE = """
async ([rear, page]) => {
  const field = document.querySelector("input[aria-label^='Link to th']");
  while (!field.value.includes(rear)) await new Promise(requestAnimationFrame);
  document.querySelector(`a[data-carry][href$='/${page}']`).click();
}
"""

LEFT_BEFORE_THE_ANSWER = """
page => {
  const units = [...document.querySelectorAll("button")];
  units.find((each) => each.innerText === "mph, in, lbf").click();
  document.querySelector(`a[data-carry][href$='/${page}']`).click();
}
"""


@pytest.mark.long
def test_a_page_left_in_haste_is_gone_back_to_as_it_was_left(open_page):
    page = open_page("fit", "rear=49")
    field = page.get_by_role("textbox", name="Both sprockets")
    field.fill("13/51")
    field.press("Enter")
    # The hand has not rested yet when the visitor goes: the address says all of it.
    opens_anew(page, lambda: page.evaluate(LEFT_AT_ONCE, ["rear=51", "method"]))
    assert re.search(r"/method\?.*rear=51", page.url)
    opens_anew(page, lambda: page.go_back(wait_until="commit"))
    rear = page.get_by_role("slider", name="Rear sprocket", exact=True)
    expect(rear).to_have_attribute("aria-valuetext", "51")

    # The link to follow is one that only the kernel's answer holds.
    opens_anew(page, lambda: page.evaluate(LEFT_BEFORE_THE_ANSWER, "method"))
    assert re.search(r"/method\?.*rear=51.*units=imperial", page.url)
    opens_anew(page, lambda: page.go_back(wait_until="commit"))
    expect(page.get_by_role("button", name="mph, in, lbf").first).to_have_attribute(
        "aria-pressed", "true"
    )

    rear.press("ArrowRight")
    opens_anew(page, lambda: page.reload(wait_until="commit"))
    expect(rear).to_have_attribute("aria-valuetext", "52")


@pytest.mark.long
def test_a_page_that_is_being_left_does_not_ask_for_its_kernel(server, open_page, open_url):
    """It would be told that there is none, and say that it went to sleep."""
    page = open_page("logbook")
    kernel = page.evaluate("document.body.dataset.kernelId")
    address = f"{server.url}api/kernels/{kernel}"
    asked, held = [], []
    page.on("request", lambda request: asked.append(request.url))
    page.route(re.compile("/method"), lambda route: held.append(route))
    page.locator("a[data-carry][href$='/method']").click(no_wait_after=True)
    watcher = open_url(server.url)
    # After half a minute the page would ask all the same, as the other one never came.
    wait_until_gone(watcher, address, seconds=20)
    watcher.watch.errors.clear()  # an answer 404 is logged as one
    assert held and address not in asked
    held[0].continue_()
    page.wait_for_url("**/method*", wait_until="commit")
    page.wait_for_selector("html[data-ready]", state="attached")


COPIED = """(field) => {
  const clipboardData = new DataTransfer();
  const event = new ClipboardEvent("copy", { clipboardData, bubbles: true, cancelable: true });
  field.dispatchEvent(event);
  return clipboardData.getData("text/plain") || getSelection().toString();
}"""


def test_a_link_that_is_copied_whole_opens_what_it_stands_for(open_page, open_url):
    page = open_page("gearing", "bike=sleet-450&front=13&rear=50")
    page.wait_for_selector("html[data-ready]", state="attached")
    field = page.get_by_label("Link to this bench").first
    field.evaluate("(field) => field.select()")
    address = field.evaluate(COPIED)
    assert address.startswith(page.url.partition("?")[0] + "?bike=sleet-450")
    other = open_url(address)
    wait_for_pair(other, "13/50")
    # A part of it is what was marked.
    field.evaluate("(field) => field.setSelectionRange(1, 15)")
    assert not field.evaluate(COPIED).startswith("http")
