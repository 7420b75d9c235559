"""All that is printed for one person, as text: what the last look reads before anything is written.

The card with its contains-line, amounts, steps and code, the bag label's ingredient list, the tubs with the person's seat on them,
and the page that the card's code leads to. The program's own fixed sentences are no part of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from classpack.planning.labels.ingredient_list import IngredientList
from classpack.planning.plan.class_plan import ClassPlan
from classpack.sheets.cards.home_panel import home_panel
from classpack.sheets.cards.recipe_card import RecipeCard, recipe_card
from classpack.sheets.cards.step_words import Words
from classpack.sheets.home.bag_labels import bag_labels
from classpack.sheets.home.take_home import TakeHomePage, take_home_pages

Printed = tuple[str, str]
"""The sheet, and a text on it."""


def printed_for(plan: ClassPlan, indexes: Iterable[int]) -> dict[int, tuple[Printed, ...]]:
    """Every text that each of these people gets."""
    wanted = [index for index in indexes if plan.people[index].portions]
    if not wanted:
        return {}
    pages = {page.bread.name: page for page in take_home_pages(plan)}
    labels = bag_labels(plan)
    tubs = [tub for turn in plan.weighed.turns for one in turn.ingredients for tub in one.tubs]
    found = {}
    for index in wanted:
        person = plan.people[index]
        seat = person.person.seat
        card = recipe_card(plan, person)
        texts = [("card", text) for text in _of_card(card)]
        for bread in card.breads:
            panel = home_panel(plan, bread.variation, card.changes)
            texts += [("card's home batch", name) for name, _ in panel.toppings]
            texts += [
                ("card's home batch", line.ingredient)
                for column in panel.batch.columns
                for line in column.lines
            ]
            if panel.address:
                page = pages[bread.variation.name]
                texts += [("take-home page", text) for text in _of_page(page)]
            else:
                texts.append(("card's code", panel.code))
        texts += [("bag label", _listed(label.holds)) for label in labels if label.seat == seat]
        texts += [("tub label", tub.ingredient) for tub in tubs if tub.where == seat]
        found[index] = tuple((sheet, text) for sheet, text in texts if text)
    return found


def _listed(holds: IngredientList) -> str:
    """A list of ingredients without what may get in: traces were settled, or stopped the pack, when needs were resolved."""
    return replace(holds, may_contain=()).text


def _of_card(card: RecipeCard) -> Iterator[str]:
    yield from (line.ingredient for line in (card.unit.lines if card.unit else ()))
    yield from (f"{line.ingredient}. {line.note}" for line, _ in (*card.toppings, *card.dusting))
    yield from (name for name, _ in (*card.bench_tubs, *card.class_tubs))
    yield from (name for names, _ in card.contains for name in names)
    yield from (f"{change.into}. {change.method}" for change in card.own)
    for part in card.parts:
        for step in part.steps:
            yield from (step.head, _said(step.words), step.ready_when, *step.methods)
    for bread in card.breads:
        yield from (bread.word, bread.variation.storage)


def _of_page(page: TakeHomePage) -> Iterator[str]:
    yield _listed(page.holds)
    yield page.bread.about
    for step in page.steps:
        yield from (step.head, _said(step.words), step.ready_when)
    for fault in page.faults:
        yield from (fault.seen, fault.because, fault.mend)


def _said(words: Words) -> str:
    return "".join(part if isinstance(part, str) else part.name for part in words)
