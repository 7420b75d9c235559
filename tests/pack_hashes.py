"""The net under a change of code that should change nothing printed: a hash of every file of every pack.

Run it before and after, in the same folder of the project:

    python tests/pack_hashes.py save before.json
    python tests/pack_hashes.py compare before.json

Every class day in ``lessons/`` is made on each paper and in each style, planned again on the day, and checked; what the
terminal says counts too. ``compare`` names each file that differs and exits with 1. Uses the commands only, so it outlives
any move of modules.
"""

from __future__ import annotations

import hashlib
import json
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

ROOT = Path(__file__).parents[1]
PAPERS = ("A4", "Letter", "A5", "A5-on-A4")
STYLES = ("large-print", "high-contrast", "ink-saving")


def class_days() -> list[Path]:
    """The class days among the files of ``lessons/``."""
    return [
        path
        for path in sorted((ROOT / "lessons").glob("*.yaml"))
        if any(line.startswith("class:") for line in path.read_text("utf-8").splitlines())
    ]


def runs() -> list[tuple[str, list[str]]]:
    """Every command to run, with a name; ``OUT`` stands for an empty folder."""
    found = []
    for day in class_days():
        make = ["make", str(day.relative_to(ROOT)), "--out", "OUT"]
        found += [(f"{day.stem}, {paper}", [*make, "--paper", paper]) for paper in PAPERS]
        found += [(f"{day.stem}, {style}", [*make, "--style", style]) for style in STYLES]
        found.append((f"{day.stem}, check", ["check", str(day.relative_to(ROOT))]))
        late = [
            "again",
            str(day.relative_to(ROOT)),
            "--out",
            "OUT",
            "--now",
            "12:10",
            "--late",
            "15",
        ]
        found.append((f"{day.stem}, again", late))
    return found


def hashes_of(command: list[str]) -> dict[str, str]:
    """The hash of each file a command wrote, and of what it said."""
    with tempfile.TemporaryDirectory() as name:
        words = [name if word == "OUT" else word for word in command]
        ended = subprocess.run(
            [sys.executable, "-m", "classpack", *words], cwd=ROOT, capture_output=True, check=False
        )
        said = ended.stdout + ended.stderr + str(ended.returncode).encode()
        texts = {"(terminal)": said.replace(name.encode(), b"OUT")}
        for path in sorted(Path(name).rglob("*")):
            if path.is_file():
                texts[str(path.relative_to(name))] = path.read_bytes()
    return {path: hashlib.sha256(text).hexdigest() for path, text in texts.items()}


def all_hashes() -> dict[str, dict[str, str]]:
    """Run everything, two at a time."""
    named = runs()
    with ThreadPoolExecutor(2) as pool:
        return {
            name: hashes
            for (name, _), hashes in zip(
                named, pool.map(lambda run: hashes_of(run[1]), named), strict=True
            )
        }


def main() -> int:
    """``save FILE`` or ``compare FILE``."""
    what, file = sys.argv[1], Path(sys.argv[2])
    now = all_hashes()
    count = sum(map(len, now.values()))
    if what == "save":
        file.write_text(json.dumps(now, indent=1), "utf-8")
        print(f"{count} hashes of {len(now)} runs saved")
        return 0
    before: dict[str, dict[str, str]] = json.loads(file.read_text("utf-8"))
    other = [
        f"{run}: {path}"
        for run in sorted({*before, *now})
        for path in sorted({*before.get(run, {}), *now.get(run, {})})
        if before.get(run, {}).get(path) != now.get(run, {}).get(path)
    ]
    print("\n".join(other[:60]))
    print(f"{len(other)} of {count} differ")
    return 1 if other else 0


if __name__ == "__main__":
    sys.exit(main())
