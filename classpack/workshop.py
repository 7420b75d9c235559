"""The shell: read the files, plan the class, lay out, print, write. A straight line; the thinking is elsewhere."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING

from classpack.class_files import read_sources
from classpack.errors import LessonError, Remark, Spot
from classpack.pack_folder import write_pack
from classpack.pages.look_file import read_look
from classpack.planning.needs.resolving import names_own_allergen
from classpack.planning.plan.class_plan import ClassPlan
from classpack.planning.plan.plan_class import Planned, plan_class
from classpack.template_folder import templates_folder
from classpack.typeset.look import Look

if TYPE_CHECKING:
    from classpack.pages.templates import Templates
    from classpack.sheets.pack import SheetJob
    from classpack.typeset.page_text import Sheet
    from classpack.typeset.pdf import PrintedPdf

PLAN = "class.json"


@dataclass(frozen=True, slots=True)
class Report:
    """What was printed: the folder, each file with its pages (None for what has none), what the tutor should know, and
    what was kept in the folder because classpack did not write it; ``first`` are lines to be read before all that."""

    folder: Path
    sheets: tuple[tuple[str, int | None], ...]
    pages: int
    remarks: tuple[Remark, ...]
    verdict: str
    kept: tuple[str, ...] = ()
    first: tuple[str, ...] = ()


def make_pack(
    class_path: Path,
    out: Path,
    *,
    paper: str | None = None,
    style: str | None = None,
    first_names_only: bool = False,
    templates: str | None = None,
    kitchen: bool = False,
    tell: Callable[[str], None] = lambda text: None,
    digest: str = "",
) -> Report:
    """Read a class day, plan it, print every sheet and put the pack into ``out`` under the class file's name.

    Args:
        paper: ``A4``, ``Letter``, ``A5`` or ``A5-on-A4``, instead of what the class file says.
        style: one of ``class_file.STYLES``, instead of what the class file says.
        first_names_only: on paper that everybody sees, whatever the class file says.
        templates: a folder of templates, instead of classpack's own.
        kitchen: print what is wanted once for each kitchen too.
        tell: is told what is being done, one short text at a time.
        digest: what the pack is made from in one hash, where the caller knows it.

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
    pack = print_pack(planned, paper or planned.plan.day.paper, folder, style, kitchen=kitchen)
    tell("writing")
    made = out / class_path.stem
    kept = write_pack(made, pack.files, digest=digest)
    told = remarks_as_read(planned.plan), planned.plan.verdict.text
    return Report(made, pack.sheets, pack.pages, *told, kept)


def remarks_as_read(plan: ClassPlan) -> tuple[Remark, ...]:
    """The plan's remarks in the degrees and by the clock of the class's region."""
    from classpack.pages.filters import Format, as_read, clocks_as_read, in_region

    form = in_region(Format(), plan.day.place, plan.kitchen, english=True)
    return tuple(
        replace(one, text=clocks_as_read(as_read(one.text, form), form)) for one in plan.remarks
    )


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
        logo=Path(planned.sources.logo) if planned.sources.logo else None,
        colours={"accent": day.accent} if day.accent else {},
    )


SHORT_NAME = 24
"""So many letters of any width fit on a usual slip, in every style: it is not drawn to find out."""


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
    own_slips = any(grid.of == "name slips" and grid.columns for grid in plan.day.labels)
    if not own_slips and all(len(one.name) <= SHORT_NAME for one in plan.day.people):
        return
    templates = pack_templates(folder, plan.day, plan.kitchen, plan.language)
    look = pack_look(planned, paper, folder, style)
    if problems := long_names(plan, templates, look, _shown(plan, paper, look)):
        raise LessonError(problems)


def raise_if_own_allergen_is_printed(planned: Planned) -> None:
    """The last look: every text that is about to be printed for somebody, against what they must not have.

    Raises:
        LessonError: at the need of each person whose paper names what they must not have.
    """
    from classpack.sheets.printed_for import printed_for

    plan, people = planned.plan, planned.needs.sheet.people
    here = range(len(plan.people))
    bound = {one.index: one.needs for one in people if one.index in here and one.needs}
    where = Spot(plan.day.file, 1)
    found = [
        problem
        for index, texts in printed_for(plan, bound).items()
        for problem in names_own_allergen(bound[index], texts, plan.language.code, where)
    ]
    if found:
        raise LessonError(found)


