"""Two from real parts: a wish's two cards, and what touching one shades on the charts."""

import os

from playwright.sync_api import expect

from tests.browser.charts_in_page import wait_for_pair

SHADED = """name => {
    const { data } = document.querySelector(`[data-chart=${name}] .bn-overlay`).getContext("2d")
        .getImageData(0, 0, ...["width", "height"].map(
            side => document.querySelector(`[data-chart=${name}] .bn-overlay`)[side]));
    let [gained, lost] = [0, 0];
    for (let at = 0; at < data.length; at += 4) {
        if (!data[at + 3]) continue;
        if (data[at + 1] > data[at]) gained += 1;
        else lost += 1;
    }
    return { gained, lost };
}"""
"""Dots of a chart shaded as gained and as lost."""

OUT_OF_ITS_BOX = """() => [...document.querySelectorAll(".bn-offers, .bn-offer, [data-wish]")]
    .filter(part => part.offsetParent && (part.scrollWidth > part.clientWidth + 1
        || part.scrollHeight > part.clientHeight + 1)).map(part => part.innerText)"""


def see_two_cards(page, width, height):
    """Of a wish, from 12/52; ends with the pair of one of them."""
    page.get_by_role("button", name="More pull?").click()
    offers = page.get_by_role("group", name="Two from real parts")
    one, other = offers.locator(".bn-offer").all()
    # By hand: 13/12 and 54/50 more than the fitted 13/50.
    expect(one).to_contain_text("12/50: −1 tooth at the front")
    expect(one).to_contain_text("+8.3 %")
    expect(other).to_contain_text("13/54: +4 teeth at the rear")
    expect(other).to_contain_text("+8.0 %")
    for line in ("Slowest walk", "At 70 km/h", "front sprocket", "Axle", "24.50 EUR + "):
        expect(one).to_contain_text(line)
    # Everything is in view, and nothing runs out of its box.
    box = offers.bounding_box()
    assert box["x"] >= 0 and box["y"] >= 0 and box["y"] + box["height"] <= height
    if folder := os.environ.get("PICTURES"):
        page.screenshot(path=f"{folder}/offers-{width}.png")
    assert page.evaluate(OUT_OF_ITS_BOX) == []

    other.locator("[data-offer]").click()
    expect(other.locator("[data-offer]")).to_have_attribute("aria-pressed", "true")
    # Shorter: pull is gained, and revs come on top; where the pulls cross, some is lost as well.
    assert page.evaluate(SHADED, "pull")["gained"] > 100
    shift = page.evaluate(SHADED, "shift")
    assert shift["lost"] > 100
    tradeoff = page.evaluate(SHADED, "tradeoff")
    assert tradeoff["gained"] > 20 and tradeoff["lost"] > 20
    offers.get_by_role("button", name="Try 13/54").click()
    wait_for_pair(page, "13/54")
    expect(offers).to_be_hidden()
    # Once the ghost of where the hand was has faded, too.
    page.wait_for_function(f"!Object.values(({SHADED})('pull')).some(Boolean)")


def test_a_wish_gives_two_cards_and_each_shades_what_it_gains_and_loses(open_page):
    query = "bike=bracken-125&front=12&rear=52&fit.prices=EUR:front-sprocket+24.50,+chain+60"
    page = open_page("gearing", query, width=1280, height=720)
    wait_for_pair(page, "12/52")
    see_two_cards(page, 1280, 720)
    page.locator("[data-slider=front] input").fill("12")
    page.locator("[data-slider=rear] input").fill("52")
    wait_for_pair(page, "12/52")
    page.set_viewport_size({"width": 390, "height": 844})
    page.get_by_role("button", name="More", exact=True).click()
    see_two_cards(page, 390, 844)


def test_the_cards_by_keyboard_and_a_chip_without_a_pair_is_not_offered(open_page):
    page = open_page("gearing", "bike=bracken-125")
    wait_for_pair(page, "12/50")
    wish = page.get_by_role("button", name="Calmer road?")
    wish.focus()
    page.keyboard.press("Enter")
    expect(wish).to_have_attribute("aria-expanded", "true")
    card = page.get_by_role("button", name="14/50: +1 tooth at the front")
    card.focus()
    expect(card).to_have_attribute("aria-pressed", "true")
    page.keyboard.press("Escape")
    expect(wish).to_have_attribute("aria-expanded", "false")
    expect(wish).to_be_focused()
    chip = page.locator("[data-chip='same-1']")
    expect(chip).to_be_visible()
    page.locator("[data-slider=rear] input").press("End")
    expect(chip).to_be_hidden()
