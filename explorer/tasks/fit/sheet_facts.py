"""What the fitting sheet says of one change, checked before anything is printed."""

from dataclasses import dataclass
from datetime import date

from explorer.app.fit_notes import length
from explorer.app.setup_code import read_address
from explorer.records.errors import RecordError
from explorer.records.fitting.fit_fields import FIT_FIELD
from explorer.records.fitting.sprocket_change import SprocketChange
from explorer.records.typed_text import quote

LONGEST = {"bike": 60, "slack": 30, "slack_place": 60, "slack_state": 40}
"""Most characters of each text, so that the sheet keeps to two pages."""

REAR_BRAKES = FIT_FIELD["rear_brake"].choices
MOST_SPEEDS = 5


@dataclass(frozen=True)
class PredictedSpeed:
    """What the rider should read on the verify ride in a gear (1 for first): the engine speed to
    hold [rad/s] and the road speed that belongs to it, computed [m/s]."""

    gear: int
    engine_speed: float
    road_speed: float


@dataclass(frozen=True)
class FittingSheet:
    """Everything the sheet says about one change.

    Raises RecordError, one sentence for each thing that is wrong.

    Attributes:
        axle_movement: Computed movement of the axle, positive to the rear; None if it was not
            computed [m].
        wheelbase_change: Computed, positive where the bike gets longer [m].
        axle_before: Measured distance of the axle behind the foremost end of its adjustment, not
            negative [m].
        axle_room: Measured room of the axle to the rear, from where it is now, not negative [m].
        uncertainty: How far off these two may be, not negative [m].
        doubt: What to settle before parts are bought, in sentences; empty where nothing is.
        slack, slack_place, slack_state: The manual's value, its measuring place and how the bike
            stands, as the rider typed them; empty for a blank line.
        rear_brake ({"drum", "disc", "unknown"}): Kind of rear brake.
        invented (bool): Whether the bike is one of the demo's.
        predicted: For the verify ride, at most `MOST_SPEEDS`; may be empty.
        query: Query of the link that reopens the set-up.
        address: Address of the page for the code; empty if the rider did not give it.
    """

    bike: str
    made_on: date
    change: SprocketChange
    axle_movement: float | None = None
    wheelbase_change: float | None = None
    axle_before: float | None = None
    axle_room: float | None = None
    uncertainty: float = 0.0
    doubt: str = ""
    slack: str = ""
    slack_place: str = ""
    slack_state: str = ""
    rear_brake: str = "unknown"
    invented: bool = False
    predicted: tuple[PredictedSpeed, ...] = ()
    query: str = ""
    address: str = ""

    def __post_init__(self) -> None:
        sentences = _complaints(self)
        try:
            object.__setattr__(self, "address", read_address(self.address))
        except RecordError as error:
            sentences += error.sentences
        if sentences:
            raise RecordError(*sentences)


def _complaints(sheet: FittingSheet) -> list[str]:
    found = []
    if sheet.change.nothing_changed:
        found.append("Sprockets and chain stay as they are, so there is no sheet; choose a pair.")
    for field, longest in LONGEST.items():
        text = getattr(sheet, field)
        if len(text) > longest or not text.isprintable():
            found.append(
                f"The {field.replace('_', ' ')} {quote(text)} does not fit on the sheet; write at "
                f"most {longest} characters in one line."
            )
    if sheet.rear_brake not in REAR_BRAKES:
        found.append(
            f"The rear brake {quote(sheet.rear_brake)} is not known; choose one of "
            f"{', '.join(REAR_BRAKES)}."
        )
    for name, metres in (
        ("axle movement", sheet.axle_movement),
        ("wheelbase change", sheet.wheelbase_change),
        ("axle position", sheet.axle_before),
        ("axle room to the rear", sheet.axle_room),
        ("uncertainty of the axle's room", sheet.uncertainty),
    ):
        # Half a metre is several times the travel of any adjuster.
        if metres is not None and not abs(metres) < 0.5:
            found.append(
                f"The {name} cannot be {metres:.4g} m; lengths below 0.5 m are accepted, so check "
                "the measured lengths and their units."
            )
    for room, towards, beyond, other in (
        (sheet.axle_before, -1, "in front of the foremost end", "longer"),
        (sheet.axle_room, 1, "behind the rearmost end", "shorter"),
    ):
        if room is None or sheet.axle_movement is None:
            continue
        too_far = towards * sheet.axle_movement - room
        if too_far > sheet.uncertainty:
            found.append(
                f"The axle would have to go {length(too_far, 'metric')} {beyond} of its "
                f"adjustment, so this does not fit; choose a {other} chain or another pair."
            )
    if len(sheet.predicted) > MOST_SPEEDS:
        found.append(f"The sheet has room for at most {MOST_SPEEDS} computed speeds; give fewer.")
    return found
