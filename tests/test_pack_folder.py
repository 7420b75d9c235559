"""A pack's folder: known by its list, replaced without loss, whole after every kill."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from classpack import pack_folder
from classpack.cli import main
from classpack.errors import LessonError
from classpack.pack_folder import LIST, heal, is_made_here, placed, write_new_folder, write_pack
from tests import kill_moments

OLD = {"pack.pdf": b"old", "cards/A1.pdf": b"Ada", "shopping-list.csv": b"flour;500\n"}
NEW = {"pack.pdf": b"new", "cards/A2.pdf": b"Bo", "shopping-list.csv": b"flour;750\n"}
APART = {"confidential/needs-sheet.pdf": b"nuts"}


@pytest.fixture(params=["one step", "two moves"])
def out(request: pytest.FixtureRequest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An output folder, on a system that can exchange two folders in one step and on one that cannot."""
    if request.param == "two moves":
        monkeypatch.setattr(pack_folder, "_exchanged", lambda *_: False)
    return tmp_path / "out"


def files(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file() and path.name != LIST
    }


def test_everything_classpack_did_not_write_is_carried_over_and_told(out: Path) -> None:
    pack = out / "day"
    assert write_pack(pack, OLD | APART) == ()
    (pack / "notes.txt").write_text("ask Bo")
    (pack / "photos" / "empty").mkdir(parents=True)
    (pack / "photos" / "1.jpg").write_bytes(b"jpg")
    (pack / "confidential" / "register-signed.pdf").write_bytes(b"scan")
    (pack / "cards" / "A9.pdf").write_bytes(b"by hand")
    (pack / "link").symlink_to("notes.txt")
    assert write_pack(pack, NEW | APART) == (
        "cards/A9.pdf", "confidential/register-signed.pdf", "link", "notes.txt", "photos/",
    )  # fmt: skip
    assert files(pack) == NEW | APART | {
        "notes.txt": b"ask Bo",
        "link": b"ask Bo",
        "photos/1.jpg": b"jpg",
        "confidential/register-signed.pdf": b"scan",
        "cards/A9.pdf": b"by hand",
    }
    assert (pack / "link").is_symlink()
    assert (pack / "photos" / "empty").is_dir()
    assert [path.name for path in out.iterdir()] == ["day"]


def test_a_sheet_that_the_tutor_changed_is_kept_under_another_name(out: Path) -> None:
    pack = out / "day"
    write_pack(pack, OLD)
    (pack / "shopping-list.csv").write_bytes(b"flour;500 bought\n")
    assert write_pack(pack, NEW) == ("shopping-list.csv as shopping-list.yours.csv",)
    assert files(pack) == NEW | {"shopping-list.yours.csv": b"flour;500 bought\n"}
    (pack / "shopping-list.csv").write_bytes(b"flour;750 bought\n")
    assert write_pack(pack, OLD) == (
        "shopping-list.csv as shopping-list.yours-2.csv", "shopping-list.yours.csv",
    )  # fmt: skip
    assert files(pack)["shopping-list.yours.csv"] == b"flour;500 bought\n"


def test_the_tutors_folder_where_a_sheet_comes_and_file_where_a_folder_comes_are_kept(
    out: Path,
) -> None:
    pack = out / "day"
    write_pack(pack, OLD)
    (pack / "pack.pdf").unlink()
    (pack / "pack.pdf").mkdir()
    (pack / "pack.pdf" / "mine.txt").write_bytes(b"1")
    (pack / "pages").write_bytes(b"2")
    assert write_pack(pack, NEW | {"pages/rolls.html": b"web"}) == (
        "pack.pdf/ as pack.yours.pdf/", "pages as pages.yours",
    )  # fmt: skip
    assert files(pack)["pack.yours.pdf/mine.txt"] == b"1"
    assert files(pack)["pages.yours"] == b"2"


def test_a_folder_is_a_pack_by_its_list_and_not_by_a_name(out: Path) -> None:
    folder = out / "day"
    folder.mkdir(parents=True)
    (folder / "class.json").write_text("{}")
    (folder / LIST).write_text("0" * 64 + "  thesis.txt\n")
    (folder / "thesis.txt").write_text("mine")
    assert not is_made_here(folder)
    with pytest.raises(LessonError) as refused:
        write_pack(folder, NEW)
    assert str(refused.value) == (
        f"{folder}:1:1: '{folder}' is there and is no pack; name another folder with --out, or move it away"
    )
    assert (folder / "thesis.txt").read_text() == "mine"
    write_pack(out / "pictures", {"a.png": b""}, "pictures")
    with pytest.raises(LessonError, match="is there and is no pack"):
        write_pack(out / "pictures", NEW)


