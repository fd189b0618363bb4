"""The fit page without a browser: controls, state, charts and sheet hang together."""

import re
from urllib.parse import unquote

import pytest

from explorer.records.bikes.own_bike import read_own_bike
from explorer.records.fitting.fit import Measurements, encode_fit
from explorer.records.fitting.hazards import hazards
from explorer.records.setups.link import MINE, encode
from explorer.records.setups.setup import Setup
from explorer.tasks.bench.page import GearingPage
from explorer.tasks.fit.page import FitPage
from explorer.tasks.fit.parts import PartsAndSheet
from explorer.tasks.fit.travel import Travel
from explorer.tasks.wants.page import WantsPage
from tests.records.bikes.test_own_bike import MEADOW

FIRST_FIELD = "Axle room forward"


def widgets_of(root):
    yield root
    for child in getattr(root, "children", ()):
        yield from widgets_of(child)


def named(page, name):
    found = [each for each in widgets_of(page.widget) if getattr(each, "description", None) == name]
    assert len(found) == 1, (name, len(found))
    return found[0]


def shown(page):
    return " ".join(
        str(each.value) for each in widgets_of(page.widget) if type(each).__name__ == "HTML"
    )


def verdict(page):
    return re.search(r'role="status"><span>[^<]*: </span>([^<]*)<', shown(page))[1]


def open_lids(page):
    for each in widgets_of(page.widget):
        if type(each).__name__ == "Accordion":
            each.selected_index = 0


@pytest.fixture
def page():
    return FitPage("bike=marram-250")


def test_a_slider_changes_the_verdict_and_the_link(page):
    assert "13/49 fits" in verdict(page)
    named(page, "Rear sprocket").value = 53
    assert "13/53 does not fit" in verdict(page)
    assert "rear=53" in named(page, "Link to this page").value


def test_the_verdict_begins_with_whose_it_is(page):
    """Whoever has a bike of their own sees at once that this one is a demo's."""
    assert '"status"><span>Marram 250, invented: </span>13/49 fits' in shown(page)
    own = read_own_bike(MEADOW).bike
    page = FitPage(encode(Setup.for_bike(MINE, own), own, own))
    assert f'"status"><span>{own.name}: </span>13/49' in shown(page)


@pytest.mark.parametrize("kind", [FitPage, GearingPage])
def test_what_was_measured_stays_on_the_bike_whose_other_numbers_are_corrected(kind):
    """Whoever corrects the weight in the form, or takes a calibrated drag, counts no links again;
    other sprockets on it, or another bike, begin anew."""
    own = read_own_bike(MEADOW).bike
    state = kind(encode(Setup.for_bike(MINE, own), own, own) + "&fit.links=118").state
    heavier = own.with_changes({"mass.bike": "131 kg"})
    state.use_bike(heavier)
    assert state.bike == heavier and state.measured.links == 118
    for other in ({"sprockets.rear": "47"}, {"name": "The other one"}):
        state.measure(state.measured.changed({"links": "118"}))
        state.use_own(state.bike.with_changes(other))
        assert state.measured == Measurements.for_bike(state.bike)
        assert state.measured.links != 118


