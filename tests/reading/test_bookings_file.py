"""Bookings from a form or a spreadsheet: what is read, and every bad row with its line."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

import pytest

from classpack.errors import Problem, Spot
from classpack.model.class_day import Making, MustNotHave, Person, Station
from classpack.reading.bookings_file import Columns, booked_rows
from classpack.reading.bookings_section import booked_people, bookings_columns, with_decisions
from classpack.reading.class_file import KnownBread, open_class, read_class, seated
from classpack.reading.diets_section import read_diets
from classpack.reading.sections import Section
from classpack.reading.yaml_lines import read_nodes


def read_bookings(
    data: bytes,
    file: str,
    columns: Columns,
    breads: Sequence[KnownBread],
    stations: Sequence[Station],
    problems: list[Problem],
) -> tuple[Person, ...]:
    """The people in a bookings file, seated. Every bad row is added to ``problems`` at its line."""
    return seated(booked_rows(data, file, columns, breads, stations, problems), problems)


COLUMNS = Columns(
    "Full name", "Allergies", station="Bench", makes="Bread", seat="Seat", child="Under 16"
)
PLAIN = dataclasses.replace(COLUMNS, seat="", child="")
BREADS = (KnownBread("tin loaf", 1), KnownBread("soft rolls", 8))
STATIONS = (Station("A"), Station("B"))
HEAD = "Full name,Bench,Bread,Allergies\n"


def read(text: str | bytes, columns: Columns = PLAIN) -> tuple[tuple[Person, ...], list[str]]:
    problems: list[Problem] = []
    data = text if isinstance(text, bytes) else text.encode()
    people = read_bookings(data, "b.csv", columns, BREADS, STATIONS, problems)
    return people, [str(one) for one in sorted(problems)]


def good(text: str | bytes, columns: Columns = PLAIN) -> tuple[Person, ...]:
    people, problems = read(text, columns)
    assert problems == []
    return people


def test_a_row_is_a_person_at_a_seat():
    people = good(HEAD + "Żaneta Brœk,A,tin loaf,sesame\nИван Ρήγας,A,soft rolls,none\n")
    assert [(one.name, one.station, one.seat, one.makes, one.asked) for one in people] == [
        ("Żaneta Brœk", "A", "A1", (Making("tin loaf", 1),), True),
        ("Иван Ρήγας", "A", "A2", (Making("soft rolls", 8),), True),
    ]
    assert people[0].needs == (MustNotHave("sesame"),)
    assert people[0].spot == Spot("b.csv", 2)
    assert people[1].needs == ()


@pytest.mark.parametrize("mark", ["", "\ufeff"])
@pytest.mark.parametrize("between", [",", ";", "\t"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_byte_order_mark_separator_and_line_ends_make_no_difference(mark, between, end):
    text = f"{mark}{HEAD}Ada Lind,B,tin loaf,none\n".replace(",", between).replace("\n", end)
    (person,) = good(text.encode())
    assert (person.name, person.station, person.asked) == ("Ada Lind", "B", True)


def test_a_quoted_cell_may_hold_line_breaks_separators_and_quotes():
    people, problems = read(
        HEAD + '"Lind, ""Ada""",A,tin loaf,"milk\nsesame"\nBo Ek,A,pie,none\n',
    )
    assert people[0].name == 'Lind, "Ada"'
    assert people[0].needs == (MustNotHave("milk; sesame"),)
    assert problems == [
        "b.csv:4:1: there is no bread 'pie' in the lesson; choose from: tin loaf, soft rolls"
    ]


@pytest.mark.parametrize("cell", ["", "   ", "not asked", '" "'])
def test_a_blank_need_is_not_asked_and_never_none(cell):
    (person,) = good(HEAD + f"Ada,A,tin loaf,{cell}\n")
    assert (person.needs, person.asked) == ((), False)


@pytest.mark.parametrize("cell", ["no", "No", "-", "n/a", "0"])
def test_only_what_the_class_file_says_means_none(cell):
    (person,) = good(HEAD + f"Ada,A,tin loaf,{cell}\n")
    assert person.needs == (MustNotHave(cell),)  # which the program does not know, so it asks
    (person,) = good(
        HEAD + f"Ada,A,tin loaf,{cell}\n", dataclasses.replace(PLAIN, none_written=(cell,))
    )
    assert (person.needs, person.asked) == ((), True)


