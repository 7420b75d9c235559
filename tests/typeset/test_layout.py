"""Sheets to pages: ladders, page ends, frames, labels, figures, and any mixture of blocks."""

from __future__ import annotations

import io
from collections.abc import Callable

import page
import pypdf
import pypdfium2
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from classpack.errors import LessonError
from classpack.pages.look_file import read_look
from classpack.places import own_folder
from classpack.typeset import pdf
from classpack.typeset.caution import Cautions
from classpack.typeset.laid_out import LaidOut
from classpack.typeset.layout import lay_out
from classpack.typeset.look import Look
from classpack.typeset.page_text import parse

Print = Callable[..., bytes]
WORDS = (
    "Push away with the heel of the hand, fold back, a quarter turn, and go on for ten minutes. "
)


def laid(text: str, look: Look) -> LaidOut:
    return lay_out(parse(text, "t.xml")[0], look)


def steps(count: int, words: int = 1) -> str:
    return "".join(
        f'<entry clock="10:10" number="{n}" head="Step" tick="yes">{WORDS * words}</entry>'
        for n in range(count)
    )


def test_a_short_sheet_keeps_its_roomy_type(look: Look) -> None:
    assert (
        laid(f'<sheet title="a" pages="1">{steps(3)}</sheet>', look).setting.step.points("body")
        == 13
    )


def test_a_long_sheet_steps_down_to_keep_to_its_pages(look: Look) -> None:
    one = laid(f'<sheet title="a" pages="1">{steps(19)}</sheet>', look)
    assert len(one.pages) == 1
    assert 12 <= one.setting.step.points("body") < 13


def test_a_sheet_that_must_run_on_does_so_in_roomy_type(look: Look) -> None:
    """Small type that saves no page helps nobody."""
    one = laid(f'<sheet title="a" pages="1">{steps(26)}</sheet>', look)
    assert len(one.pages) == 2
    assert one.setting.step.points("body") == 13


def test_a_plain_page_break_gives_way_when_the_sheet_runs_on(look: Look) -> None:
    kept = laid(f'<sheet title="a" pages="2">{steps(8)}<page-break/>{steps(8)}</sheet>', look)
    assert [len(p.items) for p in kept.pages] == [8, 8]
    run_on = laid(f'<sheet title="a" pages="2">{steps(24)}<page-break/>{steps(24)}</sheet>', look)
    assert len(run_on.pages) == 3
    named = laid(
        f'<sheet title="a" pages="2">{steps(24)}<page-break title="b"/>{steps(24)}</sheet>', look
    )
    assert len(named.pages) == 4


def test_cautions_for_one_step_share_a_frame(look: Look) -> None:
    def caution(severity: str, more: str = "") -> str:
        return f'<caution severity="{severity}" sign="W017" hazard="Hot" {more}>Gloves.</caution>'

    def frames(blocks: str, kind: str = "card") -> list[int]:
        (one,) = laid(f'<sheet title="a" kind="{kind}">{blocks}</sheet>', look).pages
        return [len(block.parts) for block, _ in one.items if isinstance(block, Cautions)]

    step = '<entry number="1">x</entry>'
    assert frames(caution("CAUTION") + caution("WARNING") + step) == [2]
    assert frames(caution("CAUTION") + step + caution("WARNING") + step) == [1, 1]
    assert frames(caution("CAUTION") + caution("WARNING"), "wall") == [1, 1]
    slim = 'size="slim" notch="no"'
    assert frames(caution("CAUTION", slim) + caution("NOTICE", slim) + step) == [2]


def test_labels_stand_where_their_stock_has_them(printed: Print) -> None:
    labels = "".join(f"<label><strong>L{n}</strong></label>" for n in range(4))
    data = printed(
        '<labels columns="2" rows="7" width="99.1" height="38.1" left="4.7" top="15.2" pitch-x="101.6" pitch-y="38.1" '
        f'start="14" valign="top" padding="3">{labels}</labels>',
        kind="labels",
    )
    document = pypdfium2.PdfDocument(data)
    assert len(document) == 2
    first = document[0].get_textpage()
    left, _, _, top = first.get_charbox(0)
    millimetres = 25.4 / 72
    assert left * millimetres == pytest.approx(4.7 + 101.6 + 3, abs=0.7)
    assert (document[0].get_height() - top) * millimetres == pytest.approx(
        15.2 + 6 * 38.1 + 3, abs=2
    )
    assert document[1].get_textpage().get_text_range().split() == ["L1", "L2", "L3"]


@pytest.mark.parametrize(
    ("attributes", "label", "said"),
    [
        (
            'columns="3" rows="7" width="99.1" height="38.1"',
            "x",
            "the labels need 302 by 282 mm, the paper is 210 by 297 mm",
        ),
        (
            'columns="2" rows="7" width="99.1" height="38.1" pitch-x="50"',
            "x",
            "labels overlap: the pitch is smaller than the label",
        ),
        (
            'columns="2" rows="7" width="99.1" height="38.1" start="15"',
            "x",
            "start is 15, the sheet has 14 labels",
        ),
        (
            'columns="2" rows="7" width="30" height="12"',
            WORDS * 4,
            "label 1 ('Push away with the heel of the hand, fold back, a ",
        ),
    ],
)
def test_labels_that_do_not_fit_are_refused(
    attributes: str, label: str, said: str, printed: Print
) -> None:
    with pytest.raises(LessonError) as caught:
        printed(
            f'<labels {attributes} left="4.7" top="15.2"><label>{label}</label></labels>',
            kind="labels",
        )
    assert said in str(caught.value)


