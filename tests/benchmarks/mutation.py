"""Do the tests bite? Small changes to a room's code, one at a time, each met with the room's own tests.

By hand: ``python -m tests.benchmarks.mutation needs --mutants 50 --seed 1``. Each survivor is printed with its place, to be looked at: it is a
missing test, or a change that means nothing. The code is changed in a copy, never here.
"""

from __future__ import annotations

import argparse
import ast
import copy
import os
import random
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parents[2]
SECONDS = 300
"""Of the clock, for one mutant; a loop without end counts as caught."""
_OTHER: dict[type[ast.AST], type[ast.AST]] = {
    ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq,
    ast.In: ast.NotIn, ast.NotIn: ast.In, ast.Is: ast.IsNot, ast.IsNot: ast.Is, ast.And: ast.Or, ast.Or: ast.And,
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult,
}  # fmt: skip


def places(tree: ast.Module) -> Iterator[tuple[ast.AST, str]]:
    """Each node that can be changed, and how."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Compare) and type(node.ops[0]) in _OTHER:
            yield node, "comparison"
        elif isinstance(node, (ast.BoolOp, ast.BinOp)) and type(node.op) in _OTHER:
            yield node, "operator"
        elif isinstance(node, ast.Constant) and type(node.value) in (int, bool):
            yield node, "number"
        elif isinstance(node, (ast.If, ast.IfExp)):
            yield node, "condition"


def change(node: ast.AST, kind: str) -> None:
    if kind == "comparison":
        assert isinstance(node, ast.Compare)
        node.ops[0] = _OTHER[type(node.ops[0])]()  # type: ignore[call-overload]
    elif kind == "operator":
        node.op = _OTHER[type(node.op)]()  # type: ignore[attr-defined]
    elif kind == "number":
        assert isinstance(node, ast.Constant)
        node.value = not node.value if isinstance(node.value, bool) else int(str(node.value)) + 1
    else:
        node.test = ast.UnaryOp(ast.Not(), node.test)  # type: ignore[attr-defined]


def mutants(room: str, chance: random.Random) -> Iterator[tuple[Path, str, str]]:
    """Changed modules without end: the path below the root, its new text, and what was changed."""
    paths = sorted((ROOT / "classpack" / "planning" / room).glob("*.py"))
    trees = {path: ast.parse(path.read_text("utf-8")) for path in paths}
    every = [
        (path, number) for path, tree in trees.items() for number, _ in enumerate(places(tree))
    ]
    while True:
        path, number = chance.choice(every)
        tree = copy.deepcopy(trees[path])
        node, kind = list(places(tree))[number]
        line = getattr(node, "lineno", 0)
        was = ast.unparse(node).split("\n")[0]
        change(node, kind)
        now = ast.unparse(node).split("\n")[0]
        where = path.relative_to(ROOT)
        yield (
            where,
            ast.unparse(ast.fix_missing_locations(tree)),
            f"{where}:{line}: {was}  ->  {now}",
        )


def caught(copied: Path, tests: list[str]) -> bool:
    """Whether a test fails."""
    command = [
        sys.executable,
        "-m",
        "pytest",
        "-n",
        "0",
        "-q",
        "-x",
        "-p",
        "no:cacheprovider",
        *tests,
    ]
    try:
        done = subprocess.run(command, cwd=copied, capture_output=True, timeout=SECONDS, check=False, env=os.environ | {"PYTHONDONTWRITEBYTECODE": "1"})  # fmt: skip
    except subprocess.TimeoutExpired:
        return True
    return done.returncode == 1 or done.returncode == 2


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("room", help="a room of planning, as in needs, safety, labels")
    parser.add_argument("--mutants", type=int, default=50)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--tests", nargs="*", help="instead of the room's own")
    chosen = parser.parse_args()
    tests = chosen.tests or [f"tests/planning/{chosen.room}"]
    dead = 0
    with tempfile.TemporaryDirectory() as name:
        copied = Path(name) / "copy"
        skipped = shutil.ignore_patterns(".*", "__pycache__", "output")
        shutil.copytree(ROOT, copied, ignore=skipped)
        if caught(copied, tests):
            sys.exit("the tests fail before anything is changed")
        made = mutants(chosen.room, random.Random(chosen.seed))
        for _, (path, text, what) in zip(range(chosen.mutants), made, strict=False):
            whole = (copied / path).read_text("utf-8")
            (copied / path).write_text(text, "utf-8")
            if caught(copied, tests):
                dead += 1
            else:
                print(f"survived: {what}", flush=True)
            (copied / path).write_text(whole, "utf-8")
    print(f"{chosen.room}: {dead} of {chosen.mutants} caught (seed {chosen.seed})")


if __name__ == "__main__":
    main()
