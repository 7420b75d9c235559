"""What many tests need and is dear to make, made once in a run: by whichever worker asks first, for all of them.

Between workers it is kept as a pickle in a folder of the run, which :mod:`tests.conftest` removes at the end.
"""

from __future__ import annotations

import contextlib
import hashlib
import io
import os
import pickle
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, TypeVar

from pypdf import PdfReader

T = TypeVar("T")
FOLDER = "CLASSPACK_TESTS_KEPT"
"""Names the folder of the run; the first process sets it and its workers inherit it."""
_KEPT: dict[str, Any] = {}


def kept(key: str, make: Callable[[], T]) -> T:
    """What ``make`` gives, made only once for each ``key`` in the whole run. It must be possible to pickle it."""
    if key not in _KEPT:
        folder = Path(os.environ.get(FOLDER, ""))
        if FOLDER not in os.environ:
            _KEPT[key] = make()
        else:
            file = folder / hashlib.sha256(key.encode()).hexdigest()
            with _one_at_a_time(file.with_suffix(".lock")):
                if not file.exists():
                    file.write_bytes(pickle.dumps(make()))
            _KEPT[key] = pickle.loads(file.read_bytes())
    value: T = _KEPT[key]
    return value


@contextlib.contextmanager
def _one_at_a_time(lock: Path) -> Iterator[None]:
    try:
        import fcntl
    except ImportError:  # no such locks there: it may be made twice
        yield
        return
    with lock.open("w") as held:
        fcntl.flock(held, fcntl.LOCK_EX)
        yield


def page_texts(pdf: bytes) -> tuple[str, ...]:
    """The text of each page, as pypdf reads it; the same PDF is read once in a run."""
    return kept(f"text of {hashlib.sha256(pdf).hexdigest()}", lambda: _page_texts(pdf))


def _page_texts(pdf: bytes) -> tuple[str, ...]:
    return tuple(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages)
