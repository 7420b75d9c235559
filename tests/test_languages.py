"""Another language than English: complete, printed throughout, and nothing English by accident."""

from __future__ import annotations

import io
import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pdfplumber
import pypdf
import pytest

from classpack.class_files import read_sources
from classpack.errors import LessonError
from classpack.pages.words import Phrases, read_words
from classpack.places import own_folder
from classpack.planning.plan.plan_class import Planned, plan_class
from classpack.workshop import Pack, print_pack
from tests.conftest import planned_demo
from tests.kept import page_texts

TEMPLATES = own_folder("templates")
OTHERS = sorted(path.name for path in (TEMPLATES / "words").iterdir() if path.name != "en")
PLACE = re.compile(r"\{[a-z_][a-z0-9_ ]*\}")
COMMON = ("the", "and", "with", "your", "from", "which", "until", "their", "before", "after")
"""Words no German text holds."""
BIBLIOGRAPHY = "Worauf das beruht"
"""Sources keep the titles they were published under."""


def phrases(words: Phrases, path: str = "") -> Iterator[tuple[str, object]]:
    for key in words:  # type: ignore[attr-defined]
        value = words[key]
        where = f"{path}/{key}"
        if isinstance(value, Phrases):
            yield from phrases(value, where)
        else:
            yield where, value


def said(language: str) -> dict[str, object]:
    found = dict(phrases(read_words(TEMPLATES, language)))
    return {where: value for where, value in found.items() if not where.startswith("/format/")}


# ---------------------------------------------------------------- complete


@pytest.mark.parametrize("language", OTHERS)
def test_every_phrase_is_there_and_no_other(language: str) -> None:
    assert said(language).keys() == said("en").keys()


@pytest.mark.parametrize("language", OTHERS)
def test_every_phrase_has_the_same_places(language: str) -> None:
    english, other = said("en"), said(language)
    for where, phrase in english.items():
        if isinstance(phrase, tuple):
            assert len(other[where]) == len(phrase), where  # type: ignore[arg-type]
        else:
            wanted, found = (set(PLACE.findall(str(one))) for one in (phrase, other[where]))
            # "1 piece" need not count; "{count} pieces" may
            assert found == wanted or where.endswith("/one"), where


def test_every_sheet_counts_its_pages_in_the_words_of_the_class() -> None:
    for path in sorted((TEMPLATES / "pdf").glob("[!_]*.xml")):
        for tag in re.findall(r"<sheet .*", path.read_text("utf-8")):
            assert "counter=" in tag, f"{path.name} would count its pages in English"


# ---------------------------------------------------------------- printed


@pytest.fixture(scope="module")
def german() -> tuple[Planned, Pack]:
    planned = planned_demo("samstag-acht")
    return planned, print_pack(planned, "A4", TEMPLATES, kitchen=True)


def text_of(data: bytes) -> str:
    return "\n".join(page_texts(data))


@pytest.fixture(scope="module")
def texts(german: tuple[Planned, Pack]) -> dict[str, str]:
    """Everything printed, by file; pages and tables too. Of the sources only what stands before them."""
    found = {}
    for name, data in german[1].files.items():
        if name.endswith(".pdf") and name != "pack.pdf":
            found[name] = text_of(data).split(BIBLIOGRAPHY)[0]
        elif name.endswith(".html"):
            shown = re.sub(r"<style>.*?</style>", "", data.decode("utf-8"), flags=re.DOTALL)
            found[name] = re.sub(r"<[^>]+>", " ", shown)
        elif name.endswith((".csv", ".ics")):
            found[name] = data.decode("utf-8-sig")
    return found


def test_every_kind_of_sheet_is_printed(texts: dict[str, str]) -> None:
    kinds = {re.sub(r"^(cards|stations)/.*", r"\1", name).removesuffix(".pdf") for name in texts}
    assert {
        "cards", "stations", "run-sheet", "oven-sheets", "wall-chart", "after-class", "register",
        "shopping-list", "before-and-after", "weigh-out", "kit-list", "lock-up-list", "costs",
        "labels/tub-labels", "labels/name-slips", "labels/bag-labels", "before-you-come", "dough-sums", "safety-sheet",
        "tutor-safety", "risk-assessment", "confidential/needs-sheet", "confidential/accident-form",
        "kitchen/kitchen-survey", "kitchen/venue-and-rules",
    } <= kinds  # fmt: skip


def test_no_english_phrase_is_on_any_of_them(texts: dict[str, str]) -> None:
    english, other = said("en"), said("de")
    sought = {}
    for where, phrase in english.items():
        for number, one in enumerate(phrase if isinstance(phrase, tuple) else (phrase,)):
            theirs = other[where][number] if isinstance(phrase, tuple) else other[where]  # type: ignore[index]
            for part in PLACE.split(str(one)):
                if len(part.strip()) > 12 and part.strip() not in str(theirs):
                    sought[part.strip()] = where
    assert len(sought) > 500
    for name, text in texts.items():
        flat = re.sub(r"\s+", " ", text)
        found = {part: where for part, where in sought.items() if part in flat}
        assert not found, f"{name}: {found}"


def test_no_common_english_word_is_on_any_of_them(texts: dict[str, str]) -> None:
    for name, text in texts.items():
        if name in ("after-class.pdf", "kitchen/kitchen-survey.pdf", "kitchen/venue-and-rules.pdf"):
            continue  # they name the keys of the tutor's files, which are English
        for word in COMMON:
            assert not re.search(rf"(?<!\w){word}(?!\w)", text, re.IGNORECASE), f"{name}: {word}"