def test_the_chart_fills_the_page_and_its_words_are_in_it(printed: Print) -> None:
    data = printed(
        '<masthead title="Day"/><day-chart from="10:00" to="14:00" alt="All of the day in words."><lane head="Tutor"><stretch from="10:00" to="10:30">Welcome</stretch>'
        '</lane><lane head="Oven A" sub="2 shelves"><stretch from="12:00" to="13:00" line="oven"><strong>8 loaves</strong></stretch></lane></day-chart>',
        kind="run",
    )
    reader = pypdf.PdfReader(io.BytesIO(data))
    assert len(reader.pages) == 1
    text = reader.pages[0].extract_text()
    for word in ("10:00", "13:30", "Tutor", "Welcome", "8 loaves", "2 shelves", "in the oven"):
        assert word in text
    lanes = '<lane head="x"/>' * 14
    with pytest.raises(LessonError, match="14 lanes leave 11 mm each"):
        printed(f'<day-chart from="10:00" to="11:00" alt="x">{lanes}</day-chart>')


# -- anything that may be written can be printed, or is refused in words

LOOKS = [
    read_look(own_folder("templates"), paper=p, style=s)
    for p, s in (("A4", "normal"), ("A5", "large-print"), ("Letter", "mono"))
]
text = st.text("abcdefghij klmno éőß ½-", min_size=0, max_size=160).map(lambda t: t.strip() or "a")
short = st.text("abc 0123:éő", min_size=1, max_size=24).map(lambda t: t.strip() or "b")
inline = st.one_of(
    text,
    text.map(lambda t: f"<strong>{t}</strong> {t}"),
    text.map(lambda t: f"{t}<br/><em>{t}</em> <tick/>"),
    short.map(
        lambda t: (
            f'<link to="https://example.org/">{t}</link> <blank width="20"/> <small>{t}</small>'
        )
    ),
)


def _table(cells: list[str]) -> str:
    rows = "".join(
        f'<row tick="yes"><cell header="yes">{a}</cell><cell>{len(a)}.{n} g</cell><cell blank="yes"/></row>'
        for n, a in enumerate(cells)
    )
    return f'<table widths="* auto 15mm" align="left decimal center"><head><cell>a</cell><cell>b</cell><cell>c</cell></head><group>{cells[0]}</group>{rows}<row kind="total"><cell span="3">z</cell></row></table>'


blocks = st.one_of(
    inline.map(lambda t: f"<text>{t}</text>"),
    st.tuples(short, inline, st.sampled_from(["hands", "dough", "oven", "none"])).map(
        lambda v: (
            f'<entry clock="{v[0]}" minutes="{v[0]}" line="{v[2]}" number="1" head="{v[0]}" tick="yes">{v[1]}<ready word="Ready">{v[1]}</ready></entry>'
        )
    ),
    st.tuples(short, inline).map(lambda v: f'<side word="{v[0]}">{v[1]}</side>'),
    st.tuples(short, inline, st.sampled_from(["DANGER", "WARNING", "CAUTION", "NOTICE"])).map(
        lambda v: f'<caution severity="{v[2]}" sign="W017" hazard="{v[0]}">{v[1]}</caution>'
    ),
    short.map(lambda t: f'<heading level="3" bookmark="yes">{t}</heading>'),
    st.lists(short, min_size=1, max_size=30).map(
        lambda v: (
            '<list kind="tick" columns="2">' + "".join(f"<item>{t}</item>" for t in v) + "</list>"
        )
    ),
    st.lists(short, min_size=1, max_size=40).map(_table),
    st.lists(text, min_size=2, max_size=2).map(
        lambda v: f"<columns><column>{v[0]}</column><column>{v[1]}</column></columns>"
    ),
    st.sampled_from(
        [
            "<page-break/>",
            "<rule/>",
            '<lines count="12" label="x"/>',
            "<cut-line/>",
            '<sign id="E003"/>',
            '<qr text="https://example.org" caption="x"/>',
        ]
    ),
)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    st.lists(blocks, min_size=1, max_size=25),
    st.sampled_from(["card", "station", "run", "wall", "plain"]),
    st.sampled_from(LOOKS),
)
def test_whatever_is_written_stays_on_the_paper(parts: list[str], kind: str, look: Look) -> None:
    sheets = parse(
        f'<sheet title="t" kind="{kind}" pages="2" code="yes" footer="f"><running title="t"/><masthead title="t"/>{"".join(parts)}</sheet>',
        "t.xml",
    )
    data = pdf.draw(sheets, look, title="t", language="en")
    assert page.is_pdf_compliant_bytes(data, profile=page.ValidationProfile.PDF_UA_1)
    for one in pypdfium2.PdfDocument(data):
        width, height = one.get_size()
        letters = one.get_textpage()
        for number in range(letters.count_chars()):
            left, bottom, right, top = letters.get_charbox(number)
            assert left >= 10
            assert right <= width - 10
            assert bottom >= 6
            assert top <= height - 10
