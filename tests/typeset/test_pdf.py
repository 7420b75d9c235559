"""The printed file is opened again and read: tags, text, places, codes, bytes."""

from __future__ import annotations

import io
import re
from collections.abc import Callable, Iterator
from itertools import pairwise

import page
import pdfplumber
import pypdf
import pypdfium2
import pypdfium2.raw
import pytest
import zxingcpp
from pypdf.generic import DictionaryObject

from classpack.errors import LessonError
from classpack.typeset import pdf
from classpack.typeset.look import Look
from classpack.typeset.page_text import parse

Print = Callable[..., bytes]
EVERY_LOOK = [
    ("A4", "normal"),
    ("Letter", "normal"),
    ("A5", "normal"),
    ("A5-on-A4", "normal"),
    ("A4", "large-print"),
    ("A4", "high-contrast"),
    ("A4", "mono"),
    ("A5", "large-print"),
]
SAMPLES = ("sample.xml", "sample_more.xml")


def problems_of(data: bytes) -> list[str]:
    report = page.validate_pdf_bytes(data, profile=page.ValidationProfile.PDF_UA_1)
    return [f"{f.rule_id}: {f.message}" for f in report.failures]


@pytest.mark.parametrize(("paper", "style"), EVERY_LOOK)
@pytest.mark.parametrize("name", SAMPLES)
def test_every_sheet_is_accessible_on_every_paper(
    name: str, paper: str, style: str, sample_printed: Print
) -> None:
    """ISO 14289-1 (PDF/UA-1), all rules of page-validation."""
    assert problems_of(sample_printed(name, paper, style)) == []


def test_the_validator_finds_a_figure_without_words(sample_printed: Print) -> None:
    """The check above can fail: the same file without its alternative texts does."""
    data = sample_printed("sample.xml").replace(b"/Alt", b"/Alx")
    assert any("alt" in said.lower() for said in problems_of(data))


def branches(reader: pypdf.PdfReader) -> Iterator[tuple[int, DictionaryObject]]:
    """The structure tree in reading order, with depths."""

    def walk(node: object, depth: int) -> Iterator[tuple[int, DictionaryObject]]:
        node = node.get_object() if hasattr(node, "get_object") else node
        if isinstance(node, DictionaryObject) and "/S" in node:
            yield depth, node
            kids = node.get("/K", [])
            for kid in kids if isinstance(kids, list) else [kids]:
                yield from walk(kid, depth + 1)

    root = reader.trailer["/Root"]["/StructTreeRoot"]
    for kid in root["/K"]:
        yield from walk(kid, 0)


def tags_of(data: bytes) -> list[str]:
    return [str(node["/S"])[1:] for _, node in branches(pypdf.PdfReader(io.BytesIO(data)))]


def test_headings_lists_tables_and_figures_are_tagged(sample_printed: Print) -> None:
    tags = tags_of(sample_printed("sample.xml"))
    assert tags[0] == "Document"
    assert tags.count("Sect") == 3
    assert tags.count("H1") == 3
    assert tags.count("LI") >= 14 + 12
    assert tags.count("Lbl") >= 14
    assert tags.count("TH") >= 4 + 7 + 5
    assert tags.count("Figure") == 7  # six cautions' signs, one code
    assert tags.count("Link") == 1


def test_a_step_is_read_clock_first_then_words(printed: Print) -> None:
    data = printed(
        '<entry clock="10:20" minutes="5 min" line="hands" number="2" head="Mix" tick="yes">Stir it.</entry>'
    )
    tags = tags_of(data)
    assert tags == ["Document", "Sect", "L", "LI", "Lbl", "LBody", "P"]
    text = pypdf.PdfReader(io.BytesIO(data)).pages[0].extract_text()
    assert text.index("10:20") < text.index("5 min") < text.index("Mix.") < text.index("Stir it.")


def test_a_caution_is_read_before_the_step_it_guards(printed: Print) -> None:
    data = printed(
        '<entry clock="10:10">First.</entry><caution severity="WARNING" sign="W017" hazard="Hot.">Gloves.</caution><entry clock="10:20">Second.</entry>'
    )
    text = pypdf.PdfReader(io.BytesIO(data)).pages[0].extract_text()
    assert (
        text.index("First.")
        < text.index("WARNING")
        < text.index("Hot.")
        < text.index("Gloves.")
        < text.index("Second.")
    )


def test_table_heads_have_their_scope(printed: Print) -> None:
    data = printed(
        '<table widths="* auto"><head><cell>a</cell><cell>b</cell></head><row><cell header="yes">c</cell><cell>d</cell></row></table>'
    )
    scopes = [
        str(node["/A"][0]["/Scope"])
        for _, node in branches(pypdf.PdfReader(io.BytesIO(data)))
        if node["/S"] == "/TH"
    ]
    assert scopes == ["/Column", "/Column", "/Row"]


