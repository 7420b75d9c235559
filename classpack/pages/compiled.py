"""Compiled templates kept between runs, where Python keeps its own compiled modules; the tutor's folders are never written to.

Nothing depends on them: what is missing, damaged or from other versions of a template, of jinja2 or of this package is compiled anew,
and a folder that cannot be written to only costs time.
"""

from __future__ import annotations

import contextlib
import os
import pickle
import sys
from collections.abc import Sequence
from importlib.util import cache_from_source
from pathlib import Path

import jinja2.compiler

from classpack.pages import template_limits

FOLDER = "templates"
DAMAGED = (OSError, EOFError, LookupError, AttributeError, ImportError, TypeError, ValueError, pickle.UnpicklingError)  # fmt: skip
"""What reading half a file, or another program's, may raise."""


def compiled_templates() -> jinja2.BytecodeCache | None:
    """The place of compiled templates: beside this package's compiled modules, else in the user's folder of caches; none where
    Python is told to keep nothing."""
    if sys.dont_write_bytecode:
        return None
    beside = Path(cache_from_source(__file__)).parent / FOLDER
    own = Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache") / "classpack" / FOLDER
    folder = _writable((beside, own))
    return _Compiled(folder) if folder else None


def _writable(folders: Sequence[Path]) -> Path | None:
    for folder in folders:
        with contextlib.suppress(OSError):
            folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            # Compiled code is run: what somebody else may write is not read.
            if os.access(folder, os.W_OK) and not folder.stat().st_mode & 0o022:
                return folder
    return None


class _Compiled(jinja2.FileSystemBytecodeCache):
    """Compiled templates by their name, place and what compiles them."""

    def __init__(self, folder: Path) -> None:
        super().__init__(str(folder), "%s.bin")
        made_by = (os.stat(module.__file__ or "") for module in (jinja2.compiler, template_limits))
        self._made_by = [(one.st_mtime_ns, one.st_size) for one in made_by]

    def get_cache_key(self, name: str, filename: str | None = None) -> str:
        return super().get_cache_key(f"{name} {self._made_by}", filename)

    def dump_bytecode(self, bucket: jinja2.bccache.Bucket) -> None:
        with contextlib.suppress(OSError):
            super().dump_bytecode(bucket)

    def load_bytecode(self, bucket: jinja2.bccache.Bucket) -> None:
        try:
            super().load_bytecode(bucket)
        except DAMAGED:
            bucket.reset()
