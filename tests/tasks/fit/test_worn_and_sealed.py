"""A worn-out chain decides first wherever a chain is spoken of; a sealed or riveted one changes
parts, tools, steps, room and drag. The rules are common practice of the trade, no source."""

import re
from urllib.parse import unquote

import numpy as np
import pytest
from markupsafe import escape

from explorer.calc.chain.chain_choice import Choice
from explorer.calc.chain.chain_fit import Verdict
from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.fitting.parts import parts_list
from explorer.records.fitting.sprocket_change import SprocketChange
from explorer.study.fit_result import compute
from explorer.study.verdict import WORN_OUT, verdicts_of
from explorer.study.wants.wants_chain import pair_chains
from explorer.tasks.fit import diagnosis_words, effect_words, sheet_steps, views, words
from explorer.tasks.fit.fitting_sheet import render
from explorer.tasks.fit.page import FitPage
from explorer.tasks.fit.parts import sheet_of, sprocket_change
from explorer.tasks.fit.state import FitState
from explorer.tasks.wants.answer import Answer
from explorer.tasks.wants.page import WantsPage
from explorer.tasks.wants.words import recommendation
from tests.tasks.fit.test_fit_page import named, press, shown, verdict

OWN = "bike=bracken-125&own.sprockets.front=13&own.sprockets.rear=48&fit.links=122"
"""A 428 chain of 122 links on 13/48; the adjuster is the bike's."""

WORN = f"{OWN}&fit.wear-pitches=20&fit.wear-length=260.1%20mm&fit.wear-limit=2%20%25"
"""20 pitches of half an inch are 254 mm new, 259.08 mm at 2 %: 260.1 mm is 2.4 %, past it."""

WORN_LESS = WORN.replace("260.1", "255.3")
"""0.5 %: the same chain well within its limit."""

ROOMY = "&fit.centre-distance=&fit.room-forward=30%20mm&fit.room-back=30%20mm"
"""An adjuster with room for the old chain, so that only its wear speaks against it."""

PATCH = re.compile(
    r"your chain (?:of|with)|uncut|links? (?:added|taken out)|Your chain fits", re.IGNORECASE
)
"""Words that recommend the chain on the bike."""


def result_of(query):
    state, complaints = FitState.from_link(query, dict(demo_bikes()))
    assert not complaints
    return compute(state.choice)


def advised(result):
    """Everything said after the line that the old chain is worn out."""
    texts = [*words.verdict_sentences(result), *words.advice(result)]
    texts.append(verdicts_of(result.study, result.measured)[-1].sentence("metric"))
    return " ".join(texts)


@pytest.mark.parametrize("rear", [48, 49, 50, 51, 52, 53])
def test_the_worn_chain_is_recommended_nowhere_on_the_fit_page(rear):
    result = result_of(f"{WORN}{ROOMY}&front=13&rear={rear}")
    assert result.wear.elongation == pytest.approx(260.1 / 254 - 1)
    assert words.headline(result).startswith("Your chain is worn out: fit a new one. 13/")
    assert not PATCH.search(advised(result)), advised(result)
    assert result.new_chain and set(result.options) == {Choice.SHORTEST}
    table = views.options_table(result)
    assert "New chain, fewest links" in table and "Keep my chain" not in table
    assert views.map_view(result).chain == "new chain, fewest links"


@pytest.mark.parametrize("rear", [49, 52])
def test_a_chain_within_its_limit_is_kept(rear):
    result = result_of(f"{WORN_LESS}{ROOMY}&front=13&rear={rear}")
    assert "your chain of 122 links, uncut" in advised(result)
    assert "Keep my chain" in views.options_table(result)
    assert views.map_view(result).chain == "your chain uncut"


@pytest.mark.parametrize("page", ["bench", "wants"])
def test_every_page_says_first_that_the_chain_is_worn_out(page):
    """By the manual's limit, which the rider typed; the pair beside its fitted one, and "keep"."""
    for query, worn in ((WORN, True), (WORN_LESS, False)):
        if page == "bench":
            result = result_of(f"{query}{ROOMY}&front=13&rear=52")
            said = [each.sentence("metric") for each in verdicts_of(result.study, result.measured)]
            assert said[1].endswith("To buy: rear sprocket and chain + small parts.") == worn
        else:
            listing = WantsPage(f"{query}{ROOMY}&want.1=clutch-out;weight%203;speed%205%20km/h")
            said = [recommendation(listing.part(Answer).listing)[1]]
        assert [each.startswith(f"{WORN_OUT} ") for each in said] == [worn] * len(said)
    assert "your manual's limit" in WORN_OUT and "sprockets" in WORN_OUT


