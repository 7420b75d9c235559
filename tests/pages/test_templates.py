"""Templates: every mistake at its line in the template; nothing prints without a unit; nothing reaches outside."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from classpack.pages.templates import Templates
from classpack.typeset.page_text import TemplateError

Make = Callable[[str], Templates]


@dataclass(frozen=True, slots=True)
class RecipeCard:
    name: str
    dough_g: Fraction


CARD = RecipeCard("Ada <b>&\"'", Fraction(63, 10))


@pytest.fixture
def make(tmp_path: Path) -> Make:
    folder = tmp_path / "templates"
    (folder / "pdf").mkdir(parents=True)
    (folder / "words" / "en").mkdir(parents=True)
    (folder / "words" / "nb").mkdir()
    (folder / "words/en/card.yaml").write_text(
        'title: "Card of {name}"\nrolls:\n  one: 1 roll\n  many: "{count} rolls"\n'
    )
    (folder / "words/nb/card.yaml").write_text('title: "Kort for {name}"\n')
    (folder / "words/nb/format.yaml").write_text(
        'decimal: ","\nhours: t\ndate: "{weekday} {day}. {month} {year}"\n'
        "months: januar februar mars april mai juni juli august september oktober november desember\n"
        "weekdays: mandag tirsdag onsdag torsdag fredag lørdag søndag\n"
    )
    (folder / "pdf" / "_parts.xml").write_text(
        "{% macro line(x) %}<text>{{ x }}</text>{% endmacro %}\n"
    )

    def templates(source: str, language: str = "en") -> Templates:
        (folder / "pdf" / "card.xml").write_text(source, "utf-8")
        return Templates(folder, language)

    return templates


def mistake(templates: Templates, **values: object) -> str:
    with pytest.raises(TemplateError) as caught:
        templates.pages("pdf/card.xml", **({"card": CARD} | values))
    return str(caught.value)


def test_values_are_escaped_and_words_filled(make: Make) -> None:
    templates = make(
        '<sheet title="{{ words.card.title | put(name=card.name) }}"><text>{{ card.dough_g | grams }}</text></sheet>'
    )
    assert templates.fill("pdf/card.xml", card=CARD) == (
        '<sheet title="Card of Ada &lt;b&gt;&amp;&#34;&#39;"><text>6.3 g</text></sheet>'
    )
    (sheet,) = templates.pages("pdf/card.xml", card=CARD)
    assert sheet.title == "Card of Ada <b>&\"'"


@pytest.mark.parametrize(
    ("source", "said"),
    [
        (
            "<sheet title='a'>\n <text>{{ card.dough_g }}</text></sheet>",
            "2:1: the bare number 63/10 would print here, without its unit; use a filter such as grams, minutes or count, or test for it",
        ),
        (
            "<sheet title='a'>\n <text>{% set x = none %}{{ x }}</text></sheet>",
            "2:1: None would print here; use a filter such as grams, minutes or count, or test for it",
        ),
        (
            "<sheet title='a'>\n <text>{{ card.name == '' }}</text></sheet>",
            "2:1: False would print here; use a filter such as grams, minutes or count, or test for it",
        ),
        (
            "<sheet title='a'>\n\n <text>{{ card.weight }}</text></sheet>",
            "3:1: the recipe card has no 'weight'; it has name, dough_g",
        ),
        (
            "<sheet title='a'>\n <text>{{ crad.name }}</text></sheet>",
            "2:1: there is no value 'crad' here; check its name",
        ),
        (
            "<sheet title='a'>\n <text>{{ words.card.titel }}</text></sheet>",
            "2:1: templates/words/en/card.yaml has no phrase 'titel'; add 'titel: …' to it",
        ),
        (
            "<sheet title='a'>\n <text>{{ words.cards.title }}</text></sheet>",
            "2:1: templates/words/en has no phrase 'cards'; add 'cards: …' to it",
        ),
        (
            "<sheet title='a'>\n <text>{{ words.card.title | put(nme='x') }}</text></sheet>",
            "2:1: the phrase 'Card of {name}' does not get name; give the same names in the template and in the words file",
        ),
        (
            "<sheet title='a'>\n <text>{% if %}</text></sheet>",
            "2:1: expected an expression, got 'end of statement block'; see templates/README.md",
        ),
        (
            "<sheet title='a'>\n <text>{{ 5 | gramms }}</text></sheet>",
            "2:1: no filter named 'gramms'; see templates/README.md",
        ),
        (
            "<sheet title='a'>\n <text>{{ card.name | grams }}</text></sheet>",
            "2:1: this cannot be worked out: an exact number is expected, not 'Ada <b>&\"\\''; check the filter and its value",
        ),
        (
            "<sheet title='a'>\n <text>{{ ''.__class__.__mro__ }}</text></sheet>",
            "2:1: access to attribute '__class__' of 'str' object is unsafe; templates only choose words and order",
        ),
        (
            "{% include 'pdf/gone.xml' %}",
            "1:1: there is no template 'pdf/gone.xml'; put it in 'templates/'",
        ),
        (
            "{% include '../../secret.xml' %}",
            "1:1: there is no template '../../secret.xml'; put it in 'templates/'",
        ),
    ],
)
def test_a_mistake_is_told_at_its_line(source: str, said: str, make: Make) -> None:
    assert mistake(make(source)) == f"templates/pdf/card.xml:{said}"


def test_wrong_page_text_is_told_at_its_place_in_the_template(make: Make) -> None:
    source = '<sheet title="a">\n{% for n in (1, 2, 3) %}\n  {% if n == 2 %}<text sise="note">{{ n }}</text>{% endif %}\n{% endfor %}\n</sheet>'
    assert mistake(make(source)) == (
        "templates/pdf/card.xml:3:18: <text> has no attribute 'sise'; it can have after, align, size or tone; did you mean 'size'?"
    )


def test_a_place_in_an_imported_file_is_told_there(make: Make) -> None:
    templates = make(
        '{% import "pdf/_parts.xml" as parts %}<sheet title="a"><list>{{ parts.line("x") }}</list></sheet>'
    )
    assert mistake(templates).startswith(
        "templates/pdf/_parts.xml:1:20: <text> cannot stand inside <list>;"
    )


@pytest.mark.parametrize("value", [Fraction(1, 3), Decimal("1.5"), 1.5])
def test_no_number_prints_bare(value: object, make: Make) -> None:
    assert "would print here, without its unit" in mistake(
        make("<sheet title='a'><text>{{ x }}</text></sheet>"), x=value
    )


def test_another_language_brings_its_numbers(make: Make) -> None:
    import datetime

    templates = make(
        "<sheet title='{{ words.card.title | put(name='x') }}'><text>{{ 63 | percent }} {{ w | grams }} {{ 70 | minutes }} {{ d | date_long }}</text></sheet>",
    )
    templates = Templates(templates.folder, "nb")
    filled = templates.fill("pdf/card.xml", w=Fraction(126, 10), d=datetime.date(2027, 3, 6))
    assert (
        filled
        == "<sheet title='Kort for x'><text>63 % 12,6 g 1 t 10 min lørdag 6. mars 2027</text></sheet>"
    )


def test_a_language_without_words_is_refused(make: Make) -> None:
    templates = make("")
    with pytest.raises(TemplateError, match="there are no words in 'fr'; choose en, nb"):
        Templates(templates.folder, "fr")
    with pytest.raises(TemplateError, match=r"'\.\./x' is no language"):
        Templates(templates.folder, "../x")


def test_one_and_many(make: Make) -> None:
    templates = make(
        "<sheet title='a'><text>{{ words.card.rolls | plural(1) }}, {{ words.card.rolls | plural(6) }}</text></sheet>"
    )
    assert "1 roll, 6 rolls" in templates.fill("pdf/card.xml")
