"""Throws damaged files at every reader and at the whole of ``check``, ``make`` and ``again``, and judges what comes back.

By hand, twenty thousand cases: ``python -m tests.fuzz --cases 20000 --seed 1``. Three hundred are in ``test_fuzz.py``. A case that fails is
saved into ``tests/data/fuzz/`` and from then on tried first, by every run.

Damage is done by structure (fields taken out, doubled, renamed, moved, given the values of others or odd ones) and by text (signs and
lines taken out, doubled, swapped, cut, overwritten). Whatever a tutor's folder holds, a command ends with 0 or 1, within seconds, says
every problem at a line of a file, sends the terminal no sign that steers it, and leaves no half-written folder.
"""

from __future__ import annotations

import argparse
import contextlib
import dataclasses
import functools
import io
import json
import multiprocessing
import os
import random
import re
import resource
import shutil
import signal
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

import yaml

from classpack import pack_folder
from classpack.cli import _say, main
from classpack.errors import LessonError
from classpack.model.larder import Larder
from classpack.pages.look_file import read_look
from classpack.pages.templates import Templates
from classpack.places import decoded, own_folder
from classpack.reading.bookings_section import booked_people
from classpack.reading.caution_file import package_catalogue, with_own_cautions
from classpack.reading.class_file import KnownBread, open_class, read_class
from classpack.reading.kitchen_file import read_kitchen
from classpack.reading.larder_file import merged, package_larder, read_larder
from classpack.reading.lesson_file import bread_names, read_lesson
from classpack.typeset.look import PAPERS, STYLES, Look
from classpack.typeset.page_text import parse
from classpack.typeset.pdf import draw
from tests.reading.test_caution_file import OWN as OWN_CAUTIONS

CORPUS = Path(__file__).parent / "data" / "fuzz"
HANG_SECONDS = 20
"""Of the processor's time; a usual command takes one or two."""
MOST_MEMORY_MB = 300
LONGEST_LINE = 1200
PLACED = re.compile(r"^.+?:\d+:\d+: .+; .+$", re.DOTALL)
"""What a problem looks like: a place, what is wrong, what would be right."""
LAST_LINE = re.compile(
    r"^(\d+ things? to mend; nothing was written|classpack( start)?: .+|usage: .+)$"
)

CLASSES = ("one-to-one", "sunday-bookings", "poolish-four", "wholemeal-six", "samstag-acht")
"""Class days that are damaged, with the lesson, kitchen, larder and bookings they name."""
ODD = [
    "", "~", "null", "yes", "no", "0", "-1", "1e9", "99999999999999999999", "0.0000001", "½", "1/0", "NaN", "inf", "{}", "[]", "{a: b}",
    "[1, 2]", "- x", "? y", "&a [*a]", "!!python/none x", "%", "100 %", "-5 g", "1 g per piece", "5 kg per class", "10 min", "25:61",
    "230 C fan", "gas mark 9", "2027-02-30", "x" * 200, "W" * 5000, "\u202eabc", "a\u0300\u0300\u0300", "\U0001f35e", "é", "'", '"', "\\", "{water}",
    "{{ 7 * 7 }}", "<b>x</b>", "../../etc/passwd", "/etc/passwd", "https://example.org/?a=b", "=1+1", "@x", "#x", "\t", "\x00", "\x1b[31m",
    "12 of 2100 ml", "nuts", "milk and eggs", "none", "ask at the door", "a, b, c", "1 x 0.1 g steps to 500 g", "﻿", "|\n  x", ">-\n  y",
]  # fmt: skip


@dataclasses.dataclass(frozen=True)
class Case:
    """A damaged folder: which file, what it says now, and the command that reads it."""

    file: str
    text: bytes
    command: tuple[str, ...]

    def name(self) -> str:
        return f"{abs(hash((self.file, self.text, self.command))) % 10**10:010d}.json"

    def save(self, folder: Path) -> None:
        data = {"file": self.file, "text": self.text.decode("latin-1"), "command": self.command}
        (folder / self.name()).write_text(json.dumps(data, indent=1) + "\n", "utf-8")

    @staticmethod
    def load(path: Path) -> Case:
        data = json.loads(path.read_text("utf-8"))
        return Case(data["file"], data["text"].encode("latin-1"), tuple(data["command"]))


class Hang(BaseException):
    """A command took too long."""


# ---------------------------------------------------------------- damage