def test_an_empty_folder_of_the_packs_name_is_taken(out: Path) -> None:
    (out / "day").mkdir(parents=True)
    write_pack(out / "day", NEW)
    assert files(out / "day") == NEW


def test_the_list_is_what_sha256sum_checks_and_hashes_of_confidential_files_lie_apart(
    out: Path,
) -> None:
    """GNU coreutils: lines that begin with # are comments, then ``HASH  NAME``."""
    write_pack(out / "day", OLD | APART)
    text = (out / "day" / LIST).read_text()
    assert "needs-sheet" not in text
    assert [line[64:] for line in text.splitlines()[1:]] == [f"  {name}" for name in sorted(OLD)]
    assert "  needs-sheet.pdf" in (out / "day" / "confidential" / LIST).read_text()
    try:
        checked = subprocess.run(
            ["sha256sum", "--check", "--strict", "--quiet", LIST], cwd=out / "day", check=False
        )
    except FileNotFoundError:
        pytest.skip("no sha256sum on this system")
    assert checked.returncode == 0


def test_only_its_owner_may_look_into_the_confidential_folder(out: Path) -> None:
    write_pack(out / "day", OLD | APART)
    assert (out / "day" / "confidential").stat().st_mode & 0o777 == 0o700


@pytest.mark.skipif(os.name != "posix" or os.geteuid() == 0, reason="root may read everything")
def test_what_cannot_be_looked_into_stops_the_replacing(out: Path) -> None:
    write_pack(out / "day", OLD)
    (out / "day" / "locked").mkdir(0o000)
    with pytest.raises(LessonError, match="the pack cannot be written: permission denied"):
        write_pack(out / "day", NEW)
    (out / "day" / "locked").chmod(0o700)
    assert files(out / "day") == OLD


@pytest.mark.parametrize("moment", ["before the first move", "between the moves", "after both"])
def test_a_process_that_died_there_loses_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, moment: str
) -> None:
    """What a SIGKILL leaves is laid on the disk by hand: the hidden folder with the new pack, the old one, or both."""
    out = tmp_path / "out"
    pack = out / "day"
    write_pack(pack, OLD | APART)
    (pack / "notes.txt").write_text("mine")
    monkeypatch.setattr(pack_folder, "_exchanged", lambda *_: False)
    monkeypatch.setattr(pack_folder, "_settle", lambda *_: None)  # dead processes clear nothing up
    died = {"before the first move": 0, "between the moves": 1, "after both": 2}[moment]
    real, moves = os.rename, []

    def dies(one: Path, other: Path) -> None:
        if len(moves) == died:
            raise KeyboardInterrupt
        moves.append(one)
        real(one, other)

    with monkeypatch.context() as patched:
        patched.setattr(pack_folder.os, "rename", dies)
        if died == 2:
            write_pack(pack, NEW)
        else:
            with pytest.raises(KeyboardInterrupt):
                write_pack(pack, NEW)
    assert [path.name for path in out.iterdir() if path.name != "day"]
    assert pack.exists() == (died != 1)
    monkeypatch.undo()
    heal(out)
    expected = NEW if died == 2 else OLD | APART
    assert files(pack) == expected | {"notes.txt": b"mine"}
    assert [path.name for path in out.iterdir()] == ["day"]


