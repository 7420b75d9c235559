"""Showing a finished file in the reader the system has for it. No shell is asked: the file's name is never a command."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

_OPENERS = {"darwin": ("open",), "linux": ("xdg-open", "gio"), "freebsd": ("xdg-open",)}


def show_file(path: Path) -> str:
    """Open ``path`` (a PDF) in the system's reader and come back at once.

    Returns:
        Why it could not be opened; empty when it was.
    """
    whole = path.resolve()
    if sys.platform == "win32":
        os.startfile(whole)  # Windows has this instead of a program
        return ""
    for name in _OPENERS.get(sys.platform, ("xdg-open",)):
        program = shutil.which(name)
        if program is None:
            continue
        try:
            subprocess.Popen(
                [program, *(("open",) if name == "gio" else ()), str(whole)],
                stdin=subprocess.DEVNULL,
                stdout=subprocess.DEVNULL,
                stderr=subprocess.DEVNULL,
                start_new_session=True,
            )
        except OSError:
            continue
        return ""
    return f"no program here opens files; the pack is in {path}"
