"""From one result to charts and tables: SI into the reader's units."""

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from explorer import units
from explorer.app.fit_notes import SHORT_VERDICTS, fit_notes, length
from explorer.calc.chain.chain_choice import Choice
from explorer.calc.chain.chain_fit import Fit, Verdict
from explorer.calc.chain.chain_guidance import Guide
from explorer.calc.sprockets import pitch_diameter
from explorer.charts.fit.fit_map import FitMapView
from explorer.charts.fit.side_view import SideSetup, SideView
from explorer.charts.fit.slack_chart import SlackView
from explorer.panels.html import table
from explorer.study.certainty import signed_percent
from explorer.study.compared import SAME
from explorer.study.fit_chain import UNKNOWN, known_verdict, sold, verdicts_sold
from explorer.study.fit_gaps import TOUCHES, Gap
from explorer.study.fit_result import CHOSEN, FITTED, FitResult
from explorer.study.fit_slack import SlackThroughTravel
from explorer.tasks.fit import words

_CHAIN_NAMES = {
    Choice.KEEP_CHAIN: "Keep my chain",
    Choice.FEWEST_CHANGED: "My chain, fewest links changed",
    Choice.SHORTEST: "New chain, fewest links",
    Choice.NEW_CHAIN: "New chain of your number",
}


def map_view(result: FitResult) -> FitMapView:
    """What the map shows."""
    setup, sprockets = result.setup, result.bike.sprockets
    factor, unit = units.display(1.0, "length", setup.units)
    fronts, rears = sold(result.bike)
    fits = result.map
    pairs = [words.pair(front, rear) for front in fronts for rear in rears]
    notes = zip(pairs, fit_notes(result.bike, result.measured, setup.units), strict=True)
    finite = fits is not None and result.now.rooms_known
    empty = np.full((fronts.size, rears.size), np.nan)
    verdict = verdicts_sold(result.bike, result.measured)
    shown = _worth_showing(verdict, rears, (setup.rear, sprockets.rear))
    return FitMapView(
        fronts=fronts,
        rears=rears[shown],
        verdict=verdict[:, shown],
        margin=(fits.fit.margin * factor if finite else empty)[:, shown],
        notes=tuple(
            np.reshape([f"{pair}: {note}" for pair, note in notes], empty.shape)[:, shown].flat
        ),
        chosen=(setup.front, setup.rear),
        fitted=(sprockets.front, sprockets.rear),
        unit=unit,
        decimals=0 if setup.units == "metric" else 1,
        chain={
            Choice.KEEP_CHAIN: "your chain uncut",
            Choice.FEWEST_CHANGED: "your chain, fewest links changed",
            Choice.SHORTEST: "new chain, fewest links",
            Choice.NEW_CHAIN: f"new chain of {result.measured.new_links} links",
        }[result.choice],
        left_out=np.delete(rears, shown),
        left_out_verdict=np.delete(verdict, shown, axis=1),
    )


def _worth_showing(
    verdict: NDArray[np.int_], rears: NDArray[np.int_], always: tuple[int, int]
) -> slice:
    """From the first rear sprocket that goes with any front one to the last, and one beyond."""
    goes = np.isin(verdict, (Verdict.FITS, Verdict.CLOSE, UNKNOWN)).any(axis=0)
    if not goes.any():
        return slice(None)
    places = np.flatnonzero(goes | np.isin(rears, always))
    return slice(max(0, places[0] - 1), places[-1] + 2)


def side_view(result: FitResult, travel: float) -> SideView | None:
    """The drawing at a wheel travel [m]; None where the swingarm is not known."""
    slack, setup = result.slack, result.setup
    if slack is None:
        return None
    factor, unit = units.display(1.0, "length", setup.units)
    angle = slack.angle_at(travel)

    def one(index: int) -> SideSetup:
        axle, line = slack.axle(angle, index), slack.line(travel, index)
        front, rear = int(slack.front[index]), int(slack.rear[index])
        return SideSetup(
            front,
            rear,
            pitch_diameter(slack.pitch, front) / 2 * factor,
            pitch_diameter(slack.pitch, rear) / 2 * factor,
            (float(axle.x) * factor, float(axle.y) * factor),
            line.x * factor,
            line.y * factor,
        )

    shaft = (slack.shaft.x * factor, slack.shaft.y * factor)
    reach = tuple(end * factor for end in _reach(slack))
    return SideView(shaft, one(FITTED), one(CHOSEN), reach, unit)


