"""The shell: read the files, plan the class, lay out, print, write. A straight line; the thinking is elsewhere."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from fractions import Fraction
from pathlib import Path
from typing import TypeVar

from classpack.errors import LessonError, Problem, Remark, Spot
from classpack.model.class_day import ClassDay, Person
from classpack.model.class_plan import Change, PersonPlan, Version
from classpack.model.diets import Diet
from classpack.model.formula import Formula
from classpack.model.kitchen import Kitchen
from classpack.model.language import ENGLISH, Language
from classpack.model.larder import Larder
from classpack.model.lesson import Lesson, Variation
from classpack.model.needs import NeedsPlan
from classpack.model.regions import REGIONS
from classpack.model.risk import RiskAnswer
from classpack.model.safety import Catalogue
from classpack.model.timed_day import TimedDay
from classpack.pack_folder import write_new_folder, write_pack
from classpack.pages.filters import format_of
from classpack.pages.look_file import read_look
from classpack.pages.words import read_words
from classpack.places import beside, own_folder, read_bytes, read_text
from classpack.planning.amounts.changed_lesson import changed_lesson
from classpack.planning.amounts.dough_day import (
    DoughAdvice,
    dough_advice,
    factors_of,
    taught_lesson,
)
from classpack.planning.amounts.scaling import Scaled, changed_formula, scaled
from classpack.planning.amounts.vessels import clearance_problems, vessel_findings
from classpack.planning.day.clock_change import by_one_clock, clock_remarks
from classpack.planning.day.clocks import day_clocks
from classpack.planning.day.problems import day_problems, endless
from classpack.planning.day.setting import day_setting
from classpack.planning.dough.home_batch import HomeBatch, home_batch
from classpack.planning.dough.sanity import dough_objections
from classpack.planning.dough.yeast import converted_g, yeast_in_form
from classpack.planning.labels.contains import ContainsLine, contains_line
from classpack.planning.labels.named_allergens import unstated
from classpack.planning.needs.resolving import resolve, shareable
from classpack.planning.needs.stated import people_problems
from classpack.planning.plan.class_plan import ClassPlan
from classpack.planning.plan.last_look import last_look_at_plan
from classpack.planning.safety.bench_use import handled_at
from classpack.planning.safety.class_cautions import class_cautions, place_facts
from classpack.planning.safety.class_safety import class_safety, group_problems
from classpack.planning.safety.fridge import fridge_clock
from classpack.planning.setting_up.composition import person_compositions
from classpack.planning.setting_up.costs import with_currency
from classpack.planning.shopping.basket import shopping_list
from classpack.planning.timetable.planner import NoPlanError, plan_day
from classpack.planning.timetable.verdict import explain
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
from classpack.reading.recipe.lesson_text import recipe_files
from classpack.reading.recipe.whole_recipe import read_recipe
from classpack.reading.risk_file import read_risks
from classpack.reading.sections import Section, nearest
from classpack.reading.yaml_lines import Items, Node, Text, read_nodes
from classpack.sheets.exports.class_json import class_json
from classpack.sheets.home.take_home import take_home_pages
from classpack.sheets.pack import confidential_jobs, pack_jobs
from classpack.sheets.setting_up.jobs import setting_up_remarks, setting_up_texts
from classpack.template_folder import templates_folder
from classpack.typeset.fonts import Fonts, missing_letters_words
from classpack.typeset.logo import check_logo
from classpack.typeset.look import Look

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Sources:
    """Everything read from files, checked."""

    lesson: Lesson
    day: ClassDay
    kitchen: Kitchen
    larder: Larder
    catalogue: Catalogue
    risks: tuple[int, dict[str, RiskAnswer]] = (3, {})
    logo: Path | None = None
    diets: tuple[Diet, ...] = ()
    language: Language = ENGLISH


@dataclass(frozen=True, slots=True)
class Planned:
    """What was computed: the plan that sheets read, and beside it what is confidential."""

    plan: ClassPlan
    needs: NeedsPlan = field(repr=False)
    logo: Path | None = None


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
    lesson = _part(problems, lambda: _lesson(named, files, larder))
    risks = _part(problems, lambda: _risks(named, files, catalogue)) or (3, {})
    logo = _part(problems, lambda: _logo(class_path, files))
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
    day, other_currency = with_currency(day, larder, top.spot_of("currency"))
    problems += other_currency
    for stock in day.stock if whole_larder else ():
        if larder.get(stock.ingredient) is None and stock.spot:
            problems.append(
                Problem(
                    stock.spot,
                    f"no ingredient '{stock.ingredient}' in the larder",
                    "take it off the stock, or add it to your larder",
                )
            )
    problems += people_problems(day, whole_larder, diets, language, seats_sure=not problems)
    if problems or kitchen is None or lesson is None:
        raise LessonError(problems)
    moved = clock_changes(day.region, kitchen.country, day.date.year)
    day = replace(day, clock_changes=moved)
    return Sources(lesson, day, kitchen, larder, catalogue, risks, logo, diets, language)


def plan_class(sources: Sources) -> Planned:
    """Compute everything a class day needs.

    Raises:
        LessonError: with every problem of sums, allergens and heat, and with what no day plan can mend.
    """
    day, kitchen, larder = sources.day, sources.kitchen, sources.larder
    taught = taught_lesson(sources.lesson, day, kitchen, larder)
    lesson = taught.lesson
    problems: list[Problem] = [*taught.problems]
    remarks = [Remark("taken for granted", text) for text in day.assumed]
    remarks += [Remark("names", f"{text}.") for text in lesson.read_as]
    remarks += [Remark("measures", f"{text}.") for _, text in lesson.measured]
    remarks += taught.remarks
    for objection in dough_objections(lesson.base.formula, larder):
        if objection.severity == "problem":
            spot = objection.spot or lesson.base.spot or Spot(lesson.file, 1)
            problems.append(Problem(spot, objection.wrong, objection.right))
        else:
            remarks.append(Remark("dough", f"{objection.wrong}; {objection.right}"))
    needs = resolve(lesson, day, larder, sources.diets, language=sources.language)
    day = shareable(day)  # from here on nobody's needs are within reach of a sheet
    yeast = _yeast_changes(lesson, day, larder, problems)
    versions = tuple(Version((*yeast, *one.changes)) for one in needs.versions)
    scale, unweighable = scaled(
        lesson, day, kitchen, larder, needs.makings, versions,
        for_all=(*yeast, *needs.for_everyone), demonstrated=(*yeast, *needs.for_everyone), alone=needs.mixes_alone,
    )  # fmt: skip
    problems += unweighable
    made = {portion.variation for one in scale.people for portion in one.portions}
    made |= {portion.variation for one in scale.batches for portion in one.portions}
    breads = [one for one in lesson.variations if one.name in made]
    dough = dough_advice(lesson, day, kitchen, larder, breads, yeast)
    vessels = vessel_findings(breads, kitchen, day.spot or Spot(day.file, 1))
    problems += [*dough.problems, *vessels.problems]
    as_made = changed_lesson(lesson, (*yeast, *needs.for_everyone))
    facts = place_facts(lesson, day, kitchen, larder)
    cautions = class_cautions(
        as_made,
        [as_made.variation(one.name) for one in breads],
        facts,
        sources.catalogue,
        lesson.moved,
        [one.changes for one in versions],
        (*yeast, *needs.for_everyone),
    )
    problems += cautions.problems
    problems += group_problems(day, sum(needs.attends), facts.children)
    must_not_list = {check.ingredient: check.allergens for check in needs.buy_checks}
    basket = shopping_list(scale.needs, larder, day.stock, must_not_list)
    problems += basket.problems
    if problems:
        raise LessonError(problems)
    timed = _timed(lesson, day, kitchen, scale)
    verdict = explain(timed.setting.problem, timed.plan)
    clocks = day_clocks(lesson, timed, needs.own_tools)
    if too_high := clearance_problems(breads, kitchen, clocks):
        raise LessonError(too_high)
    safety = class_safety(
        as_made, day, kitchen, facts, cautions, sources.catalogue, clocks,
        fridge_clock(as_made, day, larder, clocks, scale), handled_at(scale, facts.ingredients),
        sum(needs.attends), sources.risks,
    )  # fmt: skip
    plan = ClassPlan(
        lesson=lesson,
        day=day,
        kitchen=kitchen,
        larder=larder,
        units=scale.units,
        people=scale.people,
        batches=scale.batches,
        stations=scale.stations,
        shared=scale.shared,
        needs=scale.needs,
        for_everyone=(*yeast, *needs.for_everyone),
        fired=cautions,
        safety=safety,
        timed=timed,
        clocks=clocks,
        dough=dough,
        verdict=verdict,
        basket=basket,
        own_tools=needs.own_tools,
        language=sources.language,
        register=needs.register,
        home=_home_batches(
            lesson, scale.people, breads, (*yeast, *needs.for_everyone), larder, dough
        ),
        contains=(),
        remarks=(
            *remarks,
            *clock_remarks(day, clocks),
            *dough.remarks,
            *vessels.remarks,
            *scale.remarks,
            *timed.setting.remarks,
            *safety.remarks,
            *basket.remarks,
        ),
    )
    plan = replace(plan, contains=tuple(_contains(plan, one.index) for one in scale.people))
    if unmet := last_look_at_plan(plan, needs):
        raise LessonError(unmet)
    plan = replace(plan, remarks=(*plan.remarks, *setting_up_remarks(plan)))
    return Planned(plan, needs, sources.logo)


def _yeast_changes(
    lesson: Lesson, day: ClassDay, larder: Larder, problems: list[Problem]
) -> tuple[Change, ...]:
    """The yeast the shop had, instead of the lesson's."""
    if not day.yeast_form:
        return ()
    changes = []
    for name in dict.fromkeys(line.ingredient for line in lesson.base.formula.lines):
        one = larder[name]
        if one.kind != "yeast" or one.yeast_form == day.yeast_form:
            continue
        into = yeast_in_form(name, larder, day.yeast_form)
        if into:
            changes.append(
                Change(
                    name,
                    into,
                    converted_g(Fraction(1), one.yeast_form, day.yeast_form, factors_of(day)),
                )
            )
        else:
            problems.append(
                Problem(
                    day.spot or Spot(day.file, 1),
                    f"the larder has no {day.yeast_form} yeast",
                    "add one to your larder",
                )
            )
    return tuple(changes)


