"""What the fit page says in sentences: the verdict first, then what to do or what to measure."""

import numpy as np

from explorer import units
from explorer.app.fit_notes import axle_phrase, left_of_adjuster, length
from explorer.calc.chain.chain_choice import Choice
from explorer.calc.chain.chain_fit import Fit, Verdict
from explorer.panels.html import sentences
from explorer.records.fields import Field
from explorer.records.fitting.fit_fields import FIT_FIELDS
from explorer.records.prose import read_prose
from explorer.study.fit_chain import axle_range
from explorer.study.fit_gaps import Gap
from explorer.study.fit_result import FitResult
from explorer.study.verdict import WORN_OUT
from explorer.study.wording import listed

SAY = read_prose("words/fit")

HOW_TO_COUNT, HOW_TO_MEASURE = SAY["how-to-count"], SAY["how-to-measure"]

UNKNOWN_HERE = read_prose("unknown")["fit"]

_LIFETIME = 0.03
"""Elongation at which the most lenient published limit ends a chain (calc.chain.chain_wear) [-]."""


def as_read(field: Field, text: str, system: str) -> str:
    """A text of a field's table in the reader's units."""
    if field.kind != "length" or system == "metric" or not text[0].isdigit():
        return text
    return length(units.known(text, "length"), system)


def defaults_used(result: FitResult) -> list[str]:
    """One sentence for each default in use that needs a reason."""
    return [
        f"{field.label}: {as_read(field, field.default, result.setup.units)}, {field.why}."
        for field in FIT_FIELDS
        if field.why and not result.measured.text(field.name)
    ]


def pair(front: int, rear: int) -> str:
    """A pair as it is written everywhere."""
    return f"{front}/{rear}"


def chain_phrase(choice: Choice, fit: Fit, links_now: int) -> str:
    """Which chain, in a few words."""
    links = int(fit.links)
    changed = links - links_now
    match choice:
        case Choice.FEWEST_CHANGED if changed:
            done = f"{abs(changed)} links {'added' if changed > 0 else 'taken out'}"
            return f"your chain with {done}, {links} links"
        case Choice.KEEP_CHAIN | Choice.FEWEST_CHANGED:
            return f"your chain of {links} links, uncut"
        case Choice.SHORTEST:
            return f"a new chain of the fewest links, {links}"
        case _:
            return f"a new chain of {links} links"


def headline(result: FitResult) -> str:
    """The verdict in a few words, with its margin; a worn-out chain comes first."""
    renew = "Your chain is worn out: fit a new one. " if result.renewed else ""
    return renew + _verdict(result)


def to_settle(result: FitResult) -> str:
    """What to settle before parts are bought; empty where nothing is."""
    worn = [WORN_OUT] if result.now.worn_out else []
    return " ".join(worn if result.fits else [*worn, _verdict(result)])


def _verdict(result: FitResult) -> str:
    setup, system = result.setup, result.setup.units
    name = pair(setup.front, setup.rear)
    if result.mismatches:
        return f"{name} does not fit: {_labels(result.mismatches)} must match first."
    if result.touching and result.verdict <= Verdict.CLOSE:
        return f"{name} does not fit: {_touching(result)}"
    lacking = SAY["room-unknown" if result.now.fitted else "links-unknown"]
    if result.stays_on and not (result.now.fitted and result.now.rooms_known):
        return f"{name} is on your bike with this chain. What else fits is {lacking}"
    if result.now.fitted is None:
        return f"{name}: {lacking}"
    match result.verdict:
        case Verdict.FITS:
            if doubt := _doubt(result):
                return f"{name} would fit, but {doubt}."
            left = left_of_adjuster(result.fit, system)
            if result.renewed:
                return f"{name} fits with {int(result.fit.links)} links, {left}."
            return f"{name} fits, with {left}."
        case Verdict.CLOSE:
            return f"{name} is close: {_left_or_not(result.fit, result)}."
        case Verdict.TOO_SHORT | Verdict.TOO_LONG as verdict:
            missing = length(-result.fit.margin, system)
            way = "forward" if verdict == Verdict.TOO_SHORT else "back"
            return (
                f"{name} does not fit: the axle would have to go {missing} further {way} than "
                "the adjuster allows."
            )
        case Verdict.NO_CHAIN:
            return f"{name} {SAY['links-too-few']}"
    return f"{name}: {lacking}"


