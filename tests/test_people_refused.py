"""What a tutor is told, word for word, when people, needs or bookings cannot be used: through the command line."""

from __future__ import annotations

from pathlib import Path

import pytest

from classpack.cli import main
from tests.conftest import DAY, KITCHEN, LESSON

BOOKED = (
    DAY.split("people:\n")[0]
    + "bookings: {file: b.csv, columns: {name: Name, needs: Needs, makes: Bread, station: Bench}}\n"
)
HEAD = "Name,Needs,Bread,Bench\n"
BO = "makes: rolls, needs: none"
LIST = (
    "wheat, rye, barley, oats, crustaceans, eggs, fish, peanuts, soya, milk, almonds, hazelnuts, walnuts, cashews, pecans, "
    "Brazil nuts, pistachios, macadamia nuts, celery, mustard, sesame, sulphites, lupin, molluscs; also tree nuts, all nuts, "
    "shellfish, coeliac, vegan, vegetarian, no alcohol, no pork or lard, pregnant, weak immunity, asthma, pine nuts, coconut, "
    "chestnuts"
)
OTHERWISE = (
    "for any other food write 'allergy to' and its name in the larder, or define it under 'allergies:' in the class file, "
    "a diet under 'diets:'"
)
MILKY = LESSON.replace(
    "sesame seeds: 5 g per piece", "whole milk: 5 g per piece for filling"
).replace("Dip in {sesame seeds}", "Dip in {whole milk}")
SWAP = "{out: sesame seeds, in: poppy seeds}"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder to work in."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


def refused(
    folder: Path,
    capsys: pytest.CaptureFixture[str],
    day: str,
    lesson: str = LESSON,
    booked: str | bytes = "",
) -> list[str]:
    """What ``classpack check`` says; it ends with 1."""
    data = booked if isinstance(booked, bytes) else booked.encode()
    for name, text in (("lesson", lesson), ("kitchen", KITCHEN), ("day", day)):
        (folder / f"{name}.yaml").write_text(text, "utf-8")
    (folder / "b.csv").write_bytes(data)
    assert main(["check", "day.yaml"]) == 1
    said = capsys.readouterr()
    assert said.out == ""
    *problems, end = said.err.splitlines()
    count = len(problems)
    assert end == f"{count} thing{'s' if count > 1 else ''} to mend; nothing was written"
    return problems


@pytest.mark.parametrize(
    ("needs", "message"),
    [
        (
            "needs: 'nuts?'",
            "day.yaml:13:57: the need 'nuts?' does not say which; ask which, and write 'tree nuts' (every one of them), each by "
            "name (almonds, walnuts ...), 'peanuts', or 'all nuts' for tree nuts and peanuts",
        ),
        (
            "needs: Nüsse",
            f"day.yaml:13:57: the need 'Nüsse' is not known here; write it in English, as one of: {LIST}; {OTHERWISE}",
        ),
        (
            "needs: [no needs, milk]",
            "day.yaml:13:58: 'none' stands beside other needs; ask again, and write either 'none' or what the person must not have",
        ),
        (
            "seat: 2",
            "day.yaml:13:5: nobody asked the person at seat A2 about allergies and diets; ask, and write 'needs: none' or what "
            "they must not have; or write 'ask at the door: yes' for the class",
        ),
        (
            "needs: coeliac",
            "day.yaml:13:57: the need 'coeliac' of seat A2 cannot be met in this room: there is strong white flour (wheat) in the "
            "air and on every bench, and no swap mends that; offer a class in a room without it, and write 'decision: {what: does "
            "not attend, reason: ...}'; they may also choose 'watches only', knowing of the flour in the air",
        ),
    ],
)
def test_needs_that_stop_the_class(
    folder: Path, capsys: pytest.CaptureFixture[str], needs: str, message: str
) -> None:
    assert refused(folder, capsys, DAY.replace(BO, f"makes: rolls, {needs}")) == [message]


