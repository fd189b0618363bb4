"""Every question of the fit page: what the rider measures, looks up or ticks, and how it is read.

No field has a default that belongs to a bike: slack, wear limit and torques come from its manual.
"""

from dataclasses import dataclass

from explorer.records.fitting.sprocket_change import (
    AXLE_LOCKS,
    JOINING_LINKS,
    LINKS,
    MOST_NUTS,
    RETAINERS,
)

LINK_COUNT = LINKS
PITCH_COUNT = (5, 60)
TICKS = ("not checked", "matches", "does not match")
PICKUPS = ("gearbox", "rear wheel", "front wheel", "satellite")
REAR_BRAKES = ("drum", "disc", "unknown")
CHAINS = ("keep", "fewest changed", "shortest", "new")


@dataclass(frozen=True)
class FitField:
    """One question.

    Attributes:
        name: Name in the record; with dashes for underscores, and "fit." before, in the link.
        label, help: For the reader: what it is, and how to measure it.
        kind: A kind of `explorer.units`, or one of "count", "choice", "words".
        example: What to type, without quotation marks.
        group: Part of the page where it is asked.
        within: Lowest and highest value accepted.
        choices: What may be chosen.
        default: Text taken where nothing was given; empty for unknown.
        why: Where the default comes from.
    """

    name: str
    label: str
    help: str
    kind: str
    example: str
    group: str
    within: tuple[str, str] | tuple[int, int] | None = None
    choices: tuple[str, ...] = ()
    default: str = ""
    why: str = ""


def _length(name: str, label: str, help_text: str, example: str, group: str, low: str, high: str):
    return FitField(name, label, help_text, "length", example, group, (low, high))


_ROOM = ("0 mm", "150 mm")


