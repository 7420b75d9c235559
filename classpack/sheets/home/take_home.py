"""Take-home pages: one for each bread of the class, for a phone or a printer at home, and what the index lists.

The bread is everybody's version of the lesson: what is swapped for the whole class is swapped here, what one person's bread
uses is not, and nobody is named. One to four batches are computed here; the pages only show them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from classpack.model.lesson import Fault, Lesson, Use, Variation
from classpack.model.method import WAIT_STAGES, Step
from classpack.model.safety import FiredCaution
from classpack.planning.dough.home_batch import HomeBatch, HomeYeast
from classpack.planning.dough.measures import OvenSettings
from classpack.planning.labels.ingredient_list import IngredientList
from classpack.planning.plan.bread_facts import BreadNutrition
from classpack.planning.plan.class_plan import ClassPlan
from classpack.quantities import Amount
from classpack.sheets.cards.home_panel import page_name
from classpack.sheets.cards.step_words import Dose, Words

MOST_BATCHES = 4
_ANYWHERE = ("heat", "sharp", "machine")
"""Hazards of any kitchen: their cautions are on the page even where the class has them on another sheet."""
_SHARED_ROOM = ("allergen", "people")
"""Hazards of many people in one room; at home the list of ingredients says what the bread holds."""


@dataclass(frozen=True, slots=True)
class PageColumn:
    """What is mixed together, a preferment or the ``dough``: ingredients with their grams, and what they add up to."""

    name: str
    lines: tuple[tuple[str, Fraction], ...]
    total_g: Fraction


@dataclass(frozen=True, slots=True)
class PageBatch:
    """So many home batches. ``besides`` are (ingredient, amount, purpose, note) of what is not dough."""

    number: int
    pieces: int
    columns: tuple[PageColumn, ...]
    dough_g: Fraction
    besides: tuple[tuple[str, Amount, str, str], ...]
    other_yeasts: tuple[HomeYeast, ...]


@dataclass(frozen=True, slots=True)
class PageStep:
    """One step at home. ``line`` is hands, dough or oven; a ``Dose`` in ``words`` says which ingredient, not how much."""

    number: int
    stage: str
    head: str
    words: Words
    minutes: Fraction
    window_min: tuple[Fraction, Fraction] | None
    line: str
    ready_when: str
    cautions: tuple[FiredCaution, ...]
    tutor_poured: bool


@dataclass(frozen=True, slots=True)
class TakeHomePage:
    """Everything one bread's page says. ``off`` are ingredients rounded by more than 1 %, with by how much of their amount."""

    file: str
    bread: Variation
    batches: tuple[PageBatch, ...]
    off: tuple[tuple[str, Fraction], ...]
    oven: OvenSettings
    steps: tuple[PageStep, ...]
    own_from: int
    after: tuple[FiredCaution, ...]
    faults: tuple[Fault, ...]
    holds: IngredientList
    piece_g: Fraction
    nutrition: BreadNutrition | None


def take_home_pages(plan: ClassPlan) -> tuple[TakeHomePage, ...]:
    """A page for every bread somebody makes or the tutor demonstrates."""
    lesson = plan.as_made
    files = _files([bread.name for bread in plan.made])
    return tuple(
        _page(plan, lesson, lesson.variation(bread.name), file)
        for bread, file in zip(plan.made, files, strict=True)
    )


def _files(names: Sequence[str]) -> list[str]:
    """A file for each bread; of two that would share one, the later gets a number."""
    found: list[str] = []
    for name in names:
        file, number = page_name(name), 1
        while file in found or file == "index.html":
            number += 1
            file = page_name(name).replace(".html", f"-{number}.html")
        found.append(file)
    return found


def _page(plan: ClassPlan, lesson: Lesson, bread: Variation, file: str) -> TakeHomePage:
    batch = plan.home_batch(bread.name, lesson.base.formula)
    facts = plan.lesson_facts[bread.name]
    return TakeHomePage(
        file=file,
        bread=bread,
        batches=tuple(
            _batch(plan, lesson, bread, batch, number) for number in range(1, MOST_BATCHES + 1)
        ),
        off=tuple((line.ingredient, line.error_percent) for line in batch.off),
        oven=plan.home_ovens[bread.name],
        steps=_steps(plan, lesson, bread),
        own_from=len(lesson.base.method) + 1,
        after=dict(plan.fired.home)[bread.name],
        faults=(*bread.faults, *lesson.faults),
        holds=facts.holds,
        piece_g=facts.piece_g,
        nutrition=facts.nutrition,
    )


