"""What the fitting sheet says in words and numbers about one change."""

import math

from explorer import units
from explorer.app.fit_notes import length
from explorer.calc.gearing import final_ratio, pull_change, speed_change
from explorer.records.fitting.sprocket_change import SprocketChange
from explorer.tasks.fit.sheet_facts import FittingSheet

BLANK_ROWS = 3
"""Rows of the verify ride where no speeds were computed."""


def _movement(si_value: float, system: str, back: str, forward: str, same: str) -> str:
    """Movement in words, with the words for its direction."""
    amount = length(abs(si_value), system)
    if amount == length(0.0, system):
        return same
    return f"{amount} {back if si_value > 0 else forward}"


def axle_target(sheet: FittingSheet, system: str) -> str:
    """Until where the adjusters are turned, as the end of "turn both equally until"."""
    if sheet.axle_movement is None:
        return "the slack is right"
    where = _movement(sheet.axle_movement, system, "behind", "in front of", "at")
    about = "" if where == "at" else "about "
    return f"the axle is {about}{where} its old mark (computed){_at_the_end(sheet)}"


def _at_the_end(sheet: FittingSheet) -> str:
    """What to do where the axle would go past the end of its adjuster; empty where it does not."""
    ahead = sheet.axle_before is not None and sheet.axle_before + sheet.axle_movement < 0
    behind = sheet.axle_room is not None and sheet.axle_room < sheet.axle_movement
    if not ahead and not behind:
        return ""
    return ", past the end: stop there, never force it"


def gearing_sentence(change: SprocketChange) -> str:
    """What the change does, in one sentence."""
    old = final_ratio(change.old_front, change.old_rear)
    new = final_ratio(change.front, change.rear)
    if math.isclose(old, new):
        return "The ratio stays the same."
    pull, speed = _percent(pull_change(old, new)), _percent(speed_change(old, new))
    return (
        f"{'Shorter' if new > old else 'Taller'} gearing: pull in every gear {pull}, speed at the "
        f"same rpm {speed} (computed)."
    )


def _percent(share: float) -> str:
    return f"{units.signed(share * 100, 1)} %"


def _signed(number: int) -> str:
    return "same" if not number else units.signed(number, 0)


def setup_rows(sheet: FittingSheet, system: str) -> list[tuple[str, str, str, str, str]]:
    """Rows of the set-up: name, before, after, change, how the last two are known."""
    change = sheet.change
    old = final_ratio(change.old_front, change.old_rear)
    new = final_ratio(change.front, change.rear)
    rows = [
        (f"{name} sprocket", f"{was} teeth", f"{now} teeth", _signed(now - was), "counted")
        for name, was, now in (
            ("Front", change.old_front, change.front),
            ("Rear", change.old_rear, change.rear),
        )
    ]
    ratio = "same" if math.isclose(old, new) else _percent(new / old - 1)
    rows.append(("Final drive ratio", f"{old:.2f}", f"{new:.2f}", ratio, "computed"))
    links = f"{change.old_links} links", f"{change.links} links{', new' * change.new_chain}"
    rows.append((f"Chain {change.chain_size}", *links, _links_change(change), "counted"))
    rows.append(_axle_row(sheet, system))
    if sheet.wheelbase_change is not None:
        moved = _movement(sheet.wheelbase_change, system, "longer", "shorter", "same")
        rows.append(("Wheelbase", "", "", moved, "computed"))
    return rows


def _links_change(change: SprocketChange) -> str:
    said = ["offset link"] if change.offset_link else []
    if change.new_chain:
        said.insert(0, "new chain")
    elif change.links_taken_out:
        said.insert(0, f"take {change.links_taken_out} out")
    elif change.links_put_in:
        said.insert(0, f"put {change.links_put_in} in")
    return ", ".join(said) or "same"


def _axle_row(sheet: FittingSheet, system: str) -> tuple[str, str, str, str, str]:
    name = "Axle, behind its foremost end"
    before = "" if sheet.axle_before is None else length(sheet.axle_before, system)
    if sheet.axle_movement is None:
        return (name, before, "", "not computed: measure", "measured")
    moved = _movement(sheet.axle_movement, system, "to the rear", "forward", "stays")
    if sheet.axle_before is None:
        return (name, "", "", moved, "computed")
    # The sum of what is printed.
    per_unit = units.display(1.0, "length", system)[0]
    digits = 0 if system == "metric" else 2
    ends = [round(each * per_unit, digits) for each in (sheet.axle_before, sheet.axle_movement)]
    after = length(sum(ends) / per_unit, system)
    if sum(ends) < 0:
        after = "past its end"
    return (name, before, after, moved, "computed from the measured")


def predicted_rows(sheet: FittingSheet, system: str) -> list[tuple[str, str, str]]:
    """Gear, engine speed and computed road speed; blanks where nothing was computed."""
    if not sheet.predicted:
        return [("", "", "")] * BLANK_ROWS
    return [
        (
            str(each.gear),
            units.text(each.engine_speed, "engine speed", system),
            units.text(each.road_speed, "speed", system),
        )
        for each in sheet.predicted
    ]