def _timed(lesson: Lesson, day: ClassDay, kitchen: Kitchen, scale: Scaled) -> TimedDay:
    setting = day_setting(lesson, by_one_clock(day), kitchen, scale.people, scale.units)
    try:
        plan = plan_day(setting.problem)
    except NoPlanError as error:
        raise LessonError(day_problems(error.faults, lesson, day, kitchen)) from None
    if faults := endless(plan):
        raise LessonError(day_problems(faults, lesson, day, kitchen))
    return TimedDay(setting, plan, day.start_min)


def _home_batches(
    lesson: Lesson,
    people: Iterable[PersonPlan],
    breads: Iterable[Variation],
    usual: tuple[Change, ...],
    larder: Larder,
    dough: DoughAdvice,
) -> tuple[tuple[str, Formula, HomeBatch], ...]:
    """A home batch of every bread, once for each formula that somebody's dough has."""
    wanted = {(bread.name, changed_formula(lesson.base.formula, usual)): bread for bread in breads}
    for person in people:
        formula = changed_formula(lesson.base.formula, person.version.changes)
        for portion in person.portions:
            wanted.setdefault((portion.variation, formula), lesson.variation(portion.variation))
    left = lesson.base.left_percent
    return tuple(
        (
            name,
            formula,
            home_batch(
                formula,
                larder,
                bread.home_pieces,
                bread.piece_dough_g,
                left,
                dough.factors,
                dough.sachet_g,
            ),
        )
        for (name, formula), bread in wanted.items()
    )


