"""Which sheets a pack holds, in which order, in which file each is printed, and from which template."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from classpack.planning.plan.class_plan import ClassPlan
from classpack.planning.plan.plan_class import Planned
from classpack.sheets.cards.home_panel import home_panel
from classpack.sheets.cards.recipe_card import cards
from classpack.sheets.day.jobs import again_day_jobs, day_jobs
from classpack.sheets.home.bag_labels import bag_labels
from classpack.sheets.papers.kitchen_survey import kitchen_survey
from classpack.sheets.papers.people_papers import letter, needs_paper, register
from classpack.sheets.papers.risk_form import risk_form
from classpack.sheets.papers.safety_papers import (
    accident_form,
    more_care,
    tutor_sheet,
    venue_sheet,
    wall_sheet,
)
from classpack.sheets.setting_up.dough_sums_sheet import dough_sums_sheet
from classpack.sheets.setting_up.jobs import setting_up_jobs
from classpack.sheets.setting_up.label_sheet import grid_of
from classpack.sheets.stations.station_sheet import station_sheet


@dataclass(frozen=True, slots=True)
class SheetJob:
    """One sheet to print: ``file`` without its ending, below the pack's folder; ``values`` go into ``template``."""

    file: str
    template: str
    values: dict[str, object] = field(repr=False)


def pack_jobs(plan: ClassPlan) -> tuple[SheetJob, ...]:
    """The sheets of the shared pack, in the order of ``pack.pdf``."""
    jobs = [
        SheetJob(
            f"cards/{_file(card.seat)}",
            "recipe_card",
            {
                "card": card,
                "panels": [
                    home_panel(plan, bread.variation, card.changes) for bread in card.breads
                ],
            },
        )
        for card in cards(plan)
    ]
    jobs += [
        SheetJob(
            f"stations/{_file(one.station.name)}",
            "station_sheet",
            {"sheet": station_sheet(plan, one)},
        )
        for one in plan.stations
        if one.people
    ]
    jobs += [SheetJob(*job) for job in day_jobs(plan)]
    jobs.append(SheetJob("register", "register", {"register": register(plan)}))
    jobs += [SheetJob(*job) for job in setting_up_jobs(plan)]
    jobs.append(
        SheetJob(
            "labels/bag-labels",
            "bag_labels",
            {"labels": bag_labels(plan), "own": grid_of(plan.day, "breads")},
        )
    )
    jobs.append(SheetJob("before-you-come", "before_you_come", {"letter": letter(plan)}))
    if plan.day.dough.sums:
        jobs.append(SheetJob("dough-sums", "dough_sums", {"sheet": dough_sums_sheet(plan)}))
    jobs += [
        SheetJob("safety-sheet", "safety_sheet", {"sheet": wall_sheet(plan)}),
        SheetJob("tutor-safety", "tutor_safety", {"sheet": tutor_sheet(plan)}),
        SheetJob("risk-assessment", "risk_assessment", {"form": risk_form(plan)}),
    ]
    return _apart(jobs)


def kitchen_jobs(plan: ClassPlan) -> tuple[SheetJob, ...]:
    """What is wanted once for each kitchen, not for each class: the survey, and what to confirm, which rules differ, the sources."""
    return (
        SheetJob("kitchen/kitchen-survey", "kitchen_survey", {"survey": kitchen_survey(plan)}),
        SheetJob("kitchen/venue-and-rules", "venue", {"sheet": venue_sheet(plan)}),
    )


def again_jobs(plan: ClassPlan) -> tuple[SheetJob, ...]:
    """The sheets that change when the day is planned again; none of a plan as it was made before the class."""
    if plan.again is None:
        return ()
    return tuple(SheetJob(*job) for job in again_day_jobs(plan, plan.again.happening.now_min))


def confidential_jobs(planned: Planned) -> tuple[SheetJob, ...]:
    """The sheets that hold health data, or will when they are filled in: never in ``pack.pdf``, kept apart, destroyed in time."""
    plan, needs = planned.plan, planned.needs
    jobs = [
        SheetJob("confidential/needs-sheet", "needs_sheet", {"people": needs_paper(plan, needs)}),
        SheetJob("confidential/accident-form", "accident_form", {"form": accident_form(plan)}),
    ]
    if needs.sheet.contacts:
        jobs.append(SheetJob("confidential/register", "contacts", {"sheet": needs.sheet}))
    more = more_care(planned)
    if more.words:
        jobs.append(SheetJob("confidential/more-care", "more_care", {"sheet": more}))
    return _apart(jobs)


def _file(name: str) -> str:
    """A seat or station as a file's name: letters, digits and hyphens only."""
    return re.sub(r"[^A-Za-z0-9-]+", "-", name).strip("-") or "x"


def _apart(jobs: list[SheetJob]) -> tuple[SheetJob, ...]:
    """No two sheets in one file: a second of the same name gets a number."""
    seen: dict[str, int] = {}
    found = []
    for job in jobs:
        key = job.file.casefold()
        seen[key] = seen.get(key, 0) + 1
        file = job.file if seen[key] == 1 else f"{job.file}-{seen[key]}"
        found.append(SheetJob(file, job.template, job.values))
    return tuple(found)
