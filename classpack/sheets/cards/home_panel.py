"""The 'bake it at home' panel of a bread: one friendly batch, its oven in four scales, and what its QR code says."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from classpack.model.class_plan import Change, Weighed
from classpack.model.formula import Preferment
from classpack.model.language import Language
from classpack.model.lesson import Variation
from classpack.model.method import Step
from classpack.planning.dough.home_batch import HomeBatch
from classpack.planning.dough.measures import OvenSettings
from classpack.planning.plan.class_plan import ClassPlan
from classpack.quantities import Amount, plain, show_amount, show_minutes
from classpack.sheets.cards.step_words import Words, step_words

MOST_BYTES = 250
"""More makes a code that phones read badly at 26 mm (project's choice)."""


@dataclass(frozen=True, slots=True)
class HomeBeforehand:
    """A preferment at home: how to mix it in the lesson's words (empty: the template's sentence for its ``kind``), how long."""

    name: str
    kind: str
    words: Words
    ripe_min: tuple[Fraction, Fraction]
    ripe_c: Fraction


@dataclass(frozen=True, slots=True)
class HomePanel:
    """One bread's home batch. ``code`` is what the QR code says; ``address`` is True when that is a web address.

    ``beforehand`` is what is mixed hours before. ``toppings`` are (ingredient, amount) for the batch; ``off`` are ingredients whose friendly amount is more than 1 %
    from the formula.
    """

    bread: Variation
    batch: HomeBatch
    beforehand: tuple[HomeBeforehand, ...]
    toppings: tuple[tuple[str, Amount], ...]
    oven: OvenSettings
    code: str
    address: bool

    @property
    def off(self) -> tuple[str, ...]:
        """Ingredients that cannot be weighed within 1 % of the formula at home."""
        return tuple(line.ingredient for line in self.batch.off)


def home_panel(plan: ClassPlan, bread: Variation, changes: Sequence[Change]) -> HomePanel:
    """The panel of one bread as somebody makes it, with all ``changes`` in it.

    Where their bread differs from the lesson's, the code carries their own formula and not the address of the page.
    """
    made = plan.lesson_with(changes)
    own = made.variation(bread.name)
    batch = plan.home_batch(bread.name, made.base.formula)
    trays = ceil(Fraction(batch.pieces, bread.pieces_per_tray))
    times = {"piece": batch.pieces, "tray": trays, "student": 1}
    toppings = tuple(
        (use.ingredient, Amount(use.amount.value * times[use.per], use.amount.unit))
        for use in own.uses
        if use.per in times and use.purpose not in ("dusting", "oiling")
    )
    oven = plan.home_ovens[bread.name]
    usual = plan.as_made
    same = made.base.formula == usual.base.formula and own.uses == usual.variation(bread.name).uses
    address = page_address(plan, bread.name) if same else ""
    code = address or _in_words(plan, bread, batch, toppings, oven)
    beforehand = _beforehand(made.base.formula.preferments, batch, tuple(changes))
    return HomePanel(bread, batch, beforehand, toppings, oven, code, bool(address))


def _beforehand(
    preferments: Iterable[Preferment], batch: HomeBatch, changes: tuple[Change, ...]
) -> tuple[HomeBeforehand, ...]:
    columns = {column.name: column for column in batch.columns}
    found = []
    for one in preferments:
        lines = tuple(
            Weighed(line.ingredient, line.grams, line.grams, Fraction(0))
            for line in columns[one.name].lines
        )
        words = step_words(Step("mix", one.text), lines, changes)
        found.append(HomeBeforehand(one.name, one.kind, words, one.ripe_min, one.ripe_c))
    return tuple(found)


def page_address(plan: ClassPlan, bread: str) -> str:
    """The web address of a bread's page: its own, or its page below the class's address; empty when there is none."""
    own = dict(plan.day.pages).get(bread)
    if own:
        return own
    return f"{plan.day.web.rstrip('/')}/{page_name(bread)}" if plan.day.web else ""


def page_name(bread: str) -> str:
    """The file of a bread's take-home page.

    >>> page_name("soft rolls")
    'soft-rolls.html'
    """
    slug = re.sub(r"[^a-z0-9]+", "-", bread.lower()).strip("-")
    return f"{slug or 'bread-' + '-'.join(f'{ord(sign):x}' for sign in bread[:6])}.html"


def _in_words(
    plan: ClassPlan,
    bread: Variation,
    batch: HomeBatch,
    toppings: tuple[tuple[str, Amount], ...],
    oven: OvenSettings,
) -> str:
    """The home formula as plain text; shorter by its times where it would be too long for a code."""
    language = plan.language
    number = language.number
    lines = [
        f"{number(plain(line.grams))} g {line.ingredient}"
        for column in batch.columns
        for line in column.lines
    ]
    lines += [f"{number(show_amount(amount))} {name}" for name, amount in toppings]
    count = f"{batch.pieces} {bread.one if batch.pieces == 1 else bread.many}"
    sentences = [f"{count}: {', '.join(lines)}."]
    proofs = [step for step in (*plan.lesson.base.method, *bread.method) if "proof" in step.stage]
    sentences += [
        language.text(
            "code proof",
            stage=language.text(f"code {step.stage}"),
            time=_time(step.wait_min, language),
        )
        for step in proofs
    ]
    sentences.append(
        language.text(
            "code bake",
            time=_time(bread.bake.minutes, language),
            conventional=plain(oven.conventional_c),
            fan=plain(oven.fan_c),
        )
    )
    while len(" ".join(sentences).encode()) > MOST_BYTES and len(sentences) > 1:
        del sentences[1]
    return " ".join(sentences)


def _time(minutes: Fraction, language: Language) -> str:
    units = {"h": language.text("hours"), "min": language.text("minutes")}
    return " ".join(
        units.get(part, language.number(part)) for part in show_minutes(minutes).split(" ")
    )