def _contains(plan: ClassPlan, index: int) -> tuple[ContainsLine, ...]:
    """What each of a person's breads contains, from the very composition its label is written from."""
    if not plan.people[index].portions:
        return ()
    return tuple(
        contains_line([one for one, _ in made.everything], plan.day.region)
        for made in person_compositions(plan, index)
    )


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


def _lesson(named: _Named, files: ClassFiles, larder: Larder) -> Lesson | None:
    return read_lesson(*named.read(files.lesson), larder) if files.lesson else None


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


def _logo(class_path: Path, files: ClassFiles) -> Path | None:
    """The logo's file, looked at once, so that a picture that cannot be printed is told at its line."""
    if files.logo is None:
        return None
    path = beside(class_path, files.logo.value, files.logo.spot)
    check_logo(path, files.logo.spot)
    return path


def _bread_names(named: _Named, files: ClassFiles) -> tuple[str, ...]:
    """What the class file may name although the lesson has problems, so that its own problems are told as well."""
    return bread_names(*named.read(files.lesson)) if files.lesson else ()


@dataclass(frozen=True, slots=True)
class Report:
    """What was printed: the folder, each file with its pages (None for what has none), what the tutor should know, and
    what was kept in the folder because classpack did not write it."""

    folder: Path
    sheets: tuple[tuple[str, int | None], ...]
    pages: int
    remarks: tuple[Remark, ...]
    verdict: str
    kept: tuple[str, ...] = ()


