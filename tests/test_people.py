"""People's needs, from YAML and CSV to paper: what is printed for whom, and what stands nowhere but in ``confidential/``."""

from __future__ import annotations

import io
import re
from pathlib import Path

import pypdfium2
import pytest
import zxingcpp
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from classpack.class_files import read_sources
from classpack.cli import main
from classpack.pages.pack_templates import pack_templates
from classpack.places import own_folder
from classpack.planning.labels.contains import plain_text
from classpack.planning.needs.holdings import excluded_by
from classpack.planning.plan.plan_class import Planned, plan_class
from classpack.sheets.home.bag_labels import bag_labels
from classpack.sheets.pack import pack_jobs
from classpack.typeset.pdf import draw
from classpack.workshop import Pack, pack_look, print_pack
from tests.conftest import KITCHEN, LESSON
from tests.kept import page_texts
from tests.privacy import assert_nowhere, needs_words

Demo = tuple[Planned, Pack]

FULL = """\
class: A class full of needs
lesson: lesson.yaml
kitchen: kitchen.yaml
date: 2027-03-13
start: 10:00
end: 15:00
region: UK
pace: 1
mixing: each person
stations: {A: window bench, B: door bench}
ask at the door: yes
tutor: Perpetua Quennell
diets: {no poppy for Lent: [poppy seeds]}
people:
  - {name: Ada Lindqvist, station: A, makes: rolls, needs: [{need: sesame, severity: anaphylaxis, note: carries two pens in a red pouch}]}
  - {name: Bo Tammaru, station: A, makes: [tin loaf, rolls], needs: [milk, vegetarian]}
  - {name: Cato Wierda, station: B, makes: rolls, needs: vegan}
  - {name: Dina Okoro, station: B, makes: tin loaf, needs: [pregnant, asthma]}
  - name: Egil Rask
    station: B
    makes: rolls
    needs: coeliac disease
    decision: {what: watches only, reason: wants to watch and knows of the flour in the air}
  - {name: Fen Mabry, station: B, makes: rolls}
  - name: Gro Tindall
    station: B
    makes: rolls
    needs: no poppy for Lent
    decision: {makes: tin loaf, reason: would rather have a loaf than plain rolls}
"""


@pytest.fixture
def full(class_folder: Path) -> Path:
    """A class in which nearly everybody has a need, to be changed by the test."""
    (class_folder / "day.yaml").write_text(FULL, "utf-8")
    return class_folder / "day.yaml"


@pytest.fixture(scope="module")
def full_pack(tmp_path_factory: pytest.TempPathFactory) -> Demo:
    """The same class, planned and printed once."""
    folder = tmp_path_factory.mktemp("full")
    for name, text in (("lesson", LESSON), ("kitchen", KITCHEN), ("day", FULL)):
        (folder / f"{name}.yaml").write_text(text, "utf-8")
    made = planned(folder / "day.yaml")
    return made, print_pack(made, "A4", own_folder("templates"))


def planned(path: Path) -> Planned:
    """A class day, planned."""
    return plan_class(read_sources(path, own_folder("templates")))


def text_of(pdf: bytes) -> str:
    """The text of a PDF, line by line, with its metadata, outline and codes."""
    reader = PdfReader(io.BytesIO(pdf))
    found = [*page_texts(pdf)]
    found += [str(value) for value in (reader.metadata or {}).values()]
    found += [
        str(entry.title) for entry in reader.outline if not isinstance(entry, list) and entry.title
    ]
    return "\n".join(found)


def codes_of(pdf: bytes) -> list[str]:
    """What the QR codes of a PDF say."""
    return [
        code.text
        for page in pypdfium2.PdfDocument(pdf)
        for code in zxingcpp.read_barcodes(page.render(scale=1.5, grayscale=True).to_pil())
    ]


def shared(pack: Pack) -> dict[str, bytes]:
    """Everything outside ``confidential/``."""
    return {name: data for name, data in pack.files.items() if not name.startswith("confidential/")}


def in_one_line(pdf: bytes) -> str:
    """All text of a PDF, white space folded."""
    return " ".join(text_of(pdf).split())


def assert_private(planned: Planned, pack: Pack) -> None:
    """Nothing confidential stands in any shared file, its name, its metadata or its codes, nor in the plan's repr."""
    texts = {"repr": repr(planned).replace("(", "\n(")}
    texts["file names"] = "\n".join(pack.files)
    for name, data in shared(pack).items():
        if name.endswith(".pdf"):
            texts[name] = text_of(data)
            if name.startswith("cards/"):
                texts[f"codes of {name}"] = "\n".join(codes_of(data))
        else:
            texts[name] = data.decode("utf-8")
    assert_nowhere(needs_words(planned.needs), texts)


