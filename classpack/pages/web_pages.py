"""Take-home pages as HTML files: the templates of ``html/``, filled; signs are drawn into the page by our own geometry."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Protocol

from classpack.pages.templates import Templates
from classpack.typeset.look import Look

FOLDER = "pages"


class NamedPage(Protocol):
    """A page that knows the name of its file."""

    @property
    def file(self) -> str: ...


def web_pages(
    templates: Templates, look: Look, pages: Sequence[NamedPage], shown: Mapping[str, object]
) -> dict[str, bytes]:
    """One HTML file for each page, and ``index.html`` that leads to them, by their path in the pack.

    Args:
        shown: what every template is given besides.

    Raises:
        TemplateError: a template or a phrase is wrong.
    """
    colours = {name: _hex(code) for name, code in look.colours.items()}
    files = {
        page.file: templates.fill("html/bread.html", page=page, colours=colours, **shown)
        for page in pages
    }
    files["index.html"] = templates.fill("html/index.html", pages=pages, colours=colours, **shown)
    return {f"{FOLDER}/{name}": text.encode("utf-8") for name, text in files.items()}


def _hex(code: str) -> str:
    """Page code of a colour as style sheets write it.

    >>> _hex("0 0.282 0.353")
    '#00485a'
    """
    return "#" + "".join(f"{round(float(part) * 255):02x}" for part in code.split())