def test_numbers_have_a_decimal_comma_and_dates_are_german(texts: dict[str, str]) -> None:
    assert "6,2" in texts["cards/C1.pdf"]
    assert "2,5" in texts["cards/C1.pdf"]
    assert "1,49 €" in texts["shopping-list.pdf"]
    assert "Samstag, 6. März 2027" in texts["cards/A1.pdf"]
    for name, text in texts.items():
        if name.endswith(".pdf"):
            assert not re.search(r"(?<![\d.])\d+\.\d+(?![\d.])", text), name
    assert ";8,1;" in texts["weigh-out.csv"]


def test_allergens_have_their_german_names(texts: dict[str, str]) -> None:
    assert "Weizen, Roggen, Milch." in texts["cards/C1.pdf"]
    assert "WEIZENmehl Type 550" in texts["labels/bag-labels.pdf"]
    assert "enthält Milch" in texts["weigh-out.pdf"]
    assert "Sesam" in texts["confidential/needs-sheet.pdf"]


def test_the_documents_say_that_they_are_german(german: tuple[Planned, Pack]) -> None:
    for name, data in german[1].files.items():
        if name.endswith(".pdf"):
            assert pypdf.PdfReader(io.BytesIO(data)).trailer["/Root"]["/Lang"] == "de", name
        if name.endswith(".html"):
            assert '<html lang="de">' in data.decode("utf-8")


def test_a_code_without_address_holds_the_formula_in_german(german: tuple[Planned, Pack]) -> None:
    from classpack.sheets.cards.home_panel import home_panel

    plan = german[0].plan
    code = home_panel(plan, plan.lesson.variation("Zwiebelfladen"), ()).code
    assert "20 min backen bei 225 °C, Umluft 205 °C." in code
    assert "6,5 g Frischhefe" in code


NOT_REVIEWED = "Übersetzung nicht geprüft"


def test_nobody_has_signed_and_every_paper_with_cautions_says_so(texts: dict[str, str]) -> None:
    for name, text in texts.items():
        guarded = name.startswith(("cards/", "stations/"))
        guarded |= name in (
            "safety-sheet.pdf",
            "tutor-safety.pdf",
            "kitchen/venue-and-rules.pdf",
            "risk-assessment.pdf",
            "oven-sheets.pdf",
        )
        guarded |= name.endswith(".html")
        assert not guarded or NOT_REVIEWED in text, name


def test_a_signature_takes_it_off(tmp_path: Path) -> None:
    folder = tmp_path / "templates"
    shutil.copytree(TEMPLATES, folder)
    path = folder / "words/de/planning/cautions.yaml"
    signed = path.read_text("utf-8").replace('reviewed by: ""', "reviewed by: Hedwig Österreicher")
    path.write_text(signed, "utf-8")
    planned = plan_class(read_sources(own_folder("lessons") / "samstag-acht.yaml", folder))
    files = print_pack(planned, "A4", folder).files
    assert "Geprüft von Hedwig Österreicher." in text_of(files["tutor-safety.pdf"])
    assert NOT_REVIEWED not in text_of(files["pack.pdf"])


@pytest.mark.parametrize(
    ("paper", "style"),
    [("Letter", "normal"), ("A5-on-A4", "normal"), ("A4", "large print")],
)
def test_nothing_stands_outside_the_paper(
    german: tuple[Planned, Pack], paper: str, style: str
) -> None:
    pack = print_pack(german[0], paper, TEMPLATES, style)
    with pdfplumber.open(io.BytesIO(pack.files["pack.pdf"])) as document:
        for page in document.pages[::3]:
            for char in page.chars:
                inside = char["x0"] >= -0.5 and char["x1"] <= page.width + 0.5
                assert inside, (page.page_number, char["text"])


# ---------------------------------------------------------------- errors


def refused(templates: Path, class_path: Path) -> list[str]:
    with pytest.raises(LessonError) as caught:
        print_pack(plan_class(read_sources(class_path, templates)), "A4", templates)
    return [str(problem) for problem in caught.value.problems]


def test_a_missing_phrase_is_named_and_never_printed_in_english(tmp_path: Path) -> None:
    folder = tmp_path / "templates"
    shutil.copytree(TEMPLATES, folder)
    path = folder / "words/de/card.yaml"
    path.write_text(
        re.sub(r"^dough_sum: .*\n", "", path.read_text("utf-8"), flags=re.MULTILINE), "utf-8"
    )
    (problem,) = refused(folder, own_folder("lessons") / "samstag-acht.yaml")
    spot, _, rest = problem.partition(": ")
    assert re.fullmatch(r"templates/pdf/recipe_card\.xml:\d+:1", spot)
    assert rest == (
        "templates/words/de/card.yaml has no phrase 'dough_sum'; add 'dough_sum: …' to it"
    )


def test_a_language_without_words_is_refused_at_its_line(class_folder: Path) -> None:
    day = class_folder / "day.yaml"
    day.write_text(day.read_text("utf-8") + "language: nb\n", "utf-8")
    line = day.read_text("utf-8").count("\n")
    assert refused(TEMPLATES, day) == [
        f"{day}:{line}:11: there are no words in 'nb'; choose de or en"
    ]