def start_folder(folder: Path) -> Path:
    """Copy the example lessons, kitchens, larders and class days into ``folder``.

    Raises:
        LessonError: the folder holds something already, or cannot be written.
    """

    paths = sorted(own_folder("lessons").glob("*"))
    write_new_folder(
        folder, {path.name: path.read_bytes() for path in paths if path.suffix in (".yaml", ".csv")}
    )
    return folder


@dataclass(frozen=True, slots=True)
class Started:
    """What ``start --recipe`` says: every line that asks or was not understood, and how many lines there were of each."""

    told: tuple[str, ...]
    counted: str
    class_file: str


def start_recipe(folder: Path, recipe_file: Path, region: str) -> Started:
    """A lesson from a pasted recipe, in a new ``folder`` with a larder, a kitchen and a class day.

    Raises:
        LessonError: the recipe cannot be read or is none, the region is not known, or the folder holds something already.
    """
    shown = str(recipe_file)
    if region not in REGIONS:
        raise LessonError(
            [Problem(Spot(shown, 1), f"the region is '{region}'", nearest(region, REGIONS))]
        )
    larder = package_larder()
    larder = replace(larder, measures=larder.measures.written_for(region), _by_name={})
    recipe = read_recipe(read_text(recipe_file, shown), shown, region, larder)
    made = recipe_files(recipe, larder, REGIONS[region])
    write_new_folder(folder, {name: text.encode() for name, text in made.files.items()})
    counted = ", ".join(f"{number} lines {name}" for name, number in recipe.counted().items())
    return Started(made.told, counted, made.class_file)


def make_pack(
    class_path: Path,
    out: Path,
    *,
    paper: str | None = None,
    style: str | None = None,
    first_names_only: bool = False,
    templates: str | None = None,
    tell: Callable[[str], None] = lambda text: None,
) -> Report:
    """Read a class day, plan it, print every sheet and put the pack into ``out`` under the class file's name.

    Args:
        paper: ``A4``, ``Letter``, ``A5`` or ``A5-on-A4``, instead of what the class file says.
        style: one of ``class_file.STYLES``, instead of what the class file says.
        first_names_only: on paper that everybody sees, whatever the class file says.
        templates: a folder of templates, instead of classpack's own.
        tell: is told what is being done, one short text at a time.

    Raises:
        LessonError: with every problem; nothing is written then, and an older pack stays.
    """
    tell("reading")
    folder = templates_folder(templates)
    sources = read_sources(class_path, folder)
    if first_names_only:
        sources = replace(sources, day=replace(sources.day, first_names_only=True))
    tell("planning")
    planned = plan_class(sources)
    tell("printing")
    pack = print_pack(planned, paper or planned.plan.day.paper, folder, style)
    tell("writing")
    made = out / class_path.stem
    kept = write_pack(made, pack.files)
    told = planned.plan.remarks, planned.plan.verdict.text
    return Report(made, pack.sheets, pack.pages, *told, kept)


@dataclass(frozen=True, slots=True)
class Pack:
    """A printed pack in memory: every file by its path, and how many pages each sheet has."""

    files: dict[str, bytes] = field(repr=False)
    sheets: tuple[tuple[str, int | None], ...]
    pages: int


LOOKS = {"ink saving": "mono"}
"""Styles that look.yaml calls by another name; the others only have a hyphen there."""


def pack_look(planned: Planned, paper: str, folder: Path, style: str | None = None) -> Look:
    """How a class's sheets look: its paper and style, the school's name, colour and logo."""
    day = planned.plan.day
    wanted = style or day.style
    return read_look(
        folder,
        paper=paper,
        style=LOOKS.get(wanted, wanted.replace(" ", "-")),
        school=day.school,
        logo=planned.logo,
        colours={"accent": day.accent} if day.accent else {},
    )


