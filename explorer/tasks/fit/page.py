"""The fit page: it fits, or it says why not, and what to do, to buy and to measure."""

from markupsafe import Markup

from explorer.app import controls
from explorer.app.layout import card, fold, group, html, listed
from explorer.app.page import Item, Page
from explorer.app.parts import Figure, charts, sentence_list, share_link, words
from explorer.charts.fit import fit_map
from explorer.panels.html import bullet_list, figures, sentences, verdict
from explorer.records.fitting.hazards import page_hazards
from explorer.study.fit_result import FitResult, compute
from explorer.study.verdict import verdicts_of
from explorer.tasks.fit import effect_words, views
from explorer.tasks.fit import words as say
from explorer.tasks.fit.controls import answers
from explorer.tasks.fit.diagnosis_words import diagnosis_sentences
from explorer.tasks.fit.parts import PartsAndSheet
from explorer.tasks.fit.state import FitState
from explorer.tasks.fit.travel import Travel


def cautions(section: str) -> str:
    """The cautions of one section of data/hazards.csv, escaped: each hazard in a sentence, and
    behind it what to do."""
    item = Markup("<li>{} <strong>{}</strong></li>")
    items = (item.format(each.caution, each.hazard) for each in page_hazards(section))
    return Markup("<ul>{}</ul>").format(Markup("").join(items))


def _verdict(result: FitResult) -> str:
    _, chosen = verdicts_of(result.study, result.measured)
    why = chosen.compared(result.setup.units)
    return verdict(result.bike.said_name, say.headline(result), why, say.css_class(result))


def _gaps(result: FitResult) -> str:
    rows = views.gap_rows(result)
    wide = [say.SAY["wider"]] if result.measured.get("seal") == "sealed" else []
    said = sentences([*wide, *([] if rows else [say.SAY["no-gaps"]])], "ge-said")
    return said + (figures(rows, _HEADS) if rows else "")


def _load(result: FitResult) -> str:
    rows = views.load_rows(result)
    return figures(rows, _HEADS) if rows else ""


_HEADS = ("Fitted", "Chosen", "Change")


def _caution(section: str) -> Item:
    return html(cautions(section), "ge-caution ge-bites")


def _list(says, css: str = "") -> Item:
    return words(lambda result: bullet_list(says(result)), css)


_JUMPS = {"chain": "Chain", "buy": "Parts", "sheet": "Fitting sheet", "first-ride": "First ride"}
"""Places of the long page by the name in their link."""


def _jumps() -> str:
    links = (Markup('<a href="#{}">{}</a>').format(*each) for each in _JUMPS.items())
    return Markup('<nav aria-label="On this page">{}</nav>').format(Markup(" ").join(links))


def _place(name: str) -> Item:
    """Where a link of the page leads; page.js opens the lid that follows."""
    return html(Markup('<span id="{}"></span>').format(name), "ge-place")


_WHICH_CHAIN = fold(
    "Which chain, and nearly the same ratio",
    words(views.options_table, "ge-table"),
    words(lambda result: say.twins_words(result) + views.twins_table(result), "ge-table"),
    _caution("links"),
)

_MUST_MATCH = fold(
    "What must match",
    sentence_list(say.checklist_sentences),
    answers("checklist"),
    _caution("checklist"),
)

_PARTS = fold(
    "Parts and cost",
    answers("parts", "What holds the parts on your bike"),
    lambda page: page.part(PartsAndSheet).parts,
    _caution("parts"),
)

_ON_THE_BIKE = (
    fold(
        "Chain wear",
        sentence_list(effect_words.wear_sentences),
        answers("wear", "Wear, measured"),
        _list(views.limit_sentences),
        _caution("wear"),
    ),
    fold(
        "Slack through the wheel travel",
        sentence_list(effect_words.slack_sentences),
        answers("slack", "From your bike's own manual"),
        answers("swingarm", "Swingarm, measured"),
        Travel,
        _caution("verdict"),
        _caution("slack"),
    ),
    fold(
        "Clearances",
        words(_gaps, "ge-table"),
        answers("clearance", "Clearances, measured"),
        _caution("clearance"),
    ),
    fold(
        "Chain load",
        words(_load, "ge-table"),
        sentence_list(effect_words.ring_sentences),
        fold(
            "What handbooks of industrial drives advise (information)", _list(views.guide_sentences)
        ),
        _caution("load"),
    ),
    fold(
        "What the axle's place does",
        sentence_list(effect_words.stance_sentences),
        answers("steering", "Rake and fork offset"),
    ),
    fold(
        "Speedometer",
        sentence_list(effect_words.speedometer_sentences),
        answers("speedometer", "Speedometer"),
        _caution("speedometer"),
    ),
)

_SHEET = fold("Fitting sheet", lambda page: page.part(PartsAndSheet).sheet)
_FIRST_RIDE = fold("The first ride", sentence_list(say.riding_words), _caution("riding"))

FitPage = Page(
    title="Does it fit?",
    intro="From a pair of sprockets to a bike safely back on its wheels.",
    state=FitState,
    ask=lambda choice: compute(choice),
    # Above the controls, so that on a phone the verdict comes first and stays in sight.
    above=(words(_verdict, "ge-answer-first", now=True), html(_jumps(), "ge-jumps")),
    controls=(
        card("", group(controls.bike_choice(), controls.units_choice())),
        card(
            "",
            group(
                controls.slider("front", help_text="Teeth at the gearbox, to be fitted."),
                controls.slider("rear", help_text="Teeth at the wheel, to be fitted."),
                controls.typed_pair,
            ),
            answers("chain"),
        ),
        card("Measured on the bike", answers("axle")),
    ),
    main=(
        card(
            "Why, and what to do",
            sentence_list(say.verdict_sentences),
            sentence_list(diagnosis_sentences),
            css="ge-why-it-fits",
        ),
        card(
            "Every pair of this bike: tap one",
            charts(
                Figure(
                    fit_map.FitMapChart,
                    fit_map.describe,
                    views.map_view,
                    tap=lambda page, front, rear: page.state.change(front=front, rear=rear),
                )
            ),
        ),
        card("What to buy", _place("chain"), _WHICH_CHAIN, _MUST_MATCH, _place("buy"), _PARTS),
        card("On your bike", *_ON_THE_BIKE),
        card("Fit it and ride", _place("sheet"), _SHEET, _place("first-ride"), _FIRST_RIDE),
        card(
            "Keep or share",
            share_link(
                "Link to this page",
                ("fit", "Open this in a new page"),
                ("gearing", "See what this pair does: the gearing page"),
                ("method", "Method: how it is computed, what is left out"),
            ),
            fold("Defaults used where you left a field empty", _list(say.defaults_used, "ge-help")),
            fold("What this page does not know", listed(say.UNKNOWN_HERE)),
        ),
    ),
)
