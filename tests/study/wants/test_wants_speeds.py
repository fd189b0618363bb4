"""Cases about speeds, invented: out of power, out of revs, beyond the limiter, beyond the tyre."""

import numpy as np
import pytest

from explorer.calc.drivetrain.top_speed import Limit
from explorer.study.wants.complaints import COMPLAINTS
from explorer.study.wants.reasons import Reason
from explorer.study.wants.wants_why_not import why_not
from explorer.tasks.wants import honest as wants_honest
from explorer.tasks.wants import words as wants_words
from tests.study.wants.wants_answers import answer, everything_said, reasons


def test_6_screaming_all_the_way_home():
    """75 km/h at no more than 6500 rpm, on gravel: taller, as long as top gear holds the speed.

    Into a stiff wind no gear holds 90 km/h however geared, and then the page must say power, not
    sprockets; there a taller pair would only be ridden a gear lower.
    """
    calm = ("cruise", {"speed": "75 km/h", "engine_speed": "6500 rpm"})
    listing = answer("bracken-125", calm, surface="hard-packed-gravel")
    result = listing.result
    assert result.ratio[listing.best.index] < result.ratio[result.now]
    assert listing.best.score == 1
    windy = answer(
        "bracken-125", ("cruise", {"speed": "90 km/h", "engine_speed": "5000 rpm"}), head_wind=6.0
    )
    assert reasons(windy) == [Reason.POWER]
    said = " ".join(wants_honest.honest_words(windy.result))
    assert "however geared, the engine has not the power for it there" in said
    assert windy.best.index == windy.result.now


def test_7_a_bike_out_of_power_is_never_sold_taller():
    """The 125 wants 120 km/h on asphalt. It ends at about 100 km/h by power, below its limiter.

    Its best pair of all gains a single km/h. The taller pairs are slower or as fast: top gear
    becomes an overdrive. The page offers none of them, and says what would help.
    """
    listing = answer("bracken-125", ("top-speed", {"speed": "120 km/h"}), surface="dry-asphalt")
    result = listing.result
    top = result.judged[0]
    assert top.limit[result.now] == Limit.POWER
    taller = result.ratio < result.ratio[result.now]
    # A hundredth of the speed: what the best match of gear and power peak gains, and the chain
    # that bends less round larger sprockets.
    assert top.value[taller].max() < top.value[result.now] * 1.015
    assert reasons(listing) == [Reason.POWER]
    assert not any("short list" in entry.roles for entry in listing.entries)
    assert "More power, less drag" in " ".join(wants_honest.honest_words(result))
    tallest = wants_words.top_speed_words(result, int(np.argmin(result.ratio)))
    assert any("Taller here does not mean noticeably faster" in said for said in tallest)
    fastest = why_not(listing, *result.pair(int(top.value.argmax())))
    assert fastest.reason in ("not faster", "equal", "dominated")


def test_8_a_bike_out_of_revs_does_go_faster_taller():
    """The 250 stops at its limiter in top on asphalt: geared out. Here taller is faster.

    The same question as in case 7 and the opposite answer, because another limit binds.
    """
    listing = answer("marram-250", ("top-speed", {"speed": "130 km/h"}), surface="dry-asphalt")
    result = listing.result
    assert result.judged[0].limit[result.now] == Limit.REV_LIMIT
    best = listing.best.index
    assert result.ratio[best] < result.ratio[result.now]
    assert result.judged[0].value[best] > result.judged[0].value[result.now]


def test_18_out_of_power_past_the_peak_is_sold_taller():
    """The 250 climbs 5 % of forest soil at 120 km/h, out of power but past its power peak.

    There the engine gives more power at fewer revolutions, so a taller pair is faster, and 130 km/h
    can be had. The page lists it, and says nowhere that taller is not faster.
    """
    wish = ("top-speed", {"speed": "130 km/h"})
    listing = answer("marram-250", wish, surface="forest-soil", slope=0.05)
    result = listing.result
    top = result.judged[0]
    assert top.limit[result.now] == Limit.POWER and not top.met[result.now]
    assert (listing.best.front, listing.best.rear) == (15, 49)
    assert top.limit[listing.best.index] == Limit.POWER and top.met[listing.best.index]
    said = " ".join(everything_said(listing))
    assert wants_words.recommendation(listing)[0] == "Try 15/49"
    assert "does not mean" not in said


