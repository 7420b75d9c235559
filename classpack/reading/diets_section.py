"""The class file's ``diets:`` and ``allergies:``, what the tutor defines of needs: a name and what is not eaten."""

from __future__ import annotations

from classpack.model.diets import Diet
from classpack.reading.sections import Section
from classpack.reading.yaml_lines import Fields, Items, Text

SHORTEST_WORD = 3


def read_diets(top: Section) -> tuple[Diet, ...]:
    """The diets of a class file. Problems go to the section's list; what the words mean is found out with the larder.

    >>> from classpack.reading.yaml_lines import read_nodes
    >>> nodes = read_nodes("diets: {no poppy: [poppy seeds], fruit free: {without: [raisins, sultanas]}}", "day.yaml")
    >>> [(diet.name, diet.without) for diet in read_diets(Section(nodes, "the class day", []))]
    [('no poppy', ('poppy seeds',)), ('fruit free', ('raisins', 'sultanas'))]
    """
    found = []
    for key, node in top.fields("diets"):
        if isinstance(node, Fields):
            section = Section(node, f"the diet '{key.value}'", top.problems)
            words = section.texts("without", "'without:' and a list of what is not eaten")
            section.close()
        elif isinstance(node, (Items, Text)):
            section = Section(Fields(((key, node),), node.spot), key.value, top.problems)
            words = section.texts(key.value)
        found.append(Diet(key.value, tuple(word.value for word in words), key.spot))
    return tuple(found)


def read_allergies(top: Section) -> tuple[Diet, ...]:
    """The allergies of a class file that no law lists, each with its words: ``lentils: {words: [lentil, dal, Linsen-]}``.

    >>> from classpack.reading.yaml_lines import read_nodes
    >>> nodes = read_nodes("allergies: {lentils: {words: [lentil, dal], also in: [gram flour], whole class: yes}}", "day.yaml")
    >>> [(one.words, one.without, one.whole_class) for one in read_allergies(Section(nodes, "the class day", []))]
    [(('lentil', 'dal'), ('gram flour',), True)]
    """
    found = []
    for key, node in top.fields("allergies"):
        section = Section(node, f"the allergy '{key.value}'", top.problems)
        words = section.texts("words", "'words:' and every word that names the food")
        for word in words:
            if len(word.value.strip("-")) < SHORTEST_WORD:
                section.problem(
                    word.spot,
                    f"'{word.value}' would be found in too many names",
                    f"write words of {SHORTEST_WORD} letters or more",
                )
        also = section.texts("also in")
        everybody = section.yes_no("whole class")
        section.close()
        found.append(
            Diet(
                key.value,
                tuple(one.value for one in also),
                words=tuple(one.value for one in words),
                allergy=True,
                whole_class=everybody,
                spot=key.spot,
            )
        )
    return tuple(found)
