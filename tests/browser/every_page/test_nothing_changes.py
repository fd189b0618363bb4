"""What a visitor does and undoes changes nothing: the link and every number stay, to the character.

Sequences of such acts are drawn for every page in a real browser: units there and back, a control
moved and moved back, another window and other colours, a reload, Back and Forward, a page visited
in between, the link in a second tab. One open page serves many sequences; ``--long`` draws 200
over all pages, fewer of those whose answers take long, with each act on each page.
"""

import random
import re
from urllib.parse import parse_qsl, urlsplit

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.conftest import READY_MILLISECONDS, close_tab
from tests.browser.lids import open_lids

# A number that is moved for the first time turns into the rider's, and stays so: here it is.
RIDERS = "rollout=2.025m&temperature=15C"
WANTED = "want.1=corner;weight+3;speed+25+km/h"
PAGES = {
    "gearing": f"bike=bracken-125&front=12&also.1=14/50&{RIDERS}",
    "wants": f"{WANTED}&{RIDERS}",
    "ground": f"shift-at=8590rpm&{RIDERS}&{WANTED}",
    "fit": f"rear=52&fit.room-back=24+mm&also.1=14/51&{WANTED}",
    "lesson": "step=6",
    "check": f"front=12&{RIDERS}&{WANTED}",
    "logbook": WANTED,
    "method": "",
}
SEQUENCES = 2
LEADS_TO = {"ground": "gearing", "fit": "gearing", "check": "wants"}
"""A page by a link within some, where one leads there with the same set-up."""
OVER_THE_FRONT = ("gearing", "fit", "logbook")
"""Left and opened over the front page, whose scripts know nothing of what opens."""
LONG_SEQUENCES = {
    "gearing": 8,
    "wants": 46,
    "ground": 8,
    "fit": 8,
    "lesson": 56,
    "check": 47,
    "logbook": 10,
    "method": 17,
}
QUICK = ("gearing", "fit", "wants")
"""Pages of a run without ``--long``."""
DESKTOP, PHONE = {"width": 1280, "height": 720}, {"width": 390, "height": 844}

BOX = "#ge-page .ge-control input[type=number]:visible"

CONTROLS = """
() => [...document.querySelectorAll("#ge-page :is(input, select, textarea)")]
  .filter((each) => !each.closest(".bn-picture-asked"))  // no control: how the page asks
  .map((each) => `${each.getAttribute("aria-label")}: ${each.value}`)
"""

# All that a page shows: what stands in its controls, its words, and the numbers in its charts.
SHOWN = """
() => {
  const page = document.querySelector("#ge-page");
  const number = (value) => typeof value === "number" ? value : null;
  // A line across a chart has two ends on its axis, which is held while a number moves.
  const rows = (data) => Array.isArray(data) ? data.length > 2 && data.map(rows) : number(data);
  const charts = window.Bokeh.documents.map((chart) =>
    [...chart._all_models.values()]
      .filter((model) => model.type === "ColumnDataSource" && !("align" in model.data))
      .map((model) => JSON.stringify(Object.entries(model.data).map(
        ([name, data]) => [name, rows(ArrayBuffer.isView(data) ? [...data] : data)])))
      .sort());
  return {
    controls: (%s)(),
    words: page.innerText.replace(/\\s+/g, " "),
    charts,
  };
}
""".replace("%s", CONTROLS)

# The kernel answers in turn: what it was sent before has been dealt with when it has answered.
ANSWERED = """
async () => {
  const manager = await jupyterapp.widgetManagerPromise.promise;
  for (let round = 0; round < 2; round += 1) await manager.kernel.requestKernelInfo();
}
"""

LINK = "input[aria-label^='Link to th']"
LINK_NOW = f'(document.querySelector("{LINK}")?.value ?? location.search)'
SETTLING_MILLISECONDS = 20_000