def slack_view(
    slack: SlackThroughTravel | None, travel: float, basis: Mapping[str, str], system: str
) -> SlackView | None:
    """The slack chart with a mark at a wheel travel [m]; None where nothing can be computed.

    Args:
        basis: What the curves start from, in words, by the basis of `slack`.
    """
    if slack is None:
        return None
    factor, unit = units.display(1.0, "length", system)
    return SlackView(
        travel=slack.heights * factor,
        fitted=slack.curves.slack[FITTED] * factor,
        chosen=slack.curves.slack[CHOSEN] * factor,
        rest=slack.height_of(slack.rest) * factor,
        tightest=slack.tight_height * factor,
        now=travel * factor,
        basis=basis[slack.basis],
        unit=unit,
        decimals=0 if system == "metric" else 2,
    )


def options_table(result: FitResult) -> str:
    """The chains that could go on the chosen pair."""
    system = result.setup.units
    rows = []
    for choice, fit in result.options.items():
        *cells, verdict = _fit_cells(fit, result, system)
        if result.contacts[choice] and verdict == SHORT_VERDICTS[Verdict.FITS]:
            verdict = "reaches, but something touches"
        rows.append((_CHAIN_NAMES[choice], *cells, verdict))
    return table(("chain", *_FIT_COLUMNS), rows)


def twins_table(result: FitResult) -> str:
    """The chosen pair and those of nearly its ratio, with the axle position of each."""
    setup, system = result.setup, result.setup.units
    rows = []
    if result.fit is not None:
        here = (words.pair(setup.front, setup.rear), f"{setup.rear / setup.front:.3f}")
        rows.append((*here, *_fit_cells(result.fit, result, system)))
    rows += [
        (
            words.pair(twin.front, twin.rear),
            f"{twin.rear / twin.front:.3f}",
            *_fit_cells(twin.fit, result, system),
        )
        for twin in result.twins
    ]
    return table(("pair", "ratio", *_FIT_COLUMNS), rows)


_FIT_COLUMNS = ("links", "axle", "adjuster left", "verdict")


def _fit_cells(fit: Fit, result: FitResult, system: str) -> tuple[str, str, str, str]:
    known = result.now.rooms_known
    moved = float(fit.movement)
    if not np.isfinite(moved):
        return f"{int(fit.links)}", "–", "–", "does not fit"
    amount = length(moved, system)
    if moved > 0 and amount != length(0.0, system):
        amount = f"+{amount}"
    verdict = SHORT_VERDICTS[int(known_verdict(fit.verdict, result.now))].split(":")[0]
    way = "to the rear" if fit.margin == fit.room_back else "forward"
    margin = f"{length(fit.margin, system)} {way}" if known else "–"
    return f"{int(fit.links)}", amount, margin, verdict


def gap_rows(result: FitResult) -> list[tuple[str, str, str, str]]:
    """Clearances: fitted, chosen, change."""
    system = result.setup.units

    def said(value: float, rubs: bool) -> str:
        if value >= (0 if rubs else TOUCHES):
            return length(value, system)
        return "on it" if rubs else f"touches, {length(value, system)}"

    def change(gap: Gap) -> str:
        # Of the ends as they are printed.
        per_unit = units.display(1.0, "length", system)[0]
        digits = 0 if system == "metric" else 2
        ends = [round(each * per_unit, digits) for each in (gap.before, gap.after)]
        return _signed(length((ends[1] - ends[0]) / per_unit, system))

    return [
        (gap.name, said(gap.before, gap.rubs_anyway), said(gap.after, gap.rubs_anyway), change(gap))
        for gap in result.gaps
    ]


