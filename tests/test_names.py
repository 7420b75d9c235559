"""One word, one meaning: no two classes of classpack share a name."""

from __future__ import annotations

import ast
from collections import defaultdict
from pathlib import Path

PACKAGE = Path(__file__).parents[1] / "classpack"


def test_no_class_name_is_defined_twice():
    places = defaultdict(list)
    for path in sorted(PACKAGE.rglob("*.py")):
        for node in ast.parse(path.read_text("utf-8")).body:
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                places[node.name].append(str(path.relative_to(PACKAGE)))
    assert {name: files for name, files in places.items() if len(files) > 1} == {}