@pytest.mark.parametrize(
    "swaps", ["{out: whole milk, in: butter}", "{out: whole milk, in: butter}\n      - {out: butter, in: whole milk}"]
)  # fmt: skip
def test_a_swap_that_brings_the_allergen_back_and_a_circle_of_swaps_solve_nothing(
    folder: Path, capsys: pytest.CaptureFixture[str], swaps: str
) -> None:
    lesson = MILKY.replace(SWAP, swaps)
    assert refused(folder, capsys, DAY.replace(BO, "makes: rolls, needs: milk"), lesson) == [
        "day.yaml:13:57: the need 'milk' of seat A2 is not met: whole milk (milk) in the rolls: the swap to butter brings milk; "
        "add a swap to the lesson, or write 'decision: {makes: tin loaf, reason: ...}', or write 'decision: {what: ..., reason: "
        "...}' with watches only, does not attend or left out for everyone"
    ]


def test_may_contain_names_each_allergen_singly(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert refused(folder, capsys, DAY + "may contain: [nuts, sesamy]\n") == [
        "day.yaml:14:15: 'may contain' says 'nuts', which is too vague for a label; name each that may get in, of: almonds, "
        "hazelnuts, walnuts, cashews, pecans, Brazil nuts, pistachios, macadamia nuts, Pine nuts",
        "day.yaml:14:21: 'sesamy' is no allergen known here; did you mean 'sesame'?",
    ]


def test_a_diet_of_the_tutors_own_names_what_is_in_the_larder(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    day = DAY.replace(BO, "makes: rolls, needs: fruit free") + "diets: {fruit free: [raisns]}\n"
    assert refused(folder, capsys, day) == [
        "day.yaml:14:9: the diet 'fruit free' leaves out 'raisns', which is nothing in the larder; did you mean 'raisins'?"
    ]


@pytest.mark.parametrize(
    ("booked", "messages"),
    [
        (
            "",
            [
                "b.csv:1:1: the bookings file is empty; export it again, with its header row and one row a person"
            ],
        ),
        (
            "Name;Needs;Bread;Bench\nJosé;none;rolls;A\n".encode("latin-1"),
            [
                "b.csv:2:4: the bookings file is not UTF-8 (the byte E9 stands here; it looks like Latin-1 or Windows-1252), so names "
                "would come out wrong; save it again as 'CSV UTF-8'"
            ],
        ),
        (
            HEAD + "\"=cmd|' /C calc'!A0\",none,rolls,A\n",
            [
                "b.csv:2:1: the name '=cmd|' /C calc'!A0' starts like a spreadsheet formula; write the name itself, starting with a "
                "letter"
            ],
        ),
        (
            HEAD + "Ada,none,rolls,A\nAda,none,rolls,A\nBo,milk,rolls,A\nBo,none,rolls,A\n",
            [
                "b.csv:3:1: this booking is the same as on line 2; take one of them away",
                "b.csv:5:1: 'Bo' is booked twice, first on line 4, and the two rows differ; keep the right one; two people of one "
                "name need to be told apart, as in 'Ada Lindqvist (blue apron)'",
            ],
        ),
        (
            HEAD + "Ada,,rolls,A\nBo,no,rolls,A\n",
            [
                "b.csv:2:1: nobody asked the person at seat A1 about allergies and diets; ask, and write 'needs: none' or what they "
                "must not have; or write 'ask at the door: yes' for the class",
                f"b.csv:3:1: the need 'no' is not known here; write it in English, as one of: {LIST}; {OTHERWISE}",
            ],
        ),
        (
            HEAD + "\N{BREAD},none,rolls,A\n",
            [
                "b.csv:2:1: no font here has U+1F35E (BREAD), in '\N{BREAD}'; write it in Latin, Greek or Cyrillic letters, or add "
                "a font to the templates' look.yaml"
            ],
        ),
        (
            HEAD + "".join(f"Student {n},none,rolls,A\n" for n in range(501)),
            ["b.csv:502:1: 501 people; one class has at most 500; make several"],
        ),
        (
            HEAD.replace("Needs", "Allergies") + "Ada,none,rolls,A\n",
            [
                "day.yaml:11:11: the bookings file has no column 'Needs' for needs; choose from: Name, Allergies, Bread, Bench"
            ],
        ),
    ],
    ids=["empty", "latin 1", "formula", "twice", "blank", "letter", "501", "column"],
)
def test_bookings_that_cannot_be_used(
    folder: Path,
    capsys: pytest.CaptureFixture[str],
    booked: str | bytes,
    messages: list[str],
) -> None:
    assert refused(folder, capsys, BOOKED, booked=booked) == messages


def test_a_bookings_file_that_is_not_there_or_has_no_columns(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert refused(folder, capsys, BOOKED.replace("b.csv", "c.csv")) == [
        "day.yaml:11:18: there is no file 'c.csv'; check the name and the folder"
    ]
    assert refused(folder, capsys, DAY.split("people:\n")[0] + "bookings: b.csv\n") == [
        "day.yaml:11:11: 'bookings' does not say which column is which; write 'file: bookings.csv' and the columns, as in "
        "'columns: {name: Full name, needs: Allergies, makes: Bread, station: Bench}'"
    ]


def test_a_decision_for_nobody(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    day = BOOKED + "decisions:\n  - {name: Adda, decision: {makes: rolls, reason: as she asked}}\n"
    assert refused(folder, capsys, day, booked=HEAD + "Ada,none,rolls,A\n") == [
        "day.yaml:13:12: nobody called 'Adda' is booked; did you mean 'Ada'?"
    ]


def test_booked_and_written_people_sit_together(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    day = (
        BOOKED + "people:\n  - {name: Zoe, station: A, seat: 1, makes: rolls, needs: none}\n"
        "  - {name: Yan, station: A, seat: 1, makes: rolls, needs: none}\n"
    )
    assert refused(folder, capsys, day, booked=HEAD + "Ada,none,rolls,A\n") == [
        "day.yaml:14:5: seat A1 is taken twice; give each person a seat of their own"
    ]
    right = day.replace("Yan, station: A, seat: 1", "Yan, station: A, seat: 3")
    (folder / "day.yaml").write_text(right, "utf-8")
    assert main(["check", "day.yaml"]) == 0


UNKNOWN = f"is not known here; write it in English, as one of: {LIST}; {OTHERWISE}"


def test_a_need_nobody_knows_is_told_with_all_other_mistakes_in_their_order(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    day = BOOKED.replace("pace: 1.5", "pace: 9") + "tutor needs: [moonlight]\n"
    booked = HEAD + "Ada,moonlight,rolls,A\nBo,none,bagels,A\nCy,nuts?,rolls,Z\nDi,,rolls,A\n"
    lesson = LESSON.replace("hands: 4 min", "hands: some")
    assert refused(folder, capsys, day, lesson, booked) == [
        "lesson.yaml:18:14: 'hands' is 'some'; write hours and minutes, as in '4 min' or '1 h 30 min'",
        f"b.csv:2:1: the need 'moonlight' {UNKNOWN}",
        "b.csv:3:1: there is no bread 'bagels' in the lesson; choose from: tin loaf, rolls",
        "b.csv:4:1: the need 'nuts?' does not say which; ask which, and write 'tree nuts' (every one of them), each by name (almonds, "
        "walnuts ...), 'peanuts', or 'all nuts' for tree nuts and peanuts",
        "b.csv:4:1: the station is 'Z'; choose from: A",
        "b.csv:5:1: nobody asked this person about allergies and diets; ask, and write 'needs: none' or what they must not have; or "
        "write 'ask at the door: yes' for the class",
        "day.yaml:8:7: 'pace' is 9; beginners take 1 to 3 times a tutor's minutes; 1.5 is usual",
        f"day.yaml:12:15: the need 'moonlight' {UNKNOWN}",
    ]


def test_a_larder_that_cannot_be_read_puts_no_blame_on_diets_and_stock(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """What they name may well stand in it."""
    (folder / "own.yaml").write_text("ingredients: {moon dust: {kind: dust}}\n", "utf-8")
    day = DAY.replace(BO, "makes: rolls, needs: [dustless, moonlight]")
    day += "larder: own.yaml\ndiets: {dustless: [moon dust]}\nstock: {moon dust: 1 kg}\n"
    said = refused(folder, capsys, day)
    own = UNKNOWN.replace(
        "no pork or lard, pregnant, weak immunity, asthma",
        "no pork or lard, pregnant, weak immunity, asthma, dustless",
    )
    assert [one for one in said if one.startswith("day.yaml")] == [
        f"day.yaml:13:68: the need 'moonlight' {own}"
    ]
    assert said[0].startswith("own.yaml:")