def test_a_hidden_folder_of_a_process_that_is_alive_is_left_alone(tmp_path: Path) -> None:
    with pack_folder._locked(tmp_path, pack_folder.Spot("", 1)):
        (tmp_path / f"{pack_folder.WORK}alive").mkdir()
        heal(tmp_path)
        assert (tmp_path / f"{pack_folder.WORK}alive").is_dir()
    heal(tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_what_is_laid_into_the_old_pack_in_the_last_moment_comes_along(
    out: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    pack = out / "day"
    write_pack(pack, OLD)
    carry = pack_folder._carry

    def late(old: Path, new: Path) -> tuple[str, ...]:
        kept = carry(old, new)
        if old == pack:
            (old / "just now.txt").write_text("mine")
        return kept

    monkeypatch.setattr(pack_folder, "_carry", late)
    write_pack(pack, NEW)
    assert files(pack) == NEW | {"just now.txt": b"mine"}


def test_the_day_of_another_date_is_kept_and_not_counted(
    class_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    day, out = class_folder / "day.yaml", class_folder / "out"
    arguments = [str(day), "--out", str(out)]
    assert main(["make", *arguments]) == 0
    assert main(["again", *arguments, "--now", "10:30", "--late", "5"]) == 0
    text = day.read_text("utf-8")
    date = next(line for line in text.splitlines() if line.startswith("date:"))
    day.write_text(text.replace(date, "date: 2027-05-15"), "utf-8")
    capsys.readouterr()
    assert main(["make", *arguments]) == 0
    assert "kept, because classpack did not write it: again-1030/\n" in capsys.readouterr().out
    assert main(["again", *arguments, "--now", "10:40"]) == 0
    assert main(["again", *arguments, "--now", "10:30"]) == 0  # nothing was said on this day yet


@pytest.mark.parametrize("command", ["make", "start"])
def test_what_is_said_when_stopped_after_the_writing_is_true(
    class_folder: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    command: str,
) -> None:
    put = pack_folder._put_in_place

    def stopped(work: Path, folder: Path) -> None:
        put(work, folder)
        raise KeyboardInterrupt

    monkeypatch.setattr(pack_folder, "_put_in_place", stopped)
    out = class_folder / "out"
    made = {"make": out / "day", "start": out}[command]
    arguments = [str(class_folder / "day.yaml"), "--out"] if command == "make" else []
    assert main([command, *arguments, str(out)]) == 130
    assert capsys.readouterr().err == f"stopped; {made} is written, whole\n"
    assert not [path for path in made.parent.iterdir() if path.name.startswith(pack_folder.WORK)]
    placed.clear()


@pytest.mark.skipif(os.name != "posix", reason="signals of POSIX")
@pytest.mark.parametrize("name", ["SIGTERM", "SIGINT", "SIGHUP"])
def test_a_signal_ends_a_command_like_ctrl_c(class_folder: Path, name: str) -> None:
    script = (
        "import os, signal, sys\n"
        "from classpack import workshop\n"
        f"workshop.plan_class = lambda sources: os.kill(os.getpid(), signal.{name})\n"
        "from classpack.cli import main\n"
        "sys.exit(main(sys.argv[1:]))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", script, "make", "day.yaml"],
        cwd=class_folder, capture_output=True, text=True, check=False,
        env=os.environ | {"PYTHONPATH": str(Path(pack_folder.__file__).parents[1])},
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (130, "stopped; nothing was changed\n")
    assert not any((class_folder / "output").glob("*"))


def test_a_new_folder_appears_whole_and_an_empty_one_stays_the_same_folder(tmp_path: Path) -> None:
    write_new_folder(tmp_path / "new", NEW)
    assert files(tmp_path / "new") == NEW
    empty = tmp_path / "empty"
    empty.mkdir()
    before = empty.stat().st_ino
    write_new_folder(empty, NEW)
    assert files(empty) == NEW
    assert empty.stat().st_ino == before
    with pytest.raises(LessonError, match="is not empty; name a new folder"):
        write_new_folder(empty, NEW)


def test_start_looks_at_both_folders_before_it_writes_one(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    new, full = tmp_path / "new", tmp_path / "full"
    full.mkdir()
    (full / "mine.txt").write_text("mine")
    assert main(["start", str(new), "--templates", str(full)]) == 1
    assert capsys.readouterr().err.endswith("1 thing to mend; nothing was written\n")
    assert main(["start", str(new), "--templates", str(new)]) == 2
    assert not new.exists()


def test_signs_that_steer_a_terminal_are_shown_by_their_number(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["check", "\x1b[31m\u202e.yaml"]) == 1
    assert "\x1b" not in capsys.readouterr().err


@pytest.mark.skipif(not hasattr(os, "fork"), reason="victims are forked")
def test_kills_at_random_moments_leave_the_old_pack_or_the_new_one(tmp_path: Path) -> None:
    """A few; a thousand by hand: ``python -m tests.kill_moments``."""
    tally = kill_moments.run(24, seed=7, folder=tmp_path, whole_share=0)
    assert tally.wrong == []
    assert tally.kills == 25
