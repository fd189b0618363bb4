"""What links, distance, chain size and swingarm say about each other, and what to measure again."""

from explorer.app.fit_notes import length
from explorer.calc.chain.chain_diagnosis import Agreement
from explorer.study.fit_result import FitResult
from explorer.tasks.fit.words import HOW_TO_COUNT, HOW_TO_MEASURE


def diagnosis_sentences(result: FitResult) -> list[str]:
    """What links, distance, chain size and swingarm say about each other."""
    said = _links_and_distance(result)
    if result.other_size:
        distance = length(float(result.now.diagnosis.implied_distance), result.setup.units)
        said.append(
            f"{result.measured.links} links of {result.bike.chain.size} put the centres {distance} "
            f"apart, unusual for a motorcycle. Is it a {result.other_size}? Read the number on the "
            "chain's plates."
        )
    if not said[1:] and (apart := result.arm_disagrees) is not None and not result.doubtful:
        more = "more" if apart > 0 else "less"
        said.append(
            f"Your swingarm measures put the centres {length(abs(apart), result.setup.units)} "
            f"{more} apart than your chain does. Measure the swingarm again, wheel hanging."
        )
    return said


def _links_and_distance(result: FitResult) -> list[str]:
    diagnosis, system, measured = result.now.diagnosis, result.setup.units, result.measured
    links, even = measured.links, diagnosis.even_links
    implied, typed = float(diagnosis.implied_distance), measured.si("centre_distance")
    fitted, worn = result.now.fitted, ""
    if fitted and fitted.elongation and implied == fitted.centre_distance:
        worn = f" worn {100 * fitted.elongation:.1f} %"
    match int(diagnosis.agreement):
        case Agreement.AGREES:
            return [
                f"Links and tape agree: {links} links{worn} put the centres "
                f"{length(implied, system)} apart (computed), measured {length(typed, system)}."
            ]
        case Agreement.NO_CHAIN:
            said = [
                f"A chain of {links} links cannot go round these sprockets. Count teeth and "
                f"links again: {HOW_TO_COUNT}."
            ]
        case Agreement.ODD_COUNT:
            said = [
                f"{links} links is an odd number, and a chain closed with a joining link has an "
                f"even one. Count again: {HOW_TO_COUNT}. If it is odd, there is an offset link "
                "in it, which is weaker: see a mechanic."
            ]
        case Agreement.UNIT_SLIP:
            said = [
                f"A distance of {measured.get('centre_distance').text} looks typed in another "
                f"unit; about {length(typed / float(diagnosis.slip), system)} would make sense."
            ]
        case Agreement.MISCOUNT:
            return [
                f"The measured {length(typed, system)} goes with {int(even)} links, not {links}. "
                f"Count again: {HOW_TO_COUNT}. The count is used until you change it."
            ]
        case Agreement.WEAR if worn:
            return [
                f"The measured {length(typed, system)} is {length(diagnosis.difference, system)} "
                f"more than {links} links{worn} give. Measure chain and distance again."
            ]
        case Agreement.WEAR:
            return [
                f"The measured {length(typed, system)} is {length(diagnosis.difference, system)} "
                f"more than {links} new links give. Wear of "
                f"{100 * float(diagnosis.as_wear):.1f} % would explain it: measure the chain "
                "under “Chain wear”, and the distance again."
            ]
        case Agreement.UNEXPLAINED:
            return [
                f"No chain with {links} links, nor with an even number near it, puts the centres "
                f"{length(typed, system)} apart; {links} links{worn} give "
                f"{length(implied, system)}. Measure again: {HOW_TO_MEASURE}. The count is used "
                "until then."
            ]
        case _:
            said = []
            if links is not None:
                return [
                    f"{links} links{worn} put the centres {length(implied, system)} apart "
                    f"(computed, chain taut). To check the count, {HOW_TO_MEASURE}."
                ]
    if result.now.fitted is not None:
        said.append(
            f"The page goes on with {result.now.fitted.links} links, the even number nearest to "
            f"the measured distance ({float(diagnosis.implied_links):.1f}). Count them to be sure: "
            f"{HOW_TO_COUNT}."
        )
    return said
