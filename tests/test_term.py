"""Many class days at once: unchanged ones are not printed again, one with mistakes stops no other, any executor will do."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest

from classpack import workshop
from classpack.cli import main
from classpack.errors import LessonError
from classpack.pack_folder import LIST, is_whole
from classpack.term import AHEAD, Done, Job, is_class_day, print_many, process_pool


@pytest.fixture
def days(class_folder: Path) -> list[Path]:
    """Three class days in one folder, and a mistake in the second."""
    text = (class_folder / "day.yaml").read_text("utf-8")
    paths = [class_folder / f"{name}.yaml" for name in ("monday", "tuesday", "wednesday")]
    for path in paths:
        wrong = path.stem == "tuesday"
        path.write_text(text.replace("makes: rolls", "makes: rols") if wrong else text, "utf-8")
    return paths


def run(days: list[Path], out: Path, executor: Executor) -> dict[str, Done]:
    with executor:
        done = list(print_many([Job(path, out) for path in days], executor, 2))
    return {one.class_path.stem: one for one in done}


def test_one_class_day_with_a_mistake_stops_no_other(days: list[Path], tmp_path: Path) -> None:
    done = run(days, tmp_path / "out", process_pool(2))
    assert is_whole(done["monday"].folder)
    assert is_whole(done["wednesday"].folder)
    assert [one.wrong for one in done["tuesday"].problems] == [
        "there is no bread 'rols' in the lesson"
    ]
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == ["monday", "wednesday"]


def test_a_pack_made_from_the_very_same_is_not_printed_again(
    days: list[Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "out"
    made = []
    make_pack = workshop.make_pack

    def counted(path: Path, *args: Any, **named: Any) -> workshop.Report:
        made.append(path.stem)
        return make_pack(path, *args, **named)

    monkeypatch.setattr(workshop, "make_pack", counted)
    monday, wednesday = days[0], days[2]
    assert not run([monday, wednesday], out, ThreadPoolExecutor(1))["monday"].unchanged
    assert all(one.unchanged for one in run([monday, wednesday], out, ThreadPoolExecutor(1)).values())  # fmt: skip
    assert sorted(made) == ["monday", "wednesday"]
    monday.write_text(monday.read_text("utf-8").replace("Ada Lindqvist", "Ada Lind"), "utf-8")
    (out / "wednesday" / "pack.pdf").write_bytes(b"by hand")
    made.clear()
    run([monday, wednesday], out, ThreadPoolExecutor(1))
    assert sorted(made) == ["monday", "wednesday"]
    kitchen = next(path for path in monday.parent.glob("*.yaml") if "kitchen:" in path.read_text("utf-8").split("\n")[0])  # fmt: skip
    kitchen.write_text(kitchen.read_text("utf-8") + "\nsinks: 2\n", "utf-8")
    made.clear()
    run([monday, wednesday], out, ThreadPoolExecutor(1))
    assert sorted(made) == ["monday", "wednesday"]


def test_what_a_pack_was_made_from_lies_with_what_is_confidential(
    days: list[Path], tmp_path: Path
) -> None:
    run(days[:1], tmp_path / "out", ThreadPoolExecutor(1))
    pack = tmp_path / "out" / "monday"
    assert "made from" not in (pack / LIST).read_text("utf-8")
    assert "# made from " in (pack / "confidential" / LIST).read_text("utf-8")


class _Counting(Executor):
    """An executor of nobody's: it does each thing when it is asked for, and counts what it was given."""

    def __init__(self) -> None:
        self.given = 0

    def submit(self, job: Callable[..., Any], /, *args: Any, **named: Any) -> Future[Any]:
        future: Future[Any] = Future()
        self.given += 1
        future.set_result(Done(args[0].class_path, args[0].out))
        return future


def test_any_executor_will_do_and_few_jobs_wait_in_it(tmp_path: Path) -> None:
    jobs = [Job(tmp_path / f"{n}.yaml", tmp_path) for n in range(500)]
    executor = _Counting()
    done = print_many(jobs, executor, 4)
    next(done)
    assert executor.given == AHEAD * 4
    assert len(list(done)) == 499


def test_a_local_cluster_of_an_existing_engine_prints_a_term(
    days: list[Path], tmp_path: Path
) -> None:
    distributed = pytest.importorskip("distributed")
    with distributed.Client(n_workers=2, threads_per_worker=1, dashboard_address=None) as client:
        done = run(days, tmp_path / "out", client.get_executor())
    assert is_whole(done["monday"].folder)
    assert done["tuesday"].problems


def test_two_class_days_of_one_name_are_told_before_anything_is_printed(
    days: list[Path], tmp_path: Path
) -> None:
    other = tmp_path / "other" / "MONDAY.yaml"
    with pytest.raises(LessonError, match="would be one folder; give the files different names"):
        next(print_many([Job(days[0], tmp_path), Job(other, tmp_path)], _Counting(), 1))


def test_the_command_tells_each_and_leaves_lessons_and_kitchens_out(
    days: list[Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out"
    files = sorted(path for path in days[0].parent.glob("*.yaml") if path.stem != "day")
    others = [path for path in files if not is_class_day(path)]
    assert len(files) == len(others) + 3
    arguments = ["make", *map(str, files), "--out", str(out), "--jobs", "1"]
    assert main(arguments) == 1
    said = capsys.readouterr()
    assert said.out.splitlines()[-1] == (
        f"3 class days: 2 printed, 0 unchanged, 1 to mend; {len(others)} other files left out"
    )
    assert said.err.startswith(f"{days[1]}:13:43: there is no bread 'rols' in the lesson")
    assert main(arguments) == 1
    assert "3 class days: 0 printed, 2 unchanged, 1 to mend" in capsys.readouterr().out