def by_text(text: str, chance: random.Random) -> str:
    """One to four changes of signs or lines."""
    for _ in range(chance.randint(1, 4)):
        lines = text.split("\n")
        at, line = chance.randrange(len(text) + 1), chance.randrange(len(lines))
        kind = chance.randrange(9)
        if kind == 0:
            text = text[:at] + text[at + chance.randint(1, 30) :]
        elif kind == 1:
            text = text[:at] + chance.choice(ODD) + text[at:]
        elif kind == 2:
            text = text[:at]
        elif kind == 3:
            lines.insert(line, lines[chance.randrange(len(lines))])
        elif kind == 4:
            del lines[line]
        elif kind == 5:
            other = chance.randrange(len(lines))
            lines[line], lines[other] = lines[other], lines[line]
        elif kind == 6:
            lines[line] = " " * chance.randint(1, 9) + lines[line]
        elif kind == 7:
            key, colon, _ = lines[line].partition(":")
            lines[line] = f"{key}{colon} {chance.choice(ODD)}"
        else:
            text = (
                text[:at]
                + chr(chance.choice([0, 7, 27, 127, 133, 0x200B, 0xFFFE, 0x2028]))
                + text[at:]
            )
        if kind in (3, 4, 5, 6, 7):
            text = "\n".join(lines)
    return text


def by_structure(text: str, chance: random.Random) -> str:
    """One to four changes of fields and values; what is damaged is written as YAML anew."""
    try:
        data = yaml.load(text, yaml.BaseLoader)
    except yaml.YAMLError:
        return by_text(text, chance)
    for _ in range(chance.randint(1, 4)):
        places = list(_places(data))
        if not places:
            break
        parent, key = chance.choice(places)
        kind = chance.randrange(7)
        if kind == 0:
            del parent[key]
        elif kind == 1:
            parent[key] = chance.choice(ODD)
        elif kind == 2:
            other, name = chance.choice(places)
            parent[key] = _copy(other.get(name) if isinstance(other, dict) else other[name] if name < len(other) else None)  # fmt: skip
        elif kind == 3 and isinstance(parent, dict):
            parent[chance.choice([*ODD, f"{key}s", str(key)[:-1], str(key).upper()])] = parent.pop(
                key
            )
        elif kind == 4:
            parent[key] = {chance.choice(ODD): _copy(parent[key])}
        elif kind == 5:
            parent[key] = [_copy(parent[key])] * chance.choice([0, 1, 2, 50])
        else:
            parent[key] = _scaled(str(parent[key]), chance)
    return yaml.dump(data, allow_unicode=True, sort_keys=False, width=200, Dumper=_Plain)


class _Plain(yaml.SafeDumper):
    """Without aliases: a value used twice is written twice."""

    def ignore_aliases(self, data: Any) -> bool:
        return True


def _places(data: Any) -> list[tuple[Any, Any]]:
    found = []
    keys = list(data) if isinstance(data, dict) else range(len(data)) if isinstance(data, list) else []  # fmt: skip
    for key in keys:
        found.append((data, key))
        found += _places(data[key])
    return found


def _copy(value: Any) -> Any:
    return json.loads(json.dumps(value))


def _scaled(text: str, chance: random.Random) -> str:
    """A number in a value ten times what it was, or a tenth, or none."""
    factor = chance.choice([10, 100, 0.1, 0.01, 0, -1, 1e6])
    return re.sub(r"\d+(\.\d+)?", lambda m: f"{float(m[0]) * factor:g}", text, count=1)


# ---------------------------------------------------------------- one case


