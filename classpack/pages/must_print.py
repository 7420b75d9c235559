"""What no template may leave out: the cautions, allergens and safety words of a sheet. A template chooses words and order, never silence.

Owed are: by cards, station sheets and take-home pages every caution; by cards, station sheets, tub and bag labels every allergen; by
the run sheet and the oven's door the cautions of the ovens; by the run sheet the safety talk and the clock of what is chilled; by the
wall the day's hazards, first aid and whom to call; by bag labels and pages the whole list of ingredients with its allergens in bold.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Iterator, Mapping, Sequence
from html.parser import HTMLParser

from classpack.errors import LessonError, Problem, Spot
from classpack.model.safety import FiredCaution
from classpack.pages.filters import Format, as_read, clock
from classpack.pages.templates import Templates
from classpack.pages.words import PhraseError, Phrases
from classpack.planning.labels.ingredient_list import IngredientList
from classpack.planning.plan.class_plan import ClassPlan
from classpack.sheets.cards.recipe_card import RecipeCard
from classpack.sheets.day.oven_sheet import OvenSheet
from classpack.sheets.day.rows import RunRow
from classpack.sheets.day.run_sheet import RunSheet
from classpack.sheets.home.bag_labels import BagLabel
from classpack.sheets.home.take_home import TakeHomePage
from classpack.sheets.papers.safety_papers import WallSheet
from classpack.sheets.setting_up.weigh_out import TubLabel
from classpack.sheets.stations.station_sheet import StationSheet
from classpack.typeset.page_text import Element, Sheet

PAGE = "html/bread.html"
_SAID = ("burn", "medicine", "unsure")
"""Lines of the safety talk that are the same in every class."""


def left_out(
    values: Mapping[str, object], plan: ClassPlan, sheets: Sequence[Sheet], templates: Templates
) -> list[Problem]:
    """A problem at its template for each thing that a sheet owes and that its template no longer prints.

    Args:
        values: what the template was given.
        sheets: what it yielded.
    """
    one = values.get("card") or values.get("sheet")
    if isinstance(one, RecipeCard | StationSheet):
        people = [one] if isinstance(one, RecipeCard) else one.people
        names = [name for person in people for names, _ in person.contains for name in names]
        return [
            *_cautions(sheets, one.every_caution),
            *_allergens(sheets, map(templates.allergen, names)),
        ]
    if isinstance(one, RunSheet):
        return [
            *_cautions(sheets, one.guards if one.guarded else ()),
            *_texts(sheets, _run_texts(one, plan, templates)),
        ]
    if isinstance(one, WallSheet):
        return [
            *_cautions(sheets, (met.fired for met in one.safety.hazards)),
            *_texts(sheets, _wall_texts(one, templates)),
        ]
    found: list[Problem] = []
    for kind in ("sheets", "labels"):
        several = values.get(kind)
        if isinstance(several, tuple):
            doors = [one for one in several if isinstance(one, OvenSheet)]
            tubs = [one for one in several if isinstance(one, TubLabel)]
            bags = [one for one in several if isinstance(one, BagLabel)]
            found += _at_the_doors(doors, sheets, templates)
            found += _on_tubs(tubs, sheets, templates)
            found += _on_bags(bags, sheets)
    return found


def left_out_of_page(page: TakeHomePage, html: str, templates: Templates) -> list[Problem]:
    """The same for a take-home page, once it is filled."""
    reader = _Words()
    reader.feed(html)
    shown, bold = _squeezed(" ".join(reader.words)), {_squeezed(one) for one in reader.bold}
    spot = Spot(f"{templates.folder.name}/{PAGE}", 1)
    cautions = [one for step in page.steps for one in step.cautions]
    found = [
        _no_caution(spot, short)
        for short in _shorts((*cautions, *page.after))
        if _squeezed(short) not in shown
    ]
    owed = [page.holds.text]
    if any(step.tutor_poured for step in page.steps):
        owed.append(_phrase(templates, "pages", "no_steam"))
    found += [_no_text(spot, one) for one in owed if _squeezed(one) not in shown]
    return found + _not_bold(spot, page.holds, bold)


# ---------------------------------------------------------------- what each sheet owes


def _run_texts(sheet: RunSheet, plan: ClassPlan, templates: Templates) -> Iterator[str]:
    """The safety talk where the sheet has one; before the class the clock of what is chilled, and that everybody is asked."""
    if any(row.kind == "safety talk" for row in sheet.rows):
        kitchen = plan.kitchen
        yield from (line.text for line in sheet.briefing.lines if line.kind == "caution")
        yield from (kitchen.fire_exit, kitchen.first_aider, kitchen.first_aid_box)
        yield plan.safety.sheet.call.call
        yield from (_phrase(templates, "run", f"say_{kind}") for kind in _SAID)
    if _steam_poured(sheet.rows):
        yield _phrase(templates, "run", "you_pour")
    if sheet.again is None:
        for one in sheet.cold:
            yield from (one.ingredient, _clock(one.out_min, templates))
            if one.bin_min is not None:
                yield _clock(one.bin_min, templates)
        if plan.day.ask_at_the_door:
            yield _phrase(templates, "run", "ask")


def _steam_poured(rows: Iterable[RunRow]) -> bool:
    return any(row.kind == "load" and row.tutor_steam for row in rows)


def _wall_texts(sheet: WallSheet, templates: Templates) -> Iterator[str]:
    safety = sheet.safety
    yield from (safety.call.call, *safety.call.also, sheet.gas)
    yield from (safety.address, safety.first_aider, safety.first_aid_box, safety.fire_exit)
    for aid in (*safety.first_aid, *safety.more_aid):
        yield from (aid.title, *aid.steps)
    if safety.not_reviewed:
        yield _phrase(templates, "common", "not_reviewed")


def _at_the_doors(
    doors: Sequence[OvenSheet], sheets: Sequence[Sheet], templates: Templates
) -> list[Problem]:
    """Each oven has a sheet of its own; a template that makes more of one is looked at as a whole."""
    apart = len(doors) == len(sheets)
    found: list[Problem] = []
    for place, door in enumerate(doors):
        mine = [sheets[place]] if apart else sheets
        found += _cautions(mine, door.guards)
        if any(row.kind == "load" for row in door.rows):
            found += _texts(mine, [_phrase(templates, "oven", "slips_off")])
        if _steam_poured(door.rows):
            found += _texts(mine, [_phrase(templates, "oven", "steam")])
    return list(dict.fromkeys(found))


def _on_tubs(
    labels: Sequence[TubLabel], sheets: Sequence[Sheet], templates: Templates
) -> list[Problem]:
    printed = [_squeezed(_said(one)) for one in _labels(sheets)]
    found = []
    for label in labels:
        mine = [one for one in printed if _squeezed(label.tub.ingredient) in one]
        for name in map(templates.allergen, label.holds):
            if not any(_squeezed(name) in one for one in mine):
                wrong = f"the allergen '{name}' is not named on the tub of '{label.tub.ingredient}'"
                right = "print what each tub holds, as classpack's own template does"
                found.append(Problem(sheets[0].spot, wrong, right))
    return list(dict.fromkeys(found))


def _on_bags(labels: Sequence[BagLabel], sheets: Sequence[Sheet]) -> list[Problem]:
    printed = [(_squeezed(_said(one)), one) for one in _labels(sheets)]
    found: list[Problem] = []
    for label in labels:
        list_ = _squeezed(label.holds.text)
        mine = [one for text, one in printed if list_ in text and _squeezed(label.seat) in text]
        if not mine:
            wrong = f"the ingredients of the {label.bread.variation.name} at {label.seat} are not all printed here"
            right = "print each label's list of ingredients, as classpack's own template does"
            found.append(Problem(sheets[0].spot, wrong, right))
            continue
        strong = [one for label_ in mine for one in _inside(label_) if one.tag == "strong"]
        found += _not_bold(sheets[0].spot, label.holds, {_squeezed(one.words()) for one in strong})
        copied = [name for name in label.holds.to_copy if not any(_squeezed(name) in _squeezed(_said(one)) for one in mine)]  # fmt: skip
        found += [_no_text(sheets[0].spot, name) for name in copied]
    return list(dict.fromkeys(found))


# ---------------------------------------------------------------- what is not there


def _cautions(sheets: Sequence[Sheet], cautions: Iterable[FiredCaution]) -> list[Problem]:
    """A problem for each caution, by what it warns of, without its frame."""
    printed = {
        _squeezed(one.text("hazard"))
        for sheet in sheets
        for one in _inside(sheet.element)
        if one.tag == "caution"
    }
    spot = sheets[0].spot
    return [
        _no_caution(spot, short) for short in _shorts(cautions) if _squeezed(short) not in printed
    ]


def _allergens(sheets: Sequence[Sheet], allergens: Iterable[str]) -> list[Problem]:
    words = " ".join(sheet.element.words() for sheet in sheets).casefold()
    return [
        Problem(
            sheets[0].spot,
            f"the allergen '{name}' is not named here",
            "print what each bread contains, as classpack's own template does",
        )
        for name in dict.fromkeys(allergens)
        if " ".join(name.split()).casefold() not in words
    ]


def _texts(sheets: Sequence[Sheet], texts: Iterable[str]) -> list[Problem]:
    shown = _squeezed(" ".join(_said(sheet.element) for sheet in sheets))
    return [
        _no_text(sheets[0].spot, text)
        for text in dict.fromkeys(texts)
        if _squeezed(text) not in shown
    ]


def _not_bold(spot: Spot, holds: IngredientList, bold: set[str]) -> list[Problem]:
    """Where an allergen stands it is in bold: Regulation (EU) No 1169/2011, Art. 21(1)(b), and the like elsewhere."""
    names = [span.text for span in holds.spans if span.emphasised]
    return [
        Problem(
            spot,
            f"'{name}' is not in bold in a list of ingredients here",
            "make the emphasised parts of a list bold, as classpack's own template does",
        )
        for name in dict.fromkeys(names)
        if _squeezed(name) not in bold
    ]


def _shorts(cautions: Iterable[FiredCaution]) -> list[str]:
    return list(dict.fromkeys(fired.line for fired in cautions))


def _no_caution(spot: Spot, short: str) -> Problem:
    return Problem(
        spot,
        f"the caution '{short}' is not printed here",
        "print every caution of a sheet, as classpack's own template does",
    )


def _no_text(spot: Spot, text: str) -> Problem:
    return Problem(
        spot,
        f"'{text}' is not printed here",
        "print all safety words of a sheet, as classpack's own template does",
    )


# ---------------------------------------------------------------- what is printed


def _inside(element: Element) -> Iterator[Element]:
    for child in element.elements():
        yield child
        yield from _inside(child)


def _labels(sheets: Sequence[Sheet]) -> list[Element]:
    return [one for sheet in sheets for one in _inside(sheet.element) if one.tag == "label"]


def _said(element: Element) -> str:
    """The words inside and those that attributes say, as a masthead's number."""
    every = (element, *_inside(element))
    said = [value for one in every for value in one.values.values() if isinstance(value, str)]
    return " ".join((element.words(), *said))


