"""How long printing takes, cold: page text of about 30 pages to one tagged PDF and to a PDF a sheet.

    python tests/benchmarks/printing.py            median of 7 cold processes, split into parts
    python tests/benchmarks/printing.py --growth   10, 30, 100, 300 pages: time and bytes a page

Every figure is of a fresh process, so imports and the opening of fonts count.
"""

from __future__ import annotations

import argparse
import json
import statistics
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
SAMPLE = ROOT / "tests" / "printing" / "sample.xml"


def once(copies: int) -> dict[str, float]:
    """One cold run; a copy of the sample is five pages on three sheets."""
    start = time.perf_counter()
    sys.path.insert(0, str(ROOT))
    from classpack.pages.look_file import read_look
    from classpack.typeset import pdf
    from classpack.typeset.page_text import parse

    imported = time.perf_counter()
    look = read_look(ROOT / "templates")
    looked = time.perf_counter()
    text = SAMPLE.read_text("utf-8")
    sheets = [sheet for _ in range(copies) for sheet in parse(text, "sample.xml")]
    parsed = time.perf_counter()
    laid = pdf.lay_out_all(sheets, look)
    pages = sum(len(one.pages) for one in laid)
    laid_out = time.perf_counter()
    one_file = pdf.draw_laid_out(laid, look, title="Benchmark", language="en-GB")
    drawn = time.perf_counter()
    parts = [pdf.SheetPart(sheet.title, (sheet,)) for sheet in sheets]
    both = pdf.draw_pack(parts, look, title="Benchmark", language="en-GB")
    done = time.perf_counter()
    return {
        "pages": pages,
        "import": imported - start,
        "look and fonts": looked - imported,
        "parse": parsed - looked,
        "lay out": laid_out - parsed,
        "draw one file": drawn - laid_out,
        "to one file": drawn - start,
        "pack and a file a sheet (lay out and draw)": done - drawn,
        "bytes of the pack": len(one_file),
        "files": len(both.parts),
    }


def cold(copies: int) -> tuple[dict[str, float], float]:
    """The split of one cold process, and the whole of its time."""
    start = time.perf_counter()
    out = subprocess.run(
        [sys.executable, __file__, "--once", str(copies)],
        capture_output=True,
        check=True,
        text=True,
    )
    return json.loads(out.stdout), time.perf_counter() - start


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--once", type=int, metavar="COPIES")
    options.add_argument("--growth", action="store_true")
    asked = options.parse_args()
    if asked.once:
        print(json.dumps(once(asked.once)))
        return
    if asked.growth:
        for copies in (2, 6, 20, 60):
            runs = [cold(copies)[0] for _ in range(3)]
            best = min(runs, key=lambda run: run["to one file"])
            work = best["lay out"] + best["draw one file"]
            print(
                f"{best['pages']:4.0f} pages  {best['to one file'] * 1000:6.0f} ms  {work / best['pages'] * 1000:5.2f} ms a page  {best['bytes of the pack'] / best['pages']:6.0f} bytes a page"
            )
        return
    runs = [cold(6) for _ in range(7)]
    for name in runs[0][0]:
        value = statistics.median(run[name] for run, _ in runs)
        print(f"{name:45} {value:.0f}" if value >= 1 else f"{name:45} {value * 1000:.0f} ms")


if __name__ == "__main__":
    main()
