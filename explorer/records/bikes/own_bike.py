"""A bike of one's own from the few numbers a rider has; the rest of a bike is assumed.

Units may be left out where one is obvious, ratios listed with slashes, numbers written with decimal
commas: every value is said back as it was understood.
"""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from explorer.records.bikes.bike import Bike
from explorer.records.bikes.bike_fields import FIELD_AT
from explorer.records.bikes.bike_values import read_value, write_value
from explorer.records.errors import RecordError
from explorer.records.fields import Field, read_fields
from explorer.records.setups.sprocket_pair import parse_pair
from explorer.records.typed_text import quote, tidy

OWN_FIELDS: tuple[Field, ...] = read_fields(
    "own_bike", {}, {"torque_at": FIELD_AT["engine.torque_at"].choices}
)
"""What is asked, in the order in which a rider knows it."""

OWN_GROUPS = {field.name: field.group for field in OWN_FIELDS if field.group}
"""What a field and those below it are good for."""

_PATH = {
    "name": "name",
    "gears": "gearbox.ratios",
    "primary": "gearbox.primary",
    "tyre": "tyre.rear",
    "weight": "mass.bike",
    "peak": "engine.peak",
    "torque_at": "engine.torque_at",
    "limit": "engine.rev_limit",
}
_UNIT = {"weight": "kg", "limit": "rpm"}
_CHAIN = re.compile(r"(?P<size>.{2,10}?)(?:(?: ?[xX×,;/] ?| +)(?P<links>[0-9]{2,3})(?: links?)?)?")


@dataclass(frozen=True)
class OwnBike:
    """What became of the texts of the form.

    Attributes:
        bike: The bike; None if something is wrong.
        said: How each text was understood, by field.
        problems: One sentence or more for each field that is wrong; "" for those between fields.
    """

    bike: Bike | None
    said: Mapping[str, str]
    problems: Mapping[str, tuple[str, ...]]


def read_own_bike(typed: Mapping[str, str], begun: bool = False) -> OwnBike:
    """Read the texts of the form; of a bike that is only begun, teeth are enough.

    >>> read_own_bike({"weight": "110", "gears": "2,8/1,8/1,4"}).said
    {'gears': '2.8, 1.8, 1.4', 'weight': '110 kg'}
    """
    flat: dict[str, str] = {}
    said: dict[str, str] = {}
    problems: dict[str, tuple[str, ...]] = {}
    for field in OWN_FIELDS:
        text = tidy(typed.get(field.name, ""))
        try:
            if field.kind == "choice" and text in ("", field.choices[0]):
                continue
            if not text and begun and field.name != "pair":
                flat |= {"name": "My bike"} if field.name == "name" else {"begun": "yes"}
                continue
            if not text:
                raise RecordError(f"{field.label} is missing; write for example {field.example}.")
            read, said_back = _READERS.get(field.name, _one)(field, text)
            flat |= read
            if said_back != text or field.name == "pair":
                said[field.name] = said_back
        except RecordError as error:
            problems[field.name] = tuple(each[:1].upper() + each[1:] for each in error.sentences)
    bike = None
    if not problems:
        try:
            bike = Bike.from_flat({"provenance": "measured", **flat})
        except RecordError as error:
            problems[""] = error.sentences
    return OwnBike(bike, said, problems)


def _one(field: Field, text: str) -> tuple[dict[str, str], str]:
    """The value of one field of the bike, with the unit that goes without saying."""
    if field.kind in ("reduction", "peak"):
        text = re.sub(r"(?<=[0-9]),(?=[0-9])", ".", text)
    if field.name in _UNIT and re.fullmatch("[0-9]+(?:[.,][0-9]+)?", text):
        text = f"{text.replace(',', '.')} {_UNIT[field.name]}"
    path = _PATH[field.name]
    back = write_value(read_value(FIELD_AT[path], text))
    return {path: back}, back


def _pair(_: Field, text: str) -> tuple[dict[str, str], str]:
    pair = parse_pair(text)
    return {"sprockets.front": str(pair.front), "sprockets.rear": str(pair.rear)}, pair.sentence


def _gears(field: Field, text: str) -> tuple[dict[str, str], str]:
    return _one(field, ", ".join(_gear_texts(text)))


def _gear_texts(text: str) -> list[str]:
    """The ratios of a list, however they are set apart.

    >>> _gear_texts("2,8/1,8/1,4"), _gear_texts("34/12, 30/16"), _gear_texts("2.8 1.8")
    (['2.8', '1.8', '1.4'], ['34/12', '30/16'], ['2.8', '1.8'])
    """
    if re.search(r"[0-9]{2}/[0-9]{2}", text):
        return [each for each in re.split(r"[;,\s]+", text) if each]
    if re.search(r"[/;\s-]", text) and not re.search(r",\s", text):
        text = text.replace(",", ".")
    return [each for each in re.split(r"\s*[/;,\s-]\s*", text) if each]


def _chain(_: Field, text: str) -> tuple[dict[str, str], str]:
    match = _CHAIN.fullmatch(text)
    if match is None:
        raise RecordError(
            f"{quote(text)} is not a chain; write its size, then the links if you counted them, "
            "for example 520 x 112."
        )
    size = write_value(read_value(FIELD_AT["chain.size"], match["size"]))
    if not match["links"]:
        return {"chain.size": size}, f"{size}, links not counted"
    links = write_value(read_value(FIELD_AT["chain.links"], match["links"]))
    return {"chain.size": size, "chain.links": links}, f"{size}, {links} links"


_READERS: dict[str, Callable[[Field, str], tuple[dict[str, str], str]]] = {
    "pair": _pair,
    "gears": _gears,
    "chain": _chain,
}


def own_texts(bike: Bike) -> dict[str, str]:
    """The form's texts of a bike of one's own, to change one of them."""
    flat = bike.flat()
    texts = {name: flat.get(path, "") for name, path in _PATH.items()}
    links = flat.get("chain.links")
    texts["torque_at"] = bike.engine.torque_at
    texts["pair"] = f"{flat['sprockets.front']}/{flat['sprockets.rear']}"
    texts["chain"] = f"{flat.get('chain.size', '')}{f' x {links}' if links else ''}"
    return texts


def curve_said(bike: Bike) -> str:
    """From what the torque curve is assumed, in a clause; empty where the rider gave one."""
    shaped = bike.engine.peak is not None and not bike.flat().get("engine.torque_curve")
    return f"assumes a torque curve from {bike.engine.peak.text}" if shaped else ""