def _doubt(result: FitResult) -> str:
    """What is wrong where the chain would reach; empty if nothing is."""
    if result.doubtful:
        links, typed = result.measured.links, result.measured.text("centre_distance")
        return f"{links} links and {typed} don't match. Count and measure again"
    if result.other_size:
        return (
            f"{result.measured.links} links is an odd length for a {result.bike.chain.size} chain"
        )
    if result.miscounted:
        return SAY["miscounted"]
    if result.contradicted:
        return (
            f"by what was measured the fitted pair touches too: {_gap_names(result.contradicted)}"
        )
    return ""


def css_class(result: FitResult) -> str:
    """Look of the headline; the words say the same."""
    if result.fits:
        return "ge-fits"
    return "ge-fits-not" if result.ruled_out else "ge-fits-maybe"


def verdict_sentences(result: FitResult) -> list[str]:
    """Why, and what to do."""
    setup, system, now = result.setup, result.setup.units, result.now.fitted
    sprockets = result.bike.sprockets
    said = [
        f"Front sprocket {setup.front} teeth, rear sprocket {setup.rear} teeth; fitted now: "
        f"{pair(sprockets.front, sprockets.rear)}."
    ]
    if result.now.worn_out:
        said.insert(0, WORN_OUT)
    if result.mismatches:
        said.append(
            f"Ticked as not matching: {_labels(result.mismatches)}. Such parts cannot be used, "
            "whatever the chain's length; find the right part, then tick again."
        )
    if result.fit is None:
        return said + _contacts(result) + missing_sentences(result)
    movement = float(result.fit.movement)
    said.append(
        f"With {chain_phrase(result.choice, result.fit, now.links)}: "
        f"{axle_phrase(movement, system)}."
    )
    if result.choice is Choice.SHORTEST and result.measured.chain == "new":
        said.append(SAY["number-of-new"])
    if result.choice is Choice.NEW_CHAIN and int(result.fit.links) % 2:
        said.append(
            f"{int(result.fit.links)} links is odd: it needs an offset (cranked) link, which is "
            "weaker. Take an even number."
        )
    if not result.now.rooms_known:
        return said + _contacts(result) + missing_sentences(result)
    if result.verdict == Verdict.FITS:
        left = length(result.fit.room_back, system)
        wear = float(result.fit.wear_room)
        enough = "a chain's whole life" if wear > _LIFETIME else f"{100 * wear:.1f} % of wear"
        said.append(f"That leaves {left} to the rear, enough for {enough}.")
    elif result.verdict == Verdict.CLOSE:
        said.append(SAY["measure-room"])
    else:
        said += advice(result)
    said += _contacts(result)
    if result.unchecked and not result.mismatches:
        said.append(f"Before buying, check what must match: {_labels(result.unchecked)}.")
    return said + missing_sentences(result)


def advice(result: FitResult) -> list[str]:
    """What fits instead, the mildest first."""
    setup, now = result.setup, result.now.fitted
    said = []
    for choice in _to_try(result):
        option = result.options[choice]
        if option.verdict != Verdict.FITS or choice is result.choice:
            continue
        if not result.contacts[choice]:
            said.append(
                f"It fits with {chain_phrase(choice, option, now.links)}: "
                f"{axle_phrase(float(option.movement), setup.units)}, "
                f"{length(option.margin, setup.units)} of adjuster left."
                + (f" {SAY['new-on-old']}" if _adds_links(result, choice) else "")
            )
            break
        said.append(
            f"The chain reaches with {chain_phrase(choice, option, now.links)}, but then this "
            f"touches: {_gap_names(result.contacts[choice])}."
        )
    else:
        said += _nearly(result)
        if result.counts is not None and np.isfinite(result.counts.offset_only):
            said.append(
                f"Last resort: {int(result.counts.offset_only)} links with an offset (cranked) "
                "link would reach, but it is weaker than the chain. Another pair is better."
            )
    if result.nearest is not None:
        said.append(
            f"The pair nearest to this ratio that fits with the chosen chain is "
            f"{pair(*result.nearest)}."
        )
    else:
        besides = " without touching" if result.gaps else ""
        said.append(f"With the chosen chain no pair sold for this bike fits{besides}.")
    return said


def _adds_links(result: FitResult, choice: Choice) -> bool:
    fewest = choice is Choice.FEWEST_CHANGED
    return fewest and result.options[choice].links > result.now.fitted.links


def _to_try(result: FitResult) -> list[Choice]:
    """Chains that the page tries of itself, the mildest change first; a new one before a patch."""
    wanted = [each for each in result.options if each is not Choice.NEW_CHAIN]
    return sorted(wanted, key=lambda each: (_adds_links(result, each), each))


