"""The architecture as a test: who may know whom. An import that is not in these tables fails with the sentence of the rule."""

from __future__ import annotations

import ast
import importlib
import inspect
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "classpack"
MODULES = sorted(PACKAGE.rglob("*.py"))

FLOORS = (
    "errors | quantities typeset | model food_words | planning reading | sheets | pages "
    "| places pack_folder forgetting template_folder term class_files write_defaults starting workshop again preview viewer | cli | __main__"
)
FLOOR = {name: number for number, names in enumerate(FLOORS.split("|")) for name in names.split()}
SHELL = FLOOR["workshop"]
PURE = {"errors", "quantities", "model", "planning", "sheets"}
OUTSIDE = {"os", "io", "pathlib", "sys", "time", "random", "yaml", "jinja2", "reportlab"}

PLANNING = {
    "dough": "",
    "amounts": "dough",
    "needs": "",
    "timetable": "",
    "day": "timetable amounts dough",
    "safety": "amounts day",
    "shopping": "",
    "labels": "",
    "setting_up": "amounts needs safety day shopping",
    "plan": "dough amounts needs timetable day safety shopping labels setting_up",
}
"""The rooms of ``planning``, and the rooms each may know besides itself."""

STRANGERS = {
    "typeset": "errors",
}
"""Folders that could be a library of their own, and all they may know of classpack."""


def imported(path: Path) -> list[str]:
    """The full names of all modules a file imports."""
    names = []
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            names += [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: name imports in full"
            names.append(node.module or "")
            if node.module == "classpack" or (node.module or "").startswith("classpack."):
                names += [f"{node.module}.{alias.name}" for alias in node.names]
    return names


def place(path: Path) -> tuple[str, ...]:
    """Where a module lives: its folders below the package, and its own name."""
    return path.relative_to(PACKAGE).with_suffix("").parts


@pytest.mark.parametrize("path", MODULES, ids=lambda path: "/".join(place(path)))
def test_imports_keep_the_rules(path: Path):
    here = place(path)
    if here == ("__init__",):
        return
    for name in imported(path):
        parts = tuple(name.split("."))
        if parts[0] in OUTSIDE and here[0] in PURE:
            pytest.fail(f"{here[0]} is pure: no file, no clock, no chance; it may not know {name}")
        if parts[0] != "classpack" or len(parts) < 2 or parts[1] not in FLOOR:
            continue
        there = parts[1]
        if there != here[0] and not (FLOOR[there] == FLOOR[here[0]] == SHELL):
            assert FLOOR[there] < FLOOR[here[0]], f"imports go down: {here[0]} may not know {there}"
        if here[0] in STRANGERS and there != here[0]:
            known = STRANGERS[here[0]]
            assert there in known.split(), f"{here[0]} knows {known} only, not {name}"
        if here[0] == "planning" and len(here) > 2 and there == "planning" and len(parts) > 2:
            room, other = here[1], parts[2]
            allowed = {room, *PLANNING[room].split()}
            told = PLANNING[room] or "no other room"
            assert other in allowed, f"planning/{room} knows {told}; it may not know {other}"


def door(room: str) -> tuple[str, list[str]]:
    """A room's door: what it says, and the chapters it shows."""
    tree = ast.parse((PACKAGE / "planning" / room / "__init__.py").read_text("utf-8"))
    (names,) = (ast.literal_eval(node.value) for node in tree.body if isinstance(node, ast.Assign))
    return ast.get_docstring(tree) or "", names


@pytest.mark.parametrize("room", PLANNING)
def test_a_door_is_small_and_says_what_goes_in_and_out(room: str):
    said, names = door(room)
    assert len(said.splitlines()) <= 10
    assert "In: " in said
    assert "Out: " in said
    assert 0 < len(names) <= 10
    for name in names:
        assert (PACKAGE / "planning" / room / f"{name}.py").is_file(), f"{room} shows no {name}"


@pytest.mark.parametrize("path", MODULES, ids=lambda path: "/".join(place(path)))
def test_rooms_are_entered_by_their_doors(path: Path):
    """Whoever is not of the room imports from the chapters its door shows."""
    here = place(path)
    own = here[1] if here[0] == "planning" and len(here) > 2 else ""
    for name in imported(path):
        parts = name.split(".")
        if parts[:2] == ["classpack", "planning"] and len(parts) > 3 and parts[2] != own:
            _, shown = door(parts[2])
            assert parts[3] in shown, (
                f"others enter a room by its door: planning/{parts[2]} shows {', '.join(shown)}, not {parts[3]}"
            )


@pytest.mark.parametrize("room", PLANNING)
def test_a_door_shows_only_what_somebody_enters(room: str):
    entered = {
        parts[3]
        for path in MODULES
        if place(path)[:2] != ("planning", room)
        for parts in (name.split(".") for name in imported(path))
        if parts[:3] == ["classpack", "planning", room] and len(parts) > 3
    }
    assert set(door(room)[1]) == entered


@pytest.mark.parametrize(
    "path",
    [path for path in MODULES if place(path)[0] in ("sheets", "pages")],
    ids=lambda path: "/".join(place(path)),
)
def test_a_sheet_selects_and_never_computes(path: Path):
    """What a sheet says is a field of the class plan, worked out once; of planning it knows types and fixed values only."""
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith(
            "classpack.planning"
        ):
            for alias in node.names:
                value = getattr(importlib.import_module(node.module or ""), alias.name)
                if inspect.isfunction(value) or inspect.ismodule(value):
                    pytest.fail(
                        f"a sheet selects, it never computes: {'/'.join(place(path))} may not know {alias.name}; "
                        "make it a field of ClassPlan"
                    )


def test_every_module_stands_on_a_floor_and_in_a_room():
    assert {place(path)[0] for path in MODULES} - {"__init__"} <= set(FLOOR)
    rooms = {place(path)[1] for path in MODULES if place(path)[0] == "planning"}
    assert rooms - {"__init__"} == set(PLANNING)


def test_no_two_rooms_know_each_other():
    for room, known in PLANNING.items():
        for other in known.split():
            assert room not in PLANNING[other].split(), f"{room} and {other} know each other"