def test_of_a_bike_that_cannot_be_read_nothing_is_used(monkeypatch):
    """The demo's own adjuster room, not the rider's, and prices and set-ups neither; on every page
    the sentence stands above all the rest."""
    own = read_own_bike(MEADOW).bike
    measured = Measurements.for_bike(own).changed({"room_forward": "3 mm", "prices": "EUR:chain 9"})
    query = encode(Setup.for_bike(MINE, own), own, own) + encode_fit(measured, own)
    for lost in (
        query.replace("own.sprockets.rear=49", "own.sprockets.rear=x"),
        query.replace("bike=mine", "bike=of-another-site"),
        "bike=mine&own.n",
    ):
        query = f"{lost}&also.1=13/47&want.1=clutch-out;weight+3;speed+6+km/h"
        monkeypatch.setenv("GEARING_EXPLORER_SERVER", "yes")
        page = FitPage()
        before = shown(page), page.state.choice, page.state.link
        page.follow(query)
        assert (shown(page), page.state.choice, page.state.link) == before
        assert "nothing that you measured on it" in page.lost.widget.value
        bench, empty = GearingPage(query), GearingPage()
        assert bench.state.choice == empty.state.choice
        assert WantsPage(query).state.wishes.wants, "they are the rider's, not the bike's"
        page.state.change(rear=51)
        assert page.lost.widget.value
        page.state.pick_bike("sleet-450")
        assert not page.lost.widget.value
        # In a notebook server there is no place above the page.
        monkeypatch.delenv("GEARING_EXPLORER_SERVER")
        assert "nothing that you measured on it" in shown(FitPage(query))


def test_a_typed_measurement_changes_the_verdict(page):
    named(page, "Rear sprocket").value = 53
    named(page, FIRST_FIELD).value = "25 mm"
    assert "13/53 fits" in verdict(page)
    assert "fit.room-forward=25%20mm" in named(page, "Link to this page").value


def test_a_slip_is_answered_beside_its_field_and_kept(page):
    before = page.state.choice
    named(page, FIRST_FIELD).value = "-3 mm"
    assert "cannot be negative" in shown(page)
    assert page.state.choice is before
    named(page, "Rear sprocket").value = 50
    assert named(page, FIRST_FIELD).value == "-3 mm"
    named(page, FIRST_FIELD).value = "9 mm"
    assert "cannot be negative" not in shown(page)


@pytest.mark.parametrize(
    ("typed", "answer"),
    [
        ("13/9", "outside 20 to 80"),
        ("52/13", "Front sprocket 13 teeth, rear sprocket 52 teeth"),
        ("13", "one number only"),
    ],
)
def test_a_typed_pair_is_answered(page, typed, answer):
    named(page, "Both sprockets").value = typed
    assert answer in shown(page)


def test_a_typed_pair_goes_when_another_takes_its_place(page):
    """By the slider, by a tap on the map, by another bike; typed again it is taken again."""
    field = named(page, "Both sprockets")
    for elsewhere in (
        lambda: setattr(named(page, "Rear sprocket"), "value", 51),
        lambda: page.state.change(front=12, rear=49),
        lambda: page.state.pick_bike("bracken-125"),
    ):
        field.value = "13/52"
        assert page.state.setup.rear == 52 and "52 teeth; final drive ratio" in shown(page)
        elsewhere()
        assert field.value == "" and "52 teeth; final drive ratio" not in shown(page)
    field.value = "13/9"
    named(page, "Rear sprocket").value = 51
    assert field.value == "13/9" and "outside 20 to 80" in shown(page)


def test_a_swapped_pair_in_a_link_is_said_and_the_fitted_one_stands():
    from explorer.records.bikes.bike_library import demo_bikes

    bike = demo_bikes()["bracken-125"]
    changes = {"sprockets.front_sold": "10 to 25", "sprockets.rear_sold": "20 to 68"}
    own = "&".join(f"own.{path}={text}" for path, text in changes.items())
    page = FitPage(f"bike=bracken-125&front=25&rear=20&{own}")
    assert "are swapped" in shown(page)
    assert page.state.setup.rear == bike.sprockets.rear


def test_a_mismatch_on_the_checklist_blocks(page):
    named(page, "Pitch").value = "does not match"
    assert "does not fit" in verdict(page)
    named(page, "Pitch").value = "matches"
    assert "13/49 fits" in verdict(page)


def test_the_wheel_moves_the_drawing_and_nothing_else(page):
    link = named(page, "Link to this page").value
    text = shown(page)
    named(page, "Wheel travel [mm]").value = 200.0
    assert named(page, "Link to this page").value == link
    assert shown(page) != text


