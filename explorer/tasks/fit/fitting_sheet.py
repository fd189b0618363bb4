"""The fitting sheet: one change of gearing on paper, from the parts to the second signature.

A file that needs nothing else: no script, no picture, no font from elsewhere. On a screen its
boxes and blanks can be filled in; on A4 or Letter it is two pages.
"""

from explorer import units
from explorer.app.printed import save_link, template
from explorer.app.setup_code import code_svg
from explorer.records.fitting.hazards import hazards
from explorer.records.fitting.parts import parts_list, said
from explorer.records.setups.sprocket_pair import say_pair
from explorer.tasks.fit import sheet_steps, sheet_words
from explorer.tasks.fit.sheet_facts import FittingSheet


def render(sheet: FittingSheet, system: str) -> str:
    """The sheet as a whole document of HTML; all texts are escaped."""
    change = sheet.change
    return template("fit/fitting_sheet.html.j2").render(
        sheet=sheet,
        change=change,
        pair=say_pair(change.front, change.rear),
        gearing=sheet_words.gearing_sentence(change),
        rows=sheet_words.setup_rows(sheet, system),
        parts=[said(part) for part in parts_list(change).buy if not part.optional],
        extras=[said(part) for part in parts_list(change).buy if part.optional],
        tools=sheet_steps.tools(change),
        torques=sheet_steps.torque_rows(change, sheet.rear_brake),
        torque_unit=units.display(1.0, "torque", system)[1],
        length_unit=units.display(1.0, "length", system)[1],
        speed_unit=units.display(1.0, "speed", system)[1],
        stages=sheet_steps.stages(change, sheet.rear_brake, sheet_words.axle_target(sheet, system)),
        riding=sheet_steps.riding_words(change),
        shake_down=sheet_steps.SHAKE_DOWN["looked_at"],
        shake_down_words=sheet_steps.SHAKE_DOWN["cautions"],
        hazard={hazard.id: hazard for hazard in hazards()},
        predicted=sheet_words.predicted_rows(sheet, system),
        code=code_svg(sheet.address + sheet.query) if sheet.query else None,
    )


def file_name(sheet: FittingSheet) -> str:
    """Name under which the sheet is saved.

    Returns: For example "fitting-sheet-14-48-2026-05-01.html".
    """
    return f"fitting-sheet-{sheet.change.front}-{sheet.change.rear}-{sheet.made_on}.html"


def download_link(sheet: FittingSheet, system: str) -> str:
    """A link in a page that saves the sheet; escaped HTML."""
    return save_link(render(sheet, system), "Download the fitting sheet", file_name(sheet))