def test_the_fit_page_says_it_once_in_the_headline_and_once_in_why():
    result = result_of(f"{WORN}{ROOMY}&front=13&rear=52")
    assert words.verdict_sentences(result)[0] == WORN_OUT
    assert verdict(FitPage(f"{WORN}{ROOMY}&front=13&rear=52")).count("worn out") == 1


def test_parts_and_sheet_say_that_the_old_chain_is_worn_out():
    for query, worn in ((WORN, True), (WORN_LESS, False)):
        result = result_of(f"{query}{ROOMY}&front=13&rear=52")
        sheet = render(sheet_of(result, "", ""), "metric")
        assert (f"<b>Settle this before you buy.</b> {escape(WORN_OUT)}" in sheet) == worn
        assert (words.to_settle(result) == WORN_OUT) == worn
    close = result_of(f"{WORN}&front=13&rear=44&fit.room-back=")
    assert not close.fits
    said = words.to_settle(close)
    assert said.startswith(f"{WORN_OUT} 13/44") and said.count("worn out") == 1


def test_a_tape_over_a_worn_chain_is_held_against_the_worn_chain():
    """Every joint 2.4 % longer: the chain runs that much larger, and 577 mm become 591 mm."""
    new = result_of(f"{WORN_LESS}{ROOMY}")
    distance = 1000 * float(new.now.diagnosis.implied_distance) / (1 + 1.3 / 254)
    stretched = distance * 260.1 / 254
    alone = result_of(f"{WORN}{ROOMY}")
    assert f"122 links worn 2.4 % put the centres {stretched:.0f} mm" in tape_words(alone)
    typed = f"{WORN}{ROOMY}".replace("centre-distance=", f"centre-distance={stretched:.0f}%20mm")
    assert "Links and tape agree: 122 links worn 2.4 % put" in tape_words(result_of(typed))
    more = typed.replace(f"{stretched:.0f}%20mm", f"{stretched + 5:.0f}%20mm")
    assert "more than 122 links worn 2.4 % give. Measure chain and" in tape_words(result_of(more))


def tape_words(result):
    return " ".join(diagnosis_words.diagnosis_sentences(result))


def test_map_and_short_list_plan_the_worn_bike_with_a_new_chain():
    result = result_of(f"{WORN}{ROOMY}&front=13&rear=52")
    reached = result.map.verdict == Verdict.FITS
    assert reached.any()
    pairs = np.argwhere(reached)
    front = result.map.fronts[pairs[:, 0]].astype(int)
    rear = result.map.rears[pairs[:, 1]].astype(int)
    chains = pair_chains(result.bike, result.measured, front, rear)
    assert set(chains.choice) == {Choice.SHORTEST}
    assert np.array_equal(chains.links, result.map.fit.links[reached])
    assert np.array_equal(chains.verdict, result.map.verdict[reached])


def test_the_short_list_of_the_worn_bike_buys_a_chain_with_every_other_pair():
    wants = "&want.1=clutch-out;weight%203;speed%205%20km/h"
    page, kept = (WantsPage(f"{query}{ROOMY}{wants}") for query in (WORN, WORN_LESS))
    listing = page.part(Answer).listing
    others = [each for each in listing.entries if (each.front, each.rear) != (13, 48)]
    assert others and {each.choice for each in others} == {Choice.SHORTEST}
    text = shown(page)
    assert re.search(r"chain of \d+ links|new chain", text) and not PATCH.search(text)
    # With the chain within its limit the same list keeps it where it reaches.
    assert Choice.KEEP_CHAIN in {each.choice for each in kept.part(Answer).listing.entries}


def test_the_sheet_of_the_worn_bike_puts_a_new_chain_on():
    page = FitPage(f"{WORN}{ROOMY}&front=13&rear=52")
    assert "worn out" in verdict(page)
    press(page, "Make the fitting sheet")
    html = unquote(re.search(r'href="data:text/html;charset=utf-8,([^"]*)"', shown(page))[1])
    assert re.search(r"New chain: count \d+ links", html)
    assert "428 chain, " in html and not re.search(r"Put \d+ links in|chain keeps its", html)