def test_breads_with_their_number_of_pieces_and_what_is_usual():
    rows = "A,A,soft rolls 4,none\nB,,2 soft rolls; tin loaf,none\nC,B,,none\n"
    columns = dataclasses.replace(PLAIN, usual_makes="tin loaf", usual_station="B")
    people = good(HEAD + rows, columns)
    assert [one.makes for one in people] == [
        (Making("soft rolls", 4),),
        (Making("soft rolls", 2), Making("tin loaf", 1)),
        (Making("tin loaf", 1),),
    ]
    assert [one.seat for one in people] == ["A1", "B1", "B2"]


def test_every_bad_row_is_told_with_its_line():
    rows = [
        "Ada,C,tin loaf,none",
        ",A,tin loaf,none",
        "=cmd|' /C calc'!A0,A,tin loaf,none",
        "@SUM(A1),A,tin loaf,none",
        "Bo,A,tin loaf,none",
        "bo,B,tin loaf,milk",
        "Bo,A,tin loaf,none",
        "Cy,A,,none",
        f"{'N' * 81},A,tin loaf,none",
        "Di,A,tin loaf,none,extra",
        "Ed,A,soft rolls; soft rolls 2,none",
        "Flo,,tin loaf,none",
    ]
    people, problems = read(HEAD + "\n".join(rows) + "\n")
    assert problems == [
        "b.csv:2:1: the station is 'C'; choose from: A, B",
        "b.csv:3:1: the row has no name; write the person's name, or take the row away",
        "b.csv:4:1: the name '=cmd|' /C calc'!A0' starts like a spreadsheet formula; write the name itself, starting with a letter",
        "b.csv:5:1: the name '@SUM(A1)' starts like a spreadsheet formula; write the name itself, starting with a letter",
        "b.csv:7:1: 'bo' is booked twice, first on line 6, and the two rows differ; keep the right one; two people of one name "
        "need to be told apart, as in 'Ada Lindqvist (blue apron)'",
        "b.csv:8:1: this booking is the same as on line 6; take one of them away",
        "b.csv:9:1: the row does not say what they make; write it, or 'makes: tin loaf' below 'bookings:' in the class file",
        "b.csv:10:1: a name of 81 signs; keep it to 80",
        "b.csv:11:1: the row has 5 cells, the header 4; put a cell that holds the separating sign in quotes",
        "b.csv:12:1: 'soft rolls' stands twice in the row; write it once, as in 'rolls 4'",
        "b.csv:13:1: the row has no station; write it, or 'station: A' below 'bookings:' in the class file",
    ]
    assert [one.name for one in people] == ["Ada", "Bo", "Cy", "Ed", "Flo"]


def test_seats_and_children():
    head = "Full name,Bench,Bread,Allergies,Seat,Under 16\n"
    people = good(head + "Ada,A,tin loaf,none,2,yes\nBo,A,tin loaf,none,,no\n", COLUMNS)
    assert [(one.seat, one.child) for one in people] == [("A2", True), ("A1", False)]
    _, problems = read(head + "Ada,A,tin loaf,none,x,maybe\n", COLUMNS)
    assert problems == [
        "b.csv:2:1: 'child' is 'maybe'; write 'yes', 'no' or nothing",
        "b.csv:2:1: the seat is 'x'; write a number from 1 to 99, or nothing",
    ]


@pytest.mark.parametrize("data", [b"", b"\n\n", b"\xef\xbb\xbf", b",,,\n"])
def test_an_empty_file_says_so(data):
    assert read(data)[1] == [
        "b.csv:1:1: the bookings file is empty; export it again, with its header row and one row a person"
    ]


def test_a_header_alone_says_so():
    assert read(HEAD)[1] == [
        "b.csv:1:1: there is a header row and nobody below it; export it again, with one row a person"
    ]


def test_latin_1_is_refused_with_the_place():
    data = (HEAD + "Ada,A,tin loaf,none\nJosé Peña,A,tin loaf,none\n").encode("latin-1")
    assert read(data)[1] == [
        "b.csv:3:4: the bookings file is not UTF-8 (the byte E9 stands here; it looks like Latin-1 or Windows-1252), so names would "
        "come out wrong; save it again as 'CSV UTF-8'"
    ]


def test_utf_16_and_signs_that_cannot_be_seen_are_refused():
    assert read(HEAD.encode("utf-16"))[1] == [
        "b.csv:1:1: the bookings file is written as UTF-16, so names would come out wrong; save it again as 'CSV UTF-8'"
    ]
    assert read(HEAD + "A\u202eda,A,tin loaf,none\n")[1] == [
        "b.csv:2:2: the text holds U+202E, a sign that cannot be seen or printed; take it out in the spreadsheet and export again"
    ]


