"""A class day file: what it gives, what it takes for granted, and what each slip is told as."""

import datetime
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from classpack.errors import LessonError, Problem
from classpack.model.class_day import ClassDay, Making
from classpack.reading.class_file import KnownBread, open_class, read_class


def raise_all(problems: list[Problem]) -> None:
    """Raise every problem found so far, if there is any."""
    if problems:
        raise LessonError(problems)


DEMOS = Path(__file__).parent.parent.parent / "lessons"
BREADS = (KnownBread("tin loaf", 1), KnownBread("soft rolls", 8), KnownBread("pizza", 2))
DAY = """\
class: Saturday bread
lesson: one-dough.yaml
kitchen: net-loft.yaml
date: 2027-03-13
start: 10:00
end: 15:00
region: UK
mixing: each person
pace: 1.5
stations:
  A: bench by the window
  B: bench by the door
people:
  - name: Ada Lindqvist
    station: A
    makes: tin loaf
    needs: none
  - name: Bo Ferrer
    station: B
    makes: {soft rolls: 4, pizza: 1}
"""


def read(text: str = DAY, breads: tuple[KnownBread, ...] = BREADS) -> ClassDay:
    top, _, problems = open_class(text, "c.yaml")
    day = read_class(top, "c.yaml", breads)
    raise_all(problems)
    return day


def said(old: str, new: str) -> str:
    assert old in DAY, old
    with pytest.raises(LessonError) as caught:
        read(DAY.replace(old, new, 1))
    return str(caught.value)


def test_a_class_day_is_read():
    day = read()
    assert (day.date, day.start_min, day.end_min) == (datetime.date(2027, 3, 13), 600, 900)
    assert [(one.name, one.seat, one.makes, one.asked) for one in day.people] == [
        ("Ada Lindqvist", "A1", (Making("tin loaf", 1),), True),
        ("Bo Ferrer", "B1", (Making("soft rolls", 4), Making("pizza", 1)), False),
    ]
    assert day.assumed == ()


def test_the_files_it_names_come_with_their_places():
    _, files, _ = open_class(DAY, "c.yaml")
    assert files.lesson is not None
    assert (files.lesson.value, str(files.lesson.spot)) == ("one-dough.yaml", "c.yaml:2:9")
    assert files.larder is None


@pytest.mark.parametrize("name", ["saturday-twelve.yaml", "wholemeal-six.yaml", "one-to-one.yaml"])
def test_the_demo_classes_are_read(name):
    lesson = "wholemeal" if "wholemeal" in name else "one-dough"
    named = ("honey wholemeal loaf", "oat rolls", "wholemeal cob") if lesson == "wholemeal" else (
        "tin loaf", "tray bread", "soft rolls", "pizza", "plaited loaf",
    )  # fmt: skip
    day = read((DEMOS / name).read_text("utf-8"), tuple(KnownBread(one, 1) for one in named))
    assert day.people


def test_every_default_used_is_named():
    text = DAY.replace("region: UK\nmixing: each person\npace: 1.5\n", "")
    assert read(text).assumed == (
        "Each person mixes a dough of their own: the class file does not say 'mixing'.",
        "Allergens and labels follow the UK's rules: the class file does not say 'region'.",
        "Beginners take 1.5 times a tutor's minutes: the class file does not say 'pace'.",
    )


def test_a_class_may_end_after_midnight():
    day = read(DAY.replace("10:00", "20:00").replace("15:00", "00:30"))
    assert (day.start_min, day.end_min) == (1200, 1470)
    assert day.assumed == ("The class ends after midnight.",)


@pytest.mark.parametrize(
    ("typed", "makes"),
    [
        ("soft rolls", (Making("soft rolls", 8),)),
        ("[tin loaf, pizza]", (Making("tin loaf", 1), Making("pizza", 2))),
        ("{pizza: 3}", (Making("pizza", 3),)),
        ("[tin loaf, {pizza: 1}]", (Making("tin loaf", 1), Making("pizza", 1))),
        ("\n      - soft rolls: 4\n      - pizza", (Making("soft rolls", 4), Making("pizza", 2))),
    ],
)
def test_what_somebody_makes_can_be_written_in_several_ways(typed, makes):
    assert read(DAY.replace("makes: tin loaf", f"makes: {typed}")).people[0].makes == makes