def test_a_table_over_two_pages_is_one_table_and_repeats_its_head(printed: Print) -> None:
    rows = "".join(
        f'<row><cell header="yes">item {n}</cell><cell>{n} g</cell></row>' for n in range(90)
    )
    data = printed(
        f'<table widths="* auto"><head><cell>thing</cell><cell>need</cell></head>{rows}</table>',
        kind="plain",
    )
    reader = pypdf.PdfReader(io.BytesIO(data))
    assert len(reader.pages) > 1
    tags = tags_of(data)
    assert tags.count("Table") == 1
    assert tags.count("TR") == 91
    assert all("thing" in p.extract_text() for p in reader.pages)
    text = " ".join(p.extract_text() for p in reader.pages)
    assert all(f"item {n}" in text for n in range(90))


def test_document_has_title_language_outline_and_no_unembedded_font(sample_printed: Print) -> None:
    data = sample_printed("sample_more.xml")
    reader = pypdf.PdfReader(io.BytesIO(data))
    assert reader.metadata.title == "Sample: sample_more.xml"
    root = reader.trailer["/Root"]
    assert root["/Lang"] == "en-GB"
    assert root["/ViewerPreferences"]["/DisplayDocTitle"].value is True
    outline = [entry.title for entry in reader.outline if not isinstance(entry, list)]
    assert outline == ["Run sheet", "Safe in this kitchen", "Before you come", "Tub labels"]
    assert [e.title for part in reader.outline if isinstance(part, list) for e in part] == [
        "Burn",
        "Wear",
    ]
    assert b"Helvetica" not in data
    assert data.count(b"/FontFile2") == data.count(b"/FontDescriptor ") >= 2


def test_the_same_sheets_give_the_same_bytes(look: Look) -> None:
    text = '<sheet title="a"><masthead title="b"/><entry clock="10:10">Añ ő ½</entry></sheet>'
    first, second = (pdf.draw(parse(text, "a"), look, title="t", language="en") for _ in range(2))
    assert first == second


@pytest.mark.parametrize(("paper", "style"), EVERY_LOOK)
@pytest.mark.parametrize("name", SAMPLES)
def test_nothing_leaves_the_margins_and_no_letter_is_missing(
    name: str, paper: str, style: str, sample_printed: Print
) -> None:
    document = pypdfium2.PdfDocument(sample_printed(name, paper, style))
    for one in document:
        width, height = one.get_size()
        text = one.get_textpage()
        assert "\x00" not in text.get_text_range()
        for number in range(text.count_chars()):
            if pypdfium2.raw.FPDFText_IsGenerated(text.raw, number) == 1:
                continue
            left, bottom, right, top = text.get_charbox(number)
            assert left >= 12
            assert right <= width - 12
            assert bottom >= 8
            assert top <= height - 12


def collisions(data: bytes) -> list[tuple[int, str, str]]:
    """Letters that cross a ruled line or a box's edge, or lie on other letters."""
    found = []
    with pdfplumber.open(io.BytesIO(data)) as document:
        for one in document.pages:
            letters = [c for c in one.chars if c["text"].strip()]
            for edge in one.edges:
                for c in letters:
                    w, h = (c["x1"] - c["x0"]) * 0.15, (c["bottom"] - c["top"]) * 0.3
                    upright = edge["orientation"] == "v"
                    across = (
                        c["x0"] + w < edge["x0"] < c["x1"] - w
                        and edge["top"] < c["bottom"] - h
                        and edge["bottom"] > c["top"] + h
                    )
                    along = (
                        c["top"] + h < edge["top"] < c["bottom"] - h
                        and edge["x0"] < c["x1"] - w
                        and edge["x1"] > c["x0"] + w
                    )
                    if across if upright else along:
                        found.append((one.page_number, "line", c["text"]))
            letters.sort(key=lambda c: (round(c["top"]), c["x0"]))
            for a, b in pairwise(letters):
                shared = min(a["x1"], b["x1"]) - max(a["x0"], b["x0"])
                if abs(a["top"] - b["top"]) < 2 and shared > 0.5 * (b["x1"] - b["x0"]):
                    found.append((one.page_number, "letter", a["text"] + b["text"]))
    return found


@pytest.mark.parametrize(
    ("paper", "style"), [("A4", "normal"), ("A5", "normal"), ("A4", "large-print")]
)
@pytest.mark.parametrize("name", SAMPLES)
def test_no_letter_meets_a_line_or_another_letter(
    name: str, paper: str, style: str, sample_printed: Print
) -> None:
    assert collisions(sample_printed(name, paper, style)) == []


