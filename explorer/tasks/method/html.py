"""The parts of the method page as HTML, everything that is not ours escaped."""

import inspect
from collections.abc import Callable, Iterable, Sequence
from decimal import Decimal
from itertools import groupby

from markupsafe import Markup, escape

from explorer.panels.formula import formula, symbol
from explorer.records.ground.surfaces import TYRE_KINDS, Surface, surfaces
from explorer.records.references import Comparison, Reference
from explorer.tasks.method.assumptions import Assumption
from explorer.tasks.method.docstring import Explained, explain, inline
from explorer.tasks.method.formulas import Entry, Group

_UNIT_LABELS = {"deg": "°", "degC": "°C", "degF": "°F", "-": "–"}


def anchor(title: str) -> str:
    """Name of a heading inside an address.

    Returns: Letters and hyphens.

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


def assumptions(entries: Iterable[Assumption]) -> str:
    """What is left out, and what that does."""
    pairs = Markup("").join(
        Markup("<div><dt>{}</dt><dd>{}</dd></div>").format(entry.what, entry.effect)
        for entry in entries
    )
    return Markup('<dl class="ge-assumed">{}</dl>').format(pairs)


def surface_ranges() -> str:
    """Every figure of the table of surfaces, with its source and what is our choice.

    Returns: An element that opens and closes.
    """
    kinds = {kind: surfaces(kind) for kind in TYRE_KINDS}

    def ground(each: Surface) -> Markup:
        grips = "; ".join(
            f"{kind} {under[each.id].grip_low:.2f} to {under[each.id].grip_high:.2f}, typical "
            f"{under[each.id].grip_typical:.2f}"
            for kind, under in kinds.items()
        )
        return Markup(
            '<section class="ge-formula"><h4>{}</h4><p>Rolling resistance {:.3f} to {:.3f}, '
            'typical {:.3f}. Grip: {}. Slip modulus K/l {:.2f}.</p><p class="ge-help">Rolling '
            "resistance: {}.<br>Grip: {}.<br>{}</p></section>"
        ).format(
            each.label,
            each.rolling_low,
            each.rolling_high,
            each.rolling_typical,
            grips,
            each.slip_modulus,
            each.source_rolling,
            each.source_grip,
            each.note,
        )

    return Markup(
        '<details class="ge-fold" id="surface-ranges"><summary><h3>Ranges of {} surfaces</h3>'
        '</summary><p>{}</p><div class="ge-formulas">{}</div></details>'
    ).format(
        len(surfaces()),
        "Over normal load. Grip is the peak, not that of a locked wheel, and gross: the tyre's own "
        "rolling resistance is not yet taken off.",
        Markup("").join(map(ground, surfaces().values())),
    )


def group(listed: Group) -> str:
    """All formulas of one subject, behind its heading."""
    formulas = Markup("").join(map(_entry, listed.entries))
    return Markup(
        '<details class="ge-fold" id="{}"><summary><h3>{}</h3></summary><p>{}</p>{}{}</details>'
    ).format(
        anchor(listed.title),
        listed.title,
        listed.introduction,
        Markup('<div class="ge-formulas">{}</div>').format(formulas) if formulas else "",
        _others(listed.others),
    )


def comparisons(subject: str, rows: Sequence[Comparison]) -> str:
    """Predicted against reference for one subject."""
    agreeing = sum(row.agrees for row in rows)
    bodies = Markup("").join(
        _checks([*same]) for _, same in groupby(rows, key=lambda row: _common(row.reference))
    )
    heads = ("Inputs", "Reference", "Tolerance", "Computed now", "Difference", "Agrees")
    head = Markup("").join(Markup('<th scope="col">{}</th>').format(text) for text in heads)
    return Markup(
        '<details class="ge-fold" {} id="against-{}"><summary><h3>{}</h3> <span>{}</span></summary>'
        '<div class="ge-table"><table class="ge-stack"><thead><tr>{}</tr></thead>{}</table></div>'
        "</details>"
    ).format(
        # What does not agree is not hidden behind a heading.
        "" if agreeing == len(rows) else Markup("open"),
        anchor(subject),
        subject,
        f"{agreeing} of {len(rows)} agree",
        head,
        bodies,
    )


def _entry(entry: Entry) -> Markup:
    told = explain(entry.function)
    body = [*((True, tex) for tex in entry.formulas), *told.body, (False, told.notes)]
    return Markup(
        '<section class="ge-formula"><h4>{}</h4><p>{}</p>{}{}'
        '<p class="ge-help">Source: {}<br>Computed by <code>{}</code></p></section>'
    ).format(
        entry.name,
        inline(told.summary),
        Markup("").join(
            Markup('<div class="ge-drawn">{}</div>').format(formula(text, block=True))
            if is_formula
            else Markup("<p>{}</p>").format(inline(text))
            for is_formula, text in body
            if text
        ),
        _symbols(entry, told),
        inline(told.source or "definition."),
        told.path,
    )


def _symbols(entry: Entry, told: Explained) -> Markup:
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
    body = Markup("").join(
        Markup('<tr><th scope="row">{}</th><td>{}{}</td><td>{}</td></tr>').format(
            label,
            inline(meaning),
            Markup(' <span class="ge-range">({})</span>').format(inline(accepts))
            if accepts
            else "",
            _UNIT_LABELS.get(unit, unit),
        )
        for label, meaning, accepts, unit in rows
    )
    return Markup(
        '<table class="ge-symbols"><thead><tr><th scope="col">Symbol</th>'
        '<th scope="col">Meaning (valid for)</th><th scope="col">Unit</th></tr></thead>'
        "<tbody>{}</tbody></table>"
    ).format(body)


def _others(functions: Iterable[Callable]) -> Markup:
    items = Markup("").join(
        Markup("<li>{} <code>{}</code></li>").format(
            inline(told.summary), told.path.removeprefix("explorer.calc.")
        )
        for told in map(explain, functions)
    )
    if not items:
        return Markup("")
    return Markup("<h4>Also computed</h4><ul>{}</ul>").format(items)


def _common(reference: Reference) -> tuple[str, ...]:
    """What the rows below one sub-heading share."""
    return (
        reference.what,
        reference.function,
        reference.origin,
        reference.source,
        reference.tolerance_from,
    )


def _checks(rows: Sequence[Comparison]) -> Markup:
    what, function, origin, source, tolerance_from = _common(rows[0].reference)
    head = Markup(
        '<tr class="ge-what"><th scope="rowgroup" colspan="6">{} <code>{}</code>'
        "<small>{}: {}. Tolerance: {}.</small></th></tr>"
    ).format(
        what,
        function,
        "Published" if origin == "published" else "Worked out, not printed",
        source.rstrip("."),
        tolerance_from,
    )
    return Markup("<tbody>{}{}</tbody>").format(head, Markup("").join(map(_check, rows)))


def _check(row: Comparison) -> Markup:
    reference = row.reference
    unit = _UNIT_LABELS.get(reference.unit, reference.unit)
    gap = "" if unit in ("", "°") else "\N{NO-BREAK SPACE}"
    # One digit more than the reference has, so that a difference can be seen.
    digits = reference.decimals + 1
    difference = f"{row.difference:+.{digits}f}"
    if float(difference) == 0:
        difference = difference[1:]
    cells = (
        ("Reference", f"{reference.value}{gap}{unit}"),
        ("Tolerance", f"±{Decimal(str(reference.tolerance)):f}{gap}{unit}"),
        ("Computed now", f"{row.computed:.{digits}f}{gap}{unit}"),
        ("Difference", f"{difference}{gap}{unit}".replace("-", "−")),
        ("Agrees", "yes" if row.agrees else "NO"),
    )
    shown = Markup("").join(
        Markup('<td data-label="{}">{}</td>').format(*labelled) for labelled in cells
    )
    return Markup('<tr{}><th scope="row">{}</th>{}</tr>').format(
        "" if row.agrees else Markup(' class="ge-differs"'), _inputs(reference), shown
    )


def _inputs(reference: Reference) -> Markup:
    given = ", ".join(
        f"{name.replace('_', ' ')} {_labelled(value)}" for name, value in reference.inputs.items()
    )
    if reference.case:
        return Markup("{}: {}").format(reference.case, given)
    return escape(given)


def _labelled(value: str | float) -> str:
    """An input with its unit as it is printed."""
    if not isinstance(value, str):
        return f"{value:g}"
    number, _, unit = value.partition(" ")
    label = _UNIT_LABELS.get(unit, unit)
    return f"{number}{'' if label == '°' else ' '}{label}".replace("-", "−").strip()


def documented(groups: Iterable[Group]) -> set[str]:
    """Full names of all functions on the page.

    Returns: Such as "explorer.calc.gearing.final_ratio".
    """
    return {
        f"{function.__module__}.{function.__qualname__}"
        for listed in groups
        for function in (*(entry.function for entry in listed.entries), *listed.others)
        if inspect.isfunction(function)
    }