_IN_FAHRENHEIT = Format(fahrenheit=True)


def _squeezed(text: str) -> str:
    """Text as it is compared: without spaces, soft hyphens and capitals."""
    whole = as_read(unicodedata.normalize("NFC", text), _IN_FAHRENHEIT)  # the same in every region
    whole = whole.replace("\N{SOFT HYPHEN}", "")
    return "".join(whole.split()).casefold()


def _phrase(templates: Templates, file: str, key: str) -> str:
    """A phrase of the templates' words.

    Raises:
        LessonError: it is missing or says nothing.
    """
    spot = Spot(f"{templates.folder.name}/words/{templates.language}/{file}.yaml", 1)
    try:
        phrases = templates.words[file]
        said = str(phrases[key]) if isinstance(phrases, Phrases) else ""
    except PhraseError as error:
        raise LessonError([Problem(spot, error.wrong, error.right)]) from None
    if not _squeezed(said):
        right = "write what it says, as in classpack's own words"
        raise LessonError([Problem(spot, f"the phrase '{key}' says nothing", right)])
    return said


def _clock(minute: int, templates: Templates) -> str:
    return clock(minute, templates.form)


class _Words(HTMLParser):
    """The words of a page, and those in bold, without styles."""

    def __init__(self) -> None:
        super().__init__()
        self.words: list[str] = []
        self.bold: list[str] = []
        self._open: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in ("style", "script", "strong"):
            self._open.append(tag)
            if tag == "strong":
                self.bold.append("")

    def handle_endtag(self, tag: str) -> None:
        if tag in self._open:
            self._open.remove(tag)

    def handle_data(self, data: str) -> None:
        if "style" in self._open or "script" in self._open:
            return
        self.words.append(data)
        if "strong" in self._open:
            self.bold[-1] += data