class Bench:
    """A folder with a class and its templates, whole again before each case."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.files = {path.name: path.read_bytes() for path in own_folder("lessons").iterdir() if path.is_file()}  # fmt: skip
        templates = own_folder("templates")
        self.templates = {
            f"own/{path.relative_to(templates).as_posix()}": path.read_bytes()
            for path in templates.rglob("*")
            if path.is_file()
        }
        self.files |= self.templates
        for name in ("sample.xml", "sample_more.xml"):
            self.files[name] = (Path(__file__).parent / "typeset" / name).read_bytes()
        self.files["cautions.yaml"] = OWN_CAUTIONS.encode()
        for name in self.files:
            self.restore(name)
        self.own_texts = [n for n in self.templates if n.endswith((".yaml", ".xml", ".html", ".css"))]  # fmt: skip

    def restore(self, name: str) -> None:
        path = self.folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(self.files[name])

    def case(self, chance: random.Random) -> Case:
        """Some damage, and the command that meets it."""
        return (self.reader_case if chance.random() < 0.9 else self.command_case)(chance)

    def reader_case(self, chance: random.Random) -> Case:
        """A damaged file for the one reader of its kind."""
        reader = chance.choice(list(READERS))
        file = chance.choice(READERS[reader][0])
        return Case(file, self.damaged(file, chance), ("read", reader))

    def command_case(self, chance: random.Random) -> Case:
        """A damaged file in a class's folder, or among the templates, for a whole command."""
        day = f"{chance.choice(CLASSES)}.yaml"
        if chance.random() < 0.15:
            file = chance.choice([*self.own_texts, *["own/look.yaml"] * 20])
            return Case(file, self.damaged(file, chance), ("make", day, "--templates", "own"))
        named = re.findall(r"\b(?:lesson|kitchen|larder|file): *(\S+)", self.files[day].decode())
        file = chance.choice([day, day, *(one for one in named if one in self.files)])
        command = "make" if chance.random() < 0.1 else "check"
        return Case(file, self.damaged(file, chance), (command, day))

    def damaged(self, file: str, chance: random.Random) -> bytes:
        text = self.files[file].decode("utf-8-sig")
        structural = file.endswith(".yaml") and chance.random() < 0.6
        data = (by_structure if structural else by_text)(text, chance).encode(
            "utf-8", "surrogatepass"
        )
        if chance.random() < 0.02:
            data = bytes(
                byte if chance.random() > 0.001 else chance.randrange(256) for byte in data
            )
        return data

    def run(self, case: Case) -> tuple[str, str]:
        """What is wrong with how the command ended, empty if nothing; and how it ended."""
        path = self.folder / case.file
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(case.text)
        told, printed = io.StringIO(), io.StringIO()
        before = os.getcwd()
        os.chdir(self.folder)
        arguments = list(case.command)
        if case.command[0] == "make":
            arguments += ["--out", "out"]
        old = signal.signal(signal.SIGPROF, _hang)
        signal.setitimer(signal.ITIMER_PROF, HANG_SECONDS)
        status: int | str = 0
        try:
            with contextlib.redirect_stderr(told), contextlib.redirect_stdout(printed):
                try:
                    status = _read(case) if case.command[0] == "read" else main(arguments)
                except SystemExit as ended:
                    status = int(ended.code or 0)
        except Hang:
            return f"hangs: more than {HANG_SECONDS} s", "hang"
        except BaseException:
            return traceback.format_exc()[-1500:], "traceback"
        finally:
            signal.setitimer(signal.ITIMER_PROF, 0)
            signal.signal(signal.SIGPROF, old)
            os.chdir(before)
            if case.file in self.files:
                self.restore(case.file)
        left = [p.name for p in (self.folder / "out").glob(f"{pack_folder.WORK}*")]
        shutil.rmtree(self.folder / "out", ignore_errors=True)
        end = f"{' '.join(case.command[: 2 if case.command[0] == 'read' else 1])}, ended with {status}"
        return _judged(int(status), told.getvalue(), printed.getvalue(), left), end


def _read(case: Case) -> int:
    """One reader alone, as a command of its own would run it."""
    try:
        READERS[case.command[1]][1](case)
    except LessonError as error:
        for problem in error.problems:
            _say(str(problem))
        _say(f"{len(error.problems)} things to mend; nothing was written")
        return 1
    return 0


def _text(case: Case) -> str:
    return decoded(case.text, case.file)


def _read_class(case: Case) -> None:
    top, _, problems = open_class(_text(case), case.file)
    read_class(top, case.file, BREADS)
    if problems:
        raise LessonError(problems)


def _read_bookings(case: Case) -> None:
    top, _, problems = open_class(Path("sunday-bookings.yaml").read_text("utf-8"), "day.yaml")
    booked_people(top, case.text, case.file, BREADS)
    if problems:
        raise LessonError(problems)


def _read_look(case: Case) -> None:
    for style, paper in zip(STYLES, PAPERS, strict=True):
        read_look(Path("own"), style=style, paper=paper)


def _draw(case: Case) -> None:
    draw(parse(_text(case), case.file), _usual_look(), title="Sample", language="en")


@functools.cache
def _usual_look() -> Look:
    return read_look(own_folder("templates"))


LESSONS = {
    "one-dough.yaml": "larder.yaml",
    "poolish-and-seeds.yaml": "larder.yaml",
    "wholemeal-and-honey.yaml": "creamery-larder.yaml",
    "brot-an-einem-tag.yaml": "vorrat.yaml",
}
"""Lessons, each with the larder of its class."""


@functools.cache
def _larder(name: str) -> Larder:
    own = (own_folder("lessons") / name).read_text("utf-8")
    return merged(package_larder(), read_larder(own, name))


