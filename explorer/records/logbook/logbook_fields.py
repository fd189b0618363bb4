"""Every field of a logbook entry: what it means, what may be left out.

The one table from which the form is built, files are read and the sentences are made.
"""

from explorer.records.fields import Field
from explorer.records.fitting.sprocket_change import LINKS
from explorer.records.setups.sprocket_pair import FRONT_TEETH, REAR_TEETH

LONGEST_WORDS = 120
LONGEST_NOTE = 1000
"""Most characters of a line and of a text of several lines [count]."""

VERDICTS = ("as predicted", "not as predicted", "too noisy to tell", "not checked")
DECISIONS = ("keep", "change again", "go back", "undecided")


LOG_FIELDS: tuple[Field, ...] = (
    Field("date", "Date", "date", "", "2026-05-01", required=True),
    Field("bike", "Bike", "words", "", "Trail bike", required=True),
    Field("front", "Front sprocket", "count", "Teeth.", "13", within=FRONT_TEETH,
          required=True),
    Field("rear", "Rear sprocket", "count", "Teeth.", "50", within=REAR_TEETH,
          required=True),
    Field("links", "Links", "count", "Joining link included.", "112", within=LINKS),
    Field("axle_position", "Axle position", "length",
          "Behind the foremost end.", "18 mm",
          within=("0 mm", "300 mm")),
    # No example for the slack: a number beside this field would be taken for advice.
    Field("slack", "Slack", "length",
          "At the tightest place; the bike's manual says how much it must be.",
          within=("0 mm", "200 mm")),
    Field("slack_method", "Slack measured how", "words",
          "Where, on which stand.",
          "middle of the lower run, on its side stand"),
    Field("rollout", "Roll-out", "length", "One turn, rider seated.",
          "2035 mm", within=("0.8 m", "2.8 m")),
    Field("weather", "Weather and place", "words", "",
          "calm, 15 °C, 300 m, dry gravel"),
    Field("predicted", "Predicted", "note", "",
          "roll-on 30 to 60 km/h in 3rd 0.3 s sooner"),
    Field("results", "Measured", "note", "",
          "5.4, 5.3, 5.5 s there; 5.0, 5.1, 5.1 s back"),
    Field("verdict", "Verdict", "choice", "", "as predicted",
          choices=VERDICTS),
    Field("decision", "Decision", "choice", "", "keep",
          choices=DECISIONS),
    Field("hours", "Hours", "hours", "",
          "41.5 h"),
    Field("note", "Note", "note", "", "slider still thick"),
    Field("setup", "Link to the set-up", "link", "",
          "?bike=bracken-125"),
)  # fmt: skip

LOG_FIELD = {field.name: field for field in LOG_FIELDS}