def test_no_shared_file_of_a_demo_says_anything_about_anybodys_health(demo: Demo) -> None:
    assert_private(*demo)


def test_no_shared_file_of_a_class_full_of_needs_says_anything_about_them(full_pack: Demo) -> None:
    assert_private(*full_pack)


@pytest.mark.parametrize("command", ["check", "show", "make"])
def test_no_command_says_anything_about_them(
    full: Path, full_pack: Demo, capfd: pytest.CaptureFixture[str], command: str
) -> None:
    more = ["--out", str(full.parent / "out")] if command == "make" else []
    assert main([command, str(full), *more]) == 0
    said = capfd.readouterr()
    assert_nowhere(needs_words(full_pack[0].needs), {"stdout": said.out, "stderr": said.err})


def test_the_day_inside_the_plan_knows_nobodys_needs(full_pack: Demo) -> None:
    plan = full_pack[0].plan
    assert all(person.needs == () and person.asked for person in plan.day.people)
    assert all(one.person.decision is None for one in plan.people)
    assert plan.day.tutor_needs == ()


def test_only_the_confidential_folder_holds_the_needs_sheet_and_the_pack_does_not(
    full_pack: Demo,
) -> None:
    pack = full_pack[1]
    sheet = in_one_line(pack.files["confidential/needs-sheet.pdf"])
    for wanted in (
        "Destroy by Monday 12 April 2027",
        "A1 Ada Lindqvist",
        "said to be anaphylaxis",
        "carries two pens in a red pouch",
        "Sesame seeds (sesame) in the rolls: poppy seeds instead, for everyone.",
        "Your decision: watches only.",
        "Wants to watch and knows of the flour in the air.",
        "Your decision: makes something else.",
        "Do you carry adrenaline or an inhaler?",
        "Tastes no raw dough, flour or egg",
        "Nobody asked yet. Ask every question below before this person touches anything.",
        "We have you down as “vegan”. Is that still right?",
    ):
        assert wanted in sheet, wanted
    assert "Destroy by" not in in_one_line(pack.files["pack.pdf"])
    assert "needs" not in re.sub("needs-sheet|confidential", "", "\n".join(shared(pack)))


def test_the_register_asks_at_the_door_those_whom_nobody_asked(full_pack: Demo) -> None:
    text = in_one_line(full_pack[1].files["register.pdf"])
    assert "Ask at the door" in text
    assert text.index("Not asked yet") < text.index("Fen Mabry") < text.index("Ada Lindqvist")
    assert "Egil Rask watches" in text


def test_the_register_asks_nothing_where_everybody_was_asked(demo: Demo) -> None:
    text = in_one_line(demo[1].files["register.pdf"])
    assert ("Ask at the door" in text) == demo[0].plan.day.ask_at_the_door
    assert ("Not asked yet" in text) == any(row.to_ask for row in demo[0].plan.register)


def test_who_is_allergic_works_with_tools_of_their_own_on_the_top_shelf(full_pack: Demo) -> None:
    pack = full_pack[1]
    card = in_one_line(pack.files["cards/A1.pdf"])
    assert "Use your own bowl, brush, board and tray or tin, marked A1" in card
    assert re.search(r"The rolls: (?:the top shelf of the oven|shelf [12] from the top)\.", card)
    assert "Use your own bowl" not in in_one_line(pack.files["cards/B1.pdf"])
    station = in_one_line(pack.files["stations/A.pdf"])
    assert "own bowl, brush, board and tray or tin, marked A1" in station


def test_nothing_stands_above_the_tray_of_somebody_with_tools_of_their_own(
    demo: Demo, full_pack: Demo
) -> None:
    for plan in (demo[0].plan, full_pack[0].plan):
        for _, entries in plan.clocks.ovens:
            loads = [entry for entry in entries if entry.kind == "load"]
            for own in loads:
                if not plan.own_tools.intersection(own.people):
                    continue
                for other in loads:
                    if other.start_min == own.start_min and not plan.own_tools.intersection(
                        other.people
                    ):
                        assert max(own.shelves) <= min(other.shelves)


