"""The wants page without a browser: from a complaint to the short list, its reasons and links."""

import re
from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal

import pytest

from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.fitting.fit import decode_fit
from explorer.study.wants.complaints import COMPLAINTS
from explorer.study.wants.kinds import WANTS
from explorer.study.wants.mixes import terrains
from explorer.study.wants.wants_result import compute
from explorer.tasks.wants import answer as answer_module
from explorer.tasks.wants.answer import Answer, WhyNot
from explorer.tasks.wants.controls import WantList
from explorer.tasks.wants.page import WantsPage
from explorer.tasks.wants.prices import Prices
from explorer.tasks.wants.words import role_words

QUERY = "?want.1=clutch-out;weight%203;speed%205%20km/h&want.2=keep-chain;weight%203"


@pytest.fixture
def page():
    return WantsPage(QUERY)


def widgets_of(root):
    yield root
    for child in getattr(root, "children", ()):
        yield from widgets_of(child)


def named(page, name):
    found = [each for each in widgets_of(page.widget) if getattr(each, "description", None) == name]
    assert len(found) == 1, (name, len(found))
    return found[0]


def texts(page):
    return " ".join(
        str(each.value) for each in widgets_of(page.widget) if type(each).__name__ == "HTML"
    )


def test_from_complaint_to_short_list_to_fitting_page():
    page = WantsPage("")
    assert "Nothing wanted yet" in texts(page)
    named(page, "First is too tall").value = True
    assert "What gearing cannot do" in texts(page) and "stopwatch" in texts(page)
    kinds = [want.kind for want in page.state.wishes.wants]
    assert kinds == [kind for kind, _ in COMPLAINTS["first-too-tall"].proposes]
    best = page.part(Answer).listing.best
    query = page.state.link_of(best.front, best.rear).replace("&", "&amp;")
    assert f'href="fit{query}"' in texts(page)


def test_a_complaint_is_wanted_while_it_is_ticked_and_never_twice():
    page = WantsPage("")
    stalls, tall = "It stalls in every hairpin", "First is too tall"
    named(page, stalls).value = True
    assert len(page.state.wishes.wants) == 1
    named(page, tall).value = True
    both = page.state.wishes.wants
    named(page, tall).value = False
    named(page, tall).value = True
    assert {each.kind for each in page.state.wishes.wants} == {each.kind for each in both}
    # A reload keeps the ticks and their answers, not only what they ask for.
    again = WantsPage(page.state.link)
    assert again.state.wishes == page.state.wishes and again.state.link == page.state.link
    assert named(again, tall).value and named(again, stalls).value
    assert not named(again, "It screams all the way home").value
    assert f"<h3>“{stalls}”</h3>" in texts(again)
    for each in (stalls, tall):
        named(page, each).value = False
    assert page.state.wishes.wants == () and "Nothing wanted yet" in texts(page)


def test_the_link_holds_everything_said(page):
    page.state.share("woods", 60.0)
    page.state.share("road", 40.0)
    again = WantsPage(page.state.link)
    assert again.state.wishes == page.state.wishes and again.state.link == page.state.link
    assert "tight woods 60 %" in texts(again)


def test_every_kind_of_want_and_of_riding_can_be_chosen_and_taken_away(page):
    assert [kind for _, kind in named(page, "Another want").options] == list(WANTS)
    named(page, "Another want").value = "jump"
    named(page, "Add this want").click()
    others = tuple(WANTS[kind].of({}, 2) for kind in WANTS if kind != "jump")
    page.state.wish(
        replace(page.state.wishes, wants=(page.state.wishes.wants[-1], *others), shares=())
    )
    assert {want.kind for want in page.state.wishes.wants} == set(WANTS)
    assert len(page.part(WantList)._rows) == len(WANTS)
    shares = tuple((terrain, 10.0) for terrain in terrains())
    page.state.wish(replace(page.state.wishes, shares=shares))
    assert len(page.state.wishes.mix) == len(terrains())
    [table] = [each for each in widgets_of(page.widget) if "ge-short-list" in each._dom_classes]
    assert "✓" in table.value and "✗" in table.value
    page.part(WantList)._rows[0].widget.children[-1].click()
    assert "jump" not in {want.kind for want in page.state.wishes.wants}


def test_what_cannot_be_read_is_answered_beside_it_and_kept(page):
    field = page.part(WantList)._rows[0]._controls["speed"]._field
    field.value = "<b>fast</b>"
    assert field.value == "<b>fast</b>"
    assert "&lt;b&gt;fast&lt;/b&gt;" in texts(page) and "<b>fast" not in texts(page)
    assert page.state.wishes.wants[0].texts["speed"] == "5 km/h"
    field.value = "7 km/h"
    assert page.state.wishes.wants[0].texts["speed"] == "7 km/h"
    assert "fast" not in texts(page)


