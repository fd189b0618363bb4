"""The verdict on a set-up, in one sentence or two: the same on every page and in the table.

What you gain, what it costs, whether it fits, what to buy; or keep what you have.
"""

import math
from dataclasses import dataclass

from explorer import units
from explorer.calc import gearing
from explorer.calc.chain.chain_choice import Choice
from explorer.calc.chain.chain_fit import Verdict as Fits
from explorer.calc.statistics.sampling import Change
from explorer.records.bikes.begun_bike import asks
from explorer.records.bikes.bike import Bike
from explorer.records.bikes.own_bike import curve_said
from explorer.records.fitting.fit import Measurements
from explorer.records.setups.comparison import Fitment
from explorer.records.setups.setup import Setup
from explorer.records.tyre import same_size
from explorer.study.certainty import is_real, judged
from explorer.study.compared import noticeably_faster, shortness
from explorer.study.fit_chain import UNKNOWN, chain_now
from explorer.study.fit_gaps import gaps_that_touch
from explorer.study.study import FITTED, Study
from explorer.study.wants.wants_chain import pair_chains

FEELS_ALIKE = 0.015
"""Change of the overall gearing that no rider feels (our choice; one rear tooth is 2 %) [-]."""

WORN_OUT = "The chain is worn out by your manual's limit; check the sprockets."

_REAR_GAPS = ("guide_gap", "arm_gap")


@dataclass(frozen=True)
class Verdict:
    """What there is to say of one set-up against the fitted one.

    Attributes:
        change: Overall ratio over roll-out, over the fitted one's, less 1; positive is shorter [-].
        top: Top speed less the fitted one's, with its own band; None where one of them holds none
            [m/s].
        notices_top: Whether a rider notices that difference.
        sure_way: Whether it is sure which of the two is geared shorter; not on every other tyre.
        fits: Code of :class:`explorer.calc.chain.chain_fit.Verdict`, or UNKNOWN.
        choice: Which chain, code of `chain_choice.Choice`.
        links: Links of that chain; NaN where not known [count].
        movement: How far the axle goes back for it; NaN where not known [m].
        other_tyre: Whether it needs another size of tyre.
        blocked: What else is in the way, in a few words; empty for nothing.
        missing: What to count or measure before it is known whether it fits; empty for nothing.
        assumes: What decides the top speed and nobody gave, in a clause; empty for nothing.
        worn_out: Whether the chain on the bike is past the limit typed from its manual.
    """

    front: int
    rear: int
    fitted_front: int
    fitted_rear: int
    change: float
    top: Change | None
    notices_top: bool
    sure_way: bool
    fits: int
    choice: int
    links: float
    movement: float = math.nan
    other_tyre: bool = False
    blocked: str = ""
    missing: str = ""
    assumes: str = ""
    worn_out: bool = False

    @property
    def same_pair(self) -> bool:
        """Whether these are the sprockets on the bike."""
        return (self.front, self.rear) == (self.fitted_front, self.fitted_rear)

    @property
    def keep(self) -> bool:
        """Whether it is too close to the fitted gearing to be worth buying."""
        return not self.same_pair and abs(self.change) < FEELS_ALIKE

    def sentence(self, system: str) -> str:
        """The verdict for a reader of these units; a worn-out chain comes first."""
        return f"{WORN_OUT} {self.compared(system)}" if self.worn_out else self.compared(system)

    def compared(self, system: str) -> str:
        """The same without a word on wear."""
        if self.same_pair and not self.other_tyre:
            return "This is the fitted gearing. Drag a sprocket to compare."
        if self.keep:
            return f"{self._pair} feels like what you have. Keep what you have."
        buy = [f"To buy: {self.parts} + small parts."] if self.parts else []
        return " ".join([self._gain, *self._top(system), self.chain, *buy])

    @property
    def _pair(self) -> str:
        return f"{self.front}/{self.rear}"

    @property
    def _gain(self) -> str:
        """Pull changes by R2/R1 − 1, speed at the same rpm by R1/R2 − 1: never one number."""
        if not self.sure_way:
            return f"{self._pair} on this tyre may gear either way: roll both tyres one turn."
        more, slower = 100 * self.change, 100 * (1 / (1 + self.change) - 1)
        if self.change > 0:
            return (
                f"{self._pair} pulls {more:.1f} % harder at the same rpm and runs "
                f"{-slower:.1f} % slower."
            )
        return (
            f"{self._pair} runs {slower:.1f} % faster at the same rpm and pulls {-more:.1f} % less."
        )

    def _top(self, system: str) -> list[str]:
        """No sign that its band does not carry; its digits are those of every other page."""
        if self.top is None:
            return []
        said, real = judged(self.top, *units.display(1.0, "speed", system))
        if not real:
            said = "no real change"
        elif not self.notices_top and is_real(*self.top):
            said = "no change you would notice"
        assuming = f"; {self.assumes}" if self.assumes else ""
        return [f"Top speed: {said}{assuming}."]

    @property
    def chain(self) -> str:
        """Whether it fits, and with which chain, in a sentence."""
        if self.blocked:
            return f"It does not fit: {self.blocked}."
        match self.fits:
            case Fits.FITS if self.choice == Choice.KEEP_CHAIN:
                return "Your chain fits."
            case Fits.FITS:
                return f"It fits with a chain of {self.links:.0f} links."
            case Fits.CLOSE:
                return "The chain may just fit: measure the adjuster again."
            case _ if self.fits == UNKNOWN:
                return f"Fit? {self.missing[:1].upper()}{self.missing[1:]}."
        return "It does not fit within your adjuster."

    @property
    def parts(self) -> str:
        """What to buy; nothing where it does not fit."""
        if self.blocked or self.fits not in (Fits.FITS, Fits.CLOSE):
            return ""
        found = [
            name
            for name, needed in (
                ("front sprocket", self.front != self.fitted_front),
                ("rear sprocket", self.rear != self.fitted_rear),
                ("chain", self.choice in (Choice.SHORTEST, Choice.NEW_CHAIN)),
                ("tyre", self.other_tyre),
            )
            if needed
        ]
        return " and ".join(found)


