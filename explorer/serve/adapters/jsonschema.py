"""What jsonschema loads besides: half of the server's start, for what nothing here asks."""

import sys

ADDRESSES = "rfc3987_syntax"
"""Reads addresses with letters of any script; it builds ten grammars when it is imported."""


def leave_addresses_out() -> None:
    """Let jsonschema do without; to be called before the server's libraries are loaded.

    It looks for the module and goes on where there is none: then the formats ``iri`` and
    ``iri-reference`` go unchecked, which no schema of the server's has.
    """
    sys.modules.setdefault(ADDRESSES, None)  # type: ignore[arg-type]
