"""The check page without a browser: rides in, answers out, faults said and nothing lost."""

import re
from html import unescape
from pathlib import Path

import numpy as np
import pytest

from explorer.calc.drivetrain.drive import Drive
from explorer.calc.ride.simulated_ride import simulate_ride
from explorer.calc.wants.want_measures import slope_held
from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.logbook.logbook_link import decode_outing
from explorer.records.logbook.logbook_place import FOLDER_VARIABLE
from explorer.records.rides.demo_ride import Noise, csv_demo_ride, gpx_demo_ride
from explorer.records.rides.ride_file import read_ride
from explorer.records.setups.link import decode
from explorer.records.setups.setup import Setup
from explorer.study.check.calibrate_result import DRAG, ROLLING, WEIGHED, fit_runs
from explorer.study.check.demo import LOGGER, PHONE, SURPRISE, demo_file
from explorer.study.check.result import analyse
from explorer.study.check.runs import ride_runs, traces_of
from explorer.study.question import vehicle_of
from explorer.study.study import CHOSEN, FITTED, Study
from explorer.tasks.check.page import CheckPage, calibrate, rides, typed
from explorer.tasks.check.words import headline, replay_sentences, top_sentences
from explorer.tasks.logbook.entries import Entries
from explorer.tasks.logbook.page import LogbookPage
from tests.tasks.check.check_widgets import named, open_demo, shown, upload, widgets_of

RIDES = Path(__file__).parents[2] / "records" / "rides" / "files"


@pytest.fixture(scope="module")
def demos():
    bike = demo_bikes()["marram-250"]
    setup = Setup.for_bike("marram-250", bike)
    return {kind: demo_file(bike, setup, kind)[1] for kind in (LOGGER, PHONE, SURPRISE)}


def test_a_demo_ride_with_engine_speed_fits_the_bike(page):
    open_demo(page, LOGGER)
    text = shown(page)
    assert "That is as the bike file says" in text
    assert "Highest speed held for 5 seconds" in text
    assert "could not have gone as fast" in text
    assert "Download demo-ride.csv" in text
    assert page.part(rides).result.found is not None


def test_a_wrong_sprocket_is_named(page):
    open_demo(page, SURPRISE)
    assert "the front sprocket has 12 teeth instead of 13" in shown(page)


def test_without_engine_speed_gears_are_marked_as_inferred(page):
    open_demo(page, PHONE)
    text = shown(page)
    assert "inferred, not measured" in text
    assert "Mean confidence" in text
    assert page.part(rides).result.found is None
    open_demo(page, LOGGER)
    open_demo(page, PHONE)
    open_demo(page, LOGGER)
    assert "That is as the bike file says" in shown(page)


def test_a_broken_file_leaves_the_ride_before(page, demos):
    upload(page, ("mine.csv", demos[LOGGER]))
    before = page.part(rides).result
    upload(page, ("<b>bad</b>.gpx", b"<gpx"))
    assert "breaks off or is damaged" in shown(page)
    assert "The ride before stays." in shown(page)
    assert page.part(rides).result is before
    assert "mine.csv" in shown(page)
    # And the page goes on.
    upload(page, ("again.csv", demos[SURPRISE]))
    assert "breaks off" not in shown(page)
    assert "12 teeth" in shown(page)


def test_a_name_of_a_file_is_escaped(page, demos):
    upload(page, ("<script>alert(1)</script>.csv", demos[LOGGER]))
    html = " ".join(
        str(each.value) for each in widgets_of(page.widget) if type(each).__name__ == "HTML"
    )
    assert "<script>" not in html
    assert "&lt;script&gt;" in html


def test_the_chosen_pair_changes_the_replay_and_the_units(page):
    open_demo(page, LOGGER)
    named(page, "Rear sprocket").value = 45
    text = shown(page)
    assert "Chosen 13/45" in text
    assert page.part(rides).result.setup.rear == 45
    page.state.change(units="imperial")
    assert "mph" in shown(page)


def test_ridden_with_the_chosen_pair_changes_what_is_expected(page):
    open_demo(page, LOGGER)
    named(page, "Ridden with").value = CHOSEN
    text = shown(page)
    # 13/49 was ridden; with 13/51 assumed every gear is 49/51 - 1 = 3.9 % taller than expected.
    assert "3.9 % taller than expected" in text
    assert "the rear sprocket has 49 teeth instead of 51" in text


