"""Writing folders. A pack appears whole or not at all; what replaces it carries over all that classpack did not write.

A folder made here holds a list of the files that were written, with their hashes (``LIST``, in the form ``sha256sum --check`` reads).
By that list a folder is known as a pack, and whatever is not on it, or has changed since, is the tutor's: notes laid into the folder,
a table filled in, the sheets of ``again``. It is carried over, under another name where the new pack has a file of that name.

The new pack is built in a hidden folder beside the old one and exchanged with it in one step where the system can (Linux). Elsewhere
two moves do it, and a process killed between them leaves the old pack in the hidden folder: the next command puts it back. One lock on
the output folder keeps two processes apart, so that a hidden folder found under the lock was left by a process that is dead.
"""

from __future__ import annotations

import contextlib
import ctypes
import errno
import hashlib
import os
import shutil
import signal
import tempfile
import threading
import time
from collections.abc import Callable, Iterator, Mapping
from functools import partial
from pathlib import Path, PurePosixPath

from classpack.errors import LessonError, Problem, Spot

try:
    import fcntl
except ImportError:  # a system without such locks
    fcntl = None  # type: ignore[assignment]

LIST = "files.sha256"
CONFIDENTIAL = "confidential"
KINDS = ("pack", "pictures", "again")
"""What a folder made here can be; each replaces only its own kind."""
WORK = ".classpack-"
"""What the hidden folders' names begin with."""
LOCK_SECONDS = 60
STALE_SECONDS = 3600
"""Where there are no locks, a hidden folder as old as this was left by a dead process."""
STOPPING = tuple(
    getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, name)
)
"""Ctrl-C, a polite end, a closed terminal."""
_HEAD = "# files of a classpack folder ({kind}); to see what has changed since: sha256sum --check {list}"
_MADE_FROM = "# made from "
_AT_FDCWD, _RENAME_EXCHANGE = -100, 2  # Linux: linux/fcntl.h, linux/fs.h

placed: list[Path] = []
"""The folders that the running command has put in place, whole."""


def is_made_here(folder: Path, kind: str = "pack") -> bool:
    """Whether classpack made this folder, by its list."""
    return not folder.is_symlink() and _listed(folder, (kind,)) is not None


def is_whole(folder: Path) -> bool:
    """Whether every file that classpack wrote into a folder is there, as it was written."""
    wrote = _wrote(folder)
    return bool(wrote) and all(
        (folder / name).is_file() and _digest(folder / name) == one for name, one in wrote.items()
    )


def made_from(folder: Path) -> str:
    """What ``write_pack`` was told a folder was made from; empty if nothing. It lies apart, like all that a guess could be tried with."""
    try:
        text = (folder / CONFIDENTIAL / LIST).read_text("utf-8")
    except (OSError, ValueError):
        return ""
    marks = [line for line in text.splitlines() if line.startswith(_MADE_FROM)]
    return marks[0].removeprefix(_MADE_FROM) if marks else ""


def write_pack(
    folder: Path,
    files: Mapping[str, bytes],
    kind: str = "pack",
    root: Path | None = None,
    digest: str = "",
) -> tuple[str, ...]:
    """Write ``files`` (by their path below ``folder``) and put them in place of an older pack.

    Args:
        kind: one of ``KINDS``.
        root: the folder that is locked and worked in, ``folder``'s own or one above it.
        digest: what the files were made from, in one hash.

    Returns:
        What was carried over because classpack did not write it, each with its new name if it has one.

    Raises:
        LessonError: the folder holds something else, or cannot be read or written; then it is as it was before.
    """
    spot = Spot(str(folder), 1)
    root = root or folder.parent
    try:
        _make_folder(root)
        with _locked(root, spot), _signals_held() as stop_here:
            _heal(root)
            if folder.is_symlink() or not (_is_new(folder) or is_made_here(folder, kind)):
                wrong = f"'{folder}' is there and {'is no pack' if kind == 'pack' else 'was not made here'}"
                right = "name another folder with --out, or move it away"
                raise LessonError([Problem(spot, wrong, right)])
            with _work_folder(root, folder) as work:
                _fill(work / "new", files, stop_here)
                _write_lists(work / "new", files, kind, digest)
                kept = _carry(folder, work / "new")
                _put_in_place(work, folder)
            if work.exists():
                kept += (f"what could not be deleted of the old one, in '{work}'",)
            return kept
    except OSError as error:
        right = "name a folder you may write to with --out, with room on its disk"
        raise LessonError([_not_written(spot, "the pack", error, right)]) from None