def _shown(plan: ClassPlan, paper: str, look: Look) -> dict[str, object]:
    """What every template of sheets is given."""
    return {
        "plan": plan, "lesson": plan.lesson, "day": plan.day, "kitchen": plan.kitchen,
        "paper": "Letter" if paper == "Letter" else "A4", "large": look.style == "large-print",
    }  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Press:
    """A class's templates with what every one of them is told, and its look."""

    planned: Planned
    templates: Templates
    look: Look
    paper: str

    def filled(self, jobs: Iterable[SheetJob]) -> list[tuple[Sheet, ...]]:
        """The sheets of each job."""
        told = _shown(self.planned.plan, self.paper, self.look)
        return [
            self.templates.pages(f"pdf/{job.template}.xml", **(told | job.values)) for job in jobs
        ]

    def drawn(self, sheets: Iterable[tuple[Sheet, ...]]) -> PrintedPdf:
        """A file for each of ``sheets``, and one with all of them."""
        from classpack.typeset.pdf import SheetPart, draw_pack

        parts = [SheetPart(pages[0].title, pages) for pages in sheets]
        day = self.planned.plan.day
        return draw_pack(parts, self.look, title=day.title, language=day.language, author=day.tutor)


def print_pack(
    planned: Planned, paper: str, folder: Path, style: str | None = None, *, kitchen: bool = False
) -> Pack:
    """Draw every sheet of a planned class; where the day was planned again, the sheets whose times have changed.

    Args:
        paper: one of ``class_file.PAPERS``; with small cards every other sheet is A4.
        style: one of ``class_file.STYLES``, instead of the class file's.
        kitchen: what is wanted once for each kitchen too, below ``kitchen/`` and in no other file.

    Raises:
        LessonError: a template is wrong, a letter no font has, or something does not fit.
    """
    from classpack.pages.must_print import left_out, left_out_of_page
    from classpack.pages.pack_templates import pack_templates
    from classpack.pages.web_pages import FOLDER, web_pages
    from classpack.sheets.exports.class_json import class_json
    from classpack.sheets.home.take_home import take_home_pages
    from classpack.sheets.pack import again_jobs, confidential_jobs, kitchen_jobs, pack_jobs
    from classpack.sheets.setting_up.jobs import setting_up_texts

    raise_if_own_allergen_is_printed(planned)
    plan, day = planned.plan, planned.plan.day
    look = pack_look(planned, paper, folder, style)
    templates = pack_templates(folder, day, plan.kitchen, plan.language)
    press = _Press(planned, templates, look, paper)
    jobs = again_jobs(plan) if plan.again else pack_jobs(plan)
    sheets = press.filled(jobs)
    at_home = () if plan.again else take_home_pages(plan)
    told = {"lesson": plan.as_made, "day": day, "plan": plan}
    web = web_pages(templates, look, at_home, told) if at_home else {}
    lost = [
        one
        for job, pages in zip(jobs, sheets, strict=True)
        for one in left_out(job.values, plan, pages, templates)
    ]
    for page in at_home:
        text = web[f"{FOLDER}/{page.file}"].decode("utf-8")
        lost += left_out_of_page(page, text, templates)
    if lost:
        raise LessonError(lost)
    try:
        printed = press.drawn(sheets)
    except LessonError:
        raise_if_names_are_long(planned, paper, folder, style)
        raise
    apart = () if plan.again else confidential_jobs(planned)
    kept = press.drawn(press.filled(apart)) if apart else None
    once = kitchen_jobs(plan) if kitchen else ()
    of_kitchen = press.drawn(press.filled(once)) if once else None
    files: dict[str, bytes] = {}
    counted: list[tuple[str, int | None]] = []
    for some, drawn in ((jobs, printed), (apart, kept), (once, of_kitchen)):
        if drawn:
            names = [f"{job.file}.pdf" for job in some]
            files |= dict(zip(names, drawn.parts, strict=True))
            counted += zip(names, drawn.part_pages, strict=True)
    whole = "again.pdf" if plan.again else "pack.pdf"
    others = {whole: printed.pack, **web}
    for name, text in ({} if plan.again else setting_up_texts(plan)).items():
        # The mark at the start tells spreadsheets that a table is UTF-8; a calendar must not have it.
        others[name] = text.encode("utf-8-sig" if name.endswith(".csv") else "utf-8")
    others[PLAN] = class_json(plan).encode("utf-8")
    counted += [(name, None) for name in others]
    return Pack(files | others, tuple(counted), printed.pages)
