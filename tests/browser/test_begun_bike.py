"""An own bike begun with its teeth: each step shows what it makes known, and asks for the next."""

import re

from playwright.sync_api import expect

from tests.browser.test_own_bike import own


def use(page, texts):
    for label, text in texts.items():
        own(page, label).fill(text)
    page.get_by_role("button", name="Use my bike").click()


def test_teeth_then_tyre_and_gears_then_power(open_page):
    page = open_page("gearing", width=1280, height=720)
    shift, pull = page.locator("[data-chart=shift]"), page.locator("[data-chart=pull]")
    tile = "[data-tile={}] [data-value]".format
    page.get_by_text("This bike", exact=True).click()
    page.get_by_role("button", name="Enter your own bike").click()
    use(page, {"Sprockets fitted": "14/45"})
    expect(page.locator("[data-bike]")).to_have_text("My bike")
    expect(page.locator("[data-bike]")).to_be_visible()
    expect(page.locator(tile("pull"))).to_have_text("+7.7 %")
    expect(page.locator("[data-slider=tyre] output")).to_have_text("?")
    expect(page.locator("[data-slider=tyre] input")).to_be_disabled()
    expect(page.get_by_text("Why? In words", exact=True)).to_be_hidden()
    expect(shift.locator(".bn-plot")).to_be_hidden()
    expect(shift.locator("[data-summary]")).to_have_text("")
    # What is missing is asked where it would be shown, and the way to its field is one tap.
    shift.get_by_role("button", name="Add rear tyre").click()
    expect(own(page, "Rear tyre")).to_be_focused()
    geared = {"Gear ratios": "2.9/1.9/1.4/1.1/0.92", "Primary reduction": "3.1"}
    use(page, {"Rear tyre": "120/90-18", "Rev limit": "8500"} | geared)
    expect(shift.locator(".bn-plot")).to_be_visible()
    expect(pull.locator(".bn-plot")).to_be_hidden()
    expect(shift.locator("[data-summary]")).to_contain_text("Change up at")
    expect(page.locator(tile("top"))).to_contain_text("km/h")
    expect(page.locator("[data-run]")).to_be_hidden()
    pull.get_by_role("button", name="Add peak power").click()
    expect(own(page, "Peak power or torque")).to_be_focused()
    use(page, {"Peak power or torque": "14 kW at 7500", "Weight, ready to ride": "125"})
    expect(pull.locator(".bn-plot")).to_be_visible()
    expect(page.locator("[data-verdict]")).to_contain_text("assumes a torque curve from 14 kW")
    expect(page.locator("[data-run]")).to_be_visible()
    # Other pages wait for the chain, and say so; nothing that was typed is lost there.
    page.wait_for_function("location.search.includes('own.mass.bike=125')")
    ground = open_page("ground", page.url.partition("?")[2])
    expect(ground.locator(".ge-fault")).to_contain_text("needs more numbers of My bike: chain")
    expect(ground.locator(".bk-Figure").first).to_be_hidden()
    assert "own.mass.bike=125" in ground.url
    ground.get_by_role("link", name="Add them on the bench").click()
    ground.wait_for_url(re.compile("/gearing.*own.mass.bike=125"))