def test_18_taller_is_not_called_slower_beside_its_own_gain():
    """125 km/h on the level: 122 as fitted, and more with every taller pair listed."""
    listing = answer("marram-250", ("top-speed", {"speed": "125 km/h"}), surface="dry-asphalt")
    for entry in listing.entries:
        said = " ".join(wants_words.listed_words(listing, entry))
        assert not ("Gains: Top speed" in said and "does not mean" in said)
    assert any("limited by power" in said for entry in listing.entries
               for said in wants_words.listed_words(listing, entry))  # fmt: skip


def test_19_a_cruise_beyond_the_limiter_of_the_tallest_pair():
    """The 85 is to cruise at 116 km/h; its tallest pair, 15/46, is at the limiter at 113 km/h.

    No pair sold holds it, and not for want of power: on a 16 tooth front sprocket, which is not
    sold, the same bike does. At 150 km/h nothing would, whatever the sprockets.
    """

    def cruise(speed, **altered):
        wish = ("cruise", {"speed": f"{speed} km/h", "engine_speed": "12000 rpm"})
        return answer("wagtail-85", wish, altered=altered, surface="dry-asphalt")

    result = cruise(116).result
    (cannot,) = result.cannot
    assert np.isnan(result.judged[0].value).all()
    assert cannot.why.reason is Reason.NOT_SOLD and not cannot.why.shorter
    assert result.pair(cannot.nearest) == (15, 46)
    assert result.ratio[cannot.nearest] == result.ratio.min()
    said = wants_honest.cannot_words(result, cannot)
    assert "taller gearing than any sold here" in said and "power for it" not in said
    bigger = cruise(116, **{"sprockets.front_sold": "13 to 16"}).result
    assert bigger.judged[0].met[bigger.index(16, 46)]
    assert reasons(cruise(150)) == [Reason.POWER]


def test_19_a_top_speed_that_the_next_gearing_would_reach_and_one_that_none_would():
    """On the limiter at 113 km/h with the tallest pair: a bit more takes a taller one not sold.

    200 km/h takes several times the power, which grows with the cube of the speed.
    """
    found = {
        speed: reasons(
            answer("wagtail-85", ("top-speed", {"speed": f"{speed} km/h"}), surface="dry-asphalt")
        )
        for speed in (116, 200)
    }
    assert found == {116: [Reason.NOT_SOLD], 200: [Reason.POWER]}


@pytest.mark.parametrize(
    "wish",
    [
        ("cruise", {"speed": "40 km/h", "engine_speed": "9000 rpm"}),
        ("top-speed", {"speed": "40 km/h"}),
    ],
)
def test_20_a_speed_that_the_tyre_does_not_hold(wish):
    """5 % of wet grass, road tread: the tyre spins at walking pace, so power is not wanting."""
    listing = answer("bracken-125", wish, surface="wet-grass", tyre_kind="road", slope=0.05)
    assert reasons(listing) == [Reason.GRIP]
    assert "the rear tyre spins first" in " ".join(wants_honest.honest_words(listing.result))


def test_19_a_cruise_below_the_slowest_speed_of_first():
    """The road single at 3 km/h, clutch out: too slow for its shortest pair, not beyond its power.

    Case 2 says the same of a walk. Another gearbox with a lower first gear would do.
    """
    result = answer(
        "fogbank-650", ("cruise", {"speed": "3 km/h", "engine_speed": "4000 rpm"})
    ).result
    (cannot,) = result.cannot
    assert cannot.why.reason is Reason.NOT_SOLD and cannot.why.shorter
    assert result.pair(cannot.nearest) == (13, 47)


def test_out_of_power_is_told_apart_by_the_power_peak():
    assert "at or below its power peak" in COMPLAINTS["no-revs-on-road"].cannot
