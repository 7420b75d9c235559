"""On the day: the rest of a class planned again, and its three timed sheets put into the pack's folder.

Each time is kept beside its sheets (``again.json``), so that a second change of the same day begins where the first one ended.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from dataclasses import asdict, dataclass, replace
from pathlib import Path

from classpack.errors import LessonError, Problem, Remark, Spot
from classpack.model.class_day import ClassDay
from classpack.pack_folder import heal, is_made_here, write_pack
from classpack.pages.must_print import left_out
from classpack.pages.pack_templates import pack_templates
from classpack.planning.amounts.changed_lesson import changed_lesson
from classpack.planning.day.again import DayAgain, Happening, day_again, happening_problems
from classpack.planning.day.clocks import day_clocks
from classpack.planning.day.problems import day_problems, endless
from classpack.planning.plan.class_plan import ClassPlan
from classpack.planning.safety.bench_use import handled_at
from classpack.planning.safety.class_cautions import place_facts
from classpack.planning.safety.class_safety import class_safety
from classpack.planning.safety.fridge import fridge_clock
from classpack.planning.timetable.planner import NoPlanError
from classpack.planning.timetable.verdict import explain
from classpack.sheets.day.jobs import again_jobs
from classpack.sheets.exports.class_json import class_json
from classpack.template_folder import templates_folder
from classpack.typeset.pdf import SheetPart, draw_pack
from classpack.workshop import Planned, Report, Sources, pack_look, plan_class, read_sources

PLAN = "class.json"
RECORD = "again.json"
"""What was said, beside the sheets it made; it holds the date, seats and times and nothing else."""


@dataclass(frozen=True, slots=True)
class RestOfDay:
    """A class as it is now: its plan with the new times, and what happened last."""

    planned: Planned
    again: DayAgain


def make_again(
    class_path: Path,
    out: Path,
    happening: Happening,
    *,
    paper: str | None = None,
    templates: str | None = None,
    tell: Callable[[str], None] = lambda text: None,
) -> Report:
    """Plan the rest of a printed class again and put its run sheet, oven sheets and station sheets into ``again-1140/``.

    Args:
        out: the folder that holds the pack's own folder.
        happening: what is different; a time before the class's start means after midnight where the class lasts that long.

    Raises:
        LessonError: with every problem; then nothing is written, and what was printed before stays.
    """
    tell("reading")
    folder = templates_folder(templates)
    sources = read_sources(class_path, folder)
    made = out / class_path.stem
    heal(out)
    if not is_made_here(made):
        raise LessonError(
            [
                Problem(
                    Spot(str(made), 1),
                    "there is no pack of this class yet",
                    f"print it first: classpack make {class_path}",
                )
            ]
        )
    tell("planning")
    planned = plan_class(sources)
    stale = not _is_current(made / PLAN, planned.plan)
    happening = replace(happening, now_min=_of_the_day(planned.plan.day, happening.now_min))
    now = f"{happening.now_min // 60 % 24:02d}{happening.now_min % 60:02d}"
    place = made / f"again-{now}"
    date = planned.plan.day.date.isoformat()
    _raise_if_unsaid(place, happening, date)
    rest: RestOfDay | None = None
    for one in (*_earlier(made, happening.now_min, date), happening):
        rest = plan_rest(
            sources,
            rest.planned if rest else planned,
            one,
            rest.again.gone if rest else frozenset(),
        )
    assert rest is not None
    tell("printing")
    files, sheets, pages = _printed(rest, paper or planned.plan.day.paper, folder)
    tell("writing")
    kept = write_pack(place, files, "again", out)
    remarks = (
        [
            Remark(
                "again",
                "The files have changed since the pack was printed; these sheets follow the files.",
            )
        ]
        if stale
        else []
    )
    return Report(
        place, sheets, pages, tuple(remarks), rest.planned.plan.verdict.text, kept
    )  # fmt: skip


def plan_rest(
    sources: Sources, planned: Planned, happening: Happening, gone: frozenset[str]
) -> RestOfDay:
    """The class from ``happening`` on. ``gone``: seats that were missing already.

    Raises:
        LessonError: a time, oven or seat that there is not, or a rest of the day that cannot be planned.
    """
    plan, day = planned.plan, planned.plan.day
    spot = day.spot or Spot(day.file, 1)
    problems = happening_problems(plan.timed, plan.people, happening, spot, gone)
    if problems:
        raise LessonError(problems)
    try:
        again = day_again(plan.timed, plan.people, happening, gone)
    except NoPlanError as error:
        raise LessonError(
            day_problems(error.faults, plan.lesson, day, plan.kitchen, "the rest of the day")
        ) from None
    if faults := endless(again.timed.plan):
        raise LessonError(
            day_problems(faults, plan.lesson, day, plan.kitchen, "the rest of the day")
        )
    timed = again.timed
    clocks = day_clocks(plan.lesson, timed, plan.own_tools)
    learners = sum(planned.needs.attends)
    as_made = changed_lesson(plan.lesson, plan.for_everyone)
    facts = place_facts(plan.lesson, day, plan.kitchen, plan.larder)
    safety = class_safety(
        as_made, day, plan.kitchen, facts, plan.fired, sources.catalogue,
        clocks, fridge_clock(as_made, day, plan.larder, clocks, plan.weights), handled_at(plan.weights, facts.ingredients),
        learners, sources.risks,
    )  # fmt: skip
    new: ClassPlan = replace(
        plan,
        timed=timed,
        clocks=clocks,
        safety=safety,
        verdict=explain(timed.setting.problem, timed.plan),
        gone=frozenset(one.index for one in plan.people if one.person.seat in again.gone),
    )
    return RestOfDay(replace(planned, plan=new), again)


def _of_the_day(day: ClassDay, minute: int) -> int:
    """A time of day as minutes after midnight of the class's date."""
    late = minute + 24 * 60
    return late if minute < day.start_min and late <= day.end_min + 12 * 60 < 48 * 60 and day.end_min > 24 * 60 else minute  # fmt: skip


