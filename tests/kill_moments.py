"""Kills ``make``, ``again`` and ``preview`` at chosen and random moments, and looks at what is on the disk afterwards.

By hand, a thousand moments: ``python -m tests.kill_moments --kills 1000 --seed 1``. A few are in ``test_pack_folder.py``.

One warm process reads and prints the class once; each victim is a child forked from it, which then does all the writing of a real
command. Most are killed while they write, the others anywhere. After each one the pack must be the old or the new one, whole, with the
tutor's own files in it; after the next command nothing hidden may be left.
"""

from __future__ import annotations

import argparse
import contextlib
import io
import os
import random
import shutil
import signal
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from classpack import pack_folder
from classpack.cli import main
from classpack.places import own_folder

CLASS = "one-to-one"
MINE = {"notes.txt": b"mine", "photos/of the day/1.jpg": b"\xff\xd8 mine", "class-2.json": b"{}"}
"""What a tutor lays into the pack's folder."""
COMMANDS = ("make", "again", "preview")
SIGNALS = (signal.SIGKILL, signal.SIGTERM, signal.SIGINT)


@dataclass
class Tally:
    """What was found after each kill."""

    kills: int = 0
    states: Counter[str] = field(default_factory=Counter)
    wrong: list[str] = field(default_factory=list)


def contents(folder: Path) -> dict[str, bytes]:
    """Every file below a folder, but for what is the tutor's and the sheets of the day in it."""
    return {
        name: path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
        and (name := path.relative_to(folder).as_posix()) not in MINE
        and not name.startswith("again-")
    }


def hidden(out: Path) -> list[str]:
    """Folders that a writing left behind."""
    return [path.name for path in out.rglob(f"{pack_folder.WORK}*")]


