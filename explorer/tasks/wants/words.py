"""What the wants page says in sentences: each want met or missed, and the short list's reasons.

Plain text throughout: the page escapes it when it shows it.
"""

from explorer import units
from explorer.app.fit_notes import SHORT_VERDICTS
from explorer.calc.chain.chain_choice import Choice
from explorer.calc.chain.chain_fit import Verdict
from explorer.calc.drivetrain.top_speed import Limit
from explorer.records.prose import read_prose
from explorer.study.certainty import signed_percent
from explorer.study.compared import noticeably_faster
from explorer.study.fit_chain import chain_now
from explorer.study.verdict import WORN_OUT
from explorer.study.wants.scene import scene_of
from explorer.study.wants.wants_placed import usual_ground
from explorer.study.wants.wants_rank import asked
from explorer.study.wants.wants_result import WantsResult
from explorer.study.wants.wants_short_list import COMPROMISE, ONE_TOOTH, Change, Listed, ShortList
from explorer.study.wants.wants_why_not import WhyNot
from explorer.study.wording import LIMIT_WORDS, listed, ordinal

SAY = read_prose("words/wants")

FEWEST_FRONT = 12
"""Front teeth below which the trade warns (common practice, no source)."""


def recommendation(listing: ShortList) -> tuple[str, str]:
    """What to do, in a few words, and why: the verdict of the bench on the same pair."""
    result, best = listing.result, listing.best
    fitted = "/".join(map(str, result.pair(result.now)))
    if not listing.wanted:
        return "Nothing wanted yet", "Tick what hurts below: the short list comes at once."
    worn = f"{WORN_OUT} " if chain_now(result.bike, result.measured).worn_out else ""
    if best.index == result.now:
        met = all(each.met[result.now] for each in result.judged if each.weight)
        why = (
            f"{fitted} should do all that you ask already"
            if met
            else "No pair sold for this bike serves your wants noticeably better"
        )
        return f"Keep {fitted}", f"{worn}{why}. Look at technique, tyres, clutch and jetting first."
    pair = f"{best.front}/{best.rear}"
    if result.now in best.equal_to or listing.verdicts[best.index].keep:
        return f"Keep {fitted}", f"{worn}{pair} is too close to call."
    why = listing.verdicts[best.index].sentence(result.system)
    if COMPROMISE in best.roles:
        worse = [result.judged[each.want] for each in best.losses]
        names = listed([each.want.label for each in worse if asked(each)])
        why += f" A compromise. Worse than now: {names}."
    return f"Try {pair}", why


def listed_words(listing: ShortList, entry: Listed) -> list[str]:
    """Everything that speaks for and against one set-up of the short list."""
    result = listing.result
    said = (
        [listing.verdicts[entry.index].compared(result.system)] if entry.index != result.now else []
    )
    known = len(entry.met) + len(entry.missed)
    if known:
        left = len(result.judged) - known
        unknown = f", {left} not known" if left else ""
        said.append(f"Meets {len(entry.met)} of {known} wants{unknown}; score {entry.score:.2f}.")
    said += [_missed_words(result, n, entry.index) for n in entry.missed]
    if entry.index != result.now:
        said += [_change_words(result, each, entry.index, "Gains") for each in entry.gains]
        said += [_change_words(result, each, entry.index, "Costs") for each in entry.losses]
        if not entry.gains:
            said.append(SAY["nothing-gained"])
    said += top_speed_words(result, entry.index)
    said.append(_chain_words(result, entry))
    said += _cautions(result, entry)
    if entry.index != result.now and entry.parts is not None and entry.cost is not None:
        said += [entry.parts.sentence, entry.cost.sentence]
    said += _sure_words(listing, entry)
    if ONE_TOOTH in entry.roles:
        said.append(SAY["careful"])
    return said


def _missed_words(result: WantsResult, number: int, index: int) -> str:
    judged, system = result.judged[number], result.system
    value = judged.value_words(index, system)
    # Once is enough.
    same = judged.want.value_is_margin
    by_how_much = "" if same else f", {judged.margin_words(index, system)}"
    return f"Misses {judged.name}: {value}{by_how_much}."


def _cautions(result: WantsResult, entry: Listed) -> list[str]:
    """What to look at on the bike before buying; common practice, no source."""
    fitted, ratio = result.bike.sprockets, result.ratio
    said = []
    if entry.front < min(FEWEST_FRONT, fitted.front):
        said.append(SAY["few-teeth"])
    if entry.front > fitted.front:
        said.append(SAY["large-front"])
    if entry.rear > fitted.rear:
        said.append(SAY["large-rear"])
    if result.measured.get("pickup") == "gearbox" and ratio[entry.index] != ratio[result.now]:
        reads = signed_percent(float(ratio[entry.index] / ratio[result.now]) - 1)
        said.append(
            f"The speedometer is driven from the gearbox: at the same true speed it will read "
            f"{reads} against what it reads now. Check it by GPS."
        )
    return said


def _change_words(result: WantsResult, change: Change, index: int, word: str) -> str:
    judged = result.judged[change.want]
    before, after = (judged.margin_words(each, result.system) for each in (result.now, index))
    doubt = "" if change.sure else " No real change."
    return f"{word}: {judged.name}; now {before}, then {after}.{doubt}"