def test_the_contains_line_is_the_same_on_card_station_sheet_and_label(demo: Demo) -> None:
    planned, pack = demo
    labels = {(one.seat, one.bread.variation.name): one for one in bag_labels(planned.plan)}
    for person in planned.plan.people:
        if not person.portions:
            continue
        card = in_one_line(pack.files[f"cards/{person.person.seat}.pdf"]).lower()
        station = in_one_line(pack.files[f"stations/{person.person.station}.pdf"]).lower()
        for portion, line in zip(person.portions, planned.plan.contains[person.index], strict=True):
            assert labels[person.person.seat, portion.variation].holds.contains == line
            said = ", ".join((*line.names, *line.also)).lower()
            assert said in card
            assert f"contains {said}" in station
            label = plain_text(labels[person.person.seat, portion.variation].holds.spans)
            for name in line.names:
                assert name.lower() in label.lower()


def test_a_label_for_every_bag_and_a_word_of_caution_first(demo: Demo) -> None:
    planned, pack = demo
    text = in_one_line(pack.files["labels/bag-labels.pdf"])
    assert "Not checked for sale: ask your food authority first." in text
    for one in bag_labels(planned.plan):
        listed = " ".join(one.holds.text.split())
        assert text.count(listed) >= one.bags, (one.seat, listed)


NEVER = re.compile(
    r"\b(?:free[- ]from|(?:gluten|nut|sesame|milk|dairy|egg|wheat|allergen)[- ]free|suitable for|(?<!not )safe for|"
    r"(?:contains|holds) no\b|(?<!or )without (?:gluten|nuts?|sesame|milk|dairy|eggs?|wheat|allergens?))",
    re.IGNORECASE,
)


def test_nothing_claims_that_a_food_lacks_something(demo: Demo, full_pack: Demo) -> None:
    for pack in (demo[1], full_pack[1]):
        for name, data in pack.files.items():
            text = in_one_line(data) if name.endswith(".pdf") else data.decode("utf-8")
            text = text.replace("no same-day gluten-free", "")  # what the tutor must not try
            assert not (found := NEVER.search(text)), (name, text[found.start() - 60 : found.end()])


def test_first_names_only_on_all_that_everybody_sees(demo: Demo) -> None:
    made, pack = demo
    if not made.plan.day.first_names_only:
        return
    day = read_sources(own_folder("lessons") / "sunday-bookings.yaml", own_folder("templates")).day
    texts = {
        name: in_one_line(data) if name.endswith(".pdf") else data.decode("utf-8")
        for name, data in shared(pack).items()
    }
    for person in day.people:
        last = person.name.split()[-1]
        for name, text in texts.items():
            assert not re.search(rf"\b{last}\b", text), (name, last)
    assert "Ingeborg" in texts["cards/A1.pdf"]


def test_first_names_only_may_be_asked_for_on_the_command_line(full: Path) -> None:
    out = full.parent / "out"
    assert main(["make", str(full), "--out", str(out), "--first-names-only"]) == 0
    text = in_one_line((out / "day" / "stations" / "A.pdf").read_bytes())
    assert "Ada" in text
    assert "Lindqvist" not in text


@pytest.mark.parametrize(
    ("region", "wanted"),
    [
        ("US", "Bread flour (wheat)"),
        ("US", "Contains: Wheat, Milk."),
        ("AU", "Contains wheat, gluten, milk."),
        ("NZ", "Contains wheat, gluten, milk."),
        ("EU", "MILK"),
    ],
)
def test_labels_follow_the_region(class_folder: Path, region: str, wanted: str) -> None:
    day = class_folder / "day.yaml"
    day.write_text(day.read_text("utf-8").replace("region: UK", f"region: {region}"), "utf-8")
    lesson = class_folder / "lesson.yaml"
    milky = lesson.read_text("utf-8").replace("      sesame seeds: 5 g", "      whole milk: 5 g")
    lesson.write_text(milky.replace("Dip in {sesame seeds}", "Dip in {whole milk}"), "utf-8")
    listed = [one.holds.text for one in bag_labels(planned(day).plan)]
    assert any(wanted in text for text in listed), listed


# ---------------------------------------------------------------- laws of what is printed

NEEDS = ("none", "sesame", "milk", "eggs", "vegan", "vegetarian", "sulphites", "mustard", "pregnant", "soya", "celery")  # fmt: skip
TOPPINGS = ("sesame seeds", "poppy seeds", "whole milk", "egg", "mozzarella", "rosemary", "honey", "walnuts")  # fmt: skip