@pytest.mark.parametrize("typed", ["none", ""])
def test_no_demonstration_and_no_spare_can_be_said(typed):
    day = read(f"{DAY}demonstration: {typed}\nspare: {typed}\n")
    assert (day.demonstration, day.spare) == ((), ())


@pytest.mark.parametrize(
    ("typed", "needs", "asked"),
    [
        ("none", [], True),
        ("None", [], True),
        ("", [], False),
        ("not asked", [], False),
        ("sesame", ["sesame"], True),
        ("[sesame, milk]", ["sesame", "milk"], True),
        ("[{need: sesame, severity: severe}]", ["sesame"], True),
    ],
)
def test_none_is_an_answer_and_a_blank_is_not(typed, needs, asked):
    person = read(DAY.replace("needs: none", f"needs: {typed}")).people[0]
    assert ([need.name for need in person.needs], person.asked) == (needs, asked)


def test_names_keep_every_sign_they_are_written_with():
    name = "Zoë <b>&\"'</b> Þórunn 🥖"
    day = read(DAY.replace("Ada Lindqvist", "'" + name.replace("'", "''") + "'"))
    assert day.people[0].name == name


def test_a_name_of_eighty_signs_is_read_and_one_more_is_not():
    assert read(DAY.replace("Ada Lindqvist", "Ł" * 80)).people[0].name == "Ł" * 80
    assert said("Ada Lindqvist", "Ł" * 81) == "c.yaml:14:11: a name of 81 signs; keep it to 80"


def people(count: int) -> str:
    lines = "".join(
        f"  - {{name: P{n}, station: {'AB'[n % 2]}, makes: pizza}}\n" for n in range(count)
    )
    return DAY[: DAY.index("people:")] + "people:\n" + lines


def test_one_person_sixty_and_five_hundred_are_read_and_one_more_is_not():
    one = people(1).replace("  B: bench by the door\n", "")
    assert [len(read(text).people) for text in (one, people(60), people(500))] == [1, 60, 500]
    with pytest.raises(LessonError) as caught:
        read(people(501))
    assert str(caught.value) == ("c.yaml:14:3: 501 people; one class has at most 500; make several")


def test_no_two_seats_are_written_alike():
    text = people(60).replace("station: B", "station: A1").replace("B: bench", "A1: bench")
    seats = [person.seat for person in read(text).people]
    assert len(set(seats)) == 60


def test_a_seat_that_is_asked_for_is_kept():
    text = DAY.replace("station: B", "station: A\n    seat: 1").replace(
        "  B: bench by the door\n", ""
    )
    assert [person.seat for person in read(text).people] == ["A2", "A1"]


