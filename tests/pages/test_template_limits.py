"""Templates have limits of rounds, time, text and place: each ends with words, at a line, within seconds."""

from __future__ import annotations

import shutil
import time
from pathlib import Path

import pytest

from classpack.cli import main
from classpack.errors import LessonError
from classpack.pages.look_file import read_look
from classpack.pages.templates import Templates
from classpack.places import own_folder
from classpack.typeset.layout import MOST_PAGES
from classpack.typeset.page_text import TemplateError, parse
from classpack.typeset.pdf import draw

TEMPLATES = own_folder("templates")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    own = tmp_path / "own"
    shutil.copytree(TEMPLATES, own)
    return own


def refused(folder: Path, text: str) -> str:
    (folder / "pdf" / "_mine.xml").write_text(text, "utf-8")
    with pytest.raises(TemplateError) as caught:
        Templates(folder).fill("pdf/_mine.xml")
    return str(caught.value)


ROUNDS = "this goes round more than 500,000 times; keep to the loops a sheet needs"
LETTERS = "this yields more than 4,000,000 letters; keep to the loops a sheet needs"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("\n{% for a in range(99999) %}{% for b in range(99999) %}{% endfor %}{% endfor %}", f"2:1: {ROUNDS}"),
        ("{% macro m(n) %}{{ m(n - 1) ~ m(n - 1) if n else '' }}{% endmacro %}\n{{ m(40) }}", f"1:1: {ROUNDS}"),
        ("{% for a in range(9000) %}" + "x" * 9000 + "{% endfor %}", f"1:1: {ROUNDS}"),
        ("{{ 'x' * 10 ** 9 }}", f"1:1: {LETTERS}"),
        ("{{ range(99999) | list * 99999 }}", f"1:1: {LETTERS}"),
        ("{{ 'x' | center(10 ** 9) }}", f"1:1: {LETTERS}"),
        ("{{ 'x'.ljust(10 ** 9) }}", f"1:1: {LETTERS}"),
        ("{% set n = namespace(x='xx') %}{% for a in range(40) %}{% set n.x = n.x ~ n.x %}{% endfor %}", f"1:1: {LETTERS}"),
        ("{% set n = namespace(x='xx') %}{% for a in range(40) %}{% set n.x = n.x + n.x %}{% endfor %}", f"1:1: {LETTERS}"),
        ("{% set n = namespace(x='xx') %}{% for a in range(9) %}{% set n.x = n.x.replace('x', n.x) %}{% endfor %}", f"1:1: {LETTERS}"),
        ("{% for a in range(99999) %}{{ 'x' * 100 }}{% endfor %}", f"1:1: {LETTERS}"),
        ("{{ 10 ** 9999 }}", "1:1: this yields a number that is too large; keep to the loops a sheet needs"),
        ("{{ '%999999999d' % 1 }}", "1:1: this writes a text of more than a thousand letters' width; keep to the loops a sheet needs"),
        ("{{ '{:>999999999}'.format(1) }}", "1:1: a text's format is not for templates; templates only choose words and order"),
        ("{{ lipsum(99999) }}", "1:1: there is no value 'lipsum' here; check its name"),
    ],
)  # fmt: skip
def test_a_template_that_takes_too_much_is_stopped_at_its_line(
    folder: Path, text: str, said: str
) -> None:
    begun = time.process_time()
    assert refused(folder, text) == f"own/pdf/_mine.xml:{said}"
    assert time.process_time() - begun < 12  # seconds: the limit is ten


def test_a_folder_of_templates_is_whole_in_itself(folder: Path, tmp_path: Path) -> None:
    outside = tmp_path / "outside"
    outside.mkdir()
    shutil.move(folder / "words" / "en" / "card.yaml", outside / "card.yaml")
    (folder / "words" / "en" / "card.yaml").symlink_to(outside / "card.yaml")
    with pytest.raises(TemplateError) as words:
        Templates(folder)
    assert str(words.value) == (
        "own/words/en/card.yaml:1:1: this leads out of the templates' folder; copy the file into it"
    )
    look = folder / "look.yaml"
    look.write_text(
        look.read_text("utf-8").replace("fonts/SS3-Bold.ttf", "../outside/SS3-Bold.ttf"), "utf-8"
    )
    shutil.copy(TEMPLATES / "fonts" / "SS3-Bold.ttf", outside)
    with pytest.raises(TemplateError) as font:
        read_look(folder)
    assert str(font.value).endswith(
        "the font file 'SS3-Bold.ttf' is not in the templates' folder; copy it there: a folder of templates is whole in itself"
    )


def test_a_sheet_without_end_is_told() -> None:
    blocks = "<text>one</text><page-break/>" * (MOST_PAGES + 2)
    sheets = parse(f'<sheet kind="list" title="Long">{blocks}</sheet>', "long.xml")
    with pytest.raises(LessonError) as caught:
        draw(sheets, read_look(TEMPLATES), title="", language="en")
    assert str(caught.value) == (
        f"long.xml:1:1: this sheet would have more than {MOST_PAGES} pages; "
        "take less into it, or give it a larger paper or smaller type"
    )


def test_a_word_that_would_take_minutes_to_set_is_told() -> None:
    with pytest.raises(TemplateError) as caught:
        parse(
            f'<sheet kind="list" title="Long"><text>a {"x" * 4001}</text></sheet>',
            "long.xml",
        )
    assert str(caught.value) == "long.xml:1:33: a word of 4001 letters; keep it to 4000"
    with pytest.raises(TemplateError) as attribute:
        parse(f'<sheet kind="list" title="{"x" * 4001}"/>', "long.xml")
    assert str(attribute.value) == (
        "long.xml:1:1: 'title' of <sheet> has 4001 letters; keep it to 4000"
    )


def test_too_little_memory_is_told_in_words(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    from classpack import class_files

    def full(*_: object) -> None:
        raise MemoryError

    monkeypatch.setattr(class_files, "read_sources", full)
    assert main(["check", "day.yaml"]) == 1
    assert capsys.readouterr().err == (
        "classpack: there is not enough memory for this; nothing was written\n"
    )
