"""The architecture as a test: imports go down, and the pure floors touch nothing outside."""

import ast
from pathlib import Path

PACKAGE = Path(__file__).parent.parent / "classpack"
FLOORS = "errors | quantities | model | planning reading | sheets | printing | places pack_folder template_folder workshop again preview viewer | cli | __main__"
FLOOR = {name: number for number, names in enumerate(FLOORS.split("|")) for name in names.split()}
PURE = {"errors", "quantities", "model", "planning", "sheets"}
OUTSIDE = {"os", "io", "pathlib", "sys", "time", "random", "yaml", "jinja2", "reportlab"}
MODULES = sorted(PACKAGE.rglob("*.py"))


def imported(path: Path) -> list[str]:
    names = []
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            names += [one.name for one in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: name imports in full"
            names.append(node.module or "")
            if node.module == "classpack":
                names += [f"classpack.{one.name}" for one in node.names]
    return names


def test_imports_go_down():
    for path in MODULES:
        here = path.relative_to(PACKAGE).parts[0].removesuffix(".py")
        if here == "__init__":
            continue
        for name in imported(path):
            top, _, rest = name.partition(".")
            there = rest.partition(".")[0]
            if top == "classpack" and there in FLOOR and there != here:
                same_shell = FLOOR[there] == FLOOR[here] == FLOOR["workshop"]
                assert same_shell or FLOOR[there] < FLOOR[here], (
                    f"{path.relative_to(PACKAGE)}: {here} may not know {there}"
                )


def test_the_pure_floors_touch_nothing_outside():
    for path in MODULES:
        here = path.relative_to(PACKAGE).parts[0].removesuffix(".py")
        for name in imported(path) if here in PURE else ():
            assert name.partition(".")[0] not in OUTSIDE, (
                f"{path.relative_to(PACKAGE)}: {here} is pure and may not know {name}"
            )


def test_every_module_stands_on_a_floor():
    tops = {path.relative_to(PACKAGE).parts[0].removesuffix(".py") for path in MODULES}
    assert tops - {"__init__"} <= set(FLOOR)
