"""What the tests of the printing share: looks, the sample sheets, and a quick way to a PDF."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest

from classpack.pages.look_file import read_look
from classpack.places import own_folder
from classpack.typeset import pdf
from classpack.typeset.look import Look
from classpack.typeset.page_text import Sheet, parse

HERE = Path(__file__).parent
SAMPLES = ("sample.xml", "sample_more.xml")

Print = Callable[..., bytes]


@cache
def look_of(paper: str = "A4", style: str = "normal") -> Look:
    return read_look(own_folder("templates"), paper=paper, style=style)


@cache
def sample(name: str) -> tuple[Sheet, ...]:
    return parse((HERE / name).read_text("utf-8"), name)


@cache
def sample_pdf(name: str, paper: str = "A4", style: str = "normal") -> bytes:
    return pdf.draw(sample(name), look_of(paper, style), title=f"Sample: {name}", language="en-GB")


@pytest.fixture
def look() -> Look:
    return look_of()


@pytest.fixture
def printed() -> Print:
    """Page text inside one sheet to PDF bytes."""

    def draw(blocks: str, paper: str = "A4", style: str = "normal", **attributes: str) -> bytes:
        given = " ".join(
            f'{name.replace("_", "-")}="{value}"' for name, value in attributes.items()
        )
        sheets = parse(f'<sheet title="Test" {given}>{blocks}</sheet>', "test.xml")
        return pdf.draw(sheets, look_of(paper, style), title="Test", language="en-GB")

    return draw


@pytest.fixture
def sample_printed() -> Callable[..., bytes]:
    return sample_pdf