FIT_FIELDS: tuple[FitField, ...] = (
    FitField(
        "chain",
        "Chain to go on",
        "Your own chain uncut, your own with links taken out or added, or a new one.",
        "choice",
        "keep",
        "chain",
        choices=CHAINS,
        default="keep",
    ),
    FitField(
        "new_links",
        "Links of the new chain",
        "Even, joining link included.",
        "count",
        "112",
        "chain",
        LINK_COUNT,
    ),
    FitField(
        "links",
        "Links of the chain now",
        "Count every link, inner and outer, joining link included; the number is even.",
        "count",
        "112",
        "axle",
        LINK_COUNT,
    ),
    _length(
        "room_forward",
        "Axle room forward",
        "How far the axle can still go forward from where it is now, on the shorter side.",
        "10 mm",
        "axle",
        *_ROOM,
    ),
    _length(
        "room_back",
        "Axle room to the rear",
        "How far the axle can still go to the rear from where it is now.",
        "25 mm",
        "axle",
        *_ROOM,
    ),
    FitField(
        "uncertainty",
        "How far off the room may be",
        "A vernier reads to half a millimetre, adjuster marks to one or more.",
        "length",
        "1 mm",
        "axle",
        ("0 mm", "10 mm"),
        default="1 mm",
        why="common practice, no source",
    ),
    _length(
        "centre_distance",
        "Output shaft to rear axle",
        "Centre to centre, along the chain run, with a tape; a check on the link count.",
        "632 mm",
        "axle",
        "250 mm",
        "900 mm",
    ),
    FitField(
        "tape",
        "How far off that tape may be",
        "Two centres cannot be seen, only guessed at.",
        "length",
        "2 mm",
        "axle",
        ("0 mm", "20 mm"),
        default="2 mm",
        why="common practice, no source",
    ),
    _length(
        "swingarm_length",
        "Swingarm length",
        "Pivot centre to rear axle centre, axle where it is now.",
        "560 mm",
        "swingarm",
        "250 mm",
        "800 mm",
    ),
    _length(
        "shaft_ahead",
        "Output shaft ahead of the pivot",
        "Level distance from the swingarm pivot forward to the output shaft.",
        "75 mm",
        "swingarm",
        "-50 mm",
        "250 mm",
    ),
    _length(
        "shaft_above",
        "Output shaft above the pivot",
        "Upright distance, negative if the output shaft is lower.",
        "10 mm",
        "swingarm",
        "-150 mm",
        "150 mm",
    ),
    _length(
        "axle_below",
        "Axle below the pivot, wheel hanging",
        "Upright distance with the rear wheel off the ground.",
        "190 mm",
        "swingarm",
        "-100 mm",
        "500 mm",
    ),
    _length(
        "wheel_travel",
        "Rear wheel travel",
        "Upright way of the axle from hanging to fully compressed.",
        "290 mm",
        "swingarm",
        "20 mm",
        "450 mm",
    ),
    _length(
        "manual_slack",
        "Slack in your manual",
        "Total up-and-down movement, as your bike's own manual gives it.",
        "as printed, with its unit",
        "slack",
        "1 mm",
        "120 mm",
    ),
    FitField(
        "slack_place",
        "Where the manual measures it",
        "In the manual's words: where along the chain, upper or lower run.",
        "words",
        "midway, lower run",
        "slack",
    ),
    FitField(
        "slack_state",
        "How the bike stands for it",
        "In the manual's words: on a stand, on its side-stand, rider aboard.",
        "words",
        "on a stand, wheel hanging",
        "slack",
    ),
    FitField(
        "slack_share",
        "That place along the run",
        "Share of the way from the front to the rear sprocket; half-way is 50 %.",
        "ratio",
        "50 %",
        "slack",
        ("10 %", "90 %"),
        default="50 %",
        why="midway, unless the manual says otherwise",
    ),
    FitField(
        "slack_travel",
        "Travel used where it is measured",
        "0 mm with the wheel hanging; on its wheels, how far the axle has come up.",
        "length",
        "0 mm",
        "slack",
        ("0 mm", "400 mm"),
        default="0 mm",
        why="wheel hanging, unless the manual says otherwise",
    ),
    _length(
        "tight_slack",
        "Slack to be left at the tightest position",
        "What you or your mechanic want left with shaft, pivot and axle in line.",
        "with its unit",
        "slack",
        "0 mm",
        "80 mm",
    ),
    _length(
        "plate_height",
        "Height of the chain's plates",
        "Across a side plate with a vernier, at its widest.",
        "15 mm",
        "clearance",
        "5 mm",
        "25 mm",
    ),
    _length(
        "shaft_to_case",
        "Output shaft centre to the case",
        "To the nearest part of case, cover or guard.",
        "45 mm",
        "clearance",
        "15 mm",
        "150 mm",
    ),
    _length(
        "guide_gap",
        "Rear sprocket to chain guide",
        "Gap straight below the sprocket now.",
        "12 mm",
        "clearance",
        *_ROOM,
    ),
    _length(
        "arm_gap",
        "Rear sprocket to swingarm",
        "Gap straight ahead of the sprocket now.",
        "25 mm",
        "clearance",
        *_ROOM,
    ),
    _length(
        "slider_radius",
        "Pivot centre to the top of the slider",
        "Radius of the rubbing strip over the swingarm pivot.",
        "30 mm",
        "clearance",
        "5 mm",
        "90 mm",
    ),
    _length(
        "tyre_gap",
        "Rear tyre to swingarm",
        "Gap ahead of the tyre now, at the widest knob.",
        "12 mm",
        "clearance",
        *_ROOM,
    ),
    FitField(
        "wear_pitches",
        "Pitches measured over",
        "Pins counted less one; at several places, chain pulled taut, engine off.",
        "count",
        "16",
        "wear",
        PITCH_COUNT,
    ),
    _length(
        "wear_length",
        "Length over them",
        "Pin centre to pin centre; the longest you find.",
        "256.5 mm",
        "wear",
        "50 mm",
        "1200 mm",
    ),
    FitField(
        "wear_limit",
        "Wear limit in your manual",
        "As elongation; work it out if the manual gives a length.",
        "ratio",
        "as printed, in %",
        "wear",
        ("0.3 %", "5 %"),
    ),
    FitField(
        "rake",
        "Rake",
        "Angle of the steering head from the upright, from the manual.",
        "angle",
        "27 deg",
        "steering",
        ("10 deg", "45 deg"),
    ),
    _length(
        "fork_offset",
        "Fork offset",
        "Front axle to steering axis, from the manual.",
        "22 mm",
        "steering",
        "-20 mm",
        "100 mm",
    ),
    FitField(
        "pickup",
        "Speedometer driven from",
        "Where the sensor or cable sits; look, do not guess.",
        "choice",
        "gearbox",
        "speedometer",
        choices=PICKUPS,
    ),
    FitField(
        "speedometer_before",
        "Shown over true speed before",
        "By satellite, with the gearing fitted now; 1 if you have not measured.",
        "ratio",
        "1.05",
        "speedometer",
        ("0.5", "2"),
        default="1",
        why="taken as exact until measured; new instruments commonly show too much",
    ),
    FitField(
        "retainer",
        "What holds the front sprocket",
        "Look under the cover; the new part is on the shopping list.",
        "choice",
        "bolt",
        "parts",
        choices=tuple(RETAINERS),
        default="unknown",
    ),
    FitField(
        "joining_link",
        "Joining link",
        "How the chain is closed.",
        "choice",
        "clip",
        "parts",
        choices=tuple(JOINING_LINKS),
        default="clip",
    ),
    FitField(
        "axle_lock",
        "What secures the axle nut",
        "Look at the nut on the axle.",
        "choice",
        "split-pin",
        "parts",
        choices=tuple(AXLE_LOCKS),
        default="unknown",
    ),
    FitField(
        "rear_nuts",
        "Nuts of the rear sprocket",
        "Count them on the hub.",
        "count",
        "6",
        "parts",
        (3, MOST_NUTS),
    ),
    FitField(
        "rear_brake",
        "Rear brake",
        "A rod-operated drum is readjusted when the axle moves.",
        "choice",
        "disc",
        "parts",
        choices=REAR_BRAKES,
        default="unknown",
    ),
    *(
        FitField(
            f"tick_{name}",
            label,
            help_text,
            "choice",
            "matches",
            "checklist",
            choices=TICKS,
            default="not checked",
        )
        for name, label, help_text in (
            ("pitch", "Pitch", "Chain number on chain and both sprockets: 428 and 520 differ."),
            ("width", "Width", "The first and last digit of the number; narrow chains do not fit."),
            ("spline", "Spline of the output shaft", "Number of splines and diameter."),
            ("bolt_circle", "Bolt circle of the rear sprocket", "Bolts, circle and centre hole."),
            ("offset", "Offset of both sprockets", "Dish and spacers put the chain in line."),
            ("retainer", "Retainer of the front sprocket", "Clip, plate, tab washer, nut or bolt."),
        )
    ),
)
"""Every question, in the order of the page."""

FIT_FIELD: dict[str, FitField] = {field.name: field for field in FIT_FIELDS}
"""The questions by name."""