def write_new_folder(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write ``files`` into a folder that is new, or empty.

    Raises:
        LessonError: the folder holds something already, or cannot be written.
    """
    spot = Spot(str(folder), 1)
    try:
        raise_unless_new(folder)
        root = folder if folder.exists() else folder.parent
        _make_folder(root)
        with _locked(root, spot), _signals_held() as stop_here, _work_folder(root, folder) as work:
            _fill(work / "new", files, stop_here)
            if root == folder:  # somebody may be in it: it stays the same folder
                for path in (work / "new").iterdir():
                    os.rename(path, folder / path.name)
                placed.append(folder)
            else:
                _put_in_place(work, folder)
    except OSError as error:
        raise LessonError([_no_folder(folder, error)]) from None


def raise_unless_new(folder: Path) -> None:
    """Nothing of the tutor's may be overwritten.

    Raises:
        LessonError: the folder is there and holds something, or its name is none a folder can have.
    """
    try:
        is_new = _is_new(folder)
    except (OSError, ValueError) as error:
        raise LessonError([_no_folder(folder, error)]) from None
    if not is_new:
        wrong = f"'{folder}' is not empty"
        right = "name a new folder, so that nothing of yours is overwritten"
        raise LessonError([Problem(Spot(str(folder), 1), wrong, right)])


def heal(root: Path) -> None:
    """Put back the pack that a killed process left between two moves, and clear its hidden folders, unless somebody writes there now."""
    with contextlib.suppress(LessonError, OSError):
        if any(root.glob(f"{WORK}*")):
            with _locked(root, Spot(str(root), 1), seconds=0), _signals_held():
                _heal(root)


def _heal(root: Path) -> None:
    for work in sorted(root.glob(f"{WORK}*")):
        if fcntl is None and time.time() - work.stat().st_mtime < STALE_SECONDS:
            continue
        with contextlib.suppress(OSError):
            named = work / "for"
            _settle(work, root / named.read_text("utf-8") if named.is_file() else None)


def _is_new(folder: Path) -> bool:
    """Whether nothing is there, or a folder that holds nothing (what a killed process left in it counts as nothing)."""
    if folder.is_dir():
        return all(path.name.startswith(WORK) for path in folder.iterdir())
    return not os.path.lexists(folder)


def _make_folder(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except FileExistsError:
        raise NotADirectoryError(errno.ENOTDIR, os.strerror(errno.ENOTDIR), str(folder)) from None


def _no_folder(folder: Path, error: Exception) -> Problem:
    return _not_written(Spot(str(folder), 1), "the folder", error, "name a folder you may write to")


def _not_written(spot: Spot, what: str, error: Exception, right: str) -> Problem:
    reason = (getattr(error, "strerror", "") or "it cannot be written").lower()
    where = (
        f" ('{error.filename}')" if isinstance(error, PermissionError) and error.filename else ""
    )
    return Problem(spot, f"{what} cannot be written: {reason}{where}", right)


# ---------------------------------------------------------------- alone, and not interrupted


@contextlib.contextmanager
def _locked(root: Path, spot: Spot, seconds: float = LOCK_SECONDS) -> Iterator[None]:
    """Alone in ``root``, where the system has locks.

    Raises:
        LessonError: another process has had it for so many seconds.
    """
    if fcntl is None:
        yield
        return
    handle = os.open(root, os.O_RDONLY)
    try:
        until = time.monotonic() + seconds
        while True:
            try:
                fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
                break
            except BlockingIOError:
                if time.monotonic() >= until:
                    wrong = f"another classpack has been writing into '{root}' for a minute"
                    right = "wait until it is done, or end it"
                    raise LessonError([Problem(spot, wrong, right)]) from None
                time.sleep(0.02)
            except OSError:  # another machine's disk, without locks
                break
        yield
    finally:
        os.close(handle)


@contextlib.contextmanager
def _signals_held() -> Iterator[Callable[[], None]]:
    """A signal to stop comes after the body, or where the body calls what it is given; never between two moves."""
    if threading.current_thread() is not threading.main_thread():
        yield lambda: None
        return
    came: list[int] = []

    def stop_here() -> None:
        if came:
            raise KeyboardInterrupt

    before = {one: signal.signal(one, lambda number, _: came.append(number)) for one in STOPPING}
    try:
        yield stop_here
    finally:
        for one, handler in before.items():
            signal.signal(one, handler or signal.SIG_DFL)
        if came:
            signal.raise_signal(came[0])


# ---------------------------------------------------------------- the hidden folder


@contextlib.contextmanager
def _work_folder(root: Path, folder: Path) -> Iterator[Path]:
    """A hidden folder that only its owner may look into; gone again at the end."""
    work = Path(tempfile.mkdtemp(prefix=WORK, dir=root))
    try:
        (work / "for").write_text(os.path.relpath(folder, root), "utf-8")
        yield work
    finally:
        with contextlib.suppress(OSError):
            _settle(work, folder)


def _put_in_place(work: Path, folder: Path) -> None:
    """Make the new folder in ``work`` appear as ``folder``; an old one goes into ``work``."""
    new, old = work / "new", work / "old"
    folder.parent.mkdir(parents=True, exist_ok=True)
    (work / "built").write_text(str(new.stat().st_ino))
    if not folder.exists():
        os.rename(new, folder)
    elif not _exchanged(new, folder):
        os.rename(folder, old)
        os.rename(new, folder)
    placed.append(folder)


def _settle(work: Path, folder: Path | None) -> None:
    """Delete a hidden folder, its confidential parts first, when nothing in it is missing in ``folder`` any more.

    Raises:
        OSError: something cannot be given back; then the hidden folder stays.
    """
    new, old, built = work / "new", work / "old", work / "built"
    if folder and built.exists():
        if old.exists() and not folder.exists():
            os.rename(old, folder)
        exchanged = new.exists() and str(new.stat().st_ino) != built.read_text()
        for replaced in (old, *([new] if exchanged else [])):
            if replaced.exists():
                _carry(replaced, folder)  # what was laid into it in the last moment
        built.unlink()  # from here on it is rubbish: half deleted, nobody could tell whose the rest is
    for part in (*work.glob(f"*/{CONFIDENTIAL}"), work):
        shutil.rmtree(part, ignore_errors=True)


def _exchanged(one: Path, other: Path) -> bool:
    """Swap two folders in one step. False: this system or this disk has no such step, and nothing was done."""
    try:
        swap = ctypes.CDLL(None).renameat2
    except (AttributeError, OSError, TypeError):
        return False
    done: int = swap(_AT_FDCWD, os.fsencode(one), _AT_FDCWD, os.fsencode(other), _RENAME_EXCHANGE)
    return done == 0


def _fill(new: Path, files: Mapping[str, bytes], stop_here: Callable[[], None]) -> None:
    new.mkdir()
    for name, data in files.items():
        stop_here()
        path = new / name
        if PurePosixPath(name).parts[0] == CONFIDENTIAL:
            (new / CONFIDENTIAL).mkdir(0o700, exist_ok=True)
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)


# ---------------------------------------------------------------- what is ours, and what is the tutor's


def _write_lists(new: Path, files: Mapping[str, bytes], kind: str, digest: str) -> None:
    """The list of a folder's files. What is confidential has a list apart: by a hash a guess could be tried."""
    apart = {name for name in files if PurePosixPath(name).parts[0] == CONFIDENTIAL}
    for place, names in ((new / CONFIDENTIAL, apart), (new, files.keys() - apart)):
        if names or place == new:
            lines = [_HEAD.format(kind=kind, list=LIST)]
            if digest and place != new:
                lines.append(f"{_MADE_FROM}{digest}")
            for name in sorted(names):
                shown = (new / name).relative_to(place).as_posix()
                lines.append(f"{hashlib.sha256(files[name]).hexdigest()}  {shown}")
            (place / LIST).write_bytes("".join(f"{line}\n" for line in lines).encode("utf-8"))


def _listed(folder: Path, kinds: tuple[str, ...] = KINDS) -> dict[str, str] | None:
    """The hash of each file that classpack wrote into a folder, by its name; None if it made no such folder."""
    try:
        head, *lines = (folder / LIST).read_text("utf-8").splitlines()
    except (OSError, ValueError):
        return None
    if head not in [_HEAD.format(kind=kind, list=LIST) for kind in kinds]:
        return None
    hashes = (line.partition("  ") for line in lines if not line.startswith("#"))
    return {name: digest for digest, _, name in hashes}


def confidential_files(folder: Path) -> tuple[str, ...]:
    """What classpack wrote into the confidential part of a folder, by its own list."""
    return tuple(_listed(folder / CONFIDENTIAL) or ())


def _wrote(folder: Path) -> dict[str, str]:
    """The hash of each file that classpack wrote into a folder, the confidential ones too."""
    apart = _listed(folder / CONFIDENTIAL) or {}
    return (_listed(folder) or {}) | {f"{CONFIDENTIAL}/{name}": one for name, one in apart.items()}


def _carry(old: Path, new: Path) -> tuple[str, ...]:
    """Lay what is the tutor's in ``old`` into ``new`` as well; what is there already is not laid there again.

    Raises:
        OSError: something cannot be read; it may be the tutor's.
    """
    if not old.exists():
        return ()
    wrote = _wrote(old)
    theirs: list[tuple[bool, str]] = []
    for path in _everything(old):
        name = path.relative_to(old).as_posix()
        told_by_its_files = path.is_dir() and not path.is_symlink() and any(path.iterdir())
        is_list = path.name == LIST and path.parent in (old, old / CONFIDENTIAL)
        is_ours = name in wrote and path.is_file() and wrote[name] == _digest(path)
        if not (told_by_its_files or is_list or is_ours):
            theirs.append((os.path.lexists(new / name), name))
    folders = {old: new}
    kept: list[str] = []
    for _, name in sorted(theirs):  # first what can have its own name
        path = old / name
        place = _folder_for(path.parent, folders) / path.name
        place = _free(place, partial(_same, path))
        if not os.path.lexists(place):
            _lay(path, place)
            kept.append(_told(name, place.relative_to(new).as_posix(), wrote))
    return tuple(dict.fromkeys(sorted(kept)))


def _told(name: str, now: str, wrote: Mapping[str, str]) -> str:
    """A thing that was kept, and its new name; a folder that is all the tutor's is told once."""
    was, placed_as = name.split("/"), now.split("/")
    for depth in range(1, len(was)):
        folder = "/".join(was[:depth])
        if not any(one.startswith(f"{folder}/") for one in wrote):
            name, now = f"{folder}/", f"{'/'.join(placed_as[:depth])}/"
            break
    return name if name == now else f"{name} as {now}"


def _everything(folder: Path) -> Iterator[Path]:
    """All paths below a folder; links are not followed.

    Raises:
        OSError: a folder cannot be looked into.
    """
    for entry in sorted(os.scandir(folder), key=lambda entry: entry.name):
        yield Path(entry.path)
        if entry.is_dir(follow_symlinks=False):
            yield from _everything(Path(entry.path))


def _folder_for(old: Path, folders: dict[Path, Path]) -> Path:
    """The new folder that takes what is the tutor's in the folder ``old``."""
    if old not in folders:
        wanted = _folder_for(old.parent, folders) / old.name
        folders[old] = _free(wanted, lambda there: there.is_dir() and not there.is_symlink())
        if not folders[old].exists():
            _lay(old, folders[old])
    return folders[old]


def _lay(path: Path, place: Path) -> None:
    """The same file at another place, without a copy where the disk can; of a folder, an empty one like it."""
    if path.is_dir() and not path.is_symlink():
        place.mkdir()
        shutil.copystat(path, place)
        return
    try:
        os.link(path, place, follow_symlinks=False)
    except (OSError, NotImplementedError):  # a disk without hard links
        shutil.copy2(path, place, follow_symlinks=False)


def _free(place: Path, suits: Callable[[Path], bool]) -> Path:
    """``place`` if nothing is there or what is there suits, else the first of ``NAME.yours``, ``NAME.yours-2`` ... so."""
    found, number = place, 1
    while os.path.lexists(found) and not suits(found):
        mark = ".yours" if number == 1 else f".yours-{number}"
        found, number = place.with_name(f"{place.stem}{mark}{place.suffix}"), number + 1
    return found


def _same(one: Path, other: Path) -> bool:
    """Whether both are one thing, or alike: a link to the same place, two empty folders, two files of the same bytes."""
    if one.is_symlink() or other.is_symlink():
        return one.is_symlink() and other.is_symlink() and one.readlink() == other.readlink()
    if one.is_dir() or other.is_dir():
        return one.is_dir() and other.is_dir()
    return os.path.samefile(one, other) or (
        one.is_file() and other.is_file() and _digest(one) == _digest(other)
    )


def _digest(path: Path) -> str:
    with path.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()