def test_wants_of_the_link_are_judged_and_carried():
    wants = (
        "&want.1=clutch-out;speed%205%20km/h&want.2=top-speed;speed%20100%20km/h"
        "&want.3=slope;slope%2020%20%25;gear%20any"
    )
    page = CheckPage(f"?bike=marram-250&rear=51{wants}")
    open_demo(page, LOGGER)
    result = page.part(rides).result
    text = shown(page)
    # 13/49 was ridden and holds 117 km/h; 13/51 was not ridden.
    assert "held on this ride" in text
    assert "not ridden" in text
    slowest = 1.2 * result.bike.engine.idle.si / result.quotient[:, 0] * 3.6
    assert [f"not met: {each:.0f} km/h" in text for each in slowest] == [True, True]
    assert "Hold a slope: 20 % in any gear (computed, not ridden)" in text
    assert "Computed: a ride does not show these." in text
    assert "want.1=clutch-out" in named(page, "Link to this set-up").value
    assert "Nothing wanted yet" in shown_after_demo(CheckPage(""))


OTHER_WANTS = (
    "&want.1=slope;slope%2020%20%25;gear%20any&want.2=jump;speed%2035%20km/h;gear%203;change%201%20%25"
    "&want.3=one-sprocket&want.4=spend;amount%2060&want.5=slope;slope%2020%20%25;gear%207"
)


def wants_table(page):
    html = page.part(rides)._tables["wants"].value
    rows = re.findall(r"<tr><th[^>]*>(.*?)</th>(.*?)</tr>", html)[1:]
    return [(name, *re.findall(r"<td>(.*?)</td>", cells)) for name, cells in rows]


def test_wants_that_no_ride_shows_are_computed_for_both_pairs():
    page = CheckPage(f"?bike=marram-250&front=14&rear=51{OTHER_WANTS}")
    open_demo(page, LOGGER)
    slope, jump, one, no_gear = wants_table(page)
    bike, setup = page.state.bike, page.state.setup
    study = Study.of(bike, setup)
    drive, ratios = study.drive, study.ratios
    held = slope_held(drive).value
    for cell, value in zip(slope[1:], held, strict=True):
        assert cell.startswith("met" if value >= 0.2 else "not met")
        assert f"holds {value * 100:.0f} %" in cell
    assert "computed, not ridden" in slope[0]
    assert jump[1].startswith("met: engine turns +0.0 %")
    change = ratios[1] / ratios[0] - 1
    assert jump[2].startswith("not met") and f"{abs(change) * 100:.1f} %" in jump[2]
    assert one[1:] == ("met: 0 sprockets to change", "not met: 2 sprockets to change")
    assert no_gear[1:] == ("not judged", "not judged")
    text = shown(page)
    assert f"this gearbox has {len(bike.gearbox.ratios)} gears; choose a gear" in text
    assert "Spend at most: not judged here, as prices are typed on" in text


def test_each_pair_is_computed_with_its_own_tyre():
    """The jump's engine speed on the fitted gearing is that of now, whatever tyre is chosen."""
    page = CheckPage(f"?bike=marram-250&tyre=110/90-18&rollout=1850%20mm{OTHER_WANTS}")
    open_demo(page, LOGGER)
    fitted, chosen = wants_table(page)[1][1:]
    old, new = (each.value for each in Study.of(page.state.bike, page.state.setup).rollouts)
    assert new == 1.85 and old != new
    assert "+0.0 %" in fitted
    assert f"{abs(old / new - 1) * 100:.1f} %" in chosen


def test_a_chosen_pair_that_nobody_sells_is_not_judged():
    page = CheckPage("?bike=marram-250&want.1=slope;slope%2020%20%25;gear%20any")
    open_demo(page, LOGGER)
    page.state.change(front=9, rear=70)
    [(_, fitted, chosen)] = wants_table(page)
    assert fitted.startswith("met: holds")
    assert chosen.startswith("not judged: this pair is not among those sold for the bike")


def shown_after_demo(page):
    open_demo(page, PHONE)
    return shown(page)


def test_links_carry_the_set_up(page):
    query = named(page, "Link to this set-up").value
    html = " ".join(
        str(each.value) for each in widgets_of(page.widget) if type(each).__name__ == "HTML"
    )
    for name in ("gearing", "logbook", "ground", "fit"):
        assert f'href="{name}{query}'.replace("&", "&amp;") in html