def load_rows(result: FitResult) -> list[tuple[str, str, str, str]]:
    """Chain load: fitted, chosen, change."""
    load, system = result.load, result.setup.units
    if load is None:
        return []

    def force(value: float) -> str:
        return units.text(value, "force", system)

    def share(values: np.ndarray) -> str:
        change = values[CHOSEN] / values[FITTED] - 1
        return "same" if abs(change) < SAME else signed_percent(change)

    near, far = ("ft", "mile") if system == "imperial" else ("m", "kilometre")
    foot, mile = (units.known(f"1 {unit}", "distance") for unit in (near, far))
    per_second = [f"{value / foot:.1f} {near}/s" for value in load.speed]
    degrees = [f"{value:.1f}°" for value in np.degrees(load.articulation)]
    turns = [f"{int(value)}" for value in load.repeat]
    uneven = [f"{100 * value:.1f} %" for value in load.unevenness]
    bends = [f"{value * mile / (2000 * np.pi):.0f} turns" for value in load.per_kilometre]
    in_turn = ["yes" if value else "no" for value in load.alternates]
    pull, tension = (list(map(force, each)) for each in (load.pull, load.tension))
    return [
        ("Largest pull at the tyre (engine, grip, balance)", *pull, share(load.pull)),
        ("Chain tension at that pull", *tension, share(load.tension)),
        ("Chain speed at the rev limit in top", *per_second, share(load.speed)),
        ("Swing of a link on the front sprocket", *degrees, share(load.articulation)),
        ("Unevenness from the front sprocket's teeth", *uneven, share(load.unevenness)),
        (f"Bending of each joint per {far}", *bends, share(load.per_kilometre)),
        ("Chain turns until a front tooth meets the same link", *turns, ""),
        ("Front teeth meet inner and outer links in turn", *in_turn, ""),
    ]


def guide_sentences(result: FitResult) -> list[str]:
    """Handbooks' advice as information, each with the drive's own number and source."""
    said = []
    for name, guide in result.guides.items():
        state = "followed" if guide.followed else "not followed"
        said.append(
            f"{guide.advice} Here: {_here(name, guide, result)}, {state}. Source: {guide.source}."
        )
    return said


def _here(name: str, guide: Guide, result: FitResult) -> str:
    """The drive's own number beside one piece of advice."""
    value = float(guide.value)
    match name:
        case "odd_teeth":
            return "yes" if value else "no"
        case "shared_factor":
            shared = f"the factor {value:.0f}" if value > 1 else "no factor"
            return f"{result.setup.front} teeth and {int(result.fit.links)} links share {shared}"
    match guide.unit:
        case "rad":
            return f"{np.degrees(value):.0f}°"
        case "":
            return f"{value:.1f}"
    return f"{value:.0f} {guide.unit}"


def limit_sentences(result: FitResult) -> list[str]:
    """Published wear limits as a spread, none as a default."""
    limits = () if result.wear is None else result.wear.limits
    return [f"{limit.advice} Source: {limit.source}." for limit in limits]


def _reach(slack: SlackThroughTravel) -> tuple[float, float, float, float]:
    """Left, right, lower and upper end of both pairs over the whole travel [m]."""
    front = float(pitch_diameter(slack.pitch, slack.front).max()) / 2
    rear = float(pitch_diameter(slack.pitch, slack.rear).max()) / 2
    axle_x = slack.arm.max() * np.cos(slack.angles)
    axle_y = slack.arm.max() * np.sin(slack.angles)
    # The hanging run sags below the lower tangent; a fifth of the sprocket is room enough.
    return (
        float(slack.shaft.x) - front,
        float(axle_x.max()) + rear,
        float(min(axle_y.min() - rear * 1.2, slack.shaft.y - front)),
        float(max(axle_y.max() + rear, slack.shaft.y + front)),
    )


def _signed(text: str) -> str:
    return text if text.startswith(("−", "0 ", "0.00")) else f"+{text}"
