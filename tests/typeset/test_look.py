"""look.yaml: paper sizes, ladders, styles, and what is said when it is wrong."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from classpack.pages.look_file import read_look
from classpack.places import own_folder
from classpack.typeset.look import PAPERS, SMALLEST, STYLES
from classpack.typeset.page_text import TemplateError

TEMPLATES = own_folder("templates")


@pytest.mark.parametrize(
    ("paper", "millimetres"),
    [
        ("A4", (210, 297)),  # ISO 216:2007, table 1
        ("A5", (148, 210)),  # ISO 216:2007, table 1
        ("Letter", (215.9, 279.4)),  # ANSI/ASME Y14.1: size A, 8.5 by 11 in
    ],
)
def test_papers_have_their_standard_sizes(paper: str, millimetres: tuple[float, float]) -> None:
    size = read_look(TEMPLATES, paper=paper).kinds["card"].paper
    assert [round(side / 72 * 25.4, 2) for side in size] == list(millimetres)


def test_with_small_cards_everything_else_stays_a4() -> None:
    kinds = read_look(TEMPLATES, paper="A5").kinds
    assert kinds["station"].paper == read_look(TEMPLATES).kinds["station"].paper


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("style", STYLES)
def test_body_text_of_cards_is_never_under_twelve_points(paper: str, style: str) -> None:
    look = read_look(TEMPLATES, paper=paper, style=style)
    for step in look.kinds["card"].steps:
        assert step.points("body") >= (18 if style == "large-print" else 12)
        assert step.points("table") >= (16 if style == "large-print" else 12)


@pytest.mark.parametrize("style", STYLES)
def test_no_type_is_under_nine_and_a_half_points(style: str) -> None:
    look = read_look(TEMPLATES, style=style)
    for kind in look.kinds.values():
        if kind.name != "labels":
            for step in kind.steps:
                for name, type_ in step.types.items():
                    assert name in ("gap", "pad") or type_.size >= SMALLEST, (kind.name, name)


def test_ladders_go_down(look: object) -> None:
    for kind in read_look(TEMPLATES).kinds.values():
        sizes = [step.points("body") for step in kind.steps]
        assert sizes == sorted(sizes, reverse=True)


def test_a_school_s_own_colour_takes_the_place_of_ours() -> None:
    assert read_look(TEMPLATES, colours={"accent": "800000"}).colours["accent"] == "0.502 0 0"
    with pytest.raises(TemplateError, match=r"there is no colour 'pink'; choose ink, soft, accent"):
        read_look(TEMPLATES, colours={"pink": "FF00FF"})


@pytest.mark.parametrize(
    ("was", "now", "said"),
    [
        (
            "body: 13/17.5",
            "body: large",
            "'body' is not a type size; write size/leading in points, as in '13/17.5'",
        ),
        (
            "accent: 00485A",
            "accent: petrol",
            "'petrol' is no colour; write six hexadecimal digits, as in 00485A",
        ),
        (
            "like: list",
            "like: lists",
            "there is no kind 'lists' above; name one that stands further up",
        ),
        (
            "A4: 210 297",
            "A4: 210",
            "paper 'A4' is not two lengths; write millimetres, as in '210 297'",
        ),
        (
            "SS3-Bold.ttf",
            "Gone-Bold.ttf",
            "there is no font file 'Gone-Bold.ttf'; put it beside the others in 'fonts/'",
        ),
        (
            "ink: 1A1A1A",
            "ink: FFFFFF",
            "'ink' is too pale to read on paper, 1.0 to 1; choose a darker one: it needs 11 to 1",
        ),
        (
            "yellow: F9A900",
            "yellow: 9B2423",
            "'yellow' is too dark: what stands on it could not be read; choose a paler one: at most 2.4 to 1 from white",
        ),
        ("body: 13/17.5", "body: 0", "'body' is 0; it must lie between 12 and 80"),
        ("body: 13/17.5", "body: 10/13", "'body' is 10; it must lie between 12 and 80"),
        (
            "body: 13/17.5",
            "body: 13/13",
            "the lines of 'body' are 13 points apart; for 13 points write 14.3 to 32.5",
        ),
        ("footer: 9.5", "footre: 9.5", "there is no size 'footre'; did you mean 'footer'?"),
        (
            "A4: 210 297",
            "A4: 0 0",
            "a side of paper 'A4' in mm is 0; it must lie between 74 and 1189",
        ),
        (
            "A4: 210 297",
            "A4: 1e9 1e9",
            "a side of paper 'A4' is not a number; write points, as in '12.5'",
        ),
        (
            "A4: 210 297",
            "A4: nan nan",
            "a side of paper 'A4' is not a number; write points, as in '12.5'",
        ),
        ("margin: 42", "margin: 999", "'margin' is 999; it must lie between 14 and 120"),
        (
            "text: 76",
            "text: 0",
            "clock, spine and text are 54, 62 and 0: they would stand in each other; spine is at least 5 more than clock, "
            "text 10 more than spine; or all three are 0",
        ),
        (
            'filled: "no"',
            "filled: maybe",
            '\'filled\' is neither yes nor no; write "yes" or "no"',
        ),
        (
            "spine: 62",
            "spien: 62",
            "the grid has no 'spien'; it has margin, top, foot, clock, spine, text, tick",
        ),
    ],
)
def test_a_mistake_in_look_yaml_is_told_at_its_line(
    was: str, now: str, said: str, tmp_path: Path
) -> None:
    shutil.copytree(TEMPLATES / "fonts", tmp_path / "fonts")
    text = (TEMPLATES / "look.yaml").read_text("utf-8")
    line = text[: text.index(was)].count("\n") + 1
    (tmp_path / "look.yaml").write_text(text.replace(was, now, 1), "utf-8")
    with pytest.raises(TemplateError) as caught:
        read_look(tmp_path)
    assert str(caught.value).startswith(f"{tmp_path}/look.yaml:{line}:")
    assert str(caught.value).endswith(said)
