"""A tutor's own templates: a copy to change, with a picture of every element beside it, and the folder a command is given."""

from __future__ import annotations

from pathlib import Path

from classpack.errors import LessonError, Problem, Spot
from classpack.pack_folder import write_new_folder
from classpack.places import own_folder

PICTURES = "elements.pdf"
"""What every element of page text looks like, printed into the copy."""


def templates_folder(named: str | None) -> Path:
    """The templates to print with: classpack's own, or the folder ``named``.

    Raises:
        LessonError: that is no folder of templates.
    """
    if named is None:
        return own_folder("templates")
    folder = Path(named)
    lacking = [part for part in ("look.yaml", "pdf", "words") if not (folder / part).exists()]
    if not folder.is_dir() or lacking:
        wrong = (
            f"there is no {', '.join(lacking)} in '{named}'"
            if folder.is_dir()
            else f"there is no folder '{named}'"
        )
        right = "copy classpack's own with: classpack start --templates " + (named or "FOLDER")
        raise LessonError([Problem(Spot(named, 1), wrong, right)])
    return folder


def start_templates(folder: Path) -> Path:
    """Copy classpack's templates into ``folder``, and beside them ``elements.pdf``, printed from them.

    Raises:
        LessonError: the folder holds something already, or cannot be written.
    """

    own = own_folder("templates")
    files = {
        path.relative_to(own).as_posix(): path.read_bytes()
        for path in sorted(own.rglob("*"))
        if path.is_file() and not path.name.startswith(".") and path.suffix != ".pyc"
    }
    write_new_folder(folder, files | {PICTURES: element_pictures(own)})
    return folder


def element_pictures(folder: Path) -> bytes:
    """A PDF that shows every element of page text in the look of a templates folder.

    Raises:
        TemplateError: its look or ``pdf/_elements.xml`` is wrong.
    """
    from classpack.pages.look_file import read_look
    from classpack.pages.templates import Templates
    from classpack.typeset.pdf import draw

    sheets = Templates(folder).pages("pdf/_elements.xml")
    return draw(sheets, read_look(folder), title="Page text: every element", language="en")
