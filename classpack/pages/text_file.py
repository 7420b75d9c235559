"""Reading a text of the templates folder: whatever is wrong with the file itself is told like any other mistake in it."""

from __future__ import annotations

from pathlib import Path

from classpack.errors import Problem, Spot
from classpack.typeset.page_text import TemplateError

LARGEST = 1_000_000
"""No template and no file of words is larger, in bytes."""


def inside(path: Path, folder: Path) -> bool:
    """Whether a path lies in a folder, also when links are followed."""
    try:
        return path.resolve().is_relative_to(folder.resolve())
    except (OSError, RuntimeError, ValueError):  # links in a circle, signs no file name may have
        return False


def template_text(path: Path, shown: str, folder: Path) -> str:
    """The text of a UTF-8 file in ``folder``, with or without a byte-order mark; ``shown`` is its name in errors.

    Raises:
        TemplateError: it lies elsewhere, cannot be opened, is too large, or is something else.
    """
    if path.exists() and not inside(path, folder):
        wrong, right = "this leads out of the templates' folder", "copy the file into it"
        raise TemplateError([Problem(Spot(shown, 1), wrong, right)])
    try:
        if path.stat().st_size > LARGEST:
            wrong, right = "the file is larger than 1 MB", "keep it to a few pages of text"
            raise TemplateError([Problem(Spot(shown, 1), wrong, right)])
        return path.read_text("utf-8-sig")
    except OSError as error:
        wrong = f"this cannot be read: {(error.strerror or 'it cannot be opened').lower()}"
        right = "put classpack's own file there, or check that you may open it"
        raise TemplateError([Problem(Spot(shown, 1), wrong, right)]) from None
    except UnicodeDecodeError:
        wrong, right = "the file is not UTF-8 text", "save it as UTF-8 in your editor"
        raise TemplateError([Problem(Spot(shown, 1), wrong, right)]) from None