BREADS = tuple(
    KnownBread(bread, 1)
    for name in LESSONS
    for bread in bread_names((own_folder("lessons") / name).read_text("utf-8"), name)
)
READERS: dict[str, tuple[list[str], Callable[[Case], object]]] = {
    "lesson": (
        list(LESSONS),
        lambda case: read_lesson(_text(case), case.file, _larder(LESSONS[case.file])),
    ),
    "kitchen": (["net-loft.yaml", "old-creamery.yaml", "alte-poststation.yaml"], lambda case: read_kitchen(_text(case), case.file)),
    "larder": (["larder.yaml", "creamery-larder.yaml", "vorrat.yaml"], lambda case: merged(package_larder(), read_larder(_text(case), case.file))),
    "class": ([f"{name}.yaml" for name in CLASSES], _read_class),
    "bookings": (["bookings-twelve.csv"], _read_bookings),
    "look": (["own/look.yaml"], _read_look),
    "words": (["own/words/en/card.yaml", "own/words/en/common.yaml"], lambda case: Templates(Path("own"))),
    "cautions": (["cautions.yaml"], lambda case: with_own_cautions(package_catalogue(), _text(case), case.file)),
    "page": (["sample.xml", "sample_more.xml"], _draw),
}  # fmt: skip


def _hang(*_: object) -> None:
    raise Hang


def _judged(status: int, told: str, printed: str, left: list[str]) -> str:
    if left:
        return f"left {left}"
    if status not in (0, 1):
        return f"ended with {status}: {told[-300:]}"
    if status == 0 and told:
        return f"done, and told: {told[:300]}"
    if status == 1:
        *problems, last = told.removesuffix("\n").split("\n")
        if not LAST_LINE.match(last):
            return f"the last line is no last line: {last[:300]!r}"
        if not problems and not last.startswith("classpack: "):
            return f"no problem is told: {told[:300]!r}"
        for line in problems:
            if not PLACED.match(line):
                return f"a message without a place: {line[:300]!r}"
            if len(line) > LONGEST_LINE:
                return f"a message of {len(line)} signs: {line[:200]!r}"
    steering = [one for one in told + printed if not one.isprintable() and one not in "\n\u00ad"]
    return f"the terminal is sent {steering[:5]!r}" if steering else ""


# ---------------------------------------------------------------- many


def corpus() -> list[Case]:
    """The cases that failed once."""
    return [Case.load(path) for path in sorted(CORPUS.glob("*.json"))]


def batch(job: tuple[int, int, bool, str]) -> tuple[Counter[str], list[tuple[Case, str]], int]:
    """So many cases from a seed, with the corpus first if asked: how they ended, which failed and why, and the most memory in MB.

    The last of ``job`` is ``all``, or ``commands`` for whole commands only.
    """
    seed, cases, with_corpus, kind = job
    chance = random.Random(seed)
    ends: Counter[str] = Counter()
    failed = []
    with tempfile.TemporaryDirectory() as name:
        bench = Bench(Path(name))
        make = bench.command_case if kind == "commands" else bench.case
        for case in [*(corpus() if with_corpus else []), *(make(chance) for _ in range(cases))]:
            wrong, end = bench.run(case)
            ends[end] += 1
            if wrong:
                failed.append((case, wrong))
    return ends, failed, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024


def run(cases: int, seed: int, size: int = 250, tell: Callable[[str], None] = print) -> int:
    """Batches in fresh processes, two at once. The number of failures."""
    begun, ends, failures, most = time.monotonic(), Counter[str](), 0, 0
    jobs = [
        (seed * 1_000_000 + n, min(size, cases - n), n == 0, "all") for n in range(0, cases, size)
    ]
    with multiprocessing.get_context("fork").Pool(2, maxtasksperchild=1) as pool:
        for some, failed, memory in pool.imap_unordered(batch, jobs):
            ends += some
            most = max(most, memory)
            if memory > MOST_MEMORY_MB:
                tell(f"memory: {memory} MB in a batch")
                failures += 1
            for case, wrong in failed:
                failures += 1
                CORPUS.mkdir(parents=True, exist_ok=True)
                case.save(CORPUS)
                tell(f"{case.name()} {case.file} {' '.join(case.command)}\n{wrong}\n")
    tell(f"{ends.total()} cases, {failures} failures, at most {most} MB, {time.monotonic() - begun:.0f} s")  # fmt: skip
    for end, count in sorted(ends.items()):
        tell(f"{count:7} {end}")
    return failures


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--cases", type=int, default=20_000)
    parser.add_argument("--seed", type=int, default=1)
    chosen = parser.parse_args()
    sys.exit(bool(run(chosen.cases, chosen.seed)))
