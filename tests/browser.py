"""A real browser for the tests of web pages: Debian's Chromium, driven by playwright. In CI it must be there."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest

_QUIET = (
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
)  # fmt: skip


@contextmanager
def chromium() -> Iterator[Any]:
    """The browser, started; the test is skipped where there is none, and fails where ``CI`` is ``true``."""
    path = shutil.which("chromium") or shutil.which("chromium-browser")
    try:
        from playwright.sync_api import sync_playwright
    except ImportError:
        path = None
    if path is None:
        if os.environ.get("CI") == "true":
            pytest.fail("chromium or playwright is missing; the tests of web pages need both")
        pytest.skip("no chromium or no playwright here")
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=path, headless=True, args=list(_QUIET))
        try:
            yield browser
        finally:
            browser.close()
