"""Links of the built package, as its publisher gives them: no address is made up here.

Run by hatchling, when it builds: ``PROJECT_LINKS="Homepage https://… Issues https://…" uv build``.
"""

import os
import re

from hatchling.metadata.plugin.interface import MetadataHookInterface

LABELS = ("Homepage", "Source", "Documentation", "Changelog", "Issues")
"""Of "Well-known Project URLs in Metadata" (Python packaging specifications)."""


class ProjectLinks(MetadataHookInterface):
    """Fills in ``urls``: none where none are given."""

    def update(self, metadata: dict) -> None:
        words = os.environ.get("PROJECT_LINKS", "").split()
        links = dict(zip(words[::2], words[1::2], strict=False))
        right = all(re.fullmatch(r"https://[\w.-]+\.\w+(/\S*)?", each) for each in links.values())
        if 2 * len(links) != len(words) or not right or not links.keys() <= {*LABELS}:
            raise ValueError(
                "PROJECT_LINKS is not understood. Give labels, each with an address that begins "
                f"with https://. The labels are {', '.join(LABELS)}."
            )
        metadata["urls"] = links