class Victims:
    """A class in ``folder``, printed twice in two ways, so that the old pack and the new one differ in every sheet."""

    def __init__(self, folder: Path) -> None:
        self.out = folder / "output"
        self.file = folder / f"{CLASS}.yaml"
        for path in own_folder("lessons").glob("*.*"):
            shutil.copy(path, folder)
        self.arguments = {
            "make": ["make", str(self.file), "--out", str(self.out), "--style", "high-contrast"],
            "again": ["again", str(self.file), "--out", str(self.out), "--now", "10:30", "--late", "5"],
            "preview": ["preview", str(self.file), "--out", str(self.out), "--sheet", "run-sheet", "--style", "high-contrast"],
        }  # fmt: skip
        self.old_arguments = {
            "make": self.arguments["make"][:-2],
            "again": [*self.arguments["again"][:-1], "3"],
            "preview": self.arguments["preview"][:-2],
        }
        self.folders = {
            "make": self.out / CLASS,
            "again": self.out / CLASS / "again-1030",
            "preview": self.out / f"preview-{CLASS}",
        }
        self.usual_s: dict[str, float] = {}
        self.writing_s: dict[str, float] = {}
        self.old: dict[str, dict[str, bytes]] = {}
        self.new: dict[str, dict[str, bytes]] = {}
        for command in COMMANDS:
            self.run(self.old_arguments[command])
            self.old[command] = contents(self.folders[command])
            begun = time.monotonic()
            self.run(self.arguments[command])
            self.usual_s[command] = time.monotonic() - begun
            self.new[command] = contents(self.folders[command])
            assert self.old[command] != self.new[command]
            begun = time.monotonic()
            self.write(command, self.new[command])
            self.writing_s[command] = time.monotonic() - begun

    def run(self, arguments: list[str]) -> None:
        said = io.StringIO()
        with contextlib.redirect_stdout(said), contextlib.redirect_stderr(said):
            status = main(arguments)
        assert status == 0, said.getvalue()

    def fork(self, body: Callable[[], int]) -> int:
        """A child that does ``body`` and ends; a signal that comes before it has begun waits for that."""
        before = signal.pthread_sigmask(signal.SIG_BLOCK, SIGNALS)
        child = os.fork()
        if child:
            signal.pthread_sigmask(signal.SIG_SETMASK, before)
            return child
        status = 130
        try:
            quiet = os.open(os.devnull, os.O_WRONLY)
            os.dup2(quiet, 1)
            os.dup2(quiet, 2)
            signal.pthread_sigmask(signal.SIG_SETMASK, before)
            status = body()
        finally:
            os._exit(status)

    def write(self, command: str, printed: dict[str, bytes]) -> None:
        files = {
            name: data for name, data in printed.items() if Path(name).name != pack_folder.LIST
        }
        kind = {"make": "pack", "again": "again", "preview": "pictures"}[command]
        pack_folder.write_pack(self.folders[command], files, kind, self.out)

    def writer(self, command: str, printed: dict[str, bytes]) -> Callable[[], int]:
        """The writing of a command, with what it printed before."""

        def write() -> int:
            signal.signal(signal.SIGTERM, signal.default_int_handler)
            try:
                self.write(command, printed)
            except KeyboardInterrupt:
                return 130
            return 0

        return write

    def prepare(self, command: str) -> None:
        """The old pack, with something of the tutor's in it."""
        shutil.rmtree(self.out, ignore_errors=True)
        for one in COMMANDS:
            self.write(one, self.old[one])
        for name, data in MINE.items():
            path = self.folders[command] / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)

    def check(self, command: str, what: str, tally: Tally, sent: int) -> None:
        """The disk after a kill, and after the next command."""
        folder = self.folders[command]
        left = hidden(self.out)
        if sent != signal.SIGKILL and left:
            tally.wrong.append(f"{what}: left {left}")
        pack_folder.heal(self.out)
        if hidden(self.out):
            tally.wrong.append(f"{what}: not healed: {hidden(self.out)}")
        found = contents(folder)
        state = "old" if found == self.old[command] else "new" if found == self.new[command] else "mixed" if found else "missing"  # fmt: skip
        tally.states[
            f"{command} {state}{', hidden leftover before the next command' if left else ''}"
        ] += 1
        if state in ("mixed", "missing"):
            tally.wrong.append(f"{what}: {state}")
        for name, data in MINE.items():
            path = folder / name
            if not path.is_file() or path.read_bytes() != data:
                tally.wrong.append(f"{what}: lost {name}")
        if not (self.folders["again"] / "again.json").is_file():
            tally.wrong.append(f"{what}: lost the sheets of the day")

    def kill_one(self, command: str, chance: random.Random, tally: Tally, whole: bool) -> None:
        """One victim. ``whole``: the whole command, killed anywhere; else its writing only."""
        self.prepare(command)
        body = (
            (lambda: main(self.arguments[command]))
            if whole
            else self.writer(command, self.new[command])
        )
        usual = self.usual_s[command] if whole else self.writing_s[command]
        sent = chance.choice(SIGNALS)
        child = self.fork(body)
        time.sleep(chance.uniform(0, usual * 1.2))
        os.kill(child, sent)
        os.waitpid(child, 0)
        tally.kills += 1
        what = f"{command}, {'whole' if whole else 'writing'}, {signal.Signals(sent).name}"
        self.check(command, what, tally, sent)

    def two_at_once(self, tally: Tally) -> None:
        """Two processes write the old and the new pack in the same moment."""
        self.prepare("make")
        children = [self.fork(self.writer("make", one["make"])) for one in (self.old, self.new)]
        for child in children:
            if os.waitpid(child, 0)[1]:
                tally.wrong.append("two at once: one of them failed")
        tally.kills += 1
        self.check("make", "two at once", tally, signal.SIGINT)


def run(kills: int, seed: int, folder: Path, whole_share: float = 0.1) -> Tally:
    """So many kills, and a twentieth as many times two writers at once."""
    chance, tally, victims = random.Random(seed), Tally(), Victims(folder)
    for number in range(kills):
        victims.kill_one(COMMANDS[number % 3], chance, tally, chance.random() < whole_share)
    for _ in range(max(1, kills // 20)):
        victims.two_at_once(tally)
    return tally


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kills", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument(
        "--two-moves", action="store_true", help="as on a system without an exchange in one step"
    )
    chosen = parser.parse_args()
    if chosen.two_moves:
        pack_folder._exchanged = lambda *_: False
    with tempfile.TemporaryDirectory() as name:
        tally = run(chosen.kills, chosen.seed, Path(name))
    for state, count in sorted(tally.states.items()):
        print(f"{count:6} {state}")
    print(f"{tally.kills:6} in all, {len(tally.wrong)} wrong")
    for one in tally.wrong[:20]:
        print(f"  {one}")
    sys.exit(bool(tally.wrong))
