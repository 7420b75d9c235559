"""What is computed how often during one ``make``: counted, not guessed. Not a test: nothing is asserted.

Run: python tests/benchmarks/counted.py [CLASS.yaml]
"""

from __future__ import annotations

import contextlib
import io
import sys
import tempfile
from collections import Counter
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from classpack.cli import main  # noqa: E402

COUNTED = (
    "weigh_out", "kit_list", "prep_ahead", "preferment_times", "class_costs", "person_compositions", "lesson_composition",
    "ingredient_list", "bread_nutrition", "class_clock", "clock_changes", "changed_lesson", "home_batch", "dough_table",
    "paper_cautions", "recipe_card", "station_sheet", "run_sheet", "plan_day", "two_degrees", "remedies", "pages",
)  # fmt: skip
"""Functions of planning and sheets; ``pages`` is a template filled."""


def counts(path: Path) -> Counter[str]:
    """Calls by name while a class is made."""
    found: Counter[str] = Counter()

    def seen(frame: object, event: str, _: object) -> None:
        if event == "call":
            code = frame.f_code  # type: ignore[attr-defined]
            if code.co_name in COUNTED and "classpack" in code.co_filename:
                found[code.co_name] += 1

    with tempfile.TemporaryDirectory() as out, contextlib.redirect_stdout(io.StringIO()):
        sys.setprofile(seen)
        try:
            main(["make", str(path), "--out", out])
        finally:
            sys.setprofile(None)
    return found


if __name__ == "__main__":
    name = sys.argv[1] if len(sys.argv) > 1 else ROOT / "lessons" / "saturday-twelve.yaml"
    found = counts(Path(name))
    for one in COUNTED:
        print(f"{one:22} {found[one]:5}")
