"""Sheets to print: files that a page offers to save, made from a template of its task."""

from functools import cache
from pathlib import Path
from urllib.parse import quote as percent_encode

import jinja2

from explorer.panels.html import link


@cache
def template(name: str) -> jinja2.Template:
    """The template of a sheet, a file below explorer/tasks, as ``fit/fitting_sheet.html.j2``.

    Whatever is put into it is escaped; a value that it lacks is an error, not a gap in the sheet.
    """
    environment = jinja2.Environment(
        loader=jinja2.FileSystemLoader(Path(__file__).parents[1] / "tasks"),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    return environment.get_template(name)


def save_link(document: str, words: str, file_name: str, kind: str = "text/html") -> str:
    """A link in a page that saves a sheet, or another text, under a name; escaped HTML."""
    return link(f"data:{kind};charset=utf-8,{percent_encode(document)}", words, file_name)
