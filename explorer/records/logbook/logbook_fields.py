"""Every field of a logbook entry: what it means, what may be left out.

The one table from which the form is built, files are read and the sentences are made.
"""

from dataclasses import dataclass

from explorer.records.fitting.sprocket_change import LINKS
from explorer.records.setups.sprocket_pair import FRONT_TEETH, REAR_TEETH

LONGEST_WORDS = 120
LONGEST_NOTE = 1000
"""Most characters of a line and of a text of several lines [count]."""

VERDICTS = ("as predicted", "not as predicted", "too noisy to tell", "not checked")
DECISIONS = ("keep", "change again", "go back", "undecided")


@dataclass(frozen=True)
class LogField:
    """One field of an entry.

    Attributes:
        name: In files and in the form.
        label: Name for the reader.
        kind: "date", "words", "note", "count", "choice", "length", "hours" or "link".
        help: What it is and how to find it, in one line.
        example: What to type.
        required (bool): Whether an entry without it says nothing.
        within: Lowest and highest value accepted.
        choices: What may be chosen, for the kind "choice".
    """

    name: str
    label: str
    kind: str
    help: str
    example: str = ""
    required: bool = False
    within: tuple[str, str] | tuple[int, int] | None = None
    choices: tuple[str, ...] = ()


LOG_FIELDS: tuple[LogField, ...] = (
    LogField("date", "Date", "date", "Day of the change.", "2026-05-01", required=True),
    LogField("bike", "Bike", "words", "What you call it; no plate.", "Trail bike", required=True),
    LogField(
        "front",
        "Front sprocket",
        "count",
        "Teeth, counted.",
        "13",
        required=True,
        within=FRONT_TEETH,
    ),
    LogField(
        "rear", "Rear sprocket", "count", "Teeth, counted.", "50", required=True, within=REAR_TEETH
    ),
    LogField(
        "links", "Links", "count", "Of the chain, joining link included.", "112", within=LINKS
    ),
    LogField(
        "axle_position",
        "Axle position",
        "length",
        "Behind the foremost end of the adjustment, both sides the same.",
        "18 mm",
        within=("0 mm", "300 mm"),
    ),
    LogField(
        "slack",
        "Slack",
        "length",
        "As measured at the tightest place; the bike's manual says how much it must be.",
        # No example: a number beside this field would be taken for advice.
        "",
        within=("0 mm", "200 mm"),
    ),
    LogField(
        "slack_method",
        "Slack measured how",
        "words",
        "Place along the chain and how the bike stood, as the manual asks.",
        "middle of the lower run, on its side stand",
    ),
    LogField(
        "rollout",
        "Roll-out",
        "length",
        "One turn of the rear wheel, rider seated, chalk mark.",
        "2035 mm",
        within=("0.8 m", "2.8 m"),
    ),
    LogField(
        "weather",
        "Weather and place",
        "words",
        "Wind, temperature, altitude, ground.",
        "calm, 15 °C, 300 m, dry gravel",
    ),
    LogField(
        "predicted",
        "Predicted",
        "note",
        "What the change was to do.",
        "roll-on 30 to 60 km/h in 3rd 0.3 s sooner",
    ),
    LogField(
        "results",
        "Measured",
        "note",
        "What the rides gave, with runs and ways.",
        "5.4, 5.3, 5.5 s there; 5.0, 5.1, 5.1 s back",
    ),
    LogField(
        "verdict",
        "Verdict",
        "choice",
        "Did it do what was predicted?",
        "as predicted",
        choices=VERDICTS,
    ),
    LogField(
        "decision",
        "Decision",
        "choice",
        "Keep it, change again, or go back.",
        "keep",
        choices=DECISIONS,
    ),
    LogField(
        "hours", "Hours", "hours", "On the bike's counter, or since the chain was new.", "41.5 h"
    ),
    LogField("note", "Note", "note", "Anything worth remembering.", "slider still thick"),
    LogField(
        "setup",
        "Link to the set-up",
        "link",
        "Opens exactly this set-up again.",
        "?bike=bracken-125",
    ),
)

LOG_FIELD = {field.name: field for field in LOG_FIELDS}