class Visit:
    """An open page, and what it showed when it was opened."""

    def __init__(self, page: Page, name: str, rng: random.Random) -> None:
        self.page, self.name, self.rng = page, name, rng
        self._base = page.url.split("?")[0]
        page.set_viewport_size(DESKTOP)
        open_lids(page)
        self._settle()
        self._take_up()

    def _take_up(self) -> None:
        # What came from under a lid is named when the page has a moment, after 0.5 s at the latest.
        self.page.wait_for_function(
            f"() => {{ const now = JSON.stringify(({SHOWN})());"
            " const stands = now === window.shownBefore; window.shownBefore = now;"
            " return stands; }",
            polling=700,
        )
        self.shown = self.page.evaluate(SHOWN)
        self.address_and_link = self.page.evaluate(f"[location.search, {LINK_NOW}]")

    def _ready(self) -> None:
        self.page.wait_for_selector("html[data-ready]", state="attached")
        open_lids(self.page)

    def _settle(self) -> None:
        self.page.evaluate(ANSWERED)

    def _address_says_the_link(self) -> None:
        """The address follows a changed link once the hand rests; beside it stands what other pages
        wrote."""
        self.page.wait_for_function(
            "([address, link]) => { const now = " + LINK_NOW + ";"
            " const there = new URLSearchParams(location.search), here = new URLSearchParams(now);"
            " return (now === link && location.search === address)"
            " || ([...here].every(([name, text]) => there.get(name) === text)"
            " && [...there.keys()].every((one) => here.has(one) || /^(want|also)[.]/.test(one)));"
            " }",
            arg=self.address_and_link,
        )

    def check(self, done: list[str], words: bool = True, tab: Page | None = None) -> None:
        """Whether all is shown as at first, once what is said after a pause has been said."""
        page = tab or self.page
        page.evaluate(ANSWERED)
        parts = ["controls", "charts", *(["words"] if words else [])]
        same = (
            f"([shown, parts]) => {{ const now = ({SHOWN})(); return parts.every((part) =>"
            " JSON.stringify(now[part]) === JSON.stringify(shown[part])); }"
        )
        try:
            page.wait_for_function(
                same, arg=[self.shown, parts], timeout=SETTLING_MILLISECONDS, polling=100
            )
        except Exception:
            now = page.evaluate(SHOWN)
            found = [_first_difference(self.shown[part], now[part]) for part in parts]
            pytest.fail(f"{self.name}, after {done}: {[each for each in found if each]}")

    # --- Acts -------------------------------------------------------------------------------------

    def units(self) -> None:
        names = ("mph, in, lbf", "km/h, mm, N")
        for name in names:
            self.page.get_by_role("button", name=name).first.click()
            self._settle()

    def _controls_stand(self) -> None:
        """In another unit they are made anew; until all are there, the third is another one."""
        self.page.wait_for_function(
            f"(controls) => JSON.stringify(({CONTROLS})()) === JSON.stringify(controls)",
            arg=self.shown["controls"],
            polling=100,
        )

    def box(self) -> None:
        self._controls_stand()
        boxes = self.page.locator(BOX)
        field = boxes.nth(self.rng.randrange(boxes.count()))
        value = field.input_value()
        for key in self.rng.choice((("ArrowUp",), ("ArrowDown", "ArrowDown"))):
            field.press(key)
        field.press("Enter")
        self._settle()
        field.fill(value)
        field.press("Enter")
        self._settle()

    def slider(self) -> None:
        self._controls_stand()
        sliders = self.page.locator("#ge-page .ge-control [role=slider]:visible")
        at = self.rng.randrange(sliders.count())
        field = self.page.locator(BOX).nth(at)
        value = field.input_value()
        for key in self.rng.choice((("ArrowRight",), ("ArrowLeft", "ArrowLeft"))):
            sliders.nth(at).press(key)
        self._settle()
        field.fill(value)
        field.press("Enter")
        self._settle()

    def colours(self) -> None:
        self.page.emulate_media(color_scheme="dark")
        self.check(["dark"])
        self.page.emulate_media(color_scheme="light")

    def phone(self) -> None:
        self.page.set_viewport_size(PHONE)
        self.check(["phone"], words=False)
        self.page.set_viewport_size(DESKTOP)

    def reload(self) -> None:
        self._address_says_the_link()
        self.page.reload(wait_until="commit")
        self._ready()

    def other_page(self) -> None:
        """To another page by the row at the top, Back, Forward, and by the row to this one; over
        the front page; by a link within the page. Nothing in the address is lost on the way."""
        page, other = self.page, "method" if self.name == "logbook" else "logbook"
        ways = [
            (other, self._row(other).click),
            (self.name, lambda: page.go_back(wait_until="commit")),
            (other, lambda: page.go_forward(wait_until="commit")),
            (self.name, self._row(self.name).click),
        ]
        if self.name in OVER_THE_FRONT:
            back = page.locator(f".ge-front a[href*='/{self.name}']").first
            ways += [("", self._row("").click), (self.name, back.click)]
        if within := LEADS_TO.get(self.name):
            inside = page.locator(f"#ge-page a[href^='{within}']").first
            ways += [(within, inside.click), (self.name, self._row(self.name).click)]
        given = self._parameters()
        for name, go in ways:
            go()
            page.wait_for_url(re.compile(rf"/{name}(\?|$)"), wait_until="commit")
            if name:
                self._ready()
            if name == self.name:
                self.check(["to another page and here again"])
                now = self._parameters()
                assert given.keys() <= now.keys(), (self.name, given.keys() - now.keys())
                assert given.get("want.1") == now.get("want.1")

    def _row(self, name: str) -> Locator:
        """Carried already or not."""
        return self.page.locator(f"nav a:is([href$='/{name}'], [href*='/{name}?'])").first

    def _parameters(self) -> dict[str, str]:
        return dict(parse_qsl(urlsplit(self.page.url).query, keep_blank_values=True))

    def second_tab(self) -> None:
        """The page's link, or its address where it has none, in another tab of the browser."""
        link = self.page.locator(LINK)
        query = link.first.input_value() if link.count() else self.page.evaluate("location.search")
        tab = self.page.context.new_page()
        tab.set_default_timeout(READY_MILLISECONDS)
        tab.set_viewport_size(DESKTOP)
        tab.goto(self._base + query, wait_until="commit")
        tab.wait_for_selector("html[data-ready]", state="attached")
        open_lids(tab)
        self.check(["second tab"], tab=tab)
        close_tab(tab)

    def acts(self) -> dict[str, int]:
        """What can be done here, and how often it is drawn; what loads a page costs most."""
        page = self.page
        found = {}
        if page.get_by_role("button", name="mph, in, lbf").count():
            found["units"] = 120
        if page.locator(BOX).count():
            found |= {"box": 100, "slider": 100}
        found |= {"colours": 60, "phone": 60}
        return found | {"reload": 1, "second_tab": 1, "other_page": 1}


