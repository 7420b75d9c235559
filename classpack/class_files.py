"""The files of a class day read, each by its own reader; what is wrong in any of them is told together."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TypeVar

from classpack.errors import LessonError, Problem, Spot
from classpack.model.class_day import Person
from classpack.model.kitchen import Kitchen
from classpack.model.language import ENGLISH, Language
from classpack.model.larder import Larder
from classpack.model.lesson import Lesson
from classpack.model.risk import RiskAnswer
from classpack.model.safety import Catalogue
from classpack.pages.filters import format_of
from classpack.pages.look_file import read_look
from classpack.pages.words import read_words
from classpack.places import beside, own_folder, read_bytes, read_text
from classpack.planning.labels.named_allergens import packs_read, unstated, with_packs_read
from classpack.planning.needs.stated import people_problems
from classpack.planning.plan.sources import Sources
from classpack.planning.setting_up.costs import with_currency
from classpack.planning.shopping.basket import unknown_stock
from classpack.reading.bookings_section import booked_people, bookings_columns
from classpack.reading.caution_file import package_catalogue, with_own_cautions
from classpack.reading.caution_translation import translated
from classpack.reading.class_file import ClassFiles, KnownBread, open_class, read_class
from classpack.reading.clock_zones import clock_changes
from classpack.reading.diets_section import read_allergies, read_diets
from classpack.reading.kitchen_file import read_kitchen
from classpack.reading.language_files import read_language
from classpack.reading.larder_file import merged, package_larder, read_larder
from classpack.reading.lesson_file import bread_names, read_lesson
from classpack.reading.names import printed_names
from classpack.reading.own_words import own_words
from classpack.reading.risk_file import read_risks
from classpack.reading.sections import Section
from classpack.reading.yaml_lines import Items, Node, Text, read_nodes
from classpack.typeset.fonts import Fonts, missing_letters_words
from classpack.typeset.logo import check_logo

T = TypeVar("T")


def read_sources(class_path: Path, templates: Path) -> Sources:
    """Read a class day and every file it names.

    Args:
        templates: the folder of templates; a letter that its fonts lack is a problem at its line.

    Raises:
        LessonError: with every problem found in all of them.
    """
    shown = str(class_path)
    text = read_text(class_path, shown)
    if not class_path.stem.strip(".") or not class_path.name.isprintable():
        wrong = f"the pack would be named after '{ascii(class_path.name)[1:-1]}'"
        right = "give the file a name of letters that can be printed, as in 'saturday.yaml'"
        raise LessonError([Problem(Spot(shown, 1), wrong, right)])
    fonts = read_look(templates).fonts
    top, files, problems = open_class(text, shown)
    problems += unprintable(text, shown, fonts)
    named = _Named(class_path, fonts, problems)
    region = top.node.get("region")
    region_code = region.value if isinstance(region, Text) else "UK"
    whole_larder = _part(problems, lambda: _larder(named, files, region_code))
    larder = whole_larder or package_larder()
    language = _part(problems, lambda: _language(templates, top)) or ENGLISH
    problems += unstated(larder, language)
    catalogue = (
        _part(problems, lambda: _catalogue(named, files, templates, language))
        or package_catalogue()
    )
    kitchen = _part(problems, lambda: _kitchen(named, files, larder))
    lesson = _part(problems, lambda: _lesson(named, files, larder, kitchen))
    risks = _part(problems, lambda: _risks(named, files, catalogue)) or (3, {})
    logo = _part(problems, lambda: _logo(class_path, files)) or ""
    breads = (
        tuple(KnownBread(one.name, one.pieces) for one in lesson.variations)
        if lesson
        else tuple(
            KnownBread(name, 1)
            for name in _part(problems, lambda: _bread_names(named, files)) or ()
        )
    )
    if not breads:
        raise LessonError(problems)
    diets = (*read_diets(top), *read_allergies(top))
    booked = _part(problems, lambda: _booked(named, files, top, breads)) or ()
    day = read_class(top, shown, breads, booked)
    problems += packs_read(larder, day.date)
    day, other_currency = with_currency(day, larder, top.spot_of("currency"))
    problems += other_currency
    problems += unknown_stock(day.stock, larder) if whole_larder else ()
    problems += people_problems(day, whole_larder, diets, language, seats_sure=not problems)
    if problems or kitchen is None or lesson is None:
        raise LessonError(problems)
    moved = clock_changes(day.region, kitchen.country, day.date.year)
    day = replace(day, clock_changes=moved)
    larder = with_packs_read(larder, language)
    written = own_words(templates, own_folder("templates"), day.language)
    return Sources(lesson, day, kitchen, larder, catalogue, risks, logo, diets, language, written)


def larder_beside(class_path: Path | None) -> Larder:
    """The shipped larder, with the tutor's own where a class day names one that can be read: for looking up a name."""
    larder = package_larder()
    if class_path is None:
        return larder
    try:
        text = read_text(class_path, str(class_path))
        _, files, _ = open_class(text, str(class_path))
        if files.larder is not None:
            path = beside(class_path, files.larder.value, files.larder.spot)
            return merged(larder, read_larder(read_text(path, str(path)), str(path)))
    except LessonError:
        return larder
    return larder


