"""A language's own folder: what is said outside templates, and what its allergens are called.

``texts.yaml`` has a line for every key of :data:`classpack.model.language.TEXTS`; ``allergens.yaml`` a section for every id:

    gluten:wheat:
      name: Weizen
      words: [weizen]

``needs.yaml`` gives the words people write for coeliac disease, diets, states and for having no needs, by their English names.
"""

from __future__ import annotations

from collections.abc import Mapping

from classpack.errors import LessonError, Problem, Spot
from classpack.model.allergens import IDS
from classpack.model.language import SPOKEN_NEEDS, TEXTS, AllergenWords, Language, places
from classpack.reading.sections import Section
from classpack.reading.yaml_lines import read_nodes


def read_language(
    code: str,
    decimal: str,
    texts: tuple[str, str],
    allergens: tuple[str, str],
    needs: tuple[str, str],
) -> Language:
    """A language from its three files, each as (text, path).

    Raises:
        LessonError: with everything that is missing or wrong in them; nothing is said in English instead.
    """
    problems: list[Problem] = []
    said = _texts(*texts, problems)
    names = _allergens(*allergens, problems)
    spoken = _needs(*needs, problems)
    if problems:
        raise LessonError(problems)
    return Language(code, said, names, decimal, spoken)


def _texts(text: str, file: str, problems: list[Problem]) -> Mapping[str, str]:
    top = Section(read_nodes(text, file), "the texts", problems, Spot(file, 1))
    found = {}
    for key, english in TEXTS.items():
        found[key] = top.text(key, f"it, in English '{english}'")
        if found[key] and places(found[key]) != places(english):
            wanted = ", ".join(f"{{{name}}}" for name in sorted(places(english))) or "no braces"
            top.problem(top.spot_of(key), f"'{key}' has other places", f"write it with {wanted}")
    top.close()
    return found


def _allergens(text: str, file: str, problems: list[Problem]) -> Mapping[str, AllergenWords]:
    top = Section(read_nodes(text, file), "the allergens", problems, Spot(file, 1))
    found = {}
    for id in IDS:
        entry = top.section(id, f"'{id}'", f"its 'name' and 'words' below '{id}:'")
        if entry is None:
            continue
        name = entry.text("name", "what the law calls it")
        words = entry.texts("words", "the words in an ingredient's name that name it already")
        entry.close()
        small = (word.value.lower() for word in words)
        longest_first = tuple(sorted(small, key=lambda word: (-len(word), word)))
        found[id] = AllergenWords(name, longest_first)
    top.close()
    return found


def _needs(text: str, file: str, problems: list[Problem]) -> Mapping[str, tuple[str, ...]]:
    top = Section(read_nodes(text, file), "the needs", problems, Spot(file, 1))
    found = {
        need: tuple(
            word.value.casefold()
            for word in top.texts(need, f"the words people write for '{need}'")
        )
        for need in SPOKEN_NEEDS
    }
    top.close()
    return found