LISTS = ("ovens_out", "missing", "arrived", "left_out")


def _is_current(printed: Path, plan: ClassPlan) -> bool:
    """Whether the pack was printed from this very plan."""
    return printed.is_file() and printed.read_bytes() == class_json(plan).encode("utf-8")


def _record(path: Path, date: str) -> Happening | None:
    """What was said in an earlier call; None if that was about another day's class, whose sheets are still kept."""
    try:
        said = json.loads(path.read_text("utf-8"))
        if said.get("date", date) != date:
            return None
        lists = {key: tuple(map(str, said[key])) for key in LISTS}
        return Happening(int(said["now_min"]), int(said["late_min"]), **lists)
    except (OSError, ArithmeticError, AttributeError, LookupError, RecursionError, TypeError, ValueError):  # fmt: skip
        raise LessonError(
            [
                Problem(
                    Spot(str(path), 1),
                    "this record of an earlier change cannot be read",
                    f"take the folder '{path.parent.name}' away and say that change again",
                )
            ]
        ) from None


def _raise_if_unsaid(place: Path, happening: Happening, date: str) -> None:
    """A second call for the same minute must say all that the first one said, or the first would be lost.

    Raises:
        LessonError: it does not.
    """
    before = _record(place / RECORD, date) if (place / RECORD).is_file() else None
    if before is None:
        return
    kept = all(set(getattr(before, key)) <= set(getattr(happening, key)) for key in LISTS)
    if not kept or happening.late_min < before.late_min:
        raise LessonError(
            [
                Problem(
                    Spot(str(place / RECORD), 1),
                    "something else was said for this minute already",
                    f"say all that is different in one go, or take the folder '{place.name}' away first",
                )
            ]
        )


def _earlier(made: Path, now_min: int, date: str) -> Iterable[Happening]:
    """What was said earlier that day, in its order."""
    found = [_record(path, date) for path in sorted(made.glob(f"again-*/{RECORD}"))]
    return sorted(
        (one for one in found if one and one.now_min < now_min),
        key=lambda happening: happening.now_min,
    )


def _printed(
    rest: RestOfDay, paper: str, folder: Path
) -> tuple[dict[str, bytes], tuple[tuple[str, int | None], ...], int]:
    plan = rest.planned.plan
    templates = pack_templates(folder, plan.day.language, plan.day.currency, plan.language)
    shown = {
        "plan": plan, "lesson": plan.lesson, "day": plan.day, "kitchen": plan.kitchen,
        "paper": "Letter" if paper == "Letter" else "A4",
    }  # fmt: skip
    jobs = again_jobs(plan, rest.again)
    sheets = [templates.pages(f"pdf/{template}.xml", **shown, **values) for _, template, values in jobs]  # fmt: skip
    if lost := [
        one
        for (_, _, values), some in zip(jobs, sheets, strict=True)
        for one in left_out(values, plan, some, templates)
    ]:
        raise LessonError(lost)
    printed = draw_pack(
        [SheetPart(some[0].title, some) for some in sheets],
        pack_look(rest.planned, paper, folder),
        title=plan.day.title, language=plan.day.language, author=plan.day.tutor,
    )  # fmt: skip
    files = {f"{file}.pdf": data for (file, _, _), data in zip(jobs, printed.parts, strict=True)}
    files["again.pdf"] = printed.pack
    files[PLAN] = class_json(plan).encode("utf-8")
    said = {"date": plan.day.date.isoformat(), **asdict(rest.again.happening)}
    files[RECORD] = (json.dumps(said, indent=1) + "\n").encode()
    counted: list[tuple[str, int | None]] = [
        (f"{file}.pdf", pages) for (file, _, _), pages in zip(jobs, printed.part_pages, strict=True)
    ]
    counted += [(name, None) for name in ("again.pdf", PLAN, RECORD)]
    return files, tuple(counted), printed.pages