def _first_difference(before, after) -> str:
    if before == after:
        return ""
    if isinstance(before, list):
        pairs = [(one, other) for one, other in zip(before, after, strict=False) if one != other]
        before, after = map(str, pairs[0]) if pairs else (f"{len(before)}", f"{len(after)}")
    at = next((at for at, (a, b) in enumerate(zip(before, after, strict=False)) if a != b), 0)
    return f"{before[max(0, at - 60) : at + 80]!r} became {after[max(0, at - 60) : at + 80]!r}"


@pytest.mark.parametrize(
    "name", [pytest.param(name, marks=[] if name in QUICK else pytest.mark.long) for name in PAGES]
)
def test_what_is_done_and_undone_changes_nothing(name, open_page, long_run):
    rng = random.Random(name)
    visit = Visit(open_page(name, PAGES[name]), name, rng)
    acts, weights = zip(*visit.acts().items(), strict=True)
    # Each sequence begins with an act that has not been done yet; the rest is by chance.
    for at in range(max(LONG_SEQUENCES[name], len(acts)) if long_run else SEQUENCES):
        done = [acts[at]] if at < len(acts) else []
        done += rng.choices(acts, weights, k=rng.choice((1, 1, 1, 1, 2, 3)))
        for act in done:
            getattr(visit, act)()
        visit.check(done)
        expect(visit.page.locator(".ge-fault:visible")).to_have_count(0)