def test_the_public_car_trip_is_said_honestly():
    """Of the gpxpy 1.6.2 source distribution (Apache-2.0)."""
    bike = demo_bikes()["marram-250"]
    ride = read_ride([("trip.gpx", (RIDES / "around-visnjan-with-car.gpx").read_bytes())])
    cleaned = ride.cleaned()
    result = analyse(ride, cleaned, bike, Setup.for_bike("marram-250", bike))
    # 2736 m by geographiclib over all steps, standing and glitches included.
    ridden = dict((what, said) for said, what in headline(result))
    assert ridden["ridden, glitches and standing left out"] == "2.66 km"
    # Raw maximum of the steps 93.56 km/h: never the top speed.
    assert result.top.speed * 3.6 < 50.45
    assert not any("94" in each or "93" in each for each in top_sentences(result))


@pytest.mark.parametrize("seed", range(3))
def test_held_top_speed_of_a_known_ride(seed):
    """Against the truth of the model with another seed than the demo's."""
    bike = demo_bikes()["sleet-450"]
    setup = Setup.for_bike("sleet-450", bike)
    study = Study.of(bike, setup)
    both, rollouts, ratios = study.drive, study.rollouts, study.ratios
    drive = Drive(vehicle_of(bike, setup), both.conditions, ratios[:1], rollouts[FITTED].value)
    truth = simulate_ride(drive).speed.max()
    for content in (csv_demo_ride(drive, seed), gpx_demo_ride(drive, seed)):
        ride = read_ride([("demo", content)])
        result = analyse(ride, ride.cleaned(), bike, setup)
        assert result.top.speed == pytest.approx(truth, rel=0.015)
        raw = max(each.speed.max() for each in ride.segments)
        assert raw > result.top.speed
        assert result.histogram[1].sum() == pytest.approx(result.cleaned.duration)
        assert np.isfinite(result.replays[FITTED].mean_engine)


@pytest.mark.parametrize("bike_id", sorted(demo_bikes()))
@pytest.mark.parametrize("kind", [LOGGER, PHONE])
def test_the_gearing_of_a_ride_is_never_too_short_for_it(bike_id, kind):
    """A step of a phone that crosses a change up is not ridden in the lower gear."""
    bike = demo_bikes()[bike_id]
    setup = Setup.for_bike(bike_id, bike)
    ride = read_ride([demo_file(bike, setup, kind)[:2]])
    result = analyse(ride, ride.cleaned(), bike, setup)
    assert result.replays[FITTED].on_limiter == 0.0
    assert "could not have gone as fast" not in " ".join(replay_sentences(result))
    # A pair that is too short for it is still said to be so.
    short = setup.changed(front=bike.sprockets.front_sold[0], rear=bike.sprockets.rear_sold[1])
    said = replay_sentences(analyse(ride, ride.cleaned(), bike, short))
    assert "could not have gone as fast" in " ".join(said)


def link_to_logbook(page):
    html = " ".join(
        str(each.value) for each in widgets_of(page.widget) if type(each).__name__ == "HTML"
    )
    return unescape(re.search(r'href="logbook(\?[^"]*)"', html)[1])


def test_what_came_of_it_reaches_the_logbook_without_typing(page, monkeypatch):
    monkeypatch.delenv(FOLDER_VARIABLE, raising=False)
    assert "log." not in link_to_logbook(page)
    open_demo(page, LOGGER)
    compare = page.part(typed)
    row = {"with": str(CHOSEN), "gear": "3", "slope": "5 %", "held": "yes"}
    compare._cards[2]._table.show([row])
    compare.show()
    query = link_to_logbook(page)
    assert len(query) < 8192
    assert "log." not in named(page, "Link to this set-up").value
    outing, said = decode_outing(query)
    assert said == [] and outing.verdict == "as predicted"
    top = page.part(rides).result.top
    both = f"mean {top.both_ways * 3.6:.0f} km/h"
    [line] = [each for each in outing.measured if "held for 5 s" in each]
    assert both in line and "ridden with the fitted 13/49" in line
    assert any(each.startswith("hill of 5 % in gear 3, chosen: held") for each in outing.measured)
    logbook = LogbookPage(query)
    texts = logbook.part(Entries)._form.texts
    assert line in texts["results"] and texts["verdict"] == "as predicted"
    assert "pull +" in texts["predicted"] and "(computed)" in texts["predicted"]
    assert "Filled in from" in shown(logbook) and "ge-fault-line" not in shown(logbook)
    next(
        each
        for each in widgets_of(logbook.widget)
        if getattr(each, "description", "") == "Keep this entry"
    ).click()
    [kept] = logbook.state.book.entries()
    assert kept.entry["results"] == texts["results"] and "log." not in kept.entry["setup"]