def printed_cards(made: Planned) -> dict[str, bytes]:
    """The cards alone, by seat."""
    templates = pack_templates(own_folder("templates"), made.plan.day, made.plan.kitchen)
    look = pack_look(made, "A4", own_folder("templates"))
    plan = made.plan
    shown = {"plan": plan, "lesson": plan.lesson, "day": plan.day, "kitchen": plan.kitchen}
    return {
        job.file.removeprefix("cards/"): draw(
            templates.pages("pdf/recipe_card.xml", **shown, **job.values, paper="A4"),
            look,
            title="cards",
            language="en",
        )
        for job in pack_jobs(plan)
        if job.file.startswith("cards/")
    }


@settings(
    max_examples=8, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(data=st.data())
def test_no_card_ever_prints_an_ingredient_its_owner_must_not_have(
    tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:
    folder = tmp_path_factory.mktemp("class")
    toppings = data.draw(st.lists(st.sampled_from(TOPPINGS), min_size=1, max_size=4, unique=True))
    spoken = " and ".join(f"{{{name}}}" for name in toppings)
    more = "".join(f"      {name}: 5 g per piece\n" for name in toppings)
    lesson = LESSON.replace("      sesame seeds: 5 g per piece\n", more)
    lesson = lesson.replace('"Dip in {sesame seeds}."', f'"Put on {spoken}. Press lightly."')
    if "sesame seeds" not in toppings:
        lesson = lesson.replace("    swaps:\n      - {out: sesame seeds, in: poppy seeds}\n", "")
    (folder / "lesson.yaml").write_text(lesson, "utf-8")
    (folder / "kitchen.yaml").write_text(KITCHEN, "utf-8")
    people = "".join(
        f"  - {{name: Student {n}, station: {'AB'[n % 2]}, makes: rolls, needs: [{need}]}}\n"
        if need != "none"
        else f"  - {{name: Student {n}, station: {'AB'[n % 2]}, makes: rolls, needs: none}}\n"
        for n, need in enumerate(
            data.draw(st.lists(st.sampled_from(NEEDS), min_size=2, max_size=5))
        )
    )
    head = FULL.split("people:\n")[0].replace("diets: {no poppy for Lent: [poppy seeds]}\n", "")
    (folder / "day.yaml").write_text(f"{head}people:\n{people}", "utf-8")
    made = planned(folder / "day.yaml")
    cards = printed_cards(made)
    larder = made.plan.larder
    for one in made.needs.sheet.people:
        if not made.plan.people[one.index].portions:
            continue
        text = in_one_line(cards[one.seat]).casefold()
        for name in {*toppings, *(change.into for change in made.plan.for_everyone)} - {""}:
            if any(excluded_by(need, larder[name]) for need in one.needs):
                assert not re.search(rf"(?<!\w){re.escape(name)}(?!\w)", text), (one.needs, name)


def test_whom_to_call_stands_on_confidential_paper_alone(class_folder: Path) -> None:
    day = FULL.replace(
        "needs: vegan}",
        "needs: vegan, child: yes, in an emergency: {call: Wilma Wierda, telephone: 0700 900 461, plan: blue folder, "
        "medicine: red pouch by the door, given by: Perpetua}}",
    )
    (class_folder / "day.yaml").write_text(day, "utf-8")
    made = planned(class_folder / "day.yaml")
    pack = print_pack(made, "A4", own_folder("templates"))
    for name in ("register", "needs-sheet"):
        text = in_one_line(pack.files[f"confidential/{name}.pdf"])
        for said in ("Wilma Wierda", "0700 900 461", "blue folder", "red pouch by the door"):
            assert said in text, (name, said)
    for name, data in shared(pack).items():
        text = text_of(data) if name.endswith(".pdf") else data.decode("utf-8", "replace")
        assert "Wilma" not in text, name
        assert "red pouch" not in text, name


def test_with_tools_for_everyone_a_need_that_nothing_holds_changes_no_shared_byte(
    class_folder: Path,
) -> None:
    packs = []
    for need in ("none", "lupin", "allergy to kiwi", "asthma"):
        day = FULL.replace("needs: [pregnant, asthma]", f"needs: {need}")
        (class_folder / "day.yaml").write_text(day + "own tools: for everyone\n", "utf-8")
        made = planned(class_folder / "day.yaml")
        assert made.plan.own_tools == {n for n, one in enumerate(made.plan.people) if one.portions}
        packs.append(shared(print_pack(made, "A4", own_folder("templates"))))
    assert all(pack == packs[0] for pack in packs[1:])
