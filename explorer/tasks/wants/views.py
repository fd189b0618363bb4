"""From wishes and their result to what the wants page shows; everything not ours is escaped."""

from collections.abc import Callable
from decimal import Decimal

from markupsafe import Markup

from explorer.app.fit_notes import chain_note
from explorer.charts.gearing.wants_chart import WantsView
from explorer.panels.html import bullet_list, page_links, sentences, table
from explorer.study.wants.complaints import Complaint
from explorer.study.wants.mixes import terrains
from explorer.study.wants.wants_link import Wishes
from explorer.study.wants.wants_short_list import Listed, ShortList
from explorer.study.wording import listed
from explorer.tasks.wants.honest import complaint_words
from explorer.tasks.wants.table import short_list_table
from explorer.tasks.wants.words import SAY, listed_words, role_words

Prices = dict[str, Decimal | None]


def complaint_html(complaint: Complaint) -> Markup:
    """A complaint answered: what to measure, what it means, what gearing can and cannot do."""
    rows = Markup("").join(
        Markup("<dt>{}</dt><dd>{}</dd>").format(head, text)
        for head, text in complaint_words(complaint)
    )
    wanted = bullet_list(want.words for want in complaint.wants())
    return Markup(
        '<section class="ge-complaint"><h3>“{}”</h3><dl>{}<dt>Wants to start from</dt>'
        "<dd>{}</dd></dl></section>"
    ).format(complaint.says, rows, Markup(wanted))


def mix_words(wishes: Wishes) -> list[str]:
    """The mix as shares of the whole, and which ground each part is judged on."""
    mix = wishes.mix
    if not mix:
        return [SAY["no-mix"]]
    shares = ", ".join(
        f"{terrains()[name].label.lower()} {share * 100:.0f} %" for name, share in mix.items()
    )
    if len(mix) == 1:
        shares = f"all {terrains()[next(iter(mix))].label.lower()}"
    return [
        f"Your riding: {shares}. Each brings its own ready wants, weighed by its share and judged "
        "on its own ground; they are our invention, so put your own wants beside them."
    ]


def chart_view(listing: ShortList, asked: tuple[int, int] | None) -> WantsView:
    """Score of every pair against its ratio."""
    result = listing.result
    return WantsView(
        front=result.front,
        rear=result.rear,
        ratio=result.ratio,
        score=result.score,
        reach=result.chains.reach,
        notes=tuple(map(chain_note, result.chains.verdict, result.chains.reach)),
        fitted=result.pair(result.now),
        listed=tuple(
            (each.front, each.rear) for each in listing.entries if each.index != result.now
        ),
        asked=asked,
    )


def list_table(listing: ShortList) -> str:
    """The short list with a column for each set-up, each want marked as met or missed."""
    if not listing.wanted:
        return ""
    judged = listing.result.judged
    by_setup = short_list_table(listing).set_index("front/rear").T
    first_want = len(by_setup) - len(judged)
    rows = []
    for number, (name, cells) in enumerate(by_setup.iterrows()):
        cells = list(cells)
        if number >= first_want:
            wanted = judged[number - first_want]
            cells = [
                f"{'✓' if wanted.met[entry.index] else '✗'} {cell}"
                if wanted.known(entry.index)
                else cell
                for entry, cell in zip(listing.entries, cells, strict=True)
            ]
        if name == "best, alone or tied":
            rows.append(("how sure", *(_doubt(listing, entry) for entry in listing.entries)))
        if name == "parts":
            # Their names stand with the reasons below; here they would hide the wants.
            cells = [_parts_count(listing, entry) for entry in listing.entries]
        rows.append((name, *cells))
    return table(("", *by_setup.columns), rows)


def _doubt(listing: ShortList, entry: Listed) -> str:
    """What is to be known before one set-up is taken for better than another."""
    same = listed(["/".join(map(str, listing.result.pair(each))) for each in entry.equal_to])
    doubts = ["first, but only just"] if entry.by_luck else []
    if entry is listing.best and listing.outscored_by:
        doubts = ["first for its fewer parts"]
    doubts += [f"about equal to {same}"] if same else []
    # The fitted pair has none to differ from.
    return "; ".join(doubts) or ("–" if entry.index == listing.result.now else "clearly different")


def _parts_count(listing: ShortList, entry: Listed) -> str:
    """The verdict's parts, and how many small ones go with them."""
    needed = () if entry.parts is None else [p for p in entry.parts.buy if not p.optional]
    main = listing.verdicts[entry.index].parts
    if not needed or not main:
        return f"{len(needed)} if it fits" if needed else "none"
    small = len(needed) - len(main.split(" and "))
    return f"{main} + {small} small" if small else main


def entries_html(
    listing: ShortList, address: Callable[[int, int], str], compared: Callable[[int, int], str]
) -> Markup:
    """Every set-up of the list with its reasons and the ways on; the others than the first under a
    lid. `address` and `compared` give the query for the other pages, and for the compare page."""
    said = []
    for number, entry in enumerate(listing.entries if listing.wanted else ()):
        pair = entry.front, entry.rear
        ways = page_links(
            ("fit", address(*pair), f"Does {entry.front}/{entry.rear} fit?"),
            ("gearing", address(*pair), "Gearing"),
            ("ground", address(*pair), "On the ground"),
            ("compare", compared(*pair), "Compare"),
        )
        said.append(
            Markup(
                '<details class="ge-fold"{}><summary><h3>{}/{}</h3><span>{}</span></summary>'
                "<p>{}</p>{}</details>"
            ).format(
                Markup(" open") if number == 0 else "",
                *pair,
                role_words(entry),
                ways,
                Markup(sentences(listed_words(listing, entry), "ge-said")),
            )
        )
    return Markup("").join(said)
