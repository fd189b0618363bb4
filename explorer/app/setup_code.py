"""The set-up's link as a square code that a phone reads off paper (QR code, ISO/IEC 18004)."""

from urllib.parse import urlsplit

import segno
from markupsafe import Markup

from explorer.records.errors import RecordError
from explorer.records.typed_text import quote, tidy

LONGEST_ADDRESS = 200

LARGEST_VERSION = 22
"""113 modules wide with its quiet zone: printed 37 mm wide one module is 0.33 mm."""

_EXAMPLE = 'write for example "https://club.example/gearing", or leave it empty'


def read_address(text: str) -> str:
    """Read the address under which a reader finds the pages, as typed or copied from the browser.

    It comes back without query, fragment or password; empty if none was given.

    >>> read_address(" https://club.example/gearing?front=13 ")
    'https://club.example/gearing'
    """
    entry = tidy(text)
    if not entry:
        return ""
    if len(entry) > LONGEST_ADDRESS:
        raise RecordError(
            f"The address {quote(entry)} is longer than {LONGEST_ADDRESS} characters; {_EXAMPLE}."
        )
    try:
        parts = urlsplit(entry)
        host, _ = parts.hostname, parts.port
    except ValueError:
        host = None
    fit = parts.scheme in ("http", "https") and "@" not in parts.netloc if host else False
    if not fit or not entry.isprintable() or " " in entry:
        raise RecordError(f"{quote(entry)} is not the address of a page; {_EXAMPLE}.")
    return f"{parts.scheme}://{parts.netloc}{parts.path}"


def code_svg(link: str) -> Markup | None:
    """A link as a code in SVG, with the quiet zone of four modules that the standard asks for; None
    if it would be too fine to read off paper."""
    # Level L: on clean paper the coarser modules help a phone more than spare ones to repair with.
    try:
        code = segno.make_qr(link, error="l", boost_error=False)
    except segno.DataOverflowError:
        return None
    if code.version > LARGEST_VERSION:
        return None
    return Markup(code.svg_inline(border=4, omitsize=True, title="The set-up's link as a QR code"))
