"""A term of class days: wall time and memory with so many at once, beside one at a time, and again when nothing has changed.

By hand: ``python -m tests.benchmarks.term --days 500 --jobs 4``. Figures say on which machine they were measured, and how busy it was.
"""

from __future__ import annotations

import argparse
import os
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from classpack.places import own_folder

CLASS = "saturday-twelve"


def measured(folder: Path, days: int, jobs: int, out: str) -> float:
    """Seconds for the whole command."""
    files = [f"day-{number:04d}.yaml" for number in range(days)]
    begun = time.monotonic()
    subprocess.run(
        [sys.executable, "-m", "classpack", "make", *files, "--out", out, "--jobs", str(jobs)],
        cwd=folder, env=os.environ | {"PYTHONPATH": str(Path(__file__).parents[2])}, check=True, stdout=subprocess.DEVNULL,
    )  # fmt: skip
    return time.monotonic() - begun


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--days", type=int, default=500)
    parser.add_argument("--jobs", type=int, default=os.cpu_count() or 1)
    chosen = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for path in own_folder("lessons").iterdir():
            shutil.copy(path, folder)
        text = (folder / f"{CLASS}.yaml").read_text("utf-8")
        for number in range(chosen.days):
            (folder / f"day-{number:04d}.yaml").write_text(text, "utf-8")
        few = max(2, chosen.days // 20)
        alone = measured(folder, few, 1, "alone") / few
        together = measured(folder, chosen.days, chosen.jobs, "out")
        again = measured(folder, chosen.days, chosen.jobs, "out")
        most = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    print(f"{CLASS}, load {os.getloadavg()[0]:.1f} on {os.cpu_count()} processors")
    print(f"one at a time      {alone:7.2f} s a pack ({few} packs)")
    print(
        f"{chosen.jobs} at once          {together / chosen.days:7.2f} s a pack, {together:.0f} s for {chosen.days}"
    )
    print(
        f"again, unchanged   {again / chosen.days:7.3f} s a pack, {again:.0f} s for {chosen.days}"
    )
    print(f"largest process    {most:7.0f} MB")


if __name__ == "__main__":
    main()