def _batch(
    plan: ClassPlan, lesson: Lesson, bread: Variation, one: HomeBatch, number: int
) -> PageBatch:
    """``number`` times the batch on the card: twice the batch is exactly twice of everything."""
    columns = tuple(
        PageColumn(
            column.name,
            tuple((line.ingredient, line.grams * number) for line in column.lines),
            column.total_g * number,
        )
        for column in one.columns
    )
    others: list[HomeYeast] = []
    for name, grams in _yeasts(plan, one):
        found = plan.home_yeasts(name, grams * number)
        others += [yeast for yeast in found[1:] if yeast.ingredient]
    return PageBatch(
        number,
        one.pieces * number,
        columns,
        one.dough_g * number,
        _besides(lesson, bread, one.pieces * number, number),
        tuple(others),
    )


def _yeasts(plan: ClassPlan, batch: HomeBatch) -> list[tuple[str, Fraction]]:
    """All yeast of a batch, by ingredient."""
    found: dict[str, Fraction] = {}
    for column in batch.columns:
        for line in column.lines:
            if plan.larder[line.ingredient].kind == "yeast":
                found[line.ingredient] = found.get(line.ingredient, Fraction(0)) + line.grams
    return list(found.items())


def _besides(
    lesson: Lesson, bread: Variation, pieces: int, number: int
) -> tuple[tuple[str, Amount, str, str], ...]:
    """Toppings, fillings and glazes, then what bench and tin take. What is counted by station or class is for one kitchen."""
    trays = ceil(Fraction(pieces, bread.pieces_per_tray))
    times = {"piece": pieces, "tray": trays, "student": number, "station": 1, "class": 1}

    def said(use: Use) -> tuple[str, Amount, str, str]:
        return (
            use.ingredient,
            Amount(use.amount.value * times[use.per], use.amount.unit),
            use.purpose,
            use.note,
        )

    uses = (*bread.uses, *lesson.base.uses)
    late = ("dusting", "oiling")
    return tuple(said(use) for use in sorted(uses, key=lambda use: use.purpose in late))


def _steps(plan: ClassPlan, lesson: Lesson, bread: Variation) -> tuple[PageStep, ...]:
    """The method with its cautions: those of the card, and what burns or cuts and is told at the station in class."""
    fired = dict(plan.fired.fired)[bread.name]
    placed = plan.placed(bread.name).before
    own = {"load": plan.day.loading_min, "take out": plan.day.unloading_min}
    shown: set[str] = set()
    steps = []
    for index, step in enumerate((*lesson.base.method, *bread.method)):
        again = placed[index] if index < len(placed) else ()
        new = fired[index] if index < len(fired) else ()
        cautions = {one.id: one for one in again if one.caution.hazard not in _SHARED_ROOM}
        for one in new:
            at_home = one.caution.hazard in _ANYWHERE and one.caution.audience != "tutor"
            if at_home and one.id not in shown:
                cautions.setdefault(one.id, one)
        shown |= cautions.keys()
        waits = step.stage in WAIT_STAGES
        steps.append(
            PageStep(
                number=index + 1,
                stage=step.stage,
                head=step.head,
                words=_words(step),
                minutes=step.wait_min
                if waits
                else own.get(step.stage, step.hands_min * plan.day.pace),
                window_min=step.window_min,
                line="oven" if step.stage == "bake" else "dough" if waits else "hands",
                ready_when="" if step.stage == "take out" else step.ready_when,
                cautions=tuple(cautions.values()),
                tutor_poured=step.stage == "load" and step.steam == "tutor pours",
            )
        )
    return tuple(steps)


def _words(step: Step) -> Words:
    """The step's text; ingredients are named, their amounts stand in the table of the batch that is chosen."""
    return tuple(
        part if isinstance(part, str) else Dose(part.ingredient, Fraction(0)) for part in step.text
    )