SLIPS = [
    ("class: Saturday bread\n", "", "1:1: the class day has no 'class'; write the class's name, as in 'class: Saturday bread'"),
    ("class: Sat", "pacee: 2\nclass: Sat", "1:1: the class day has no field 'pacee'; did you mean 'pace'?"),
    ("lesson: one-dough.yaml\n", "", "1:1: the class day has no 'lesson'; write the lesson's file, as in 'lesson: one-dough.yaml'"),
    ("kitchen: net-loft.yaml", "kitchen: [a]", "3:10: 'kitchen' is not a file's name; the kitchen's file, as in 'kitchen: net-loft.yaml'"),
    ("2027-03-13", "13 March", "4:7: the date is '13 March'; write year-month-day, as in '2027-03-13'"),
    ("2027-03-13", "2027-02-29", "4:7: the date is '2027-02-29', which no calendar has; write year-month-day, as in '2027-03-13'"),
    ("start: 10:00", "start: 10", "5:8: 'start' is '10', in the morning or the evening; write '10:00' or '22:00'"),
    ("end: 15:00", "end: 10:00", "6:6: the class ends when it starts; write a later end"),
    ("end: 15:00", "end: 9:30", "6:6: the class ends at 09:30, before it starts; write a later end"),
    ("region: UK", "region: uk", "7:9: 'region' is 'uk'; did you mean 'UK'?"),
    ("region: UK", "region: no", "7:9: 'region' is 'no'; choose from: UK, IE, EU, US, CA, AU, NZ"),
    ("mixing: each person", "mixing: alone", "8:9: 'mixing' is 'alone'; choose from: each person, each station, one dough for the class"),
    ("pace: 1.5", "pace: 15", "9:7: 'pace' is 15; beginners take 1 to 3 times a tutor's minutes; 1.5 is usual"),
    ("pace: 1.5", "pace: 1,5", "9:7: '1,5' has a comma; write decimals with a point and thousands without a sign, as in '2.5' or '1200'"),
    ("pace: 1.5", "style: large", "9:8: 'style' is 'large'; did you mean 'large print'?"),
    ("pace: 1.5", "friction: warm", "9:11: the friction is 'warm'; write degrees, as in '3 C'"),
    ("pace: 1.5", "room temperature: 210 C", "9:19: the room temperature is '210 C'; it must lie between -30 C and 60 C; did you mean another unit?"),
    ("pace: 1.5", "web: example.org", "9:6: 'example.org' is not a web address; write it whole, as in 'https://example.org/bread'"),
    ("pace: 1.5", "web: https://example.org/a b", "9:6: 'https://example.org/a b' is not a web address; write it whole, as in 'https://example.org/bread'"),
    ("pace: 1.5", "pages: {pizzza: https://example.org/}", "9:9: there is no bread 'pizzza'; did you mean 'pizza'?"),
    ("pace: 1.5", "currency: pounds", "9:11: 'currency' is 'pounds'; write its three letters, as in 'GBP' or 'EUR'"),
    ("pace: 1.5", "allowance: 300 %", "9:12: 'allowance' is '300 %'; it is at most 50 %; did you mean 3 %?"),
    ("pace: 1.5", "stock: {honey: lots}", "9:16: honey is 'lots'; write a number and its unit, as in '1.5 kg'"),
    ("pace: 1.5", "times: {break: 0 h}", "9:16: 'break' is '0 h'; write 'none', or minutes, as in '10 min'"),
    ("pace: 1.5", "times: {braek: 5 min}", "9:9: 'times' has no field 'braek'; did you mean 'break'?"),
    ("pace: 1.5", "times: {break: 15 h}", "9:16: 'break' is '15 h'; it is at most 8 h"),
    ("pace: 1.5", "yeast: dried", "9:8: 'yeast' is 'dried'; choose from: fresh, active dry, instant"),
    ("pace: 1.5", "demonstration: {tin loaf: 0}", "9:27: tin loaf is '0'; write how many pieces, 1 to 500, as in 'tin loaf: 4'"),
    ("  A: bench", "  bench under the harbour window: x\n  A: bench", "11:3: nobody works at station bench under the harbour window; take the station away, or send somebody there\nc.yaml:11:3: the station's name 'bench under the harb' is too long; use a letter or a short word; its place comes after the colon"),
    ("  A: bench", "  tutor: x\n  A: bench", "11:3: a station is called 'tutor'; use a letter or a short word; the tutor's own bench comes with 'demonstration'\nc.yaml:11:3: nobody works at station tutor; take the station away, or send somebody there"),
    ("  B: bench", "  C: bench by the sink\n  B: bench", "12:3: nobody works at station C; take the station away, or send somebody there"),
    ("name: Ada Lindqvist", "name: bo ferrer", "18:5: two people are called 'Bo Ferrer' (first on line 14); tell them apart, as in 'Ada Lindqvist (blue apron)'"),
    ("  - name: Ada Lindqvist\n    station", "  - station", "14:5: a person has no 'name'; write the name, as in '- name: Ada Lindqvist'"),
    ("station: A", "station: C", "11:3: nobody works at station A; take the station away, or send somebody there\nc.yaml:15:14: 'station' is 'C'; choose from: A, B"),
    ("makes: tin loaf", "makes: tin lof", "16:12: there is no bread 'tin lof' in the lesson; did you mean 'tin loaf'?"),
    ("makes: tin loaf", "makes: rolls", "16:12: there is no bread 'rolls' in the lesson; did you mean 'soft rolls'?"),
    ("makes: tin loaf", "makes: []", "16:12: Ada Lindqvist makes nothing; write a bread, as in 'makes: tin loaf'"),
    ("makes: tin loaf", "makes: [pizza, pizza]", "16:20: Ada Lindqvist makes 'pizza' twice; write it once, with the number of pieces"),
    ("makes: tin loaf", "makes: {pizza: -1}", "16:20: pizza is '-1'; write how many pieces, 1 to 500, as in 'pizza: 4'"),
    ("makes: tin loaf", "makes: {pizza: 99999999999}", "16:20: pizza is '99999999999'; write how many pieces, 1 to 500, as in 'pizza: 4'"),
    ("    makes: tin loaf\n", "", "14:5: Ada Lindqvist has no 'makes'; write what they make, as in 'makes: tin loaf'"),
    ("needs: none", "needs: {milk: yes}", "17:12: 'needs' is a section; write a list, as in 'needs: [sesame, milk]', or 'none'"),
    ("needs: none", "needs: [none]", "17:13: an entry of 'needs' says nothing; write what the person must not have, or 'needs: none'"),
    ("needs: none", "allergies: none", "17:5: Ada Lindqvist has no field 'allergies'; choose from: agreed, child, decision, in an emergency, makes, name, needs, seat, station"),
    ("needs: none", "seat: 0", "17:11: 'seat' is 0; it must lie between 1 and 99"),
    ("needs: none", "decision: {what: makes, reason: asked}", "17:15: the decision does not say what they make; write 'makes: rolls'"),
    ("needs: none", "decision: {reason: asked}", "17:15: the decision decides nothing; write 'what:' with one of makes, watches only, does not attend, left out for everyone"),
    ("needs: none", "decision: {makes: pizza}", "17:15: the decision has no 'reason'; write the reason, which is printed on the needs sheet"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "message"), SLIPS)