def test_one_computation_for_one_change(page, monkeypatch):
    calls = []

    def counted(*arguments):
        calls.append(1)
        return compute(*arguments)

    monkeypatch.setattr(answer_module, "compute", counted)
    page.state.share("hills", 50.0)
    assert len(calls) == 1


def test_progress_is_shown_once_it_takes_long_and_goes_away(page, monkeypatch):
    shown = []

    def slow(*arguments):
        report = arguments[-1]
        report(0.0, "the chain")
        shown.append(page.part(Answer).widget.layout.display != "none")
        clock[0] += answer_module.SHOWN_AFTER + 0.1
        report(0.4, "the hills")
        shown.append(page.part(Answer).widget.layout.display != "none")
        assert page.part(Answer)._bar.value == 0.4 and "the hills" in page.part(Answer)._stage.value
        return compute(*arguments)

    clock = [0.0]
    monkeypatch.setattr(answer_module.time, "monotonic", lambda: clock[0])
    monkeypatch.setattr(answer_module, "compute", slow)
    page.state.share("hills", 50.0)
    assert shown == [False, True]
    assert page.part(Answer).widget.layout.display == "none"


def test_why_not_any_pair_tapped_or_typed(page):
    listed = page.part(Answer).listing.best
    page.part(WhyNot).chart._charts[0]._on_pick(14, 48)
    assert "Why not 14/48?" in texts(page)
    named(page, "Why not this one?").value = f"{listed.front}/{listed.rear}"
    assert "is on the short list" in texts(page)
    named(page, "Why not this one?").value = "24/25"
    assert "not sold for this bike" in texts(page)
    named(page, "Why not this one?").value = "<i>x</i>"
    assert "<i>x" not in texts(page)


@pytest.mark.parametrize(
    ("entry", "said"),
    [
        ("x", "&#34;x&#34; is not a pair of tooth counts; type both, for example 13/48."),
        ("8/90", "A rear sprocket of 90 teeth is outside 20 to 80; count again and type both"),
    ],
)
def test_what_is_no_pair_is_answered_beside_it_and_takes_another_pairs_answer_away(
    page, entry, said
):
    field = named(page, "Why not this one?")
    field.value = "14/48"
    assert "<h3>Why not 14/48?</h3>" in texts(page)
    field.value = entry
    assert said in page.part(WhyNot)._field._answer.value and field.value == entry
    assert "<h3>Why not 14/48?</h3>" not in texts(page)
    assert page.part(WhyNot)._asked(page.result) is None
    # A pair tapped in the chart takes its place.
    page.part(WhyNot).chart._charts[0]._on_pick(14, 47)
    assert field.value == "14/47" and said not in texts(page)
    assert "<h3>Why not 14/47?</h3>" in texts(page)
    field.value = ""
    assert "<h3>Why not" not in texts(page)


def test_a_price_typed_appears_in_the_costs_and_goes_along_in_the_link(page):
    [entry] = [
        each
        for each in page.part(Answer).listing.entries
        if "one tooth first, then ride" in role_words(each)
    ]
    part = next(part.id for part in entry.parts.buy if not part.optional)
    page.part(Prices)._controls[part]._field.value = "23.45"
    assert page.part(Answer).listing.result.prices[part] is not None
    assert "23.45" in texts(page)
    assert decode_fit(page.state.link, page.state.bike)[0].prices[0] == {part: Decimal("23.45")}
    page.part(Prices)._controls[part]._field.value = "cheap"
    assert "&#34;cheap&#34;" in texts(page) or "“cheap”" in texts(page)


@pytest.mark.parametrize("bike_id", sorted(demo_bikes()))
def test_every_bike_in_imperial_units(page, bike_id):
    page.state.pick_bike(bike_id)
    page.state.change(units="imperial")
    assert page.part(Answer).listing.result.bike is demo_bikes()[bike_id]
    assert len(page.state.wishes.wants) == 2 and " mph" in texts(page)


def test_a_file_brings_the_wants_and_a_bad_line_is_said(page):
    content = b"want.1 = corner; weight 2; speed 30 km/h\nwant.2 = <b>tea</b>\n"
    file = {"name": "a.txt", "type": "", "size": len(content), "content": content}
    named(page, "Open a file of wants").value = [file | {"last_modified": datetime.now(UTC)}]
    assert [want.kind for want in page.state.wishes.wants] == ["corner"]
    assert "&lt;b&gt;tea" in texts(page) and "<b>tea" not in texts(page)


def test_a_bad_link_opens_the_page_with_sentences():
    page = WantsPage("?want.1=<script>&want.mix=moon 3&front=999")
    said = texts(page)
    assert "<script>" not in said and "moon" in said and "Traceback" not in said


def test_the_short_list_leads_to_compare_with_the_others_beside(page):
    ways = re.findall(r'href="compare([^"]*)"', texts(page))
    assert len(ways) == len(page.part(Answer).listing.entries)
    assert all("also.1=" in way for way in ways if len(ways) > 1)