def test_a_quote_left_open_says_where():
    assert read(HEAD + 'Ada,A,tin loaf,"none\nBo,A,tin loaf,none\n')[1] == [
        "b.csv:2:1: a quote in this row is opened and not closed, or text follows a closed quote; "
        "export it again, or double the quotes inside the cell"
    ]


def test_a_missing_or_double_column_says_which():
    assert read("Full name,Bench,Bread,Allergy\nAda,A,tin loaf,none\n")[1] == [
        "b.csv:1:1: the bookings file has no column 'Allergies' for needs; did you mean 'Allergy'?"
    ]
    assert read("Full name,Full name,Bench,Bread,Allergies\n")[1] == [
        "b.csv:1:1: two columns are headed 'Full name'; give each column a header of its own"
    ]


def test_five_hundred_rows_are_read_and_one_more_is_refused():
    rows = [f"Person {n},{'AB'[n % 2]},tin loaf,none" for n in range(500)]
    assert len(good(HEAD + "\n".join(rows))) == 500
    _, problems = read(HEAD + "\n".join([*rows, "One more,A,tin loaf,none"]))
    assert problems == ["b.csv:502:1: 501 people; one class has at most 500; make several"]


# ---------------------------------------------------------------- the class file's part


def section(text: str) -> Section:
    return Section(read_nodes(text, "day.yaml"), "the class day", [])


def test_the_class_file_says_which_column_is_which():
    top = section(
        "bookings:\n  file: b.csv\n  columns: {name: Full name, needs: Allergies, makes: Bread}\n"
        "  none is written: [none, No]\n  station: A\n"
    )
    columns = bookings_columns(top)
    assert top.problems == []
    assert columns == Columns(
        "Full name",
        "Allergies",
        makes="Bread",
        none_written=("none", "No"),
        usual_station="A",
    )


def test_columns_that_are_not_said_are_a_problem():
    top = section("bookings: {file: b.csv, columns: {name: Full name}}\n")
    bookings_columns(top)
    assert [str(one) for one in top.problems] == [
        "day.yaml:1:34: 'columns' has no 'needs'; write 'needs: ' and the column's header"
    ]
    top = section("bookings: b.csv\n")
    bookings_columns(top)
    assert str(top.problems[0]).startswith(
        "day.yaml:1:11: 'bookings' does not say which column is which; write 'file:"
    )


def test_a_decision_finds_the_booked_person_by_name():
    people = good(HEAD + "Ada,A,tin loaf,eggs\nBo,A,tin loaf,none\n")
    top = section(
        "decisions:\n  - {name: ada, decision: {makes: soft rolls, reason: no egg in them}}\n"
    )
    decided = with_decisions(top, people, BREADS)
    assert top.problems == []
    assert decided[0].decision is not None
    assert decided[0].decision.makes == (Making("soft rolls", 8),)
    top = section(
        "decisions:\n  - {name: Adda, decision: {what: watches only, reason: her wish}}\n"
    )
    with_decisions(top, people, BREADS)
    assert [str(one) for one in top.problems] == [
        "day.yaml:2:12: nobody called 'Adda' is booked; did you mean 'Ada'?"
    ]


def test_a_class_day_takes_its_people_from_the_bookings():
    text = """class: Saturday
lesson: l.yaml
kitchen: k.yaml
date: 2027-03-13
start: 10:00
end: 14:00
stations: {A: window, B: door}
bookings:
  file: b.csv
  columns: {name: Full name, needs: Allergies, makes: Bread, station: Bench}
decisions:
  - {name: Bo, decision: {what: watches only, reason: his wish}}
diets:
  no poppy: poppy seeds
"""
    top, files, _ = open_class(text, "day.yaml")
    assert files.bookings is not None
    rows = HEAD + "Ada,A,tin loaf,sesame\nBo,B,tin loaf,coeliac\n"
    booked = booked_people(top, rows.encode(), files.bookings.value, BREADS)
    diets = read_diets(top)
    day = read_class(top, "day.yaml", BREADS, booked)
    assert top.problems == []
    assert [(one.name, one.seat) for one in day.people] == [("Ada", "A1"), ("Bo", "B1")]
    assert [one.name for one in diets] == ["no poppy"]
    assert day.people[1].decision is not None


def test_a_diet_may_be_written_short_or_long():
    top = section("diets:\n  no poppy: poppy seeds\n  lean: {without: [butter, lard]}\n")
    assert [(one.name, one.without) for one in read_diets(top)] == [
        ("no poppy", ("poppy seeds",)),
        ("lean", ("butter", "lard")),
    ]
    assert top.problems == []