def _touching(
    bike: Bike, setup: Setup, measured: Measurements, pair: Fitment, movement: float
) -> str:
    """What a pair would touch where nothing may touch, by the gaps that were measured."""
    if not measured.known("plate_height") and not any(map(measured.known, _REAR_GAPS)):
        return ""
    there = setup.model_copy(update={"front": pair.front, "rear": pair.rear})
    gaps = gaps_that_touch(bike, there, measured, movement)
    names = ", ".join(f"{gap.name[:1].lower()}{gap.name[1:]}" for gap in gaps)
    return f"this touches: {names}" if names else ""


def verdicts_of(study: Study, measured: Measurements) -> list[Verdict]:
    """The verdict on each set-up of a study, the fitted one first.

    >>> from explorer.records.bikes.bike_library import demo_bikes
    >>> bike = demo_bikes()["bracken-125"]
    >>> setup = Setup.for_bike("bracken-125", bike).changed(front=12, rear=50)
    >>> _, found = verdicts_of(Study.of(bike, setup), Measurements.for_bike(bike))
    >>> found.sentence("metric")
    '12/50 pulls 8.3 % harder at the same rpm and runs 7.7 % slower. Top speed: no real change. \
Your chain fits. To buy: front sprocket + small parts.'
    """
    bike, setup, fitments = study.bike, study.setup, study.fitments
    change = gearing.pull_change(shortness(study)[FITTED], shortness(study))
    top, sure = study.estimate("top").value, study.estimate("top").change_bands(FITTED)
    geared = study.estimate("geared")
    longer, sure_longer = geared.value - geared.value[FITTED], geared.change_bands(FITTED)
    notices = noticeably_faster(top, top[FITTED]) | noticeably_faster(top[FITTED], top)
    chains = pair_chains(bike, measured, *study.teeth)
    now = chain_now(bike, measured)
    missing = [] if now.fitted else ["count links"]
    missing += [] if now.rooms_known else ["measure the adjuster"]
    mismatch = ", ".join(each.lower() for each in measured.ticked("does not match"))
    return [
        Verdict(
            front=each.front,
            rear=each.rear,
            fitted_front=fitments[FITTED].front,
            fitted_rear=fitments[FITTED].rear,
            change=float(change[index]),
            top=Change(float(top[index] - top[FITTED]), sure.at(index))
            if top[index] > 0 < top[FITTED] and not asks(bike.missing)
            else None,
            notices_top=bool(notices[index]),
            sure_way=is_real(float(longer[index]), sure_longer.at(index)),
            fits=int(chains.verdict[index]),
            choice=int(chains.choice[index]),
            links=float(chains.links[index]),
            movement=float(chains.movement[index]),
            missing=", ".join(missing),
            assumes=curve_said(bike).partition(" at ")[0],
            worn_out=now.worn_out,
            other_tyre=not same_size(each.tyre, fitments[FITTED].tyre),
            blocked=f"{mismatch} must match first"
            if mismatch
            else _touching(bike, setup, measured, each, float(chains.movement[index])),
        )
        for index, each in enumerate(fitments)
    ]