def test_long_words_and_names_keep_their_place(printed: Print) -> None:
    name = "Maximiliana Konstantinopoulou-Featherstonehaugh von und zu Donaudampfschifffahrtsgesellschaft"
    data = printed(
        f'<masthead word="station" number="A1" title="{name}" deck="{name}"/><side word="{name[:30]}">{name}</side>'
        f'<entry clock="10:10" minutes="{name[:24]}" number="1" head="{name}" tick="yes" line="hands">{name * 3}'
        f'<weigh grams="grams" percent="baker’s %" place="{name}"><part grams="1234.5" percent="100" place="{name}" tick="yes">{name}</part></weigh></entry>'
        f'<caution severity="WARNING" sign="W017" hazard="{name}" when="from 10:10">{name}</caution>'
        f'<table widths="auto auto 20mm" align="left decimal right"><head><cell>{name}</cell><cell>b</cell><cell>c</cell></head><row><cell>{name}</cell><cell>12.5</cell><cell>{name}</cell></row></table>',
        footer=name,
    )
    assert collisions(data) == []
    assert problems_of(data) == []
    for one in pypdfium2.PdfDocument(data):
        text = one.get_textpage()
        boxes = [
            text.get_charbox(n)
            for n in range(text.count_chars())
            if pypdfium2.raw.FPDFText_GetUnicode(text.raw, n) > 32
        ]
        assert min(b[0] for b in boxes) >= 28
        assert max(b[2] for b in boxes) <= 595.3 - 40


@pytest.mark.parametrize(
    "text",
    [
        "https://example.org/hs/one-dough",
        "493 g flour, 311 g water, 20 g oil, 8.9 g salt, 4.4 g yeast. " * 3,
    ],
)
def test_a_code_is_read_from_the_page_at_100_dots_an_inch(text: str, printed: Print) -> None:
    data = printed(f'<qr text="{text}" caption="a"/>', kind="plain")
    image = pypdfium2.PdfDocument(data)[0].render(scale=100 / 72, grayscale=True).to_pil()
    assert [code.text for code in zxingcpp.read_barcodes(image)] == [text]


def test_a_code_s_modules_are_at_least_six_tenths_of_a_millimetre(printed: Print) -> None:
    text = "x" * 200
    data = printed(f'<qr text="{text}" size="10"/>', kind="plain")
    (code,) = zxingcpp.read_barcodes(
        pypdfium2.PdfDocument(data)[0].render(scale=200 / 72, grayscale=True).to_pil()
    )
    wide = (code.position.top_right.x - code.position.top_left.x) / 200 * 25.4
    modules = (
        4 * int(re.search(r"\d+", str(code.symbology) + "0")[0] or 0) or 57
    )  # 200 bytes at level M are version 10: 57 modules
    assert wide / max(modules, 57) >= 0.6 * 0.97


NASTY = "&lt;b&gt;bold&lt;/b&gt; &amp;amp; &lt;img src=&quot;file:///etc/passwd&quot;/&gt; &lt;a href=&quot;javascript:x&quot;&gt; (a) \\ %s {0}"


def test_text_is_never_taken_for_mark_up(printed: Print) -> None:
    data = printed(
        f'<masthead title="{NASTY}" deck="{NASTY}"/><side word="x">{NASTY}</side><entry number="1" head="{NASTY}">{NASTY}</entry><text>{NASTY}</text>',
        footer=NASTY,
    )
    text = " ".join(pypdf.PdfReader(io.BytesIO(data)).pages[0].extract_text().split())
    assert (
        text.count(
            '<b>bold</b> &amp; <img src="file:///etc/passwd"/> <a href="javascript:x"> (a) \\ %s {0}'
        )
        >= 4
    )
    assert b"/Image" not in data.replace(b"/ImageB", b"").replace(b"/ImageC", b"").replace(
        b"/ImageI", b""
    )
    assert b"/URI" not in data


def test_a_letter_no_font_has_is_refused_by_its_number(printed: Print) -> None:
    with pytest.raises(LessonError) as caught:
        printed('<masthead title="Mei 梅"/>\n<text>קמח 🥖</text>')
    assert [str(p) for p in caught.value.problems] == [
        "test.xml:1:22: no font here has U+6885 (CJK UNIFIED IDEOGRAPH-6885), in 'Mei 梅'; "
        "write it in Latin, Greek or Cyrillic letters, or add a font to look.yaml",
        "test.xml:2:1: no font here has U+05E7 (HEBREW LETTER QOF), U+05DE (HEBREW LETTER MEM), U+05D7 (HEBREW LETTER HET), "
        "U+1F956 (BAGUETTE BREAD), in 'קמח 🥖'; write it in Latin, Greek or Cyrillic letters, or add a font to look.yaml",
    ]


