"""Take-home pages as files: read as text, and opened in a real browser."""

from __future__ import annotations

import re
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

from classpack.cli import main
from classpack.pages.look_file import read_look
from classpack.pages.sign_drawing import COLOURS, sign_drawing
from classpack.places import own_folder
from classpack.planning.plan.plan_class import Planned
from classpack.reading.school_section import contrast_on_white
from classpack.typeset.signs import SIGN_NAMES
from classpack.workshop import Pack
from tests.browser import chromium

Demo = tuple[Planned, Pack]


def pages_of(pack: Pack) -> dict[str, str]:
    return {
        name: data.decode("utf-8") for name, data in pack.files.items() if name.endswith(".html")
    }


class _Outline(HTMLParser):
    """Tags that must close, links, and what could fetch something."""

    empty = ("meta", "input", "path", "circle", "br", "link")

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.links: list[str] = []
        self.fetches: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if tag == "a":
            self.links.append(given.get("href") or "")
        if tag in ("script", "link", "img", "iframe", "object", "embed", "base") or "src" in given:
            self.fetches.append(tag)
        if any(name.startswith("on") for name in given):
            self.fetches.append(str(attrs))
        if tag not in self.empty:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if tag not in self.empty:
            assert self.open.pop() == tag


def outline(text: str) -> _Outline:
    parser = _Outline()
    parser.feed(text)
    parser.close()
    assert not parser.open
    return parser


def test_a_page_for_each_bread_and_an_index_that_leads_there(demo: Demo) -> None:
    planned, pack = demo
    pages = pages_of(pack)
    assert len(pages) == len(planned.plan.made) + 1
    names = {name.removeprefix("pages/") for name in pages}
    assert set(outline(pages["pages/index.html"]).links) - {"#recipe"} == names - {"index.html"}


def test_pages_close_every_tag_and_fetch_and_run_nothing(demo: Demo) -> None:
    for name, text in pages_of(demo[1]).items():
        parsed = outline(text)
        assert parsed.fetches == [], name
        assert not re.search(r"url\(|@import", text), name
        names = {page.removeprefix("pages/") for page in pages_of(demo[1])}
        assert set(parsed.links) <= names | {"#recipe"}, name


def test_no_page_holds_anybody_s_name_or_the_date_of_the_class(demo: Demo) -> None:
    plan = demo[0].plan
    for text in pages_of(demo[1]).values():
        for person in plan.day.people:
            assert person.name not in text
        assert str(plan.day.date.year) not in text
        assert not plan.day.tutor or plan.day.tutor not in text


def test_all_four_batches_stand_in_the_page_itself(demo: Demo) -> None:
    for name, text in pages_of(demo[1]).items():
        if not name.endswith("index.html"):
            assert [n for n in range(1, 5) if f'id="makes-{n}"' in text] == [1, 2, 3, 4]


@pytest.fixture
def hostile(class_folder: Path) -> Path:
    """A class whose every text tries to be mark-up."""
    bad = "<img src=x onerror=alert(1)>{{ 7*7 }}\"'&amp;<!--"
    quoted = bad.replace("'", "''")
    lesson = class_folder / "lesson.yaml"
    text = lesson.read_text("utf-8")
    text = text.replace("lesson: Two breads", f"lesson: '{quoted}'")
    text = text.replace("text: Cover it.", f"text: '{quoted.replace('{{ 7*7 }}', '')}'")
    text = text.replace("ready when: doubled", f"ready when: '{quoted}'")
    lesson.write_text(text, "utf-8")
    day = class_folder / "day.yaml"
    day.write_text(day.read_text("utf-8") + f"school: '{quoted}'\n", "utf-8")
    return class_folder


def test_text_that_looks_like_mark_up_stays_text(hostile: Path) -> None:
    assert main(["make", str(hostile / "day.yaml"), "--out", str(hostile / "out")]) == 0
    pages = list((hostile / "out" / "day" / "pages").glob("*.html"))
    assert len(pages) == 3
    for page in pages:
        text = page.read_text("utf-8")
        assert outline(text).fetches == []
        assert "&lt;img src=x onerror=alert(1)&gt;" in text
    assert "{{ 7*7 }}" in (hostile / "out/day/pages/index.html").read_text("utf-8")


# ---------------------------------------------------------------- colours and signs