def test_without_a_swingarm_the_drawing_is_put_away_and_comes_back(page):
    page.state.answer(swingarm_length="")
    assert page.part(Travel).widget.layout.display == "none"
    assert "measure the swingarm" in shown(page)
    page.state.answer(swingarm_length="564 mm")
    assert page.part(Travel).widget.layout.display is None


def test_another_bike_brings_its_own_measurements(page):
    named(page, FIRST_FIELD).value = "nonsense"
    named(page, "Bike").value = "sleet-450"
    assert named(page, FIRST_FIELD).value == page.state.bike.fit.adjuster_forward.text
    assert "nonsense" not in shown(page)


def test_units_switch(page):
    named(page, "Rear sprocket").value = 53
    named(page, "Units").value = "imperial"
    assert " in further" in verdict(page)
    assert named(page, "Wheel travel [in]").value == pytest.approx(3.9, abs=0.1)


def test_the_link_reopens_exactly_this(page):
    named(page, "Rear sprocket").value = 51
    page.state.answer(manual_slack="40 mm", tick_width="matches", room_back="")
    link = named(page, "Link to this page").value
    again = FitPage(link)
    assert again.state.choice == page.state.choice
    assert named(again, "Link to this page").value == link


def test_the_gearing_page_is_one_relative_link_away(page):
    assert 'href="gearing?bike=marram-250' in shown(page)
    assert 'href="fit?bike=marram-250' in shown(page)


def test_every_control_has_a_line_of_help(page):
    open_lids(page)
    for each in widgets_of(page.widget):
        if getattr(each, "description", "") and hasattr(each, "value"):
            assert getattr(each, "tooltip", None) or each.description == "Units", each.description


def test_questions_under_a_lid_are_built_when_it_is_opened(page):
    def count():
        return sum(1 for _ in widgets_of(page.widget))

    before = count()
    open_lids(page)
    assert count() > before + 60
    named(page, "Rear tyre to swingarm").value = "2 mm"
    named(page, "Rear sprocket").value = 51
    assert "touches" in verdict(page)


def test_prices_add_up_and_outlive_a_change_of_pair(page):
    named(page, "Rear sprocket").value = 50
    price = next(
        each
        for each in widgets_of(page.widget)
        if getattr(each, "description", "").startswith("Price of rear sprocket")
    )
    price.value = "41,50"
    named(page, "Currency").value = "EUR"
    assert "Total so far: 41.50 EUR" in shown(page)
    price.value = "cheap"
    assert "is not a price" in shown(page)
    price.value = "40"
    named(page, "Rear sprocket").value = 51
    assert "Total so far: 40 EUR" in shown(page)


def press(page, name):
    named(page, name).click()


def test_the_sheet_is_made_on_demand_and_goes_stale_with_the_set_up(page):
    named(page, "Rear sprocket").value = 50
    page.state.answer(manual_slack="40 mm", slack_place="midway, lower run")
    press(page, "Make the fitting sheet")
    address = re.search(r'href="data:text/html;charset=utf-8,([^"]*)"', shown(page))[1]
    html = unquote(address)
    assert "midway, lower run" in html and "40 mm" in html
    assert "Marram 250" in html
    for changes in ({"rear": 51}, {"units": "imperial"}):
        page.state.change(**changes)
        assert "make the sheet again" in shown(page)
        assert "data:text/html" not in shown(page)
        # As it was when the sheet was made: that one is right again.
        page.state.change(rear=50, units="metric")
        assert address in shown(page) and "make the sheet again" not in shown(page)


def test_no_sheet_where_nothing_changes_says_so(page):
    press(page, "Make the fitting sheet")
    assert "there is no sheet; choose a pair" in shown(page)


CASE = "fit.shaft-to-case=42%20mm&fit.plate-height=15%20mm"


