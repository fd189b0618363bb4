"""What the logbook says: its table, what a change did on paper, cautions."""

from collections.abc import Sequence
from contextlib import suppress
from datetime import datetime

import numpy as np
from markupsafe import Markup

from explorer import units
from explorer.calc import gearing
from explorer.calc.chain.chain_choice import Choice
from explorer.panels.html import page_link
from explorer.records.bikes.bike import Bike
from explorer.records.clubs.club import bikes_offered, units_offered
from explorer.records.errors import RecordError
from explorer.records.fitting.fit import Measurements
from explorer.records.ground.surfaces import surfaces
from explorer.records.logbook.entry import Kept, LogEntry, Merged
from explorer.records.logbook.logbook_backups import Backup
from explorer.records.logbook.logbook_fields import LOG_FIELD
from explorer.records.logbook.logbook_link import Outing
from explorer.records.prose import read_prose
from explorer.records.setups.refitted import refitted
from explorer.records.setups.setup import Setup
from explorer.study import fit_chain
from explorer.study.certainty import signed_percent
from explorer.study.wording import listed

ROWS_SHOWN = 25
MOST_COMPARED = 200
"""Entries in the lists for before and after, the newest [count]."""

HEADS = (
    "Date", "Bike", "Sprockets", "Chain and axle", "Predicted", "Measured", "Verdict", "Decision",
    "Note", "Hours", "Set-up",
)  # fmt: skip
_LONGEST_CELL = 400
"""Characters of a text in the table; all of it is in the form and in the file [count]."""

SAY = read_prose("words/logbook")

CAUTIONS = read_prose("cautions")["logbook"]


def saved_sentence(kept: Kept, on_disk: bool, in_browser: bool) -> str:
    """What stands beside the button once an entry is kept."""
    where = "" if on_disk else SAY["kept-in-browser" if in_browser else "kept-in-page"]
    return f"Saved: {name_of(kept)}.{where}"


def emptied_sentence(backup: Backup, count: int) -> str:
    """A logbook without entries of which a backup holds some."""
    return (
        f"The logbook has no entries, but its backup of {backup_name(backup.made)} holds "
        f"{_entries(count)}."
    )


def unreadable_sentences(count: int) -> list[str]:
    """Rows of the file that can't be read."""
    if not count:
        return []
    are, they, them = ("is", "It stays", "it") if count == 1 else ("are", "They stay", "them")
    return [
        f"{_entries(count)} can't be read and {are} not shown. {they} in the file; a backup may "
        f"hold {them} whole."
    ]


def table_rows(kept: Sequence[Kept]) -> list[tuple[str | Markup, ...]]:
    """One row for each entry."""
    return [
        (
            each.entry["date"],
            each.entry["bike"],
            f"{each.entry['front']}/{each.entry['rear']}",
            _chain(each.entry),
            _cut(each.entry["predicted"]),
            _cut(each.entry["results"]),
            each.entry["verdict"] or "not said",
            each.entry["decision"] or "not said",
            _cut(each.entry["note"]),
            each.entry["hours"],
            _set_up(each.entry),
        )
        for each in kept
    ]


def _set_up(entry: LogEntry) -> Markup:
    """Its link; of a pair that is kept, also to the bike with that pair fitted."""
    if not entry["setup"]:
        return Markup("")
    links = [page_link("gearing", entry["setup"], "open")]
    if entry["decision"] == "keep":
        pair, counted = (int(entry["front"]), int(entry["rear"])), entry["links"]
        with suppress(RecordError):
            query = refitted(entry["setup"], pair, bikes_offered(), units_offered(), counted)
            said = "go on with {}/{} as fitted".format(*pair)
            links += [page_link("gearing", query, said)] if query else []
    return Markup("<br>").join(links)


def _cut(text: str) -> str:
    return text if len(text) <= _LONGEST_CELL else f"{text[: _LONGEST_CELL - 1]}…"


def _chain(entry: LogEntry) -> str:
    said = {
        "links": f"{entry['links']} links",
        "axle_position": f"axle at {entry['axle_position']}",
        "slack": f"slack {entry['slack']}",
        "rollout": f"roll-out {entry['rollout']}",
    }
    return ", ".join(text for field, text in said.items() if entry[field])


def name_of(kept: Kept) -> str:
    """An entry in a list to pick from."""
    entry = kept.entry
    return f"{entry['date']}, {entry['bike']}, {entry['front']}/{entry['rear']}"


def count_sentence(shown: Sequence[Kept], first: int, total: int) -> str:
    """Which entries the table shows."""
    if not total:
        return SAY["no-entries"]
    if total == len(shown):
        return f"{_entries(total)}, the newest first."
    return f"Entries {first + 1} to {first + len(shown)} of {total}, the newest first."


def merged_sentence(merged: Merged) -> str:
    """What became of a file that was opened."""
    said = f"{_entries(merged.added + merged.differing)} added"
    if merged.there:
        said += f", {merged.there} stood here already"
    if merged.differing:
        said += (
            f", {merged.differing} stood here with other words: both versions are kept, compare "
            "them and delete one"
        )
    return f"{said}."


