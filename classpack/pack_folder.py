"""Writing folders: a pack appears only when it is complete, an old one is replaced whole or stays as it was; a copy to work in goes into
a new folder only."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Callable, Mapping
from pathlib import Path

from classpack.errors import LessonError, Problem, Spot

MARK = "class.json"
"""Every pack holds it; a folder without it was not made here and is never replaced."""
CONFIDENTIAL = "confidential"


def write_pack(folder: Path, files: Mapping[str, bytes], mark: str = MARK) -> None:
    """Write ``files`` (by their path below ``folder``) and put them in place of an older pack in one move.

    Args:
        mark: the file that says a folder was made here; ``files`` hold it.

    Raises:
        LessonError: the folder holds something else, or cannot be written; then it is as it was before.
    """
    spot = Spot(str(folder), 1)
    part: Path | None = None
    try:
        if folder.is_symlink() or (folder.exists() and not (folder / mark).is_file()):
            raise LessonError(
                [
                    Problem(
                        spot,
                        f"'{folder}' is there and {'is no pack' if mark == MARK else 'was not made here'}",
                        "name another folder with --out, or move it away",
                    )
                ]
            )
        folder.parent.mkdir(parents=True, exist_ok=True)
        part = Path(tempfile.mkdtemp(prefix=f".{folder.name}-", dir=folder.parent))
        for name, data in files.items():
            path = part / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)
        part.chmod(0o755)
        if (part / CONFIDENTIAL).is_dir():
            (part / CONFIDENTIAL).chmod(0o700)
        _put_in_place(part, folder)
        part = None
    except OSError as error:
        right = "name a folder you may write to with --out, with room on its disk"
        raise LessonError([_not_written(spot, "the pack", error, right)]) from None
    finally:
        if part is not None:
            shutil.rmtree(part, ignore_errors=True)


def fill_new_folder(folder: Path, fill: Callable[[Path], None]) -> None:
    """Let ``fill`` write into ``folder``, which is new or empty. It makes the folder where it is missing.

    Raises:
        LessonError: the folder holds something already, or cannot be written.
    """
    spot = Spot(str(folder), 1)
    try:
        if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
            wrong = f"'{folder}' is not empty"
            right = "name a new folder, so that nothing of yours is overwritten"
            raise LessonError([Problem(spot, wrong, right)])
        folder.mkdir(parents=True, exist_ok=True)
        fill(folder)
    except OSError as error:
        right = "name a folder you may write to"
        raise LessonError([_not_written(spot, "the folder", error, right)]) from None


def _not_written(spot: Spot, what: str, error: OSError, right: str) -> Problem:
    reason = (error.strerror or "it cannot be written").lower()
    return Problem(spot, f"{what} cannot be written: {reason}", right)


def _put_in_place(part: Path, folder: Path) -> None:
    if not folder.exists():
        part.rename(folder)
        return
    old = Path(tempfile.mkdtemp(prefix=f".{folder.name}-old-", dir=folder.parent))
    try:
        os.rename(folder, old / "pack")
        try:
            os.rename(part, folder)
        except BaseException:
            os.rename(old / "pack", folder)
            raise
    finally:
        if folder.exists():
            shutil.rmtree(old, ignore_errors=True)