def test_each_slip_is_told_once_and_at_its_place(old, new, message):
    assert said(old, new) == f"c.yaml:{message}"


def test_a_class_without_people_or_stations_says_what_to_write():
    assert said(DAY[DAY.index("people") :], "people: []\n") == (
        "c.yaml:13:9: nobody comes; write the people below 'people:', each with a name"
    )
    assert said(DAY[DAY.index("stations") : DAY.index("people")], "stations: {}\n") == (
        "c.yaml:10:11: there is no station; write at least one, as in 'A: window bench'"
    )


PUTS = st.sampled_from(
    [
        "",
        "0",
        "-",
        "x",
        ": ",
        "{",
        "[]",
        "99999999999",
        "1:30",
        "no",
        "\t",
        "  - name: Z\n",
        "{}",
        "none",
    ]
)


@settings(max_examples=150, deadline=None)
@given(st.integers(0, len(DAY)), st.integers(0, 25), PUTS)
def test_any_change_of_a_class_is_read_or_told_inside_the_file(at, length, put):
    text = DAY[:at] + put + DAY[at + length :]
    told: tuple[Problem, ...] = ()
    try:
        day = read(text)
    except LessonError as error:
        told = error.problems
    else:
        assert day.people
    for problem in told:
        assert problem.spot.file == "c.yaml"
        assert 1 <= problem.spot.line <= text.count("\n") + 1


@pytest.mark.parametrize("blank", ["needs: []", "needs: not asked"])
def test_an_empty_list_of_needs_is_a_blank_and_no_answer(blank):
    assert "needs: none" in DAY
    assert read(DAY).people[0].asked
    assert not read(DAY.replace("needs: none", blank, 1)).people[0].asked
