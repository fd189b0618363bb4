"""One set-up's numbers are the same on every page that shows them, in both systems of units.

Random set-ups of the demo bikes, without a browser. Two pages may show a number to different
digits: then the finer one, rounded, is the coarser. ``--long`` draws one of each bike: every fact
of every page is compared on each.
"""

import random
import re
from collections import defaultdict
from dataclasses import dataclass

import pytest

from explorer.records.bikes.bike_library import demo_bikes
from tests.net import corpus
from tests.printed_bands import banded

SET_UPS, LONG_SET_UPS = 3, 5
BIKES = ("bracken-125", "fogbank-650", "marram-250", "sleet-450", "wagtail-85")
SURFACES = ("dry-asphalt", "forest-soil", "wet-grass", "hard-packed-gravel")

NUMBER = r"[+−]?[\d.]+"
UNIT = r"(?:km/h|mph|N|lbf|s)"
VALUE = rf"({banded(UNIT)}|{NUMBER} {UNIT})"
DIFFERENCE = rf"({banded(UNIT)}|(?:0 to )?{NUMBER} {UNIT})"
SAID = f"(?:no real change, {DIFFERENCE}|{DIFFERENCE} against)"
COMPARED = rf"{VALUE}[^|]*\|(?:no difference|{DIFFERENCE}(?: within the spread)?) {VALUE}"
TO_SPEED = r"0 to \d+ (?:km/h|mph)"

# Where the text of a page says a fact; each pattern has a group for each name.
FACTS: dict[str, list[tuple[tuple[str, ...], str]]] = {
    "gearing": [
        (("ratio fitted", "ratio"), rf"Final drive ratio\|({NUMBER})\|({NUMBER})"),
        (("top fitted", "top difference", "top"), rf"\|Top speed\|{COMPARED}"),
        (
            ("geared fitted", "geared difference", "geared"),
            rf"Geared speed, rev limit in top\|{COMPARED}",
        ),
        (("pull fitted", "pull difference", "pull"), rf"Largest pull in 1st\|{COMPARED}"),
        (("time fitted", "time difference", "time"), rf"\|{TO_SPEED}\|{COMPARED}"),
        (("top difference",) * 2, rf"Top speed: {SAID}"),
        (("time difference",) * 2, rf"{TO_SPEED}: {SAID}"),
        (("ratio", "ratio fitted"), r"final drive ratio ([\d.]+) .*?Fitted: [\d/]+, ([\d.]+)\."),
        (("top", "top fitted"), rf"Top speed: {VALUE} in .*?Fitted: {VALUE}"),
    ],
    "fit": [(("ratio",), r"adjuster left\|verdict\|[\d/]+\|([\d.]+)\|")],
    "ground": [
        (("time difference", "time"), rf"\|{DIFFERENCE}\|{TO_SPEED}(?:, [a-z0-9 ]+)?: {VALUE}"),
        (("time",), rf"{TO_SPEED}, chosen gearing: {VALUE}"),
        (("top",), rf"Top speed, chosen gearing: {VALUE}"),
        (("top difference",) * 2, rf"Top speed: {SAID}"),
        (("time difference",) * 2, rf"{TO_SPEED}: {SAID}"),
    ],
}
TURNED = {"mph": 1.609344, "lbf": 4.4482216152605}
SPEEDS, FORCES = ("top", "geared"), ("pull",)


def last_digit(number: str) -> float:
    """The unit of a printed number's last digit: of "130" a ten."""
    decimals = len(number.partition(".")[2])
    zeros = 0 if decimals else len(number) - len(number.rstrip("0"))
    return 10.0 ** (zeros - decimals)


@dataclass(frozen=True)
class Shown:
    """A number as it is printed, and the unit of its last digit."""

    text: str
    value: float
    digit: float

    @classmethod
    def read(cls, text: str) -> "Shown":
        # What may be nothing is told by its far end: "0 to +110".
        shown = text.removeprefix("0 to ").replace("−", "-")
        numbers = re.findall(r"[+-]?\d[\d.]*", shown)
        # "170 ± 80 N", "170 N (90 to 200)" and "130 N" beside a difference are numbers to tens.
        digits = [last_digit(each) for each in numbers if float(each) or "." in each]
        return cls(text, float(numbers[0]), min(digits, default=1.0))

    def agrees(self, other: "Shown", factor: float = 1.0) -> bool:
        """Whether one number can be behind both; the other may be in another unit."""
        room = (self.digit + other.digit * factor) / 2
        return abs(self.value - other.value * factor) <= room * (1 + 1e-9)