def top_speed_words(result: WantsResult, index: int) -> list[str]:
    """What ends the top speed with a pair not fitted, and where taller does not raise it."""
    if index == result.now:
        return []
    top = scene_of(result.bike, usual_ground(result.setup)).top
    speeds = float(top.speed[result.now]), float(top.speed[index])
    limits = [Limit(int(top.limit[each])) for each in (result.now, index)]
    if Limit.CANNOT_HOLD in limits:
        return [SAY["no-steady-speed"]]
    after = units.text(speeds[1], "speed", result.system)
    said = [f"Top speed on the set ground: {after}, limited by {LIMIT_WORDS[limits[1]]}."]
    taller = result.ratio[index] < result.ratio[result.now]
    if taller and limits[1] is Limit.POWER and not noticeably_faster(speeds[1], speeds[0]):
        gear, gears = int(top.gear[index]) + 1, len(result.bike.gearbox.ratios)
        fastest = f", and {ordinal(gear)} is now the fastest gear" if gear < gears else ""
        said.append(
            "Taller here does not mean noticeably faster: the bike is out of power, not out of revs"
            f"{fastest}. What taller gearing gives is fewer revolutions at the same speed."
        )
    return said


def chain_words(result: WantsResult, entry: Listed) -> str:
    """Whether a chain goes on a set-up, and with which, in a few words."""
    if entry.index == result.now:
        return "a new one" if chain_now(result.bike, result.measured).worn_out else "as it is"
    said = SHORT_VERDICTS[entry.verdict].split(":")[0]
    if entry.choice == Choice.KEEP_CHAIN or entry.verdict not in (Verdict.FITS, Verdict.CLOSE):
        return said
    kept = int(result.chains.kept[entry.index])
    if kept == Verdict.CLOSE:
        return f"close with your chain; {said} with {_chain(entry)}"
    return f"{said} {'only ' if kept > Verdict.CLOSE else ''}with {_chain(entry)}"


def _chain(entry: Listed) -> str:
    return {
        Choice.KEEP_CHAIN: "the present chain, uncut",
        Choice.FEWEST_CHANGED: f"the present chain changed to {entry.links:.0f} links",
    }.get(Choice(entry.choice), f"a new chain of {entry.links:.0f} links")


def _chain_words(result: WantsResult, entry: Listed) -> str:
    verdict = SHORT_VERDICTS[entry.verdict]
    if entry.index == result.now:
        return f"Chain: {chain_words(result, entry)}."
    if entry.verdict not in (Verdict.FITS, Verdict.CLOSE):
        return f"Chain: {verdict}."
    way = "to the rear" if entry.movement > 0 else "forward"
    moved = units.text(abs(entry.movement), "length", result.system)
    return f"Chain: {_chain(entry)}: {verdict}; the axle moves {moved} {way}."


def _sure_words(listing: ShortList, entry: Listed) -> list[str]:
    result = listing.result
    said = []
    if entry.equal_to:
        pairs = listed(["/".join(map(str, result.pair(each))) for each in entry.equal_to])
        said.append(f"About equal to {pairs}: let cost and the chain decide.")
    trials = result.robust.scores.shape[0]
    said.append(
        f"In {trials} trials with bike, rider, tyre, ground, wind, altitude and mix "
        f"varied within their limits it was best in {entry.share_best:.0%} and in the top three "
        f"in {entry.share_listed:.0%}.".replace("%", " %")
    )
    if entry.by_luck:
        said.append(SAY["just-first-numbers"])
    return said


def role_words(entry: Listed) -> str:
    """Why a set-up is listed, in a few words."""
    return listed(list(entry.roles))


def why_not_words(listing: ShortList, why: WhyNot) -> list[str]:
    """The answer to "why not this one?": which pair is preferred, and for what."""
    result = listing.result
    if why.reason == "unknown pair":
        return [SAY["not-sold"]]
    pair = "/".join(map(str, result.pair(why.index)))
    if why.reason == "listed":
        return [f"{pair} is on the short list."]
    other = "/".join(map(str, result.pair(why.other)))
    first = {
        "does not fit": f"{pair} {_no_chain(result, why.index)}.",
        "dominated": f"{other} satisfies every want at least as well as {pair}, needs no more "
        "parts, and is better in something.",
        "not faster": f"{pair} comes out better in top speed alone, by too little to notice. As "
        "fitted the bike is out of power, not of revs: we don't call a taller pair faster when it "
        "gains so little.",
        "equal": f"{pair} and {other} are about equal: {pair} would do as well. {other} is listed "
        "because it scores a little higher or changes less.",
        "misses": f"{pair} misses what {other} meets.",
        "beaten": f"{other} satisfies your wants better than {pair}, by weight.",
    }[why.reason]
    said = [first]
    if why.reason != "does not fit":
        said += [_against(result, n, why.index, why.other) for n in why.wants]
    said += [f"In its favour: {_against(result, n, why.index, why.other)}" for n in why.better]
    if why.reason == "dominated" and not why.wants:
        costs = result.costs
        said.append(
            f"{other} needs fewer or cheaper parts for the same."
            if costs.parts[why.other] < costs.parts[why.index]
            or costs.total[why.other] < costs.total[why.index]
            else f"{other} is better by less than a rider would notice."
        )
    return said


def _no_chain(result: WantsResult, index: int) -> str:
    return SHORT_VERDICTS.get(int(result.chains.verdict[index]), "does not fit")


def _against(result: WantsResult, number: int, index: int, other: int) -> str:
    one, two = ("/".join(map(str, result.pair(each))) for each in (index, other))
    judged, system = result.judged[number], result.system
    return (
        f"{judged.name}: {one} {judged.margin_words(index, system)}, "
        f"{two} {judged.margin_words(other, system)}."
    )
