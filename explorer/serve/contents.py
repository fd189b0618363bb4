"""The pages that the server offers, in the order of the front page (data/pages.toml)."""

import tomllib
from dataclasses import dataclass

from explorer.records.data_folder import DATA


@dataclass(frozen=True)
class PageEntry:
    """One page: a notebook of a few lines and what the front page says of it.

    Attributes:
        name: Of the notebook without its ending; also the page's address.
        asks: The rider's own question that it answers; the front page begins with these.
        shows_members: Whether it shows members' set-ups: served only where a club has some.
        has_bench: Whether it begins with the bench, which needs a script and a style of its own.
        listed: Whether other pages lead to it; else only older links do.
    """

    name: str
    title: str
    description: str
    asks: str = ""
    shows_members: bool = False
    has_bench: bool = False
    listed: bool = True

    @property
    def notebook(self) -> str:
        return f"{self.name}.ipynb"


PAGES = tuple(
    PageEntry(**page)
    for page in tomllib.loads((DATA / "pages.toml").read_text(encoding="utf-8"))["page"]
)
