"""Text that somebody typed: tidied before it is read, and repeated safely inside a sentence."""

import unicodedata

QUOTE_LENGTH = 40


def tidy(text: str) -> str:
    """Make every dash a plain one and every run of blanks a single one, ends cut.

    Args:
        text: What was typed or pasted.

    Returns: The same text for reading.

    >>> tidy(" 100/90   \N{EN DASH} 19 ")
    '100/90 - 19'
    """
    minus = "\N{MINUS SIGN}"
    dashed = (
        "-" if character == minus or unicodedata.category(character) == "Pd" else character
        for character in str(text)
    )
    return " ".join("".join(dashed).split())


def quote(text: str) -> str:
    """Repeat at most 40 characters of an entry, without control characters.

    Markup is not escaped here: the page escapes every sentence when it shows it.

    Returns: The entry in double quotation marks.

    >>> quote("13-forty-eight")
    '"13-forty-eight"'
    """
    start = str(text)[: QUOTE_LENGTH + 1]
    clean = "".join(character if character.isprintable() else "?" for character in start)
    if len(clean) > QUOTE_LENGTH:
        clean = clean[: QUOTE_LENGTH - 1] + "…"
    return f'"{clean}"'
