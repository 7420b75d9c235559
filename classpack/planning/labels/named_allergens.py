"""Does an ingredient state what its name says, in the class's language?

English names give allergens away to the rules about needs (``needs_holdings``). Another language's names do not, so there the
tutor's own larder must state them: a ``Weizenmehl`` without wheat, or a ``Schinken`` without its tags, stops the pack. Nothing
here makes an ingredient hold less than it states.
"""

from __future__ import annotations

from collections.abc import Iterator

from classpack.errors import Problem, Spot
from classpack.model.allergens import BY_ID
from classpack.model.language import Language
from classpack.model.larder import Ingredient, Larder
from classpack.planning.labels.contains import carried, named_spans

TAGS_BY_NAME = ("animal", "meat", "pork", "alcohol")


def unstated(larder: Larder, language: Language) -> tuple[Problem, ...]:
    """Problems of the tutor's own entries whose names say more than they state; none in English."""
    if not language.allergens:
        return ()
    own = [one for one in larder.ingredients if one.given]
    return tuple(problem for one in own for problem in _of(one, language))


def _of(one: Ingredient, language: Language) -> Iterator[Problem]:
    spot = one.spot or Spot("", 1)
    names = language.without_lookalikes("\n".join((one.name, one.label)).lower())
    stated = carried((one,))
    for id in language.allergens:
        hinted = any(hint in names for hint in language.allergens[id].hints)
        if id not in stated and (hinted or named_spans(names, (id,), "EU", language)[1]):
            yield Problem(
                spot,
                f"'{one.name}' is called after {language.allergen(id)} and does not state it",
                f"add '{BY_ID[id].everyday.lower()}' to its allergens, or call it something else",
            )
    for tag in TAGS_BY_NAME:
        said = next((word for word in language.columns(f"named {tag}") if word in names), "")
        if said and tag not in one.tags:
            yield Problem(
                spot,
                f"'{one.name}' is called '{said}' and does not say '{tag}'",
                f"add '{tag}' to its tags, as in 'tags: [{tag}]', or call it something else",
            )
