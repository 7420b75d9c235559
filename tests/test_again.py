"""On the day: what has begun stays, what failed or is missing is planned around, the sheets come complete or not at all."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest
from pypdf import PdfReader

from classpack.class_files import read_sources
from classpack.cli import main
from classpack.errors import LessonError
from classpack.places import own_folder
from classpack.planning.day.again import Happening, with_full_names
from classpack.planning.plan.plan_class import Planned, plan_class
from classpack.planning.plan.plan_rest import plan_rest
from classpack.planning.timetable.rules import check_plan
from classpack.sheets.day.rows import day_rows
from classpack.sheets.exports.terminal import again_lines


@pytest.fixture(scope="module")
def planned() -> Planned:
    sources = read_sources(own_folder("lessons") / "saturday-twelve.yaml", own_folder("templates"))
    return plan_class(sources)


def pieces(planned: Planned) -> dict[str, int]:
    found: dict[str, int] = {}
    for lots in planned.plan.timed.setting.lots:
        for lot in lots:
            found[lot.variation] = found.get(lot.variation, 0) + lot.pieces
    return found


def loads(planned: Planned) -> set[tuple[str, int, str, int]]:
    return {
        (oven, one.start_min, one.variation, one.pieces)
        for oven, entries in planned.plan.clocks.ovens
        for one in entries
        if one.kind == "load"
    }


def test_what_is_in_the_ovens_stays(planned: Planned) -> None:
    first = min(start for _, start, _, _ in loads(planned))
    now = first + 5
    clock = planned.plan.day.start_min + now
    rest = plan_rest(planned, Happening(clock, 3))
    begun = {one for one in loads(planned) if one[1] < now - 3}
    assert begun
    assert begun <= loads(rest)
    assert all(start >= now for _, start, _, _ in loads(rest) - begun)
    timed = rest.plan.timed
    assert check_plan(timed.setting.problem, timed.plan) == ()
    assert pieces(rest) == pieces(planned)


def test_lots_too_large_for_the_ovens_that_are_left_are_divided(
    planned: Planned,
) -> None:
    clock = planned.plan.day.start_min + 100
    rest = plan_rest(planned, Happening(clock, 0, ("Loft oven",)))
    assert {oven for oven, _, _, _ in loads(rest)} == {"Harbour oven"}
    assert pieces(rest) == pieces(planned)
    for lots in rest.plan.timed.setting.lots:
        for lot in lots:
            bread = rest.plan.lesson.variation(lot.variation)
            assert lot.pieces <= 2 * bread.bake.pieces_per_shelf


def test_bread_in_an_oven_that_fails_is_named(planned: Planned) -> None:
    oven, start, variation, count = min(
        (one for one in loads(planned) if one[0] == "Harbour oven"), key=lambda one: one[1]
    )
    clock = planned.plan.day.start_min + start + 3
    rest = plan_rest(planned, Happening(clock, 0, (oven,)))
    (saved,) = rest.plan.again.save
    assert saved.oven == oven
    assert (variation, count) in {(name, many) for _, name, many in saved.lots}


def test_missing_people_take_their_pieces_along_and_an_empty_station_goes(
    planned: Planned,
) -> None:
    clock = planned.plan.day.start_min + 60
    rest = plan_rest(planned, Happening(clock, missing=("C2", "A1", "A2", "A3")))
    before, after = pieces(planned), pieces(rest)
    assert before["soft rolls"] - after["soft rolls"] == 8
    assert before["tin loaf"] - after["tin loaf"] == 3
    assert not any(one.variation for one in rest.plan.clocks.station("A"))
    assert rest.plan.again.gone == {"C2", "A1", "A2", "A3"}


def test_a_late_arrival_joins_at_the_stations_next_step(planned: Planned) -> None:
    clock = planned.plan.day.start_min + 50
    gone = plan_rest(planned, Happening(clock - 40, missing=("B1",)))
    rest = plan_rest(gone, Happening(clock, arrived=("B1",)))
    ((seat, minute, _),) = rest.plan.again.joins
    starts = [
        rest.plan.timed.clock(one.start_min)
        for one in rest.plan.clocks.station("B")
        if one.kind in ("hands", "shape")
    ]
    assert seat == "B1"
    assert minute == min(start for start in starts if start >= clock)
    assert rest.plan.again.gone == frozenset()


def test_nothing_can_be_meant_that_is_not_there(planned: Planned) -> None:
    happening = Happening(615, 30, ("Attic oven",), ("Z9",), left_out=("lunch",))
    with pytest.raises(LessonError) as raised:
        plan_rest(planned, happening)
    said = [str(problem).split(": ", 1)[1] for problem in raised.value.problems]
    seats = ", ".join(one.person.seat for one in planned.plan.people)
    events = ", ".join(event.name for event in planned.plan.timed.setting.problem.events)
    assert sorted(said) == sorted(
        (
            "30 min behind at 10:15 would be before the class began; say at most 15 min",
            "there is no oven 'Attic oven'; it is one of Harbour oven, Loft oven",
            f"there is no seat 'Z9'; it is one of {seats}",
            f"there is no talk or break 'lunch'; it is one of {events}",
        )
    )


def test_nobody_left_and_a_seat_missing_and_arriving_at_once_are_told(
    planned: Planned,
) -> None:
    seats = tuple(one.person.seat for one in planned.plan.people)
    first = plan_rest(planned, Happening(690, missing=seats[:1]))
    with pytest.raises(LessonError) as raised:
        plan_rest(first, Happening(700, missing=seats[1:], arrived=seats[1:2]))
    # once something is shaped, somebody has to bake it: the tutor
    late = planned.plan.timed.clock(
        max(max(row) for row in planned.plan.timed.plan.shape_starts) + 1
    )
    rest = plan_rest(planned, Happening(late, missing=seats))
    assert pieces(rest) == pieces(planned)
    assert [str(problem).split(": ", 1)[1] for problem in raised.value.problems] == [
        f"{seats[1]} cannot be missing and arrive at once; say one of them",
        "nobody who bakes is left; without students there is nothing to plan",
    ]


def test_the_last_oven_may_fail_after_the_others(planned: Planned) -> None:
    first = plan_rest(planned, Happening(700, ovens_out=("Loft oven",)))
    with pytest.raises(LessonError, match="no oven is left; name the ovens that still work"):
        plan_rest(first, Happening(710, ovens_out=("Harbour oven",)))


@pytest.mark.parametrize("minute", [0, 60, 125, 150, 180, 200])
def test_an_oven_may_fail_after_an_earlier_change(planned: Planned, minute: int) -> None:
    """Lots that have begun are divided too where the oven left does not take them whole."""
    start = planned.plan.day.start_min
    first = plan_rest(planned, Happening(start + minute, 0))
    second = plan_rest(first, Happening(start + minute + 8, 4, ("Loft oven",)))
    timed = second.plan.timed
    assert check_plan(timed.setting.problem, timed.plan) == ()
    assert pieces(second) == pieces(planned)


def test_what_somebody_who_left_has_shaped_is_topped_by_the_neighbours(
    planned: Planned,
) -> None:
    shaped = next(
        one
        for one in planned.plan.clocks.station("D")
        if one.kind == "shape" and len(one.people) == 1
    )
    seat = planned.plan.day.people[shaped.people[0]].seat
    clock = planned.plan.timed.clock(shaped.end_min)
    rest = plan_rest(planned, Happening(clock, missing=(seat,)))
    rows = [
        lot
        for row in day_rows(rest.plan, clock)
        if row.kind == "prepare"
        for lot in row.lots
        if [one.seat for one in lot.owners] == [seat]
    ]
    others = tuple(
        one.person.seat
        for one in planned.plan.people
        if one.person.station == "D" and one.person.seat != seat
    )
    assert [lot.helpers for lot in rows] == [others]


def run(folder: Path, *more: str) -> int:
    return main(["again", str(folder / "day.yaml"), "--out", str(folder / "out"), *more])


def test_the_timed_sheets_come_into_the_packs_folder(
    class_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(class_folder, "--now", "11:40") == 1
    told = capsys.readouterr().err
    assert "there is no pack of this class yet; print it first: classpack make" in told
    assert main(["make", str(class_folder / "day.yaml"), "--out", str(class_folder / "out")]) == 0
    made = class_folder / "out" / "day"
    assert run(class_folder, "--now", "11:40", "--late", "10", "--missing", "A2") == 0
    names = {str(path.relative_to(made)) for path in made.glob("again-1140/**/*") if path.is_file()}
    assert names == {
        f"again-1140/{name}"
        for name in ("run-sheet.pdf", "oven-sheets.pdf", "stations/A.pdf", "again.pdf", "class.json", "again.json", "files.sha256")
    }  # fmt: skip
    text = "".join(
        page.extract_text() for page in PdfReader(made / "again-1140" / "run-sheet.pdf").pages
    )
    assert "Run sheet from 11:40" in text
    assert "The class is 10 min behind" in text
    assert "Bo" not in "".join(
        page.extract_text() for page in PdfReader(made / "again-1140" / "stations" / "A.pdf").pages
    )
    # a second change begins where the first one ended: nobody has come back
    assert run(class_folder, "--now", "12:30") == 0
    first = json.loads((made / "again-1140" / "class.json").read_text("utf-8"))
    second = json.loads((made / "again-1230" / "class.json").read_text("utf-8"))
    assert first != json.loads((made / "class.json").read_text("utf-8"))
    assert json.loads((made / "again-1230" / "again.json").read_text("utf-8"))["late_min"] == 0
    assert second["title"] == first["title"] if "title" in first else True


def test_a_change_that_cannot_be_printed_leaves_the_sheets_before_it(class_folder: Path) -> None:
    out = class_folder / "out"
    assert main(["make", str(class_folder / "day.yaml"), "--out", str(out)]) == 0
    assert run(class_folder, "--now", "11:40") == 0
    before = {path: path.read_bytes() for path in out.glob("**/*") if path.is_file()}
    assert run(class_folder, "--now", "11:40", "--without-oven", "Left") == 1
    with pytest.raises(SystemExit, match="2"):
        run(class_folder, "--now", "half past")
    (out / "day" / "again-1140" / "again.json").write_text("{", "utf-8")
    assert run(class_folder, "--now", "12:30") == 1
    (out / "day" / "again-1140" / "again.json").write_bytes(
        before[out / "day" / "again-1140" / "again.json"]
    )
    assert {path: path.read_bytes() for path in out.glob("**/*") if path.is_file()} == before


def test_a_second_change_in_the_same_minute_says_the_first_again_or_is_refused(
    class_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = class_folder / "out"
    assert main(["make", str(class_folder / "day.yaml"), "--out", str(out)]) == 0
    assert run(class_folder, "--now", "11:00", "--late", "15") == 0
    capsys.readouterr()
    assert run(class_folder, "--now", "11:00", "--missing", "A2") == 1
    assert capsys.readouterr().err.splitlines()[0] == (
        f"{out / 'day' / 'again-1100' / 'again.json'}:1:1: something else was said for this minute already; "
        "say all that is different in one go, or take the folder 'again-1100' away first"
    )
    assert run(class_folder, "--now", "11:00", "--missing", "A2", "--late", "15") == 0


def test_the_same_change_gives_the_same_bytes(class_folder: Path) -> None:
    out = class_folder / "out"
    assert main(["make", str(class_folder / "day.yaml"), "--out", str(out)]) == 0
    said = ("--now", "11:10", "--late", "5")
    assert run(class_folder, *said) == 0
    once = (out / "day" / "again-1110" / "again.pdf").read_bytes()
    assert run(class_folder, *said) == 0
    assert (out / "day" / "again-1110" / "again.pdf").read_bytes() == once
    assert len(PdfReader(io.BytesIO(once)).pages) >= 3


def test_the_screen_says_now_next_what_is_not_done_and_ways_out_in_ten_lines(planned) -> None:
    start = planned.plan.day.start_min
    out = planned.plan.timed.setting.ovens[0].name
    rest = plan_rest(planned, Happening(start + 130, ovens_out=(out,))).plan
    lines = again_lines(rest)
    assert len(lines) <= 10
    assert lines[0].startswith("now 12:10: ")
    assert sum(line.startswith("next ") for line in lines) == 4
    late = rest.verdict.spare_min < 0
    assert any(line.startswith("not out of the oven by ") for line in lines) <= late
    assert lines[-len(rest.remedies[:3]) :] == tuple(one.text for one in rest.remedies[:3])
    assert not any(f"One more oven like {out}" in line for line in lines)


def test_an_oven_said_in_short_is_understood_where_only_one_begins_so(planned) -> None:
    timed = planned.plan.timed
    first = timed.setting.ovens[0].name
    for said, meant in ((first.split()[0].lower(), first), (first, first), ("", ""), ("x", "x")):
        assert with_full_names(timed, Happening(0, ovens_out=(said,))).ovens_out == (meant,)