def backup_name(made: datetime) -> str:
    """A backup in the list to pick from.

    >>> from datetime import UTC
    >>> backup_name(datetime(2026, 5, 1, 18, 30, 5, tzinfo=UTC))
    '2026-05-01, 18:30:05 UTC'
    """
    return f"{made:%Y-%m-%d, %H:%M:%S} UTC"


def restore_question(made: datetime, count: int) -> str:
    """What is asked before the logbook is put back."""
    return (
        f"Put the logbook back to what it was on {backup_name(made)}? What stands here now "
        f"({_entries(count)}) is backed up first, and you can go back to that as well."
    )


def restored_sentence(made: datetime, count: int, before: str) -> str:
    """What was done."""
    return (
        f"The logbook is what it was on {backup_name(made)}: {_entries(count)}. The state before "
        f"is in the backup {before}. Other open tabs show it after “Read again”."
    )


def _entries(count: int) -> str:
    return f"{count} {'entry' if count == 1 else 'entries'}"


def change_words(before: LogEntry, after: LogEntry) -> str:
    """What the change of sprockets does, computed from the teeth alone."""
    old, new = (
        gearing.final_ratio(int(entry["front"]), int(entry["rear"])) for entry in (before, after)
    )
    if abs(new / old - 1) < 1e-9:
        return f"Final drive ratio {float(new):.2f} before and after: the gearing is the same."
    word = "shorter" if new > old else "taller"
    return (
        f"Final drive ratio {float(old):.2f} before, {float(new):.2f} after, {word}. Computed from "
        f"the teeth: {_effect(old, new)}; tyre and chain left aside."
    )


def _effect(old: float, new: float) -> str:
    """What another final drive ratio does, as far as the teeth tell."""
    pull, speed = gearing.pull_change(old, new), gearing.speed_change(old, new)
    return (
        f"pull {signed_percent(float(pull))} in every gear, speed at the same engine speed "
        f"{signed_percent(float(speed))}"
    )


def _links_on(bike: Bike, setup: Setup, measured: Measurements) -> int | None:
    """Links of the chain that the fit page puts on; None where they can't be said."""
    choice = fit_chain.rider_choice(bike, measured)
    if choice is Choice.NEW_CHAIN:
        return measured.new_links
    if choice is Choice.KEEP_CHAIN:
        return measured.links
    now = fit_chain.chain_now(bike, measured)
    if now.fitted is None or not now.rooms_known:
        return None
    fit = fit_chain.options(now, measured, setup.front, setup.rear)[choice]
    return int(fit.links) if np.isfinite(fit.links) else None


def prefilled(
    bike: Bike, setup: Setup, measured: Measurements, address: str, today: str
) -> dict[str, str]:
    """What set-up, measurements and the link to both (with its question mark) already say, by the
    name of the field; what is not known is left out."""
    system = setup.units
    same_pair = (setup.front, setup.rear) == (bike.sprockets.front, bike.sprockets.rear)
    links = _links_on(bike, setup, measured)
    how = [measured.text("slack_place"), measured.text("slack_state")]
    weather = [
        surfaces()[setup.surface].label,
        f"{units.text(setup.altitude, 'altitude', system)} above the sea",
    ]
    if setup.temperature is not None:
        weather.append(units.text(setup.temperature, "temperature", system))
    old = gearing.final_ratio(bike.sprockets.front, bike.sprockets.rear)
    new = gearing.final_ratio(setup.front, setup.rear)
    promise = f"{_effect(old, new)} (computed from the teeth)"
    texts = {
        "date": today,
        "bike": bike.said_name,
        "front": str(setup.front),
        "rear": str(setup.rear),
        "links": "" if links is None else str(links),
        # Where the axle was measured, if nothing has moved it since.
        "axle_position": measured.text("room_forward")
        if same_pair and links == measured.links and measured.chain != "new"
        else "",
        "slack_method": ", ".join(filter(None, how)),
        "rollout": "" if setup.rollout is None else units.text(setup.rollout, "length", system),
        "weather": ", ".join(weather),
        "predicted": "" if same_pair else promise,
        "setup": address,
    }
    return {name: text for name, text in texts.items() if text}


def with_outing(texts: dict[str, str], gave: Outing) -> dict[str, str]:
    """Put what the check page gave to the texts that the set-up gives a new entry, by field.

    >>> with_outing({"predicted": "pull +4 %"}, Outing((), ("5.1 s",), "as predicted"))
    {'predicted': 'pull +4 %\\n5.1 s', 'verdict': 'as predicted'}
    """
    joined = dict(texts)
    for name, text in gave.texts.items():
        joined[name] = "\n".join(filter(None, (texts.get(name, ""), text)))
    return joined


def filled_in_sentence(gave: Outing) -> str:
    """What a new entry was filled in with."""
    labels = listed([LOG_FIELD[name].label.lower() for name in gave.texts])
    return (
        f"Filled in from “Ride it and check”: {labels}. Look it through, put right what is not so, "
        "and keep it; until then nothing is stored."
    )
