"""Reading order: the text of cards, station and safety sheets, read straight from the tags, is what a person would read aloud.

ISO 14289-1:2014, 7.1 and 7.2: content is tagged in logical reading order, the rest is marked as artifact. A person reads the page text from its
first block to its last; where a template says the words in an order, the tags must say them in the same, none left out, none twice.
"""

from __future__ import annotations

import io
import re
import unicodedata
from collections import defaultdict
from collections.abc import Iterator
from typing import Any

import pdfplumber
import pytest
from pdfminer.pdftypes import resolve1

from classpack.pages.pack_templates import pack_templates
from classpack.places import own_folder
from classpack.sheets.pack import pack_jobs
from classpack.typeset.page_text import Element, Sheet
from classpack.typeset.pdf import draw
from classpack.workshop import _Press, pack_look
from tests.conftest import planned_demo

READ = ("recipe_card", "station_sheet", "safety_sheet")


def letters(text: str) -> str:
    """What is heard of a text: letters and digits."""
    folded = unicodedata.normalize("NFKD", text).casefold()
    return "".join(one for one in folded if one.isalnum())


def read_aloud(data: bytes) -> tuple[list[tuple[str, str]], int]:
    """Each tag with the text it holds itself, in the order of the tree; and how many letters no tag and no artifact holds."""
    with pdfplumber.open(io.BytesIO(data)) as document:
        texts: dict[tuple[int, int], list[str]] = defaultdict(list)
        stray = 0
        numbers = {}
        for page in document.pages:
            numbers[page.page_obj.pageid] = page.page_number
            for char in page.chars:
                if char["mcid"] is not None:
                    texts[page.page_number, char["mcid"]].append(char["text"])
                elif char["tag"] != "Artifact":
                    stray += char["text"].isalnum()
        root = resolve1(document.doc.catalog["StructTreeRoot"])

        def walk(node: Any, page: int) -> Iterator[tuple[str, str]]:
            node = resolve1(node)
            if not isinstance(node, dict):
                return
            if "Pg" in node:
                page = numbers[node["Pg"].objid]
            kids = resolve1(node.get("K", []))
            kids = kids if isinstance(kids, list) else [kids]
            tag = node["S"].name if "S" in node else ""
            for kid in kids:
                kid = resolve1(kid)
                if isinstance(kid, dict) and "MCID" in kid:
                    place = numbers[kid["Pg"].objid] if "Pg" in kid else page
                    yield tag, "".join(texts.pop((place, kid["MCID"]), []))
                elif isinstance(kid, int):
                    yield tag, "".join(texts.pop((page, kid), []))
                else:
                    yield from walk(kid, page)

        said = [(tag, text) for tag, text in walk(root, 1) if text.strip()]
        untold = sum(len(letters("".join(some))) for some in texts.values())
    return said, stray + untold


def spoken(element: Element) -> Iterator[str]:
    """The words of a page text in the order they stand; an entry's clock, minutes, number and head come first."""
    for child in element.children:
        if isinstance(child, str):
            yield child
        else:
            yield from spoken(child)


@pytest.fixture(scope="module", params=["one-to-one", "saturday-twelve", "samstag-acht"])
def sheets(request: pytest.FixtureRequest) -> list[tuple[str, tuple[Sheet, ...], bytes]]:
    """The first card, the first station sheet and the safety sheet: their page text, and their PDF."""
    planned = planned_demo(request.param)
    plan, folder = planned.plan, own_folder("templates")
    templates = pack_templates(folder, plan.day, plan.kitchen, plan.language)
    look = pack_look(planned, "A4", folder)
    press = _Press(planned, templates, look, "A4")
    found = []
    for wanted in READ:
        job = next(job for job in pack_jobs(plan) if job.template == wanted)
        (some,) = press.filled([job])
        found.append((wanted, some, draw(some, look, title="Sheet", language=plan.day.language)))
    return found


def test_every_letter_is_in_a_tag_or_an_artifact(sheets: list[tuple[str, Any, bytes]]) -> None:
    for name, _, data in sheets:
        assert read_aloud(data)[1] == 0, name


def test_the_tags_say_the_words_of_the_page_text_in_its_order(
    sheets: list[tuple[str, tuple[Sheet, ...], bytes]],
) -> None:
    for name, some, data in sheets:
        heard = letters("".join(text for _, text in read_aloud(data)[0]))
        at = 0
        for words in (words for sheet in some for words in spoken(sheet.element)):
            wanted = letters(words)
            if len(wanted) < 4:
                continue  # a grams figure would be found anywhere
            found = heard.find(wanted, at)
            assert found >= 0, (
                f"{name}: '{' '.join(words.split())}' is not read after '...{heard[max(0, at - 60) : at]}'"
            )
            at = found + len(wanted)


def test_a_card_is_read_as_headings_figures_tables_and_steps(
    sheets: list[tuple[str, Any, bytes]],
) -> None:
    """The name first, what to weigh before the first step, and the steps by their numbers."""
    said, _ = read_aloud({name: data for name, _, data in sheets}["recipe_card"])
    tags = [tag for tag, _ in said]
    assert tags.count("H1") == 1
    first_step = tags.index("Lbl")
    assert tags.index("H1") < tags.index("TD") < first_step
    numbers = [
        int(found[1])
        for tag, text in said[first_step:]
        if tag == "P" and (found := re.match(r"(\d{1,2})\D", text))
    ]
    assert numbers[:5] == [1, 2, 3, 4, 5]
