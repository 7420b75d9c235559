"""How long a cold process takes for the twelve-person pack, split by what it does; and how it grows with the class.

Run: python tests/benchmarks/pack.py [people ...]      (not a test: nothing is asserted)
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]
SPLIT = """
import gc, sys, tempfile, time
gc.disable()  # as the commands do
spent = {}
def timed(name, work, *args, **named):
    began = time.process_time()
    result = work(*args, **named)
    spent[name] = spent.get(name, 0) + time.process_time() - began
    return result
def inside(name, owner, attribute):
    work = getattr(owner, attribute)
    setattr(owner, attribute, lambda *args, **named: timed(name, work, *args, **named))
def imports():
    global Path, own_folder, workshop, read_sources, plan_class, Templates, pdf, pack, write_pack
    from pathlib import Path
    from classpack.places import own_folder
    from classpack import workshop
    from classpack.class_files import read_sources
    from classpack.planning.plan.plan_class import plan_class
    from classpack.pages import must_print, pack_templates, web_pages
    from classpack.pages.templates import Templates
    from classpack.sheets import pack
    from classpack.sheets.exports import class_json
    from classpack.typeset import pdf
    from classpack.pack_folder import write_pack
timed("imports", imports)
templates = own_folder("templates")
sources = timed("reading", read_sources, Path(sys.argv[1]), templates)
planned = timed("planning", plan_class, sources)
plan = planned.plan
timed("planning", lambda: (plan.remarks, plan.remedies, plan.warmer_room, plan.home, plan.on_paper))
inside("sheets", pack, "pack_jobs")
inside("templates", Templates, "_filled")
inside("layout", pdf, "lay_out_all")
inside("layout and drawing", pdf, "draw_pack")
began = time.process_time()
printed = workshop.print_pack(planned, "A4", templates)
whole = time.process_time() - began
spent["drawing"] = spent.pop("layout and drawing") - spent["layout"]
spent["everything else of printing"] = whole - sum(spent[k] for k in ("sheets", "templates", "layout", "drawing"))
with tempfile.TemporaryDirectory() as out:
    timed("writing", write_pack, Path(out) / "pack", printed.files)
for name, seconds in spent.items():
    print(f"  {name:28} {1000 * seconds:7.0f} ms")
print(f"  {printed.pages} pages, {sum(map(len, printed.files.values())) / 1e6:.1f} MB in {len(printed.files)} files")
"""
"""Where the processor's time goes, not the clock's: a busy machine says the same."""


def cold(*args: str) -> float:
    """Seconds of one process."""
    began = time.perf_counter()
    subprocess.run([sys.executable, *args], cwd=ROOT, check=True, capture_output=True)
    return time.perf_counter() - began


def class_of(people: int, folder: Path) -> Path:
    """The demo class with so many people, four to a station."""
    source = (ROOT / "lessons" / "saturday-twelve.yaml").read_text("utf-8")
    breads = ("tin loaf", "tray bread", "soft rolls", "pizza")
    head, rest = source.split("stations:")[0], source.split("demonstration:")[1]
    stations = -(-people // 4)
    lines = [f"  S{n}: bench {n}" for n in range(stations)]
    lines.append("people:")
    lines += [
        f"  - {{name: Student {n}, station: S{n // 4}, makes: {breads[n // 4 % 4]}, needs: none}}"
        for n in range(people)
    ]
    text = (
        f"{head}confirmed: {{group size: only measured}}\nstations:\n"
        + "\n".join(lines)
        + f"\n\ndemonstration:{rest}"
    )
    path = folder / f"class-{people}.yaml"
    path.write_text(text, "utf-8")
    return path


def main() -> None:
    """Print the table."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for path in (ROOT / "lessons").glob("*.yaml"):
            (folder / path.name).write_bytes(path.read_bytes())
        out = str(folder / "out")
        help_s = [cold("-m", "classpack", "--help") for _ in range(7)]
        print(f"--help: {1000 * statistics.median(help_s):.0f} ms")
        pack_s = [
            cold("-m", "classpack", "make", str(folder / "saturday-twelve.yaml"), "--out", out)
            for _ in range(5)
        ]
        print(
            f"make, twelve people: {statistics.median(pack_s):.2f} s (median of 5 cold processes)"
        )
        for people in map(int, sys.argv[1:]):
            print(f"{people} people:")
            path = class_of(people, folder)
            split = subprocess.run(
                [sys.executable, "-c", SPLIT, str(path)],
                cwd=ROOT,
                capture_output=True,
                text=True,
                check=False,
            )
            print(split.stdout or split.stderr)


if __name__ == "__main__":
    main()
