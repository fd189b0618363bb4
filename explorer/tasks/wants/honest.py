"""The honest part: what no gearing does and what would, what excludes what, and open questions.

Arguments of the trade on front or rear are given as arguments; nothing here settles them.
"""

from explorer.calc import gearing
from explorer.records.bikes.bike import Bike
from explorer.records.fitting.parts import sides
from explorer.study.certainty import INPUT_NAMES
from explorer.study.course_said import racing_words
from explorer.study.study import Study
from explorer.study.wants.complaints import COMPLAINTS, Complaint
from explorer.study.wants.mixes import terrains
from explorer.study.wants.reasons import Reason
from explorer.study.wants.wants_cannot import Cannot
from explorer.study.wants.wants_result import WantsResult
from explorer.study.wants.wants_robust import decided_by
from explorer.study.wants.wants_short_list import ShortList
from explorer.study.wording import listed
from explorer.tasks.wants.words import SAY

FRONT_OR_REAR = sides("front_or_rear")
"""Front or rear: the trade does not agree; common practice, no source."""


def front_or_rear_words(bike: Bike) -> str:
    """What one front tooth is worth on this bike, in rear teeth."""
    front, rear = bike.sprockets.front, bike.sprockets.rear
    teeth = gearing.rear_teeth_per_front_tooth(front, rear)
    return (
        f"From {front}/{rear}: one tooth off the front ≈ {teeth.for_one_fewer:.1f} more at the "
        f"rear; one more at the front ≈ {teeth.for_one_more:.1f} fewer at the rear."
    )


def honest_words(result: WantsResult) -> list[str]:
    """What no gearing meets, what cannot be had together, and what must be measured first."""
    said = [cannot_words(result, each) for each in result.cannot]
    said += [
        f"No pair that can be built meets both: {result.judged[each.first].name}, and "
        f"{result.judged[each.second].name}. Decide which weighs more."
        for each in result.conflicts
    ]
    said += [
        f"{each.name} could not be judged and counts for nothing. {each.unknown}"
        for each in result.judged
        if each.unknown
    ]
    return list(dict.fromkeys(said))


def cannot_words(result: WantsResult, cannot: Cannot) -> str:
    """Why no gearing meets a want, and what would."""
    judged = result.judged[cannot.want]
    pair = "/".join(map(str, result.pair(cannot.nearest)))
    start = (
        f"{judged.name}: no pair sold for this bike meets it. The nearest is {pair}: "
        f"{judged.value_words(cannot.nearest, result.system)}, "
        f"{judged.margin_words(cannot.nearest, result.system)}. "
    )
    if cannot.why.reason is Reason.DOES_NOT_FIT:
        return (
            f"{judged.name}: {pair} would meet it, but no chain of yours goes on it. "
            "Another chain or another pair of the same ratio may; see the fitting page."
        )
    return start + cannot.why.cure


def complaint_words(complaint: Complaint) -> list[tuple[str, str]]:
    """A complaint answered: heading and sentence for each step."""
    return [
        ("Measure first", complaint.measure),
        ("What it usually means", complaint.means),
        ("What gearing can do", complaint.can),
        ("What gearing cannot do", complaint.cannot),
    ]


def list_words(listing: ShortList) -> list[str]:
    """What to say above the short list."""
    said, best = [], listing.best
    if other := listing.outscored_by:
        said.append(
            f"{other.front}/{other.rear} scores {other.score:.2f}, {best.front}/{best.rear} "
            f"{best.score:.2f}: about equal. {best.front}/{best.rear} comes first because it "
            "needs fewer parts."
        )
    elif best.by_luck:
        said.append(SAY["just-first"])
    result, setup = listing.result, listing.result.setup
    if best.index != result.now:
        there = Study.of(result.bike, setup.changed(front=best.front, rear=best.rear))
        said += racing_words(there, result.wishes)
    return said + _met_words(listing) + _decided_words(listing)


def _met_words(listing: ShortList) -> list[str]:
    """Complaints that the bike does not bear out: what they ask for is met as fitted."""
    result, said = listing.result, []
    met = {
        each.want.said: each.value_words(result.now, result.system)
        for each in result.judged
        if not each.unknown and each.met[result.now]
    }
    fitted = "/".join(map(str, result.pair(result.now)))
    for complaint in (COMPLAINTS[name] for name in result.wishes.ticked):
        asked = [want.said for want in complaint.wants() if want.kind != "keep-chain"]
        if all(each in met for each in asked):
            figures = listed([met[each] for each in asked])
            said.append(
                f"“{complaint.says}”: {fitted} should be fine for that ({figures}). "
                f"{complaint.cannot}"
            )
    return said


_INPUTS = {**INPUT_NAMES, "head_wind": "wind", "altitude": "altitude"}


def _decided_words(listing: ShortList) -> list[str]:
    """On which unsure number the choice between the first two of the list hangs."""
    result = listing.result
    if len(listing.entries) < 2:
        return []
    first, second = listing.entries[:2]
    placed = [each.placed for each in result.judged]
    found = decided_by(result.robust, placed, first.index, second.index)
    if not found:
        return []
    names = [
        _INPUTS[name] if name in _INPUTS else f"the share of {terrains()[name].label.lower()}"
        for name, _ in found
    ]
    measure = "measure one turn of your rear wheel" if "roll-out" in names else "look at that"
    return [
        f"Between {first.front}/{first.rear} and {second.front}/{second.rear} most hangs on "
        f"{listed(names)}: {measure} first."
    ]
