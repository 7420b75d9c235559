"""On the day: the rest of a class planned again, and its three timed sheets put into the pack's folder.

Each time is kept beside its sheets (``again.json``), so that a second change of the same day begins where the first one ended.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from dataclasses import asdict, replace
from pathlib import Path

from classpack.class_files import read_sources
from classpack.errors import LessonError, Problem, Remark, Spot
from classpack.model.class_day import ClassDay
from classpack.pack_folder import heal, is_made_here, write_pack
from classpack.planning.day.again import Happening, with_full_names
from classpack.planning.plan.class_plan import ClassPlan
from classpack.planning.plan.plan_class import plan_class
from classpack.planning.plan.plan_rest import plan_rest
from classpack.sheets.exports.class_json import class_json
from classpack.sheets.exports.terminal import again_lines
from classpack.template_folder import templates_folder
from classpack.workshop import PLAN, Report, print_pack

RECORD = "again.json"
"""What was said, beside the sheets it made; it holds the date, seats and times and nothing else."""


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
    happening = with_full_names(planned.plan.timed, happening)
    now = f"{happening.now_min // 60 % 24:02d}{happening.now_min % 60:02d}"
    place = made / f"again-{now}"
    date = planned.plan.day.date.isoformat()
    _raise_if_unsaid(place, happening, date)
    rest = planned
    for one in (*_earlier(made, happening.now_min, date), happening):
        rest = plan_rest(rest, one)
    tell("printing")
    pack = print_pack(rest, paper or planned.plan.day.paper, folder)
    said = json.dumps({"date": date, **asdict(happening)}, indent=1) + "\n"
    tell("writing")
    kept = write_pack(place, {**pack.files, RECORD: said.encode()}, "again", out)
    sheets = (*pack.sheets, (RECORD, None))
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
        place,
        sheets,
        pack.pages,
        tuple(remarks),
        rest.plan.verdict.text,
        kept,
        again_lines(rest.plan),
    )


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
