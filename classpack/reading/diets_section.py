"""The class file's ``diets:``, ways of eating that the tutor defines: a name and what is not eaten."""

from __future__ import annotations

from classpack.model.diets import Diet
from classpack.reading.sections import Section
from classpack.reading.yaml_lines import Fields, Items, Text


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
