"""Reading a text of the templates folder: whatever is wrong with the file itself is told like any other mistake in it."""

from __future__ import annotations

from pathlib import Path

from classpack.errors import Problem, Spot
from classpack.typeset.page_text import TemplateError


def template_text(path: Path, shown: str) -> str:
    """The text of a UTF-8 file, with or without a byte-order mark; ``shown`` is its name in errors.

    Raises:
        TemplateError: it cannot be opened, or is something else.
    """
    try:
        return path.read_text("utf-8-sig")
    except OSError as error:
        wrong = f"this cannot be read: {(error.strerror or 'it cannot be opened').lower()}"
        right = "put classpack's own file there, or check that you may open it"
        raise TemplateError([Problem(Spot(shown, 1), wrong, right)]) from None
    except UnicodeDecodeError:
        wrong, right = "the file is not UTF-8 text", "save it as UTF-8 in your editor"
        raise TemplateError([Problem(Spot(shown, 1), wrong, right)]) from None