@pytest.mark.parametrize(
    ("query", "reason"),
    [
        (
            "bike=bracken-125&front=10&rear=40",
            "10/40 does not fit: the axle would have to go 20 mm further back than the "
            "adjuster allows.",
        ),
        (
            "bike=bracken-125&front=13&rear=57",
            "13/57 does not fit: the axle would have to go 12 mm further forward than the "
            "adjuster allows.",
        ),
        (
            "bike=marram-250&front=14&rear=49&fit.tick-spline=does%20not%20match",
            "14/49 does not fit: spline of the output shaft must match first.",
        ),
        (
            f"bike=marram-250&front=14&rear=49&{CASE}",
            "14/49 does not fit: the chain reaches, but this touches: front sprocket to case, "
            "chain on.",
        ),
        (
            f"bike=marram-250&front=14&rear=49&fit.room-back=&{CASE}",
            "14/49 does not fit: this touches: front sprocket to case, chain on. Whether the "
            "chain reaches is not known yet.",
        ),
        (
            "bike=marram-250&front=14&rear=49&fit.room-back=&fit.chain=shortest",
            "14/49: not known yet. Measure how far the axle can go each way.",
        ),
    ],
)
def test_what_does_not_fit_gets_neither_list_nor_sheet_but_the_reason(query, reason):
    page = FitPage(query)
    assert verdict(page) == reason
    # Another chain may fit: the sentence under the verdict says so, and nothing is listed.
    assert reason in page.part(PartsAndSheet)._said.value
    assert shown(page).count("To buy") <= shown(page).count("It fits with a chain of")
    before = shown(page).count(reason)
    press(page, "Make the fitting sheet")
    assert shown(page).count(reason) == before + 1
    assert "data:text/html" not in shown(page)


@pytest.mark.parametrize(
    ("query", "doubt"),
    [
        (
            "front=12&rear=52",
            "12/52 is close: 0 mm of adjuster left, and your measure of it may be off by 1 mm.",
        ),
        ("front=12&rear=52&fit.room-forward=9%20mm", "12/52 is close: 1 mm of adjuster missing"),
        ("front=14&rear=49&fit.room-back=", "14/49: not known yet. Measure how far the axle"),
        ("front=14&rear=49&fit.centre-distance=652%20mm", "14/49 would fit, but 11"),
    ],
)
def test_what_may_not_fit_is_printed_with_the_doubt(query, doubt):
    page = FitPage(f"bike=marram-250&{query}")
    assert f"Before you buy: {doubt}" in shown(page)
    press(page, "Make the fitting sheet")
    address = re.search(r'href="data:text/html;charset=utf-8,([^"]*)"', shown(page))[1]
    assert f"<b>Settle this before you buy.</b> {doubt}" in unquote(address)


def test_what_fits_is_printed_without_doubt(page):
    named(page, "Rear sprocket").value = 50
    press(page, "Make the fitting sheet")
    assert "Before you buy" not in shown(page) and "Settle%20this" not in shown(page)


def test_nothing_typed_can_become_markup(page):
    page.state.answer(slack_place="<b>here</b>", manual_slack="40 mm")
    assert "<b>here</b>" not in shown(page)
    assert "&lt;b&gt;here&lt;/b&gt;" in shown(page)


def test_a_fault_of_ours_keeps_the_last_state(page, monkeypatch, caplog):
    from explorer.tasks.fit import page as fit

    def broken(choice):
        raise ZeroDivisionError

    before = page.state.choice
    monkeypatch.setattr(fit, "compute", broken)
    named(page, "Rear sprocket").value = 52
    assert "Something went wrong on our side" in shown(page)
    assert page.state.choice is before
    assert named(page, "Rear sprocket").value == 49
    assert "ZeroDivisionError" in caplog.text


def test_every_hazard_is_on_the_page(page):
    text = shown(page)
    assert all(str(hazard.caution).replace("'", "&#39;") in text for hazard in hazards())