def raise_if_names_are_long(
    planned: Planned, paper: str, folder: Path, style: str | None = None
) -> None:
    """What only the printing finds out about a class file, told without printing. The arguments are those of ``print_pack``.

    Raises:
        LessonError: at the line of each person whose name fits on no slip.
    """
    from classpack.pages.long_names import long_names
    from classpack.pages.pack_templates import pack_templates

    plan = planned.plan
    templates = pack_templates(folder, plan.day.language, plan.day.currency, plan.language)
    look = pack_look(planned, paper, folder, style)
    if problems := long_names(plan, templates, look, _shown(plan, paper, look)):
        raise LessonError(problems)


def _shown(plan: ClassPlan, paper: str, look: Look) -> dict[str, object]:
    """What every template of sheets is given."""
    return {
        "plan": plan, "lesson": plan.lesson, "day": plan.day, "kitchen": plan.kitchen,
        "paper": "Letter" if paper == "Letter" else "A4", "large": look.style == "large-print",
    }  # fmt: skip


def print_pack(planned: Planned, paper: str, folder: Path, style: str | None = None) -> Pack:
    """Draw every sheet of a planned class.

    Args:
        paper: one of ``class_file.PAPERS``; with small cards every other sheet is A4.
        style: one of ``class_file.STYLES``, instead of the class file's.

    Raises:
        LessonError: a template is wrong, a letter no font has, or something does not fit.
    """
    from classpack.pages.must_print import left_out, left_out_of_page
    from classpack.pages.pack_templates import pack_templates
    from classpack.pages.web_pages import FOLDER, web_pages
    from classpack.typeset.pdf import SheetPart, draw_pack

    plan = planned.plan
    look = pack_look(planned, paper, folder, style)
    templates = pack_templates(folder, plan.day.language, plan.day.currency, plan.language)
    shown = _shown(plan, paper, look)
    jobs = pack_jobs(plan)
    sheets = [templates.pages(f"pdf/{job.template}.xml", **(shown | job.values)) for job in jobs]
    at_home = take_home_pages(plan)
    told = {"lesson": plan.lesson, "day": plan.day, "plan": plan}
    web = web_pages(templates, look, at_home, told)
    lost = [
        one
        for job, some in zip(jobs, sheets, strict=True)
        for one in left_out(job.values, plan, some, templates)
    ]
    for page in at_home:
        text = web[f"{FOLDER}/{page.file}"].decode("utf-8")
        lost += left_out_of_page(page, text, templates)
    if lost:
        raise LessonError(lost)
    parts = [SheetPart(some[0].title, some) for some in sheets]
    try:
        printed = draw_pack(
            parts, look, title=plan.day.title, language=plan.day.language, author=plan.day.tutor
        )
    except LessonError:
        raise_if_names_are_long(planned, paper, folder, style)
        raise
    files = {f"{job.file}.pdf": data for job, data in zip(jobs, printed.parts, strict=True)}
    files["pack.pdf"] = printed.pack
    apart = confidential_jobs(plan, planned.needs)
    kept = draw_pack(
        [
            SheetPart(some[0].title, some)
            for some in (
                templates.pages(f"pdf/{job.template}.xml", **(shown | job.values)) for job in apart
            )
        ],
        look, title=plan.day.title, language=plan.day.language, author=plan.day.tutor,
    )  # fmt: skip
    files |= {f"{job.file}.pdf": data for job, data in zip(apart, kept.parts, strict=True)}
    texts = setting_up_texts(plan)
    files |= {
        # The mark at the start tells spreadsheets that a table is UTF-8; a calendar must not have it.
        name: text.encode("utf-8-sig" if name.endswith(".csv") else "utf-8")
        for name, text in texts.items()
    }
    files |= web
    files["class.json"] = class_json(plan).encode("utf-8")
    counted: list[tuple[str, int | None]] = [
        (f"{job.file}.pdf", pages)
        for job, pages in (
            *zip(jobs, printed.part_pages, strict=True), *zip(apart, kept.part_pages, strict=True)
        )
    ]  # fmt: skip
    counted += [(name, None) for name in ("pack.pdf", *web, *texts, "class.json")]
    return Pack(files, tuple(counted), printed.pages)
