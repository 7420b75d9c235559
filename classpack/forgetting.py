"""When a class is over, what was told about people's health goes: the confidential part of its pack.

Only what classpack wrote there is destroyed, and its list with it; a scan or a note the tutor laid beside it is theirs and is named.
A file that is removed may still lie in a back-up or on a shared disk: nobody but the tutor can look there.
"""

from __future__ import annotations

import contextlib
import datetime
import json
from pathlib import Path

from classpack.errors import LessonError, Problem, Spot
from classpack.pack_folder import CONFIDENTIAL, LIST, confidential_files, is_made_here


def forget(class_path: Path, out: Path, today: datetime.date) -> tuple[Path, tuple[str, ...]]:
    """Destroy the confidential part of a class's pack.

    The date is the pack's own, so that it can be forgotten when the class file is gone or has mistakes by now.

    Returns:
        the pack's folder, and the names of what still lies in its confidential part because classpack did not write it.

    Raises:
        LessonError: there is no such pack, or its class is not over.
    """
    folder = out / class_path.stem
    spot = Spot(str(folder), 1)
    if not is_made_here(folder):
        right = "name the class file it was made from, and its folder with --out"
        raise LessonError([Problem(spot, "there is no pack to forget", right)])
    held = _class_of(folder)
    if held is None or held[1] >= today.isoformat():
        when = "has no date" if held is None else f"is of {held[1]} and not over"
        right = "forget it when the class is over, or delete its folder 'confidential' yourself"
        raise LessonError([Problem(spot, f"the class {when}", right)])
    apart = folder / CONFIDENTIAL
    inside = apart.resolve()
    for name in (*confidential_files(folder), LIST):
        path = apart / name
        if path.parent.resolve().is_relative_to(
            inside
        ):  # a list that somebody changed reaches nothing else
            path.unlink(missing_ok=True)
    left = sorted(
        path.relative_to(folder).as_posix() for path in apart.rglob("*") if path.is_file()
    )
    if not left and apart.is_dir():
        for inner in sorted((path for path in apart.rglob("*") if path.is_dir()), reverse=True):
            inner.rmdir()
        apart.rmdir()
    return folder, tuple(left)


def older_packs(folder: Path) -> tuple[Path, ...]:
    """Other packs beside ``folder`` of a class of the same name and date that still have a confidential part: its file was renamed."""
    held = _class_of(folder)
    found = []
    for other in sorted(folder.parent.iterdir()) if held else ():
        if other != folder and is_made_here(other) and (other / CONFIDENTIAL).is_dir():
            found += [other] if _class_of(other) == held else []
    return tuple(found)


def _class_of(folder: Path) -> tuple[str, str] | None:
    """Title and date of the class a pack is of; None where that cannot be read."""
    with contextlib.suppress(OSError, ValueError, KeyError, TypeError):
        told = json.loads((folder / "class.json").read_text("utf-8"))["class"]
        return str(told["title"]), str(told["date"])
    return None