def unprintable(text: str, file: str, fonts: Fonts) -> list[Problem]:
    """Every text of a file that holds a letter no font has, or one that is written from right to left."""
    if not fonts.lacks(text):
        return []
    problems = []
    waiting: list[Node] = [read_nodes(text, file)]
    while waiting:
        node = waiting.pop()
        if isinstance(node, Text):
            if letters := fonts.lacks(node.value):
                right = "write it in Latin, Greek or Cyrillic letters, or add a font to the templates' look.yaml"
                problems.append(
                    Problem(node.spot, missing_letters_words(letters, node.value), right)
                )
        elif isinstance(node, Items):
            waiting += node.items
        else:
            waiting += [part for pair in node.fields for part in pair]
    return problems


def _part(problems: list[Problem], read: Callable[[], T]) -> T | None:
    """Read one file; its problems join the others, so that all are told at once."""
    try:
        return read()
    except LessonError as error:
        problems += error.problems
        return None


@dataclass(frozen=True, slots=True)
class _Named:
    """Reads the files a class file names."""

    class_path: Path
    fonts: Fonts
    problems: list[Problem]

    def read(self, name: Text) -> tuple[str, str]:
        """The text of a file and its path as errors show it."""
        path = beside(self.class_path, name.value, name.spot)
        shown = str(self.class_path.parent / name.value)
        text = read_text(path, shown, name.spot)
        self.problems.extend(unprintable(text, shown, self.fonts))
        return text, shown


def _larder(named: _Named, files: ClassFiles, region: str) -> Larder:
    """The shipped larder and the tutor's own, with the names of the class's region, and its measures where none are said."""
    larder = package_larder()
    if files.larder is not None:
        larder = merged(larder, read_larder(*named.read(files.larder)))
    if not larder.measures.written_in:
        larder = replace(larder, measures=larder.measures.written_for(region), _by_name={})
    return larder.called(printed_names(region))


def _language(templates: Path, top: Section) -> Language:
    """The language of the class: a folder of words, with what is said outside templates in its folder ``planning``."""
    code = top.text("language", default="en")
    folder = templates / "words"
    known = sorted(path.name for path in folder.glob("*") if path.is_dir())
    if code not in known:
        right = f"choose {' or '.join(known)}" if known else f"add the folder '{code}'"
        raise LessonError(
            [Problem(top.spot_of("language"), f"there are no words in '{code}'", right)]
        )
    if code == "en":
        return ENGLISH
    decimal = format_of(read_words(templates, code)).decimal
    texts, allergens = (_planning_words(templates, code, name) for name in ("texts", "allergens"))
    return read_language(code, decimal, texts, allergens, _planning_words(templates, code, "needs"))


def _planning_words(templates: Path, code: str, name: str) -> tuple[str, str]:
    """A file of a language's folder ``planning``, and its path as errors show it."""
    shown = f"{templates.name}/words/{code}/planning/{name}.yaml"
    return read_text(templates / "words" / code / "planning" / f"{name}.yaml", shown), shown


def _catalogue(named: _Named, files: ClassFiles, templates: Path, language: Language) -> Catalogue:
    catalogue = package_catalogue()
    if language.code != "en":
        catalogue = translated(catalogue, *_planning_words(templates, language.code, "cautions"))
    if files.cautions is None:
        return catalogue
    return with_own_cautions(catalogue, *named.read(files.cautions))


def _kitchen(named: _Named, files: ClassFiles, larder: Larder) -> Kitchen | None:
    return read_kitchen(*named.read(files.kitchen), larder.measures) if files.kitchen else None


def _lesson(
    named: _Named, files: ClassFiles, larder: Larder, kitchen: Kitchen | None
) -> Lesson | None:
    """The lesson; a bake that names no kind of oven is for the kitchen's, where all its ovens are of one."""
    if files.lesson is None:
        return None
    return read_lesson(*named.read(files.lesson), larder, kitchens_kind(kitchen))


def kitchens_kind(kitchen: Kitchen | None) -> str:
    """The kind of all the kitchen's ovens; ``conventional`` where they differ."""
    kinds = {one.kind for one in kitchen.ovens} if kitchen else set()
    return kinds.pop() if len(kinds) == 1 else "conventional"


def _risks(
    named: _Named, files: ClassFiles, catalogue: Catalogue
) -> tuple[int, dict[str, RiskAnswer]] | None:
    return read_risks(*named.read(files.risk), catalogue) if files.risk else None


def _booked(
    named: _Named, files: ClassFiles, top: Section, breads: tuple[KnownBread, ...]
) -> tuple[Person, ...]:
    """The people of the bookings file. Its bytes are looked at there: a spreadsheet's export need not be UTF-8."""
    if files.bookings is None:
        bookings_columns(top)  # says what is wrong with the section, if there is one
        return ()
    path = beside(named.class_path, files.bookings.value, files.bookings.spot)
    shown = str(named.class_path.parent / files.bookings.value)
    data = read_bytes(path, shown, files.bookings.spot)
    people = booked_people(top, data, shown, breads)
    for person in people:
        letters = named.fonts.lacks(person.name)
        if letters and person.spot:
            top.problem(
                person.spot,
                missing_letters_words(letters, person.name),
                "write it in Latin, Greek or Cyrillic letters, or add a font to the templates' look.yaml",
            )
    return people


def _logo(class_path: Path, files: ClassFiles) -> str:
    """The logo's file, looked at once, so that a picture that cannot be printed is told at its line."""
    if files.logo is None:
        return ""
    path = beside(class_path, files.logo.value, files.logo.spot)
    check_logo(path, files.logo.spot)
    return str(path)


def _bread_names(named: _Named, files: ClassFiles) -> tuple[str, ...]:
    """What the class file may name although the lesson has problems, so that its own problems are told as well."""
    return bread_names(*named.read(files.lesson)) if files.lesson else ()
