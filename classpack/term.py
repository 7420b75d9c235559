"""Many class days at once: a term. Each is printed by a process of its own; one that has mistakes stops no other.

A pack remembers what it was made from: one hash of every file that was read, of classpack itself and of how it should look. Where that
is the same and the pack is whole, it is not printed again.
"""

from __future__ import annotations

import functools
import hashlib
import signal
from collections.abc import Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Executor, Future, ProcessPoolExecutor, wait
from dataclasses import dataclass, fields
from multiprocessing import get_context
from pathlib import Path

from classpack.errors import LessonError, Problem, Spot
from classpack.pack_folder import is_whole, made_from
from classpack.places import beside, read_text
from classpack.reading.class_file import open_class
from classpack.reading.yaml_lines import Fields, Text, read_nodes
from classpack.template_folder import templates_folder

AHEAD = 2
"""Class days given to the executor for each worker: enough to keep it busy, few enough to hold little in memory."""
TASKS_A_WORKER = 50
"""Then a worker is replaced by a fresh one."""


@dataclass(frozen=True, slots=True)
class Job:
    """One class day to print, and how: the arguments of ``workshop.make_pack``."""

    class_path: Path
    out: Path
    paper: str | None = None
    style: str | None = None
    first_names_only: bool = False
    templates: str | None = None
    kitchen: bool = False


@dataclass(frozen=True, slots=True)
class Done:
    """How one class day ended: its pack, or its problems; what goes back from a process is small."""

    class_path: Path
    folder: Path
    problems: tuple[Problem, ...] = ()
    files: int = 0
    pages: int = 0
    unchanged: bool = False
    kept: tuple[str, ...] = ()
    remarks: int = 0
    verdict: str = ""


def print_one(job: Job) -> Done:
    """Print one class day, unless its pack is whole and made from the very same."""
    from classpack.workshop import make_pack

    folder = job.out / job.class_path.stem
    try:
        digest = fingerprint(job)
        if digest == made_from(folder) and is_whole(folder):
            return Done(job.class_path, folder, unchanged=True)
        report = make_pack(
            job.class_path, job.out, paper=job.paper, style=job.style,
            first_names_only=job.first_names_only, templates=job.templates, kitchen=job.kitchen, digest=digest,
        )  # fmt: skip
    except LessonError as error:
        return Done(job.class_path, folder, error.problems)
    except (MemoryError, RecursionError) as error:
        wrong = "there is not enough memory" if isinstance(error, MemoryError) else "too much lies within each other"  # fmt: skip
        right = "print fewer at once with --jobs 1, or make it smaller"
        return Done(job.class_path, folder, (Problem(Spot(str(job.class_path), 1), wrong, right),))
    return Done(
        job.class_path, report.folder, (), len(report.sheets), report.pages,
        kept=report.kept, remarks=len(report.remarks), verdict=report.verdict,
    )  # fmt: skip


def print_many(jobs: Iterable[Job], executor: Executor, workers: int) -> Iterator[Done]:
    """Print class days with any executor of ``concurrent.futures``, a few ahead of its workers; each is told when it is done.

    Raises:
        LessonError: two class days would be printed into one folder.
    """
    todo = list(jobs)
    _raise_if_one_folder(todo)
    waiting: set[Future[Done]] = set()
    rest = iter(todo)
    while True:
        for job in rest:
            waiting.add(executor.submit(print_one, job))
            if len(waiting) >= AHEAD * workers:
                break
        if not waiting:
            return
        done, waiting = wait(waiting, return_when=FIRST_COMPLETED)
        for future in done:
            yield future.result()


def process_pool(workers: int) -> ProcessPoolExecutor:
    """Fresh processes, the same way on every system; Ctrl-C is for the one that holds them."""
    return ProcessPoolExecutor(
        workers, get_context("spawn"), initializer=_leave_ctrl_c, max_tasks_per_child=TASKS_A_WORKER
    )


def _leave_ctrl_c() -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)


def is_class_day(path: Path) -> bool:
    """Whether a file is one: of ``lessons/*.yaml`` the lessons, kitchens and larders are left out. What cannot be read may be one."""
    try:
        top = read_nodes(read_text(path, str(path)), str(path))
    except LessonError:
        return True
    keys = {key.value for key, _ in top.fields} if isinstance(top, Fields) else {"class"}
    return bool(keys & {"class", "people", "bookings"})


def fingerprint(job: Job) -> str:
    """One hash of all that a pack is made from.

    Raises:
        LessonError: the class file, or one that it names, cannot be read.
    """
    digest = hashlib.sha256(_program().encode())
    looks = (job.class_path.name, job.paper, job.style, job.first_names_only, job.kitchen)
    digest.update(repr(looks).encode())
    _add_folder(digest, templates_folder(job.templates))
    text = read_text(job.class_path, str(job.class_path))
    digest.update(text.encode())
    _, named, _ = open_class(text, str(job.class_path))
    for field in fields(named):
        name = getattr(named, field.name)
        if isinstance(name, Text):
            path = beside(job.class_path, name.value, name.spot)
            data = path.read_bytes() if path.is_file() else b""
            digest.update(f"\0{field.name}\0{name.value}\0{len(data)}\0".encode() + data)
    return digest.hexdigest()


@functools.cache
def _program() -> str:
    """The code and data that print: a new version prints anew."""
    digest = hashlib.sha256()
    _add_folder(digest, Path(__file__).parent)
    return digest.hexdigest()


def _add_folder(digest: hashlib._Hash, folder: Path) -> None:
    for path in sorted(folder.rglob("*")):
        if path.is_file() and path.suffix != ".pyc":
            data = path.read_bytes()
            digest.update(f"\0{path.relative_to(folder).as_posix()}\0{len(data)}\0".encode() + data)


def _raise_if_one_folder(jobs: Iterable[Job]) -> None:
    first: dict[str, Path] = {}
    problems = []
    for job in jobs:
        other = first.setdefault(str(job.out / job.class_path.stem).casefold(), job.class_path)
        if other != job.class_path:
            wrong = f"its pack and that of '{other}' would be one folder"
            right = "give the files different names, or print them into two with --out"
            problems.append(Problem(Spot(str(job.class_path), 1), wrong, right))
    if problems:
        raise LessonError(problems)
