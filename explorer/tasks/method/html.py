"""The parts of the method page as HTML, everything that is not ours escaped."""

from collections.abc import Iterable, Sequence
from decimal import Decimal
from itertools import groupby
from operator import attrgetter

from markupsafe import Markup, escape

from explorer.app.printed import template
from explorer.panels.formula import formula, symbol
from explorer.records.ground.surfaces import TYRE_KINDS, surfaces
from explorer.records.prose import read_prose
from explorer.records.references import Comparison, Reference
from explorer.tasks.method.docstring import Explained, explain, inline
from explorer.tasks.method.formulas import Entry, Group

_UNIT_LABELS = {"deg": "°", "degC": "°C", "degF": "°F", "-": "–"}


def anchor(title: str) -> str:
    """Name of a heading inside an address, of letters and hyphens.

    >>> anchor("Chain and sprockets")
    'chain-and-sprockets'
    """
    return "-".join("".join(c if c.isalnum() else " " for c in title.lower()).split())


def contents(titles: Iterable[str]) -> str:
    """Links to the headings of the page."""
    items = Markup("").join(
        Markup('<li><a href="#{}">{}</a></li>').format(anchor(title), title) for title in titles
    )
    return Markup('<ul class="ge-contents">{}</ul>').format(items)


def assumptions() -> str:
    """What is left out or taken as simpler than it is, and what that does to the numbers."""
    pair = Markup("<div><dt>{what}</dt><dd>{effect}</dd></div>")
    entries = read_prose("assumptions")["assumption"]
    pairs = Markup("").join(pair.format(**entry) for entry in entries)
    return Markup('<dl class="ge-assumed">{}</dl>').format(pairs)


def surface_ranges() -> str:
    """Every figure of the table of surfaces, with its source and what is our choice."""
    kinds = {kind: surfaces(kind) for kind in TYRE_KINDS}
    return _drawn(
        "surfaces", grounds=[{kind: of[each] for kind, of in kinds.items()} for each in surfaces()]
    )


def group(listed: Group) -> str:
    """All formulas of one subject, behind its heading."""
    told = [(entry, explain(entry.function)) for entry in listed.entries]
    return _drawn(
        "formulas",
        group=listed,
        formulas=[(entry, each, _symbols(entry, each)) for entry, each in told],
        others=[*map(explain, listed.others)],
        formula=formula,
    )


def comparisons(subject: str, rows: Sequence[Comparison]) -> str:
    """Predicted against reference for one subject."""
    common = attrgetter("what", "function", "origin", "source", "tolerance_from")
    bodies = groupby(rows, key=lambda row: common(row.reference))
    return _drawn(
        "comparisons",
        subject=subject,
        checks=rows,
        agreeing=sum(row.agrees for row in rows),
        heads=("Reference", "Tolerance", "Computed now", "Difference", "Agrees"),
        bodies=[(*row, [(each.agrees, *_check(each)) for each in same]) for row, same in bodies],
    )


def _drawn(template_name: str, **given: object) -> str:
    """What a template of this folder makes, without its line breaks."""
    given |= {"anchor": anchor, "inline": inline}
    shown = template(f"method/{template_name}.html.j2").render(given)
    return Markup("").join(Markup(line.strip()) for line in shown.split("\n"))


def _symbols(entry: Entry, told: Explained) -> list[tuple[str, str, str, str]]:
    """Symbol, meaning, range and unit: first what is in the formula, then the other inputs."""
    inputs = {quantity.name: quantity for quantity in told.inputs}
    rows = []
    for name, stands_for in entry.symbols.items():
        if stands_for == "result":
            rows.append((symbol(name), told.result.meaning or told.summary, "", told.result.unit))
        elif stands_for in inputs:
            known = inputs.pop(stands_for)
            rows.append((symbol(name), known.meaning, known.accepts, known.unit))
        else:
            meaning, _, unit = stands_for.rpartition(" [")
            meaning = meaning[:1].upper() + meaning[1:]
            rows.append((symbol(name), meaning, "", unit.removesuffix("]")))
    shared = set(entry.symbols.values())
    for name, known in inputs.items():
        if name not in shared:
            # A long name may be broken after an underscore.
            label = Markup("<code>{}</code>").format(Markup("_<wbr>").join(name.split("_")))
            rows.append((label, known.meaning, known.accepts, known.unit))
    return [(*row, _UNIT_LABELS.get(unit, unit)) for *row, unit in rows]


def _check(row: Comparison) -> tuple[str, tuple[str, ...]]:
    """The inputs of a check, and what stands below the heads."""
    reference = row.reference
    unit = _UNIT_LABELS.get(reference.unit, reference.unit)
    gap = "" if unit in ("", "°") else "\N{NO-BREAK SPACE}"
    # One digit more than the reference has, so that a difference can be seen.
    digits = reference.decimals + 1
    difference = f"{row.difference:+.{digits}f}"
    difference = difference if float(difference) else difference[1:]
    return _inputs(reference), (
        f"{reference.value}{gap}{unit}",
        f"±{Decimal(str(reference.tolerance)):f}{gap}{unit}",
        f"{row.computed:.{digits}f}{gap}{unit}",
        f"{difference}{gap}{unit}".replace("-", "−"),
        "yes" if row.agrees else "NO",
    )


def _inputs(reference: Reference) -> Markup:
    inputs = reference.inputs.items()
    given = ", ".join(f"{name.replace('_', ' ')} {_labelled(value)}" for name, value in inputs)
    return escape(f"{reference.case}: {given}" if reference.case else given)


def _labelled(value: str | float) -> str:
    """An input with its unit as it is printed."""
    if not isinstance(value, str):
        return f"{value:g}"
    number, _, unit = value.partition(" ")
    label = _UNIT_LABELS.get(unit, unit)
    return f"{number}{'' if label == '°' else ' '}{label}".replace("-", "−").strip()
