"""Page text is checked: every mistake at its place, with what would be right."""

from __future__ import annotations

import pytest

from classpack.typeset.page_text import TemplateError, parse


def mistakes(text: str) -> list[str]:
    with pytest.raises(TemplateError) as caught:
        parse(text, "card.xml")
    return [str(problem) for problem in caught.value.problems]


def test_an_unknown_element_is_told_with_its_neighbour() -> None:
    assert mistakes('<sheet title="x">\n  <list>\n    <itme>salt</itme>\n  </list>\n</sheet>') == [
        "card.xml:3:5: there is no element <itme>; inside <list> there can be item; did you mean 'item'?"
    ]


def test_an_element_in_the_wrong_place_is_told() -> None:
    assert mistakes('<sheet title="x"><list><text>a</text></list></sheet>') == [
        "card.xml:1:24: <text> cannot stand inside <list>; inside <list> there can be item"
    ]


def test_all_mistakes_come_at_once_in_file_order() -> None:
    assert mistakes(
        '<sheet titel="x">\n <space height="tall"/>\n <qr/>\n <rule weight="fat"/>\n <list columns="0"/>\n</sheet>'
    ) == [
        "card.xml:1:1: <sheet> has no 'title'; give it: <sheet title=\"…\">",
        "card.xml:1:1: <sheet> has no attribute 'titel'; it can have code, counter, duplex, foot-note, footer, "
        "kind, lang, pages, paper, title or turn; did you mean 'title'?",
        'card.xml:2:2: height="tall" of <space> is not a number of millimetres; write a number of millimetres, as in 12.5',
        "card.xml:3:2: <qr> has no 'text'; give it: <qr text=\"…\">",
        'card.xml:4:2: weight="fat" of <rule> is not one of its values; write thin, hair or heavy',
        'card.xml:5:2: columns="0" of <list> is not a whole number from 1 to 999; write a whole number from 1 to 999',
    ]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            "",
            'card.xml:1:1: there is no sheet; write <sheet title="..."> with blocks inside </sheet>',
        ),
        (
            '<sheet title="x"><text>a</sheet>',
            "card.xml:1:27: <text> of line 1 is not closed here; write </text> first",
        ),
        (
            '<!DOCTYPE s [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]><sheet title="x"><text>&b;</text></sheet>',
            "card.xml:1:13: a document type (<!DOCTYPE) stands here; take it away; page text has none",
        ),
        (
            '<?xml-stylesheet href="http://example.org/a"?><sheet title="x"/>',
            "card.xml:1:1: an instruction (<?...?>) stands here; take it away; page text has none",
        ),
        (
            '<sheet title="x"><text>5&nbsp;g</text></sheet>',
            "card.xml:1:25: an unknown &name; stands here; write the sign itself, or its number as in &#189;",
        ),
        (
            '<sheet title="x"><text>Salt & pepper</text></sheet>',
            "card.xml:1:30: this is not well-formed XML: not well-formed (invalid token) (inside <text>); "
            "write & as &amp; and < as &lt;, quote attributes, close every tag",
        ),
        (
            '<sheet title=" "/>',
            'card.xml:1:1: title=" " of <sheet> is empty; write some words',
        ),
    ],
)
def test_what_is_no_page_text_is_refused(text: str, said: str) -> None:
    assert mistakes(text) == [said]


@pytest.mark.parametrize(
    "address",
    ["javascript:alert(1)", "file:///etc/passwd", "ftp://example.org", "data:text/html,x"],
)
def test_links_lead_to_the_web_mail_or_telephone_only(address: str) -> None:
    assert mistakes(f'<sheet title="x"><text><link to="{address}">a</link></text></sheet>') == [
        f'card.xml:1:24: to="{address}" of <link> is not a web, mail or telephone address; '
        "write an address that starts with https://, http://, mailto: or tel:"
    ]


def test_words_of_the_library_are_no_words_of_page_text() -> None:
    """Mark-up the PDF library would act on (fonts, images, links) does not exist here."""
    for tag in ("b", "font", "img", "a", "para", "onDraw"):
        (said,) = mistakes(f'<sheet title="x"><text><{tag} src="x">a</{tag}></text></sheet>')
        assert said.startswith(
            f"card.xml:1:24: there is no element <{tag}>; inside <text> there can be accent,"
        )


def test_nesting_without_end_is_refused() -> None:
    deep = "<strong>" * 40 + "a" + "</strong>" * 40
    assert mistakes(f'<sheet title="x"><text>{deep}</text></sheet>')[0].endswith(
        "elements are nested too deep; keep to 30 levels"
    )


def test_sheets_are_read_in_their_order() -> None:
    sheets = parse('<sheets><sheet title="b" kind="list"/><sheet title="a"/></sheets>', "x.xml")
    assert [(s.title, s.kind) for s in sheets] == [("b", "list"), ("a", "card")]