def test_a_new_chain_comes_before_links_added_to_a_used_one():
    """Both reach: the new one is named first, and the patch, where chosen, says what it costs."""
    short = f"{OWN}&fit.centre-distance=&fit.room-forward=4%20mm&fit.room-back=30%20mm&rear=52"
    result = result_of(f"{short}&front=13")
    fewest = result.options[Choice.FEWEST_CHANGED]
    assert result.verdict == Verdict.TOO_SHORT
    assert fewest.verdict == Verdict.FITS and fewest.links > 122
    assert words.advice(result)[0].startswith("It fits with a new chain of the fewest links")
    chains = pair_chains(result.bike, result.measured, np.array([13]), np.array([52]))
    assert chains.choice.tolist() == [Choice.SHORTEST]
    patched = result_of(f"{short}&front=13&fit.chain=fewest%20changed")
    piece = next(p for p in parts_list(sprocket_change(patched)).buy if p.id == "chain-piece")
    assert "shorter pitch than the rest: a whole new chain runs more evenly" in piece.why


def change_of(seal="unknown", **fields):
    given = {"new_chain": True, "joining_link": "clip", **fields}
    return SprocketChange(13, 48, 13, 52, "428", 122, 124, seal=seal, **given)


def test_a_sealed_chain_changes_the_parts():
    sealed, plain = (
        {part.id: part for part in parts_list(change_of(seal)).buy} for seal in ("sealed", "plain")
    )
    assert "428 chain, sealed, 124 links" in sealed["chain"].name
    assert "with its rings and grease" in sealed["spare-joining-link"].name
    assert "wider over the pins: check the room at case and guard" in sealed["chain"].why
    for part in plain.values():
        assert not re.search(r"sealed|rings|wider", part.name + part.why)
    kept = parts_list(change_of("sealed", new_chain=False)).buy
    assert all("rings and grease" in p.name for p in kept if "joining-link" in p.id)


def step_texts(change):
    stages = sheet_steps.stages(change, "disc", "the slack is right")
    return {step.title: step.text for stage in stages for step in stage.steps}


def test_a_sealed_chain_changes_the_tools_and_the_care():
    sealed, plain, unknown = (change_of(seal) for seal in ("sealed", "plain", "unknown"))
    assert "rag, soft brush (no wire brush, no solvent)" in sheet_steps.tools(sealed)
    assert "lubricant for ring chains" in sheet_steps.tools(sealed)
    assert {"rag, brush", "chain lubricant"} <= set(sheet_steps.tools(plain))
    assert "chain lubricant (one for ring chains if it has rings)" in sheet_steps.tools(unknown)
    care = "ing-chain lubricant; no solvent, no wire brush."
    assert care in step_texts(sealed)["Lubricate"]
    assert "solvent" not in step_texts(plain)["Lubricate"]
    assert "With rings: ring-chain lubricant, no solvent" in step_texts(unknown)["Lubricate"]
    assert "four rings greased, one at each end of each pin" in step_texts(sealed)["Close it"]
    assert "rings" not in step_texts(plain)["Close it"]


@pytest.mark.parametrize("seal", ["sealed", "plain", "unknown"])
@pytest.mark.parametrize("joining_link", ["clip", "rivet"])
@pytest.mark.parametrize("new_chain", [True, False])
def test_lubrication_is_a_step_of_every_sheet(seal, joining_link, new_chain):
    change = change_of(seal, joining_link=joining_link, new_chain=new_chain)
    titles = list(step_texts(change))
    assert titles.index("Close it") < titles.index("Lubricate") < titles.index("Covers and bench")
    assert "wheel turned by hand" in step_texts(change)["Lubricate"]


def test_a_riveted_link_has_blanks_for_the_makers_figure_and_the_measured():
    stages = sheet_steps.stages(change_of(joining_link="rivet"), "disc", "the slack is right")
    close = next(step for stage in stages for step in stage.steps if step.title == "Close it")
    assert "chain maker's figures" in close.text and "must flex freely" in close.text
    assert [each.strip() for each in close.blanks] == ["plates", "measured", "rivet", "measured"]
    page = FitPage(f"{OWN}&front=13&rear=52&fit.chain=new&fit.new-links=124{ROOMY}")
    page.state.answer(joining_link="rivet")
    press(page, "Make the fitting sheet")
    html = unquote(re.search(r'href="data:text/html;charset=utf-8,([^"]*)"', shown(page))[1])
    for blank in ("plates", "rivet"):
        assert f'aria-label="Close it: {blank}, measured [mm]"' in html
    assert "riveting tool" in html
    clip = sheet_steps.stages(change_of(), "disc", "the slack is right")
    assert not [s for stage in clip for s in stage.steps if s.title == "Close it" and s.blanks]


