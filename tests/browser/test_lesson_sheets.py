"""The lesson's worksheet and coach's guide on paper: headings stay with what they head, and nothing
is drawn over the code."""

import re
from datetime import date

import pytest

from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.fitting.fit import Measurements
from explorer.records.setups.setup import Setup
from explorer.tasks.lesson.facts import Facts
from explorer.tasks.lesson.lesson import Lesson, Place, starting_pair
from explorer.tasks.lesson.plans import PLANS
from explorer.tasks.lesson.sheet import Worksheet, render

BIKE = "bracken-125"
WIDTHS = {"A4": 210.0, "Letter": 215.9}
MARGINS = 24.0  # both sides, as the sheet's style says [mm]

# Each heading, and what follows it, becomes a link of its own: a PDF says on which page links are.
MARK = """() => {
  const link = (node, name) => {
    const a = document.createElement("a");
    a.href = `https://heading.invalid/${name}`;
    node.before(a);
    a.append(node);
  };
  const first = (e) => document.createTreeWalker(e, NodeFilter.SHOW_TEXT,
    (t) => (t.data.trim() ? NodeFilter.FILTER_ACCEPT : NodeFilter.FILTER_SKIP)).nextNode();
  const heads = [...document.querySelectorAll("h2, h3")];
  const texts = heads.map((e) => [first(e), first(e.nextElementSibling)]);
  texts.forEach(([head, next], index) => {
    link(head, `head-${index}.`);
    // A heading may stand directly below another one, which is itself marked.
    if (next.parentElement.tagName !== "A") link(next, `next-${index}.`);
  });
  return heads.length;
}"""

# Texts, rules and grounds that lie over the code.
OVER = """() => {
  const code = document.querySelector(".code svg").getBoundingClientRect();
  const over = (r) => r.width && r.height && r.left < code.right - 0.5 && r.right > code.left + 0.5
    && r.top < code.bottom - 0.5 && r.bottom > code.top + 0.5;
  const found = [];
  for (const e of document.body.querySelectorAll("*")) {
    if (e.closest(".code")) continue;
    const look = getComputedStyle(e);
    const drawn = parseFloat(look.borderBottomWidth) || !look.backgroundColor.endsWith(", 0)");
    if (drawn && over(e.getBoundingClientRect())) found.push(e.outerHTML.slice(0, 80));
    for (const t of e.childNodes) {
      if (t.nodeType !== 3) continue;
      const range = document.createRange();
      range.selectNodeContents(t);
      if ([...range.getClientRects()].some(over)) found.push(t.data.slice(0, 80));
    }
  }
  return found;
}"""


def marks_of(pdf):
    """Page of each marked text, by its name."""
    objects = dict(re.findall(rb"(\d+) 0 obj(.*?)endobj", pdf, re.S))
    found, number = {}, 0
    for body in objects.values():
        if not re.search(rb"/Type\s*/Page\b(?!s)", body):
            continue
        number += 1
        listed = re.search(rb"/Annots\s*\[(.*?)\]", body, re.S)
        for each in re.findall(rb"(\d+) 0 R", listed[1]) if listed else ():
            for name in re.findall(rb"heading\.invalid/([a-z]+-\d+)\.", objects[each]):
                found.setdefault(name.decode(), number)
    return found


@pytest.fixture(scope="module")
def sheets():
    def one(plan, reader):
        bike = demo_bikes()[BIKE]
        setup = Setup.for_bike(BIKE, bike).changed(**starting_pair(bike))
        lesson = Lesson(bike, setup, Place(plan=plan))
        facts = Facts(lesson, dict(demo_bikes()), Measurements.for_bike(bike))
        query = "?step=1&quiz=1&bike=bracken-125&front=13&rear=54"
        address = "https://club.example/lesson"
        return render(Worksheet(facts, date(2026, 5, 1), query, address), reader)

    return {(plan, reader): one(plan, reader) for plan in PLANS for reader in ("pupil", "coach")}


@pytest.mark.parametrize("reader", ["pupil", "coach"])
@pytest.mark.parametrize("paper", WIDTHS)
def test_headings_stay_with_what_they_head_and_the_code_is_free(chromium, sheets, paper, reader):
    width = round((WIDTHS[paper] - MARGINS) / 25.4 * 96)
    page = chromium.new_page(viewport={"width": width, "height": 900})
    for plan in PLANS:
        page.set_content(sheets[plan, reader])
        page.emulate_media(media="print")
        assert page.evaluate(OVER) == [], (plan, reader, paper)
        heads = page.evaluate(MARK)
        marks = marks_of(page.pdf(format=paper))
        assert heads > len(PLANS[plan]) and len(set(marks.values())) >= 2
        for index in range(heads):
            head = marks[f"head-{index}"]
            beside = marks.get(f"next-{index}", marks.get(f"head-{index + 1}"))
            assert head == beside, (plan, reader, paper, index)
    page.close()


def test_the_checks_find_what_they_look_for(chromium):
    page = chromium.new_page(viewport={"width": 700, "height": 900})
    page.set_content(
        "<style>h2 { break-before: avoid } p { break-before: page }</style>"
        '<div class="code" style="float: right"><svg width="90" height="90"></svg></div>'
        '<h2 style="border-bottom: 2px solid">Steps</h2><p>what follows</p>'
    )
    assert len(page.evaluate(OVER)) == 1
    assert page.evaluate(MARK) == 1
    assert marks_of(page.pdf(format="A4")) == {"head-0": 1, "next-0": 2}
    page.close()
