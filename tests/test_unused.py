"""What is computed reaches a person, or goes: code that neither the program nor a template uses is told here."""

from __future__ import annotations

import re
from pathlib import Path

from vulture import Vulture  # type: ignore[import-untyped]

ROOT = Path(__file__).parents[1]

USED_BY_OTHERS = {
    "handle_starttag": "html.parser calls it",
    "handle_endtag": "html.parser calls it",
    "handle_data": "html.parser calls it",
    "attrs": "html.parser hands it over",
    "get_source": "jinja2 calls it",
    "intercepted_binops": "jinja2 reads it",
    "code_generator_class": "jinja2 reads it",
    "environment": "jinja2 hands it over",
    "_undefined_message": "jinja2 asks for it",
    "useA85": "reportlab reads it",
    "makeToUnicodeCMap": "reportlab reads it",
    "Tabs": "an entry of the PDF page",
    "StructParents": "an entry of the PDF page",
    "StructTreeRoot": "an entry of the PDF catalogue",
    "Metadata": "an entry of the PDF catalogue",
    "short_min": "an aim of a day, compared in its order",
    "buffer_text": "expat reads it",
    "StartElementHandler": "expat calls it",
    "EndElementHandler": "expat calls it",
    "CharacterDataHandler": "expat calls it",
    "StartDoctypeDeclHandler": "expat calls it",
    "ProcessingInstructionHandler": "expat calls it",
}

READ_BY_TESTS = {
    **dict.fromkeys(
        ("COLD_C", "HOT_C", "UK_COLD_C", "UK_OUT_MIN", "US_OUT_MIN", "SOURDOUGH_YEAST_GROWS_C"),
        "a published limit that the project's own figure is held against",
    ),
    "water_left_out": "says why the law's order of a label has no water",
    "bag_min": "says which cooling time a lesson did not state",
    "all_ids": "the law that no caution vanishes counts with it",
    "is_no": "a lookalike is held against what it only seems to name",
    "alt_sign": "a caution's second sign is held against ISO 7010 like its first",
}

WAITING = {
    **dict.fromkeys(
        ("US_TSP_ML", "spoonfuls_g", "degrees_agree"),
        "cups, ounces and dial steps beside grams, by region",
    ),
    **dict.fromkeys(("total_from_final", "percents_of"), "a final dough as books print it"),
    "build_g": "a starter's build, told with what is kept back",
    "levain_of_g": "a starter's build, told with what is kept back",
    "friction_found_c": "the tutor's own friction, from what the class measured",
    "comes_to_c": "what a dough comes to that no water can bring to its heat",
    **dict.fromkeys(
        ("REHYDRATE_MOST_C", "REHYDRATE_MIN", "REHYDRATE_TIMES"),
        "active dry yeast changes the method with its name",
    ),
    "reason_text": "why a row of the plan starts when it does",
    **dict.fromkeys(
        ("shape_by_min", "load_by_min"),
        "how long a lot may wait",
    ),
    **dict.fromkeys(
        ("free_finish_min", "free_over_proof_min"), "the verdict beside a class without limits"
    ),
}
"""Kept until the sheet that prints it is made; each says what that is."""


def names_in_templates() -> set[str]:
    """Every word of the templates' own expressions, phrases included."""
    names: set[str] = set()
    for path in sorted((ROOT / "templates").rglob("*")):
        if path.suffix in {".xml", ".html", ".yaml"}:
            for expression in re.findall(r"\{[{%](.*?)[%}]\}", path.read_text("utf-8"), re.S):
                names |= set(re.findall(r"[A-Za-z_]\w*", expression))
    return names


def unused() -> list[str]:
    """Every unused name with its place."""
    used = names_in_templates() | {*USED_BY_OTHERS, *READ_BY_TESTS, *WAITING}
    finder = Vulture(ignore_names=sorted(used))
    finder.scavenge([str(ROOT / "classpack")])
    return [
        f"{Path(item.filename).relative_to(ROOT)}:{item.first_lineno}: {item.typ} {item.name}"
        for item in finder.get_unused_code(min_confidence=60)
    ]


def test_nothing_is_computed_for_nobody():
    assert unused() == []


def test_nothing_waits_that_is_used_by_now():
    finder = Vulture(ignore_names=sorted(names_in_templates() | {*USED_BY_OTHERS, *READ_BY_TESTS}))
    finder.scavenge([str(ROOT / "classpack")])
    told = {item.name for item in finder.get_unused_code(min_confidence=60)}
    assert set(WAITING) <= told, f"used by now: {sorted(set(WAITING) - told)}"
