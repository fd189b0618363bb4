"""What riders say about their gearing: what to measure, what it means, which wants follow.

Common practice of the trade, no source. Each says what gearing can do about it and what it cannot.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from explorer.study.wants.kinds import read_want
from explorer.study.wants.want import Want


@dataclass(frozen=True)
class Complaint:
    """One complaint in a rider's words.

    Attributes:
        id: Short name.
        says: What the rider says.
        measure: What to measure or look at first.
        means: What it usually means.
        can, cannot: What gearing can and what it cannot do about it.
        proposes (tuple of (str, dict of str to str)): Kinds of wants to start from, with their
            texts.
    """

    id: str
    says: str
    measure: str
    means: str
    can: str
    cannot: str
    proposes: tuple[tuple[str, Mapping[str, str]], ...]

    def wants(self) -> tuple[Want, ...]:
        """The wants that it proposes, each with the weight 3."""
        return tuple(read_want(kind, texts, 3) for kind, texts in self.proposes)


_ALL = (
    Complaint(
        "first-too-tall",
        "First is too tall",
        "Walk the slowest place in first with the clutch out, over 20 m with a stopwatch; note "
        "the speed at which the engine begins to stumble.",
        "In first gear the engine turns too slowly at walking pace, so the clutch has to slip.",
        "Shorter gearing lowers the clutch-out speed of every gear by the same share.",
        "A dragging or worn clutch, a poor idle or jetting, and clutch technique are not gearing: "
        "look at those first. First cannot be made shorter without the other gears.",
        (("clutch-out", {"speed": "6 km/h"}), ("keep-chain", {})),
    ),
    Complaint(
        "first-too-short",
        "First is only good for pulling tree stumps",
        "Note the speed at which first reaches the rev limit, and how soon you change up.",
        "First is so short that it is used for a moment only.",
        "Taller gearing raises the speed of every gear, and pulls less in each.",
        "The step from first to second stays as the gearbox has it.",
        (("few-shifts", {"course": "woods-loop", "shifts": "24"}),),
    ),
    Complaint(
        "no-revs-on-road",
        "I run out of revs on the road",
        "By GPS, both directions: the speed at which it stops pulling in top gear, and whether "
        "the engine is then at its rev limit or below it.",
        "At the rev limit in top gear the bike is geared out. Below it, it is out of power.",
        "If it is geared out, taller gearing raises the speed at the limiter and calms the cruise.",
        "If it is out of power at or below its power peak, taller gearing does not make it faster: "
        "top gear becomes an overdrive. More power or less drag would.",
        (
            ("legal-road", {"speed": "80 km/h", "engine_speed": "8000 rpm", "reserve": "10 %"}),
            ("top-speed", {"speed": "85 km/h"}),
        ),
    ),
    Complaint(
        "third-wont-pull",
        "Third won't pull it",
        "On the same hill: the speed at which third begins to lose, and what second does there. "
        "Watch whether the tyre spins or the engine fades.",
        "At that speed third turns the engine below where its power is, or the hill asks for "
        "more power than the engine has.",
        "Shorter gearing lets third turn faster at the same road speed, so it finds more power "
        "as long as the engine is below its peak.",
        "Gearing adds no power. If second at its best loses speed as well, only more power, less "
        "mass or speed carried into the hill helps. Altitude, jetting, a dirty air filter and a "
        "slipping clutch feel the same.",
        (("slope", {"slope": "15 %", "gear": "3"}),),
    ),
    Complaint(
        "between-gears",
        "I'm always between second and third",
        "GPS speed of that corner, and the engine speed in both gears there.",
        "The corner's speed falls into the gap: second is near the limiter, third below the band.",
        "Gearing can shift the gap to another speed, so that this corner falls into one gear; "
        "another corner then falls into the gap.",
        "No sprocket closes a gap between two gears: it moves all gears alike. Another gearbox or "
        "a wider power band would; carrying more speed or using the clutch may.",
        (
            ("corner", {"speed": "25 km/h"}),
            ("shift-out", {"corner_speed": "22 km/h", "exit_speed": "35 km/h", "shifts": "0"}),
        ),
    ),
    Complaint(
        "screams",
        "It screams all the way home",
        "Your longest steady speed by GPS, and the engine speed there.",
        "Top gear is short for that speed.",
        "Taller gearing lowers the engine speed at that road speed, as long as the power still "
        "holds it.",
        "If top gear does not hold the speed after the change, you will ride one gear lower and "
        "hear the same.",
        (("cruise", {"speed": "70 km/h", "engine_speed": "6500 rpm"}),),
    ),
    Complaint(
        "rowing",
        "I'm rowing through the gears all day",
        "Count the changes over one lap, and where the two most used gears meet.",
        "The places you ride at lie across a shift point.",
        "A change of gearing moves the shift points to other speeds; one gear may then cover a "
        "whole stretch.",
        "How many gears there are and how far apart is the gearbox's. Riding style decides as "
        "much.",
        (("few-shifts", {"course": "woods-loop", "shifts": "24"}),),
    ),
    Complaint(
        "loops-out",
        "The front comes up on every climb",
        "Note gear and throttle when it lifts, and where you sit.",
        "The pull exceeds what balance lets through; gearing is not the limit there.",
        "Taller gearing pulls less in the same gear; the next higher gear does it for nothing.",
        "Where balance or grip is the limit, no gearing climbs steeper: body position, line, "
        "tyre and speed do.",
        (("slope", {"slope": "25 %", "gear": "any"}),),
    ),
    Complaint(
        "stalls",
        "It stalls in every hairpin",
        "Check clutch drag, idle speed and lever free play as the manual says, then measure the "
        "clutch-out speed in first.",
        "Often technique or idle: the clutch was not in at the slowest moment.",
        "Shorter gearing lowers the speed at which the clutch must come in.",
        "It does not replace clutch control, and it cures neither a dragging clutch nor jetting.",
        (("clutch-out", {"speed": "6 km/h"}),),
    ),
    Complaint(
        "jumps-short",
        "Since the change I come up short on the jump",
        "GPS speed at the take-off, now and before; do not judge it by engine note.",
        "The same engine note is another speed after a change of gearing.",
        "Going back, or a change small enough, restores the old engine note at that speed.",
        "The jump needs its speed, not its engine note: learn the markers again, at reduced risk.",
        (("jump", {"speed": "40 km/h", "gear": "3", "change": "3 %"}),),
    ),
)

COMPLAINTS: Mapping[str, Complaint] = MappingProxyType({each.id: each for each in _ALL})
"""Every complaint by its short name."""
