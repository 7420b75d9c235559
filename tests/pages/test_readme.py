"""The page text README and the vocabulary say the same."""

from __future__ import annotations

import re

from classpack.places import own_folder
from classpack.typeset.page_text import parse
from classpack.typeset.vocabulary import ELEMENTS

README = (own_folder("templates") / "README.md").read_text("utf-8")


def test_every_element_and_attribute_is_explained() -> None:
    for tag, rule in ELEMENTS.items():
        assert re.search(rf"<{tag}[ >/`]", README), tag
        for name in rule.attributes:
            assert re.search(rf"\b{name}\b", README), (tag, name)


def test_no_element_is_explained_that_does_not_exist() -> None:
    for tag in re.findall(r"<([a-z][a-z-]*)[ >/]", README):
        assert tag in ELEMENTS or tag in ("language", "file", "key"), tag


def test_the_examples_are_page_text() -> None:
    examples = re.findall(r"```xml\n(.*?)```", README, re.DOTALL)
    assert len(examples) >= 6
    for number, example in enumerate(examples):
        text = (
            example if example.startswith("<sheet") else f'<sheet title="example">{example}</sheet>'
        )
        assert parse(text, f"example {number}")