def test_text_of_pages_stands_out_seven_to_one() -> None:  # WCAG 2.2, success criterion 1.4.6
    css = (own_folder("templates") / "html" / "style.css").read_text("utf-8")
    used = set(re.findall(r"(?<![-\w])color: ([^;]+);", css))
    assert used == {"var(--ink)", "var(--soft)", "var(--accent)", "var(--paper)"}
    look = read_look(own_folder("templates"))
    for name in ("ink", "soft", "accent"):
        digits = "".join(f"{round(float(part) * 255):02x}" for part in look.colours[name].split())
        assert contrast_on_white(digits) >= 7, name


def test_ink_on_the_yellow_of_a_caution_stands_out_seven_to_one() -> None:
    def lightness(colour: str) -> float:
        return 1.05 / contrast_on_white(colour.removeprefix("#")) - 0.05

    yellow, ink = COLOURS["W"]
    assert (lightness(yellow) + 0.05) / (lightness(ink) + 0.05) >= 7


@pytest.mark.parametrize("sign", SIGN_NAMES)
def test_every_sign_is_drawn_with_its_name(sign: str) -> None:
    drawing = str(sign_drawing(sign))
    assert f'aria-label="{SIGN_NAMES[sign]}"' in drawing
    assert outline(drawing).fetches == []


# ---------------------------------------------------------------- in a browser


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    with chromium() as started:
        yield started


@pytest.fixture
def written(demo: Demo, tmp_path: Path) -> Path:
    for name, text in pages_of(demo[1]).items():
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text(text, "utf-8")
    return tmp_path / "pages"


def test_no_page_has_a_violation_of_axe(browser: Any, written: Path) -> None:
    from axe_playwright_python.sync_playwright import Axe

    # A phone of 390 by 844 dots, common practice, no source; axe runs inside the page, which the page's own policy forbids.
    context = browser.new_context(viewport={"width": 390, "height": 844}, bypass_csp=True)
    page = context.new_page()
    seen: list[str] = []
    page.on("request", lambda request: seen.append(request.url))
    files = sorted(written.glob("*.html"))
    for path in files:
        page.goto(path.as_uri())
        assert Axe().run(page).response["violations"] == [], path.name
        assert page.evaluate("document.documentElement.scrollWidth") <= 390, path.name
    assert seen == [path.as_uri() for path in files]  # nothing else is asked for, from anywhere
    context.close()


def test_pages_reflow_at_320_dots_and_at_twice_the_type_size(browser: Any, written: Path) -> None:
    """WCAG 2.2, success criteria 1.4.10 (reflow, 320 CSS pixels) and 1.4.4 (resize text, 200 %)."""
    context = browser.new_context(viewport={"width": 320, "height": 640})
    page = context.new_page()
    for path in written.glob("*.html"):
        page.goto(path.as_uri())
        assert page.evaluate("document.documentElement.scrollWidth") <= 320, path.name
    context.close()
    context = browser.new_context(viewport={"width": 640, "height": 640}, bypass_csp=True)
    page = context.new_page()
    for path in written.glob("*.html"):
        page.goto(path.as_uri())
        page.evaluate("document.documentElement.style.fontSize = '200%'")
        assert page.evaluate("document.documentElement.scrollWidth") <= 640, path.name
    context.close()


def test_the_amount_is_chosen_with_the_keyboard_and_without_scripts(
    browser: Any, written: Path
) -> None:
    context = browser.new_context(java_script_enabled=False, viewport={"width": 390, "height": 844})
    page = context.new_page()
    path = next(one for one in sorted(written.glob("*.html")) if one.name != "index.html")
    page.goto(path.as_uri())

    def shown() -> list[int]:
        return [n for n in range(1, 5) if page.locator(f".batch-{n}").is_visible()]

    assert shown() == [1]
    for _ in range(12):  # skip link, back link, then the first button
        page.keyboard.press("Tab")
        if page.locator("#batches-1:focus").count():
            break
    for number in (2, 3, 4):
        page.keyboard.press("ArrowDown")
        assert page.locator(f"#batches-{number}").is_checked()
        assert shown() == [number]
    page.locator("#batches-2").click()
    assert shown() == [2]
    page.emulate_media(media="print")
    assert shown() == [2]
    context.close()