def _nearly(result: FitResult) -> list[str]:
    """What comes nearest where no even number of links fits for sure."""
    close = [
        (choice, result.options[choice])
        for choice in _to_try(result)
        if choice is not result.choice and result.options[choice].verdict == Verdict.CLOSE
    ]
    within = [(choice, option) for choice, option in close if option.margin >= 0]
    said = []
    if not within:
        said.append(SAY["no-even-number"])
    for choice, option in (within or close)[:1]:
        said.append(
            f"It is close with {chain_phrase(choice, option, result.now.fitted.links)}: "
            f"{axle_phrase(float(option.movement), result.setup.units)}, "
            f"{_left_or_not(option, result)}. Measure the room again before you choose it."
        )
    return said


def _whatever_the_chain(result: FitResult) -> str:
    """What holds before anything is measured."""
    setup = result.setup
    ends = axle_range(result.bike, setup.front, setup.rear)
    per_unit, unit = units.display(1.0, "length", setup.units)
    digits = 1 if setup.units == "metric" else 2
    way = "to the rear" if ends[0] > 0 else "forward"
    amount = units.ends(*sorted(abs(each * per_unit) for each in ends), digits, units.rounded)
    return (
        f"With your chain uncut, {pair(setup.front, setup.rear)} moves the axle {amount} {unit} "
        f"{way}, whatever its length (104 to 136 links). If your adjuster has that much room "
        f"{way}, it fits."
    )


def missing_sentences(result: FitResult) -> list[str]:
    """What to measure, and how."""
    measured = result.measured
    said = []
    if result.now.fitted is None:
        if not result.same_pair:
            said.append(_whatever_the_chain(result))
        said.append(f"Count the links of the chain: {HOW_TO_COUNT}. The number is even.")
        if not measured.known("centre_distance"):
            said.append(f"Or, for a first answer, {HOW_TO_MEASURE}.")
    elif result.fit is None:
        number = ", or give the number of links of the new chain" if measured.chain == "new" else ""
        said.append(
            "The fewest links of a new chain depend on the room of the adjuster, and so does "
            f"where the axle goes: measure that room first{number}."
        )
    ways = (("room_forward", "forward"), ("room_back", "to the rear"))
    if open_ways := [way for name, way in ways if not measured.known(name)]:
        said.append(
            f"Measure how far the axle can still go {' and '.join(open_ways)} from where it is "
            "now, on both sides, with a vernier or at the adjuster marks, and give the shorter."
        )
    return said


def checklist_sentences(result: FitResult) -> list[str]:
    """What blocks the verdict, what is open, or that all is ticked."""
    said = []
    if result.mismatches:
        said.append(f"Does not match, so nothing fits yet: {_labels(result.mismatches)}.")
    if result.unchecked:
        said.append(f"Not checked yet: {_labels(result.unchecked)}.")
    return said or [SAY["all-ticked"]]


def twins_words(result: FitResult) -> str:
    """Why pairs of one ratio are not one choice, as a paragraph."""
    if result.map is None:
        return sentences([SAY["twins-unknown"]], "ge-said")
    if not result.twins:
        return sentences([SAY["no-twins"]])
    return sentences([SAY["twins"]], "ge-said")


def riding_words(result: FitResult) -> list[str]:
    """How to look at the change before the first ride."""
    return [SAY["nothing-changed" if result.nothing_changed else "first-ride"]]


def _left_or_not(fit: Fit, result: FitResult) -> str:
    """The same with how far off it may be."""
    return (
        f"{left_of_adjuster(fit, result.setup.units)}, and your measure of it may be off by "
        f"{result.measured.get('uncertainty').text}"
    )


def _contacts(result: FitResult) -> list[str]:
    """By how much the chosen pair touches, and what to do."""
    where = "" if result.axle_known else " with the axle where it is now"
    return [
        f"{gap.name}: {length(gap.after, result.setup.units)}{where}, so it touches. Choose "
        "another pair or chain."
        for gap in result.touching
    ] + [
        f"{gap.name}: by what was measured, {length(gap.before, result.setup.units)} with the "
        "fitted pair already. Look at the bike, and measure again."
        for gap in result.contradicted
    ]


def _touching(result: FitResult) -> str:
    """What touches, and what is known of the chain besides, as the end of a headline."""
    where = "" if result.axle_known else " with the axle where it is now"
    contact = f"this touches{where}: {_gap_names(result.touching)}."
    match result.verdict:
        case Verdict.FITS:
            return f"the chain reaches, but {contact}"
        case Verdict.CLOSE:
            return f"the chain may just reach, but {contact}"
    return f"{contact} Whether the chain reaches is not known yet."


def _gap_names(gaps: tuple[Gap, ...]) -> str:
    return _labels(tuple(gap.name for gap in gaps))


def _labels(names: tuple[str, ...]) -> str:
    return listed([name[:1].lower() + name[1:] for name in names])