@pytest.mark.parametrize(
    ("blocks", "said"),
    [
        (
            '<table widths="150mm 150mm"><row><cell>a</cell><cell>b</cell></row></table>',
            "the table's columns need 300 mm, the sheet has 154 mm",
        ),
        (
            '<table widths="* *"><row><cell>a</cell></row></table>',
            "this row has 1 cells, the table 2 columns",
        ),
        (
            '<table widths="*" align="left right"><row><cell>a</cell></row></table>',
            "the table has 1 widths and 2 alignments",
        ),
        (
            '<columns widths="1 1 1"><column>a</column></columns>',
            "<columns> has 3 widths and 1 columns",
        ),
        ('<day-chart from="10:00" to="09:00" alt="x"/>', "the chart ends before it begins"),
        (f'<qr text="{"x" * 401}"/>', "the QR code's text has 401 bytes"),
    ],
)
def test_what_cannot_be_set_is_refused_with_its_place(
    blocks: str, said: str, printed: Print
) -> None:
    with pytest.raises(LessonError) as caught:
        printed(blocks)
    assert str(caught.value).startswith("test.xml:1:")
    assert said in str(caught.value)


def test_a_caution_and_its_step_are_never_parted(printed: Print) -> None:
    for count in range(12, 22):
        steps = "".join(
            f'<entry clock="10:{n}" number="{n}" head="Step">One line.<br/>Two lines.</entry>'
            for n in range(10, 10 + count)
        )
        data = printed(
            f'{steps}<caution severity="WARNING" sign="W017" hazard="Hot hazard.">Gloves.</caution><entry number="99" head="Guarded">x</entry>'
        )
        for one in pypdf.PdfReader(io.BytesIO(data)).pages:
            text = one.extract_text()
            assert ("Hot hazard." in text) == ("Guarded." in text)


def test_a_later_page_says_whose_it_is(printed: Print) -> None:
    steps = "".join(
        f'<entry clock="10:{n}" number="{n}" head="Step">One line.<br/>Two lines.</entry>'
        for n in range(10, 40)
    )
    data = printed(
        f'<running number="A1" title="Marisol" note="steps {{first}} to {{last}}"/>{steps}'
    )
    second = pypdf.PdfReader(io.BytesIO(data)).pages[1].extract_text()
    numbers = [int(n) for n in re.findall(r"(\d+)\s+Step\.", second)]
    assert f"steps {numbers[0]} to {numbers[-1]}" in second
    assert "A1" in second
    assert "Marisol" in second
    assert "2 of 2" in second


def test_parts_are_the_pack_s_sheets_by_themselves(look: Look) -> None:
    sheets = [
        parse(
            f'<sheet title="Sheet {n}" duplex="yes"><masthead title="Sheet {n} ő"/><text>Añ {n}</text></sheet>',
            "a",
        )
        for n in range(3)
    ]
    printed = pdf.draw_pack(
        [pdf.SheetPart(s[0].title, s) for s in sheets], look, title="Pack", language="en-GB"
    )
    assert printed.part_pages == (1, 1, 1)
    assert printed.pages == 5  # a duplex sheet begins on a fresh paper: two white backs between
    assert len(pypdf.PdfReader(io.BytesIO(printed.pack)).pages) == 5
    assert problems_of(printed.pack) == []
    for n, data in enumerate(printed.parts):
        reader = pypdf.PdfReader(io.BytesIO(data))
        assert f"Sheet {n} ő" in reader.pages[0].extract_text()
        assert reader.metadata.title == f"Sheet {n}"
        assert problems_of(data) == []


def test_two_small_cards_share_a_paper_and_keep_their_backs(
    sample_printed: Print, printed: Print
) -> None:
    """Turned on the short edge, the left half of the front has its back on the right half."""
    from tests.typeset.conftest import look_of

    card = '<sheet title="{0}" kind="card" duplex="yes"><masthead title="{0}"/><page-break/><text>back of {0}</text></sheet>'
    sheets = parse(f"<sheets>{card.format('Ada')}{card.format('Bo')}</sheets>", "a")
    data = pdf.draw(sheets, look_of("A5-on-A4"), title="t", language="en")
    document = pypdfium2.PdfDocument(data)
    assert len(document) == 2
    width, height = document[0].get_size()
    assert width > height
    back = document[1].get_textpage()
    right = back.get_text_bounded(left=width / 2)
    assert "back of Ada" in right
    assert "back of Bo" not in right