CLOSED = {
    True: ("lift it off the rear sprocket", "take the wheel out"),
    False: ("too little room to lift it over the teeth: take the wheel out", "turning the wheel"),
    None: ("if it does not come, take the wheel out", "too little room"),
}
"""What a closed chain's step says and does not say, by whether it slips off."""


@pytest.mark.parametrize("slips_off", CLOSED)
@pytest.mark.parametrize("front", [13, 14])
def test_a_closed_chain_comes_off_by_the_room_there_is(slips_off, front):
    change = SprocketChange(
        13, 48, front, 50, "428", 122, 122, joining_link="rivet", slips_off=slips_off
    )
    text = step_texts(change)["Axle and chain"]
    there, absent = CLOSED[slips_off]
    assert "The chain stays closed" in text and there in text and absent not in text
    slid = "Slide the front sprocket off its shaft with the chain round it" in text
    assert slid == (front != 13)
    assert "Press a riveted pin out" not in text


@pytest.mark.parametrize(("room", "slips_off"), [("1%20mm", False), ("60%20mm", True), ("", None)])
def test_the_room_that_was_measured_decides_on_the_sheet(room, slips_off):
    """A chain of half an inch has to climb 5 mm or so over the teeth of one sprocket."""
    query = f"{OWN}&front=13&rear=47&fit.centre-distance=&fit.room-back=40%20mm"
    result = result_of(f"{query}&fit.joining-link=rivet&fit.room-forward={room}")
    assert result.slips_off is slips_off
    sheet = sheet_of(result, "?bike=bracken-125", "")
    assert sheet.change.slips_off is slips_off and not sheet.change.chain_opened
    assert CLOSED[slips_off][0] in step_texts(sheet.change)["Axle and chain"]


def test_a_sealed_chain_changes_room_and_drag_on_the_page():
    page = FitPage(f"{OWN}&front=13&rear=50&fit.seal=sealed{ROOMY}")
    wide = "A sealed chain is wider over its pins than a plain one"
    said = re.search(r"rings drag about ([\d.]+) to ([\d.]+) N at the tyre", shown(page))
    assert wide in shown(page) and said
    # Each of 50 joints a wheel turn bends on and off both sprockets: work over the roll-out.
    result = result_of(f"{OWN}&front=13&rear=50&fit.seal=sealed{ROOMY}")
    bent = 50 * 2 * (2 * np.pi / 13 + 2 * np.pi / 50) / result.study.rollouts[-1].value
    assert [float(each) for each in said.groups()] == pytest.approx(
        [0.01 * bent, 0.05 * bent], abs=0.05
    )
    assert f"about {result.load.rolling:.0f} N" in effect_words.ring_sentences(result)[0]
    plain = shown(FitPage(f"{OWN}&front=13&rear=50&fit.seal=plain{ROOMY}"))
    assert wide not in plain and "rings drag" not in plain


def test_a_refused_entry_leaves_the_verdict_of_what_is_taken():
    """The verdict is of the last good numbers, and the slip stands beside its field."""
    page = FitPage("bike=marram-250&rear=53")
    good = verdict(page)
    named(page, "Axle room forward").value = "25 kg"
    refused = shown(page)
    assert verdict(page) == good and "25" not in verdict(page)
    assert "Until then the page goes on with 10 mm." in refused
    named(page, "Links of the chain now").value = "banana"
    assert "Until then the page goes on with 112." in shown(page)
    named(page, "Links of the chain now").value = ""
    named(page, "Links of the chain now").value = "banana"
    assert "Until then it counts as not known." in shown(page)
    named(page, "Links of the chain now").value = "112"
    named(page, "Axle room forward").value = "25 mm"
    assert verdict(page) != good and "13/53 fits" in verdict(page)


def test_the_adjuster_s_room_is_said_with_its_direction():
    """5 mm back and 30 mm forward: a chain two links shorter uses up half an inch of the latter."""
    rooms = "&fit.centre-distance=&fit.room-forward=30%20mm&fit.room-back=5%20mm"
    table = views.options_table(result_of(f"{OWN}{rooms}&front=13&rear=48"))
    cells = re.findall(r"<td>(\d+ mm (?:forward|to the rear))</td>", table)
    assert cells[0] == "5 mm to the rear" and any("forward" in each for each in cells[1:])
