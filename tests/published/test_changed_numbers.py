"""What grip, riders and bands changed has its source and its row on the method page."""

import pytest
from markupsafe import escape

from explorer.records.ground.surfaces import TYRE_KINDS, surfaces
from explorer.records.references import compare, references
from explorer.tasks.method import html as method_html
from tests.tasks.method.test_method import documented

CHANGED = {
    "grip of tyre kinds and surfaces": ("forces.grip_thrust", "surface_figure"),
    "rolling resistance of surfaces": ("forces.rolling_resistance", "surface_figure"),
    "grip of lugs": ("wheel_slip.gross_traction", ""),
    "slip curve": ("wheel_slip.shear_share", ""),
    "speed and heat lost to slip": ("wheel_slip.wheel_slip", ""),
    "rider's position": ("rider_position.in_position", "rider_moved"),
    "throttle model": ("part_throttle.torque_share", ""),
    "share of throttle to hold": ("part_throttle.throttle_share", ""),
    "engine braking": ("engine_braking.engine_braking", "closed_throttle"),
    "engine braking, estimated, low end": ("engine_braking.engine_braking", "coasted_in_gear"),
    "the same, high end": ("engine_braking.engine_braking", "estimated_braking"),
    "bands": ("sampling.interval", "band_of_an_even_input"),
    "chain efficiency by sprocket": ("chain_losses.chain_efficiency", ""),
    "torque at crank or wheel": ("forces.pull", "crank_over_wheel"),
    "reference air": ("power_correction.power_factor", ""),
    "rev limit as an axis of the trade-off": ("gearing.road_speed", ""),
    "time to a speed": ("run.full_throttle", ""),
    "time over the speed to reach": ("measures.time_over_target", "time_past_a_change"),
}


@pytest.mark.parametrize(("function", "worked"), CHANGED.values(), ids=list(CHANGED))
def test_each_has_a_row_that_agrees_and_is_on_the_page(function, worked):
    rows = [
        row
        for row in references()
        if row.function.endswith(function) and (not worked or row.worked == worked)
    ]
    assert rows, function
    assert all(row.source and compare(row).agrees for row in rows)
    listed = documented()
    assert any(name.endswith(function) for name in listed), function


def test_every_surface_is_there_with_its_range_and_its_source():
    html = method_html.surface_ranges()
    for kind in TYRE_KINDS:
        for each in surfaces(kind).values():
            said = (
                f"{kind} {each.grip_low:.2f} to {each.grip_high:.2f}, typical "
                f"{each.grip_typical:.2f}",
                f"{each.rolling_low:.3f} to {each.rolling_high:.3f}, typical "
                f"{each.rolling_typical:.3f}",
                escape(each.source_rolling),
                escape(each.source_grip),
                escape(each.note),
            )
            section = html.partition(f"<h4>{escape(each.label)}</h4>")[2].partition("</section>")[0]
            assert all(part in section for part in said), (each.label, kind)
            assert each.source_rolling and each.source_grip and each.note


def test_every_surface_has_a_published_figure_among_the_live_rows():
    seen = {row.inputs["surface"] for row in references() if row.worked == "surface_figure"}
    assert seen >= {*surfaces()}