def set_ups(count: int) -> list[str]:
    rng, bikes = random.Random(50), demo_bikes()
    found = []
    for at in range(count):
        bike = BIKES[at % len(BIKES)]
        sprockets = bikes[bike].sprockets
        front, rear = fitted = sprockets.front, sprockets.rear
        # A shorter one: it stands beside the fitted one in the table, a taller one after the next.
        while rear * fitted[0] <= front * fitted[1]:
            front = rng.randint(*sprockets.front_sold)
            rear = rng.randint(*sprockets.rear_sold)
        found.append(
            f"bike={bike}&front={front}&rear={rear}"
            f"&surface={rng.choice(SURFACES)}&slope={rng.choice((0, 0, 2, -3))}%25"
            f"&wind={rng.choice((0, 0, 5, -8))}km/h&altitude={rng.randrange(0, 2000, 50)}m"
            f"&rider={rng.randint(50, 100)}kg&to={rng.choice((40, 50, 60))}km/h&show=time-to-speed"
        )
    return found


def facts(page: str, said: corpus.Said) -> dict[str, list[Shown]]:
    """Each fact of a page, as often as it is printed."""
    found = defaultdict(list)
    for where, text in said:
        if where != "text" or "data:" in text:
            continue
        plain = re.sub(r"\s+", " ", re.sub(r"<[^>]+>", "|", text))
        plain = re.sub(r"(?:\| ?)+", "|", plain)
        for names, pattern in FACTS[page]:
            for match in re.finditer(pattern, plain):
                for name, number in zip(names, match.groups(), strict=True):
                    if number is not None:
                        found[name].append(Shown.read(number.rstrip(".")))
    return found


@pytest.fixture(scope="module")
def shown(speaker: corpus.Speaker, long_run: bool) -> dict[str, dict[str, dict[str, list[Shown]]]]:
    """By set-up and page: the facts."""
    queries = set_ups(LONG_SET_UPS if long_run else SET_UPS)
    asked = queries + [f"{query}&units=imperial" for query in queries]
    found: dict[str, dict] = {query: {} for query in asked}
    for page in FACTS:
        for query, said in zip(asked, speaker.say(page, asked), strict=True):
            found[query][page] = facts(page, said)
    return found


def test_all_pages_show_the_same_numbers(shown):
    disagreements, compared = [], set()
    for query, pages in shown.items():
        names = {name for facts in pages.values() for name in facts}
        for name in names:
            numbers = [(page, each) for page, facts in pages.items() for each in facts[name]]
            compared |= {(name, page) for page, _ in numbers}
            first_page, first = numbers[0]
            disagreements += [
                f"{query}: {name} is {first.text} on {first_page}, {other.text} on {page}"
                for page, other in numbers[1:]
                if not first.agrees(other)
            ]
    assert not disagreements, "\n".join(disagreements)
    # Else a text that is worded anew would be passed over.
    named = {(name, page) for page, rows in FACTS.items() for names, _ in rows for name in names}
    assert compared == named


def test_both_systems_of_units_show_the_same_numbers(shown):
    disagreements = []
    for query, pages in shown.items():
        if query.endswith("imperial"):
            continue
        for page, metric in pages.items():
            imperial = shown[f"{query}&units=imperial"][page]
            for name, numbers in metric.items():
                kind = name.split()[0]
                factor = TURNED["mph"] if kind in SPEEDS else 1.0
                factor = TURNED["lbf"] if kind in FORCES else factor
                # What reads alike in one system, and is said once there, may be apart in the other.
                said = bool(numbers) == bool(imperial[name])
                assert said, f"{query} on {page}: {name} is in one system only"
                pairs = zip(numbers, imperial[name], strict=False)
                disagreements += [
                    f"{query} on {page}: {name} is {one.text}, or {other.text} in the other units"
                    for one, other in pairs
                    if not one.agrees(other, factor)
                ]
    assert not disagreements, "\n".join(disagreements)
