"""Every question of the fit page: what the rider measures, looks up or ticks, and how it is read.

No field has a default that belongs to a bike: slack, wear limit and torques come from its manual.
"""

from explorer.records.fields import Field
from explorer.records.fitting.sprocket_change import (
    AXLE_LOCKS,
    JOINING_LINKS,
    LINKS,
    MOST_NUTS,
    RETAINERS,
    SEALS,
)

LINK_COUNT = LINKS
PITCH_COUNT = (5, 60)
TICKS = ("not checked", "matches", "does not match")
PICKUPS = ("gearbox", "rear wheel", "front wheel", "satellite")
REAR_BRAKES = ("drum", "disc", "unknown")
CHAINS = ("keep", "fewest changed", "shortest", "new")


_ROOM = ("0 mm", "150 mm")


FIT_FIELDS: tuple[Field, ...] = (
    Field("chain", "Chain to be fitted", "choice",
          "Your own chain uncut, your own with links taken out or added, or a new one.", "keep",
          group="chain", choices=CHAINS, default="keep"),
    Field("new_links", "Links of the new chain", "count", "Even, joining link included.", "112",
          group="chain", within=LINK_COUNT),
    Field("links", "Links of the chain now", "count",
          "Count every link, inner and outer, joining link included; the number is even.", "112",
          group="axle", within=LINK_COUNT),
    Field("room_forward", "Axle room forward", "length",
          "How far the axle can still go forward from where it is now, on the shorter side.",
          "10 mm", group="axle", within=_ROOM),
    Field("room_back", "Axle room to the rear", "length",
          "How far the axle can still go to the rear from where it is now.", "25 mm", group="axle",
          within=_ROOM),
    Field("uncertainty", "How far off the room may be", "length",
          "A vernier reads to half a millimetre, adjuster marks to one or more.", "1 mm",
          group="axle", within=("0 mm", "10 mm"), default="1 mm",
          why="common practice, no source"),
    Field("centre_distance", "Output shaft to rear axle", "length",
          "Centre to centre, along the chain run, with a tape; a check on the link count.",
          "632 mm", group="axle", within=("250 mm", "900 mm")),
    Field("tape", "How far off that tape may be", "length",
          "You can't see either centre exactly, so a tape is only approximate.", "2 mm",
          group="axle", within=("0 mm", "20 mm"), default="2 mm", why="common practice, no source"),
    Field("swingarm_length", "Swingarm length", "length",
          "Pivot centre to rear axle centre, axle where it is now.", "560 mm", group="swingarm",
          within=("250 mm", "800 mm")),
    Field("shaft_ahead", "Output shaft ahead of the pivot", "length",
          "Level distance from the swingarm pivot forward to the output shaft.", "75 mm",
          group="swingarm", within=("-50 mm", "250 mm")),
    Field("shaft_above", "Output shaft above the pivot", "length",
          "Upright distance, negative if the output shaft is lower.", "10 mm", group="swingarm",
          within=("-150 mm", "150 mm")),
    Field("axle_below", "Axle below the pivot, wheel hanging", "length",
          "Upright distance with the rear wheel off the ground.", "190 mm", group="swingarm",
          within=("-100 mm", "500 mm")),
    Field("wheel_travel", "Rear wheel travel", "length",
          "Upright way of the axle from hanging to fully compressed.", "290 mm", group="swingarm",
          within=("20 mm", "450 mm")),
    Field("manual_slack", "Slack in your manual", "length",
          "Total up-and-down movement, as your bike's own manual gives it.",
          "as printed, with its unit", group="slack", within=("1 mm", "120 mm")),
    Field("slack_place", "Where the manual measures it", "words",
          "In the manual's words: where along the chain, upper or lower run.", "midway, lower run",
          group="slack"),
    Field("slack_state", "How the bike stands for it", "words",
          "In the manual's words: on a stand, on its side-stand, rider aboard.",
          "on a stand, wheel hanging", group="slack"),
    Field("slack_share", "That place along the run", "ratio",
          "Share of the way from the front to the rear sprocket; half-way is 50 %.", "50 %",
          group="slack", within=("10 %", "90 %"), default="50 %",
          why="midway, unless the manual says otherwise"),
    Field("slack_travel", "Travel used where it is measured", "length",
          "0 mm with the wheel hanging; on its wheels, how far the axle has come up.", "0 mm",
          group="slack", within=("0 mm", "400 mm"), default="0 mm",
          why="wheel hanging, unless the manual says otherwise"),
    Field("tight_slack", "Slack to be left at the tightest position", "length",
          "What you or your mechanic want left with shaft, pivot and axle in line.",
          "with its unit", group="slack", within=("0 mm", "80 mm")),
    Field("plate_height", "Height of the chain's plates", "length",
          "Across a side plate with a vernier, at its widest.", "15 mm", group="clearance",
          within=("5 mm", "25 mm")),
    Field("shaft_to_case", "Output shaft centre to the case", "length",
          "To the nearest part of case, cover or guard.", "45 mm", group="clearance",
          within=("15 mm", "150 mm")),
    Field("guide_gap", "Rear sprocket to chain guide", "length",
          "Gap straight below the sprocket now.", "12 mm", group="clearance", within=_ROOM),
    Field("arm_gap", "Rear sprocket to swingarm", "length",
          "Gap straight ahead of the sprocket now.", "25 mm", group="clearance", within=_ROOM),
    Field("slider_radius", "Pivot centre to the top of the slider", "length",
          "Radius of the rubbing strip over the swingarm pivot.", "30 mm", group="clearance",
          within=("5 mm", "90 mm")),
    Field("tyre_gap", "Rear tyre to swingarm", "length",
          "Gap ahead of the tyre now, at the widest knob.", "12 mm", group="clearance",
          within=_ROOM),
    Field("wear_pitches", "Pitches measured over", "count",
          "Pins counted less one; at several places, chain pulled taut, engine off.", "16",
          group="wear", within=PITCH_COUNT),
    Field("wear_length", "Length over them", "length",
          "Pin centre to pin centre; the longest you find.", "256.5 mm", group="wear",
          within=("50 mm", "1200 mm")),
    Field("wear_limit", "Wear limit in your manual", "ratio",
          "As elongation; work it out if the manual gives a length.", "as printed, in %",
          group="wear", within=("0.3 %", "5 %")),
    Field("rake", "Rake", "angle", "Angle of the steering head from the upright, from the manual.",
          "27 deg", group="steering", within=("10 deg", "45 deg")),
    Field("fork_offset", "Fork offset", "length", "Front axle to steering axis, from the manual.",
          "22 mm", group="steering", within=("-20 mm", "100 mm")),
    Field("pickup", "Speedometer driven from", "choice",
          "Where the sensor or cable sits; look, do not guess.", "gearbox", group="speedometer",
          choices=PICKUPS),
    Field("speedometer_before", "Shown over true speed before", "ratio",
          "By satellite, with the gearing fitted now; 1 if you have not measured.", "1.05",
          group="speedometer", within=("0.5", "2"), default="1",
          why="taken as exact until measured; new instruments commonly show too much"),
    Field("retainer", "What holds the front sprocket", "choice",
          "Look under the cover; the new part is on the shopping list.", "bolt", group="parts",
          choices=tuple(RETAINERS), default="unknown"),
    Field("joining_link", "Joining link", "choice", "How the chain is closed.", "clip",
          group="parts", choices=tuple(JOINING_LINKS), default="clip"),
    Field("seal", "Chain's seal", "choice",
          "A sealed chain has rubber rings between its plates: look from above.", "sealed",
          group="parts", choices=tuple(SEALS), default="unknown"),
    Field("axle_lock", "What secures the axle nut", "choice", "Look at the nut on the axle.",
          "split-pin", group="parts", choices=tuple(AXLE_LOCKS), default="unknown"),
    Field("rear_nuts", "Nuts of the rear sprocket", "count", "Count them on the hub.", "6",
          group="parts", within=(3, MOST_NUTS)),
    Field("rear_brake", "Rear brake", "choice",
          "A rod-operated drum is readjusted when the axle moves.", "disc", group="parts",
          choices=REAR_BRAKES, default="unknown"),
    *(
        Field(f"tick_{name}", label, "choice", help_text, "matches", group="checklist",
              choices=TICKS, default="not checked")
        for name, label, help_text in (
            ("pitch", "Pitch", "Chain number on chain and both sprockets: 428 and 520 differ."),
            ("width", "Width", "The first and last digit of the number; narrow chains do not fit."),
            ("spline", "Spline of the output shaft", "Number of splines and diameter."),
            ("bolt_circle", "Bolt circle of the rear sprocket", "Bolts, circle and centre hole."),
            ("offset", "Offset of both sprockets", "Dish and spacers put the chain in line."),
            ("retainer", "Retainer of the front sprocket", "Clip, plate, tab washer, nut or bolt."),
        )
    ),
)  # fmt: skip
"""Every question, in the order of the page."""

FIT_FIELD: dict[str, Field] = {field.name: field for field in FIT_FIELDS}
"""The questions by name."""