def test_a_calibrated_bike_is_carried_to_the_logbook(page):
    open_demo(page, LOGGER)
    fit = page.part(calibrate)
    for pick in fit._picks.values():
        pick.value = [place for _, place in pick.options]
    fit._fit()
    assert any("Drag area" in each for each in decode_outing(link_to_logbook(page))[0].measured)
    fit._take()
    query = link_to_logbook(page)
    bike = decode(query, demo_bikes())[1]
    assert bike.calibration.ride and bike == page.state.bike
    assert any("calibrated before" in each for each in decode_outing(query)[0].measured)


def test_ridden_with_reaches_the_calibration_and_the_top_speed_is_taken_over(page):
    open_demo(page, LOGGER)
    fit = page.part(calibrate)
    assert fit._with.value == FITTED
    assert fit._run_setup().rear == 49
    named(page, "Take over from the ride").click()
    [row] = fit._tables["tops"].rows
    truth = page.part(rides).result.top.both_ways * 3.6
    assert float(row["gps"].removesuffix(" km/h")) == pytest.approx(truth, abs=0.05)
    assert row["gear"] == "6"
    named(page, "Ridden with").value = CHOSEN
    assert fit._run_setup().rear == 51


@pytest.mark.parametrize("name", ["marram-250", "bracken-125", "sleet-450"])
def test_a_fit_to_a_demo_ride_finds_the_bike_again(name):
    """With next to no noise every run that is offered is what it looks like: nothing of a change of
    gear, of holding a speed or of a hill is in it."""
    bike = demo_bikes()[name]
    setup = Setup.for_bike(name, bike)
    study = Study.of(bike, setup)
    both, rollouts, ratios = study.drive, study.rollouts, study.ratios
    turn = rollouts[FITTED].value
    drive = Drive(vehicle_of(bike, setup), both.conditions, ratios[:1], turn)
    noise = Noise(speed=0.02, engine_speed=0.1, altitude=0.5, dropouts=0, jumps=0)
    ride = read_ride([("demo", csv_demo_ride(drive, 5, noise))]).cleaned()
    runs = ride_runs(ride, drive.overall[0, :, 0].tolist(), turn)
    assert {run.coasting for run in runs} == {True, False} and len(runs) >= 4
    fitted = fit_runs(bike, setup.changed(rollout=turn), traces_of(runs, 3), WEIGHED)
    for place, truth in (
        (DRAG, both.vehicle.drag_area),
        (ROLLING, both.conditions.rolling_coefficient),
    ):
        assert fitted.fit.value[place] == pytest.approx(truth, rel=0.02)
    for each in fitted.fit.residuals:
        assert np.abs(each.value).max() < 0.15


def there_and_back(back_at):
    """A CSV log of a straight ridden at 25 m/s eastward, and back at 21 m/s so far north of it."""
    metre = 1 / 111_132
    there = [(n, 45.0, 14 + 25 * n * metre / 0.7071) for n in range(60)]
    back = [(100 + n, 45 + back_at * metre, 14 + 21 * (60 - n) * metre / 0.7071) for n in range(60)]
    rows = "\n".join(f"{time},{north:.7f},{east:.7f}" for time, north, east in (*there, *back))
    return f"time [s],latitude [deg],longitude [deg]\n{rows}\n".encode()


def test_both_directions_are_averaged_on_one_road_only(page):
    upload(page, ("a.csv", there_and_back(6)))
    assert "both directions of one road averaged" in shown(page)
    upload(page, ("b.csv", there_and_back(700)))
    text = shown(page)
    assert "held in the opposite direction, on another road" in text
    assert "both directions of one road averaged" not in text


def test_a_sparse_track_shows_what_it_can_and_says_what_it_cannot(page):
    metre = 1 / 111_132
    rows = "".join(f"{15 * n},{45 + 150 * n * metre:.7f},14\n" for n in range(100))
    upload(page, ("walk.csv", f"time [s],latitude [deg],longitude [deg]\n{rows}".encode()))
    text = shown(page)
    assert "14.9\xa0km" in text or "14.8\xa0km" in text
    assert "24:45\xa0min" in text
    assert "a point every 15 seconds" in text and "set the logger to one point a second" in text
    assert page.part(rides)._answers.layout.display == "none"
    open_demo(page, LOGGER)
    assert page.part(rides)._answers.layout.display is None
    assert "a point every 15 seconds" not in shown(page)
